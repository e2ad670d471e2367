package main

import (
	"bytes"
	"net"
	"os"

	"golang.org/x/crypto/ssh"
	"golang.org/x/crypto/ssh/agent"
)

// fromAgent returns the key of the SSH agent that goes with a public key, or
// with the .pub beside a private key where that is not known; nil where there
// is none.
func fromAgent(path string, public ssh.PublicKey) ssh.Signer {
	if public == nil {
		if data, err := os.ReadFile(path + ".pub"); err == nil {
			public, _, _, _, _ = ssh.ParseAuthorizedKey(data)
		}
	}
	socket := os.Getenv("SSH_AUTH_SOCK")
	if public == nil || socket == "" {
		return nil
	}
	line, err := net.Dial("unix", socket)
	if err != nil {
		return nil
	}
	// The connection is used until the signature is made, and ends with the program.
	keys, err := agent.NewClient(line).Signers()
	if err != nil {
		return nil
	}
	for _, key := range keys {
		if bytes.Equal(key.PublicKey().Marshal(), public.Marshal()) {
			return key
		}
	}
	return nil
}
