package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/crypto/ssh"

	"soundwrit/internal/approval"
	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
)

type approveVerb struct {
	jobArg
	templatesArg
	sinceArg
	Name string `required:"" help:"Who approves, as the document names the person."`
	Role string `required:"" help:"In which role, such as: level 3, or: client."`
	Date string `required:"" placeholder:"DAY" help:"Day of the approval, such as 2026-03-02."`
	Key  string `placeholder:"FILE" help:"Private SSH key to sign with; one with a passphrase must be loaded in the SSH agent."`
}

// Run records an approval in the lock beside the job. It refuses what is not
// ready: a document that is not called approved, or with a requirement open.
func (v *approveVerb) Run(s *streams) error {
	if v.Job == "-" {
		return &refusal{"an approval is kept beside the job, and standard input has no place", "name the job file"}
	}
	if _, err := time.Parse(time.DateOnly, v.Date); err != nil {
		return &refusal{fmt.Sprintf("--date=%s is no day", v.Date), "write year, month and day, such as 2026-03-02"}
	}
	for flag, text := range map[string]string{"--name": v.Name, "--role": v.Role} {
		if strings.TrimSpace(text) == "" {
			return &refusal{flag + " is empty", "say who approves, and in which role"}
		}
	}
	data, t, findings, err := v.load(s)
	if err != nil {
		return err
	}
	if t == nil || hasUnmet(findings) {
		s.show(findings, "Nothing was approved: put these right, or have deviations agreed.")
		if t == nil {
			return outcome(unusable)
		}
		return outcome(unmet)
	}
	d := &t.Job.Document
	if d.Status != "approved" {
		return &refusal{fmt.Sprintf("%s has the status %q", v.Job, d.Status), "write status: approved in the job, so that the approved document says so"}
	}
	if strings.TrimSpace(d.Number) == "" || strings.TrimSpace(d.Revision) == "" {
		return &refusal{v.Job + " has no document number or no revision", "write document.number and document.revision: what is approved must be called by them"}
	}
	wording, err := v.wording()
	if err != nil {
		return err
	}
	of := set(v.jobArg, data, t, wording)
	if err := v.mark(&of, s); err != nil {
		return err
	}
	lock, err := lockOf(v.jobArg, data, of)
	if err != nil {
		return err
	}
	old, err := readLock(v.Job)
	if err != nil {
		return err
	}
	if old != nil && old.Same(lock) {
		lock.Approvals = old.Approvals
	}
	a := approval.Approval{Name: v.Name, Role: v.Role, Date: v.Date}
	if v.Key != "" {
		key, err := signer(v.Key)
		if err != nil {
			return err
		}
		if err := lock.Sign(&a, key); err != nil {
			return &refusal{fmt.Sprintf("%s cannot sign: %v", v.Key, err), "use an ed25519 key"}
		}
	}
	for _, b := range lock.Approvals {
		if b.Name == a.Name && b.Role == a.Role {
			return &refusal{fmt.Sprintf("%s has approved revision %s as %s already", a.Name, lock.Revision, a.Role), "nothing needs doing"}
		}
	}
	lock.Approvals = append(lock.Approvals, a)
	text, err := lock.Encode()
	if err != nil {
		return err
	}
	path := lockPath(v.Job)
	if err := save(filepath.Dir(path), []output{{filepath.Base(path), text}}); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "Recorded in %s: %s, revision %s, approved by %s as %s.\n", path, d.Number, d.Revision, v.Name, v.Role)
	return nil
}

// lockPath is where the approval of a job is kept.
func lockPath(job string) string {
	return filepath.Join(filepath.Dir(job), baseName(job)+".approval")
}

// readLock reads the lock beside a job; nil where there is none.
func readLock(job string) (*approval.Lock, error) {
	if job == "-" {
		return nil, nil
	}
	l, err := openLock(lockPath(job))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return l, err
}

// openLock reads a lock. One that is not there is fs.ErrNotExist.
func openLock(path string) (*approval.Lock, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var data []byte
	if err == nil && info.Size() <= approval.MaxSize {
		data, err = os.ReadFile(path)
	}
	if err != nil {
		return nil, &refusal{fmt.Sprintf("the approval in %s cannot be read", path), "check the file; the repository has its earlier state"}
	}
	l, err := approval.Read(data)
	if err != nil {
		return nil, &refusal{fmt.Sprintf("the approval in %s is damaged: %v", path, err), "take the file from the repository again; it is not to be edited"}
	}
	return l, nil
}

// lockOf states what a technique is, with the files that write would make.
func lockOf(job jobArg, data []byte, of render.Set) (*approval.Lock, error) {
	files, err := of.Files()
	if err != nil {
		return nil, err
	}
	d := &of.Technique.Job.Document
	l := &approval.Lock{
		Document: d.Number, Revision: d.Revision, Program: "soundwrit " + version,
		Job: approval.Digest(data), Text: string(data), Outputs: map[string]string{},
		Rules: digestOf(schema.Books(), houseBooks(job.folder(), of.Technique.Job.Codes.House)), Templates: digestOf(of.Wording, nil),
	}
	for _, f := range files {
		l.Outputs[f.Name] = approval.Digest(f.Data)
	}
	return l, nil
}

// digestOf is one digest of the files of a folder, and of house books.
func digestOf(folder fs.FS, house []technique.HouseBook) string {
	var all bytes.Buffer
	err := fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(folder, name)
		fmt.Fprintf(&all, "%s %s\n", name, approval.Digest(data))
		return err
	})
	if err != nil {
		panic(err) // the files are part of the program
	}
	for _, b := range house {
		fmt.Fprintf(&all, "%s %s\n", b.Name, approval.Digest(b.Text))
	}
	return approval.Digest(all.Bytes())
}

// hold adds what forbids to use a job under a revision that is approved: values
// that changed since. What means the same may be written otherwise.
func (a jobArg) hold(job *schema.Job, findings []diag.Finding) ([]diag.Finding, error) {
	lock, err := readLock(a.Job)
	if lock == nil || err != nil || lock.Document != job.Document.Number || lock.Revision != job.Document.Revision {
		return findings, err
	}
	approved, _ := schema.Load(lockPath(a.Job), []byte(lock.Text))
	changes := schema.Changes(approved, job)
	if len(changes) == 0 {
		return findings, nil
	}
	by := lock.Approvals[0]
	f := diag.Finding{
		Rule: "changed-after-approval", Level: diag.Error, At: changes[0].At, Path: changes[0].Path,
		Message: fmt.Sprintf("revision %s is approved, and the job was changed since", lock.Revision),
		Actual:  orNothing(changes[0].After), Limit: fmt.Sprintf("the job that %s approved on %s", by.Name, by.Date),
		Remedy: "give the job its next revision, or put the values back",
	}
	for _, c := range changes {
		f.Also = append(f.Also, diag.Also{At: c.At, Message: fmt.Sprintf("%s: %s, approved as %s", c.Path, orNothing(c.After), orNothing(c.Before))})
	}
	return diag.Sort(append(findings, f)), nil
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

// signer takes a private key from its file, or from the agent where the file
// has a passphrase.
func signer(path string) (ssh.Signer, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, &refusal{fmt.Sprintf("the key %s cannot be read", path), "name the file of a private SSH key"}
	}
	key, err := ssh.ParsePrivateKey(data)
	var locked *ssh.PassphraseMissingError
	switch {
	case err == nil:
		return key, nil
	case !errors.As(err, &locked):
		return nil, &refusal{fmt.Sprintf("%s is no private SSH key", path), "name the private key, not its .pub; ssh-keygen -t ed25519 makes one"}
	}
	if key := fromAgent(path, locked.PublicKey); key != nil {
		return key, nil
	}
	return nil, &refusal{fmt.Sprintf("the key %s has a passphrase, and the SSH agent does not hold it", path), "load it with ssh-add, and approve again"}
}
