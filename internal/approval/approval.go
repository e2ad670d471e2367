// Package approval keeps an approved technique from changing unseen. A lock says
// what was approved, by the digests of the job, the rule books, the templates and
// the files written, and holds the job itself, so that what changed since can be
// told; each approval may carry a signature in the SSH signature format, made and
// checked by a library. The package reads no file.
package approval

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/hiddeco/sshsig"
	"golang.org/x/crypto/ssh"
	"gopkg.in/yaml.v3"
)

// Lock is what was approved, and by whom. It is kept beside the job.
type Lock struct {
	Document  string            `yaml:"document"`
	Revision  string            `yaml:"revision"`
	Program   string            `yaml:"program"`   // name and version
	Job       string            `yaml:"job"`       // digest of the job file
	Rules     string            `yaml:"rules"`     // digest of all rule books used
	Templates string            `yaml:"templates"` // digest of the wording
	Outputs   map[string]string `yaml:"outputs"`   // digest of each file written, by name
	Approvals []Approval        `yaml:"approvals"`
	Text      string            `yaml:"text"` // the job file itself
}

// Approval is one person's.
type Approval struct {
	Name      string `yaml:"name"`
	Role      string `yaml:"role"`
	Date      string `yaml:"date"`
	Signature string `yaml:"signature,omitempty"` // armoured SSH signature of Statement; empty: not signed
}

// Digest returns the SHA-256 digest of data, named so.
func Digest(data []byte) string {
	sum := sha256.Sum256(data)
	return "sha256:" + hex.EncodeToString(sum[:])
}

// MaxSize is the size of the largest lock that is read, in bytes: that of a job
// with every line quoted.
const MaxSize = 4 << 20

var digestForm = regexp.MustCompile(`^sha256:[0-9a-f]{64}$`)

// Read reads a lock. The error says in words what is wrong with it.
func Read(data []byte) (*Lock, error) {
	if len(data) > MaxSize {
		return nil, errors.New("it is larger than a lock can be")
	}
	d := yaml.NewDecoder(bytes.NewReader(data))
	d.KnownFields(true)
	l := &Lock{}
	if err := d.Decode(l); err != nil {
		return nil, errors.New("it cannot be read as a lock")
	}
	if rest := d.Decode(new(any)); !errors.Is(rest, io.EOF) {
		return nil, errors.New("something stands behind the lock")
	}
	digests := []string{l.Job, l.Rules, l.Templates}
	for _, digest := range l.Outputs {
		digests = append(digests, digest)
	}
	switch {
	case len(l.Approvals) == 0:
		return nil, errors.New("it holds no approval")
	case slices.ContainsFunc(digests, func(s string) bool { return !digestForm.MatchString(s) }):
		return nil, errors.New("a digest in it is damaged")
	case Digest([]byte(l.Text)) != l.Job:
		return nil, errors.New("the job that it holds is not the one whose digest it states")
	}
	return l, nil
}

// Encode writes the lock as Read takes it.
func (l *Lock) Encode() ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# What was approved, and by whom. Written by soundwrit approve: do not edit it.\n")
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := e.Encode(l); err != nil {
		return nil, err
	}
	return b.Bytes(), e.Close()
}

// Same reports whether two locks state the same technique, whoever approved it.
func (l *Lock) Same(o *Lock) bool {
	return bytes.Equal(l.statement(), o.statement())
}

// statement is the lock without its approvals, one line a fact.
func (l *Lock) statement() []byte {
	var b bytes.Buffer
	line := func(name, value string) { fmt.Fprintf(&b, "%s: %s\n", name, strings.Join(strings.Fields(value), " ")) }
	line("document", l.Document)
	line("revision", l.Revision)
	line("program", l.Program)
	line("job", l.Job)
	line("rules", l.Rules)
	line("templates", l.Templates)
	var names []string
	for name := range l.Outputs {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		line("output "+name, l.Outputs[name])
	}
	return b.Bytes()
}

// Statement is what a person signs: what is approved, and that it is this
// person, in this role, on this day.
func (l *Lock) Statement(a Approval) []byte {
	fields := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return append(l.statement(), fmt.Sprintf("approved by: %s\nas: %s\non: %s\n", fields(a.Name), fields(a.Role), fields(a.Date))...)
}

// Namespace keeps a signature made here from being taken for one over something else.
const Namespace = "soundwrit-approval"

// Sign signs an approval of the lock.
func (l *Lock) Sign(a *Approval, key ssh.Signer) error {
	s, err := sshsig.Sign(bytes.NewReader(l.Statement(*a)), key, sshsig.HashSHA512, Namespace)
	if err != nil {
		return err
	}
	a.Signature = string(sshsig.Armor(s))
	return nil
}

// Signer is what a signature shows.
type Signer struct {
	Fingerprint string // of the key
	Name        string // of the list of signers; empty where the key is not on it
}

// Verify checks an approval's signature and looks its key up in a list of
// signers, the allowed-signers format of SSH: a name, and a public key, a line.
// The error says in words what is wrong.
func (l *Lock) Verify(a Approval, signers []byte) (Signer, error) {
	s, err := sshsig.Unarmor([]byte(a.Signature))
	if err != nil {
		return Signer{}, errors.New("the signature is damaged")
	}
	if err := sshsig.Verify(bytes.NewReader(l.Statement(a)), s, s.PublicKey, s.HashAlgorithm, Namespace); err != nil {
		return Signer{}, errors.New("the signature does not belong to what the lock says")
	}
	who := Signer{Fingerprint: ssh.FingerprintSHA256(s.PublicKey)}
	for line := range bytes.Lines(signers) {
		name, rest, _ := strings.Cut(strings.TrimSpace(string(line)), " ")
		if strings.HasPrefix(name, "#") {
			continue
		}
		key, _, _, _, err := ssh.ParseAuthorizedKey([]byte(rest))
		if err == nil && bytes.Equal(key.Marshal(), s.PublicKey.Marshal()) {
			who.Name = name
			break
		}
	}
	return who, nil
}
