package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"slices"

	"soundwrit/internal/approval"
)

type verifyVerb struct {
	Lock    string   `arg:"" help:"The approval, written by approve beside the job: seam.approval."`
	Files   []string `arg:"" optional:"" help:"Documents and jobs to hold against it: PDF, Markdown, figures, the job."`
	Signers string   `placeholder:"FILE" help:"Public keys of those who may approve, in the allowed-signers format of SSH."`
}

// largest is the largest file that verify reads.
const largest = 1 << 28

// Run says whether files are the approved ones, byte by byte, and whose
// approvals are signed. Exit code 1 says that one is not.
func (v *verifyVerb) Run(s *streams) error {
	l, err := openLock(v.Lock)
	if errors.Is(err, fs.ErrNotExist) {
		return &refusal{v.Lock + " does not exist", "name the file that soundwrit approve wrote beside the job"}
	}
	if err != nil {
		return err
	}
	var signers []byte
	if v.Signers != "" {
		if signers, err = os.ReadFile(v.Signers); err != nil {
			return &refusal{v.Signers + " cannot be read", "name a file with a name and a public key on each line"}
		}
	}
	good := true
	say := func(ok bool, format string, args ...any) {
		good = good && ok
		fmt.Fprintf(s.out, format+"\n", args...)
	}
	say(true, "%s, revision %s", l.Document, l.Revision)
	for _, a := range l.Approvals {
		who := fmt.Sprintf("    approved by %s as %s on %s", a.Name, a.Role, a.Date)
		if a.Signature == "" {
			say(v.Signers == "", "%s; not signed", who)
			continue
		}
		key, err := l.Verify(a, signers)
		switch {
		case err != nil:
			say(false, "%s; NOT VALID: %v", who, err)
		case key.Name != "":
			say(true, "%s; signed with the key of %s (%s)", who, key.Name, key.Fingerprint)
		case v.Signers != "":
			say(false, "%s; signed with a key that %s does not list (%s)", who, v.Signers, key.Fingerprint)
		default:
			say(true, "%s; signed with the key %s, whose owner was not checked: name --signers", who, key.Fingerprint)
		}
	}
	for _, name := range v.Files {
		verdict, ok, err := judge(l, name)
		if err != nil {
			return err
		}
		say(ok, "    %s: %s", name, verdict)
	}
	if !good {
		return outcome(unmet)
	}
	return nil
}

// judge says what a file is to an approval.
func judge(l *approval.Lock, name string) (verdict string, ok bool, err error) {
	f, err := os.Open(name)
	if err != nil {
		return "", false, cannotRead(name, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, largest))
	if err != nil {
		return "", false, cannotRead(name, err)
	}
	digest := approval.Digest(data)
	if digest == l.Job {
		return "the approved job", true, nil
	}
	for _, output := range slices.Sorted(maps.Keys(l.Outputs)) {
		if l.Outputs[output] == digest {
			return "the approved " + output, true, nil
		}
	}
	return "NOT the approved file, nor the approved job: not every byte is as approved", false, nil
}
