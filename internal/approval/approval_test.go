package approval

import (
	"crypto/ed25519"
	"crypto/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/crypto/ssh"
)

func key(t *testing.T) ssh.Signer {
	t.Helper()
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	signer, err := ssh.NewSignerFromKey(private)
	if err != nil {
		t.Fatal(err)
	}
	return signer
}

// The text has what text files have: a byte-order mark, ends of line of another
// system, a tab, signs beyond ASCII.
const job = "\ufeffsoundwrit: 1\r\ntitle: \"β ≤ 3\"\r\n\tend: 'no newline'"

func lock() *Lock {
	return &Lock{
		Document: "WC-22", Revision: "0", Program: "soundwrit 0", Job: Digest([]byte(job)), Text: job,
		Rules: Digest([]byte("rules")), Templates: Digest([]byte("wording")), Outputs: map[string]string{"seam.pdf": Digest([]byte("pdf"))},
	}
}

func TestLockComesBackAsItWas(t *testing.T) {
	l, a := lock(), Approval{Name: "Piers Holloway", Role: "level 3", Date: "2026-06-15"}
	signing := key(t)
	if err := l.Sign(&a, signing); err != nil {
		t.Fatal(err)
	}
	l.Approvals = []Approval{a, {Name: "B. Osei", Role: "client", Date: "2026-06-20"}}
	text, err := l.Encode()
	if err != nil {
		t.Fatal(err)
	}
	back, err := Read(text)
	if err != nil {
		t.Fatalf("%v:\n%s", err, text)
	}
	if back.Text != job || !back.Same(l) || len(back.Approvals) != 2 {
		t.Errorf("read back: %+v", back)
	}
	public := string(ssh.MarshalAuthorizedKey(signing.PublicKey()))
	signers := "# the yard's list\nosei@northvale.example " + string(ssh.MarshalAuthorizedKey(key(t).PublicKey())) + "piers@wrackcove.example " + public
	if who, err := back.Verify(back.Approvals[0], []byte(signers)); err != nil || who.Name != "piers@wrackcove.example" {
		t.Errorf("the signature is that of %+v, %v", who, err)
	}
	if who, err := back.Verify(back.Approvals[0], nil); err != nil || who.Name != "" {
		t.Errorf("without a list the signature is that of %+v, %v", who, err)
	}

	// Whatever is changed after signing, the signature no longer holds.
	for what, change := range map[string]func(l *Lock, a *Approval){
		"revision": func(l *Lock, _ *Approval) { l.Revision = "1" },
		"job":      func(l *Lock, _ *Approval) { l.Job = Digest([]byte("other")) },
		"rules":    func(l *Lock, _ *Approval) { l.Rules = Digest(nil) },
		"wording":  func(l *Lock, _ *Approval) { l.Templates = Digest(nil) },
		"a file":   func(l *Lock, _ *Approval) { l.Outputs = map[string]string{"seam.pdf": Digest([]byte("other"))} },
		"more": func(l *Lock, _ *Approval) {
			l.Outputs = map[string]string{"seam.pdf": Digest([]byte("pdf")), "a": Digest(nil)}
		},
		"name":      func(_ *Lock, a *Approval) { a.Name = "Somebody Else" },
		"role":      func(_ *Lock, a *Approval) { a.Role = "client" },
		"day":       func(_ *Lock, a *Approval) { a.Date = "2026-06-16" },
		"signature": func(_ *Lock, a *Approval) { a.Signature = strings.Replace(a.Signature, "SIGNATURE", "SIGN", 1) },
	} {
		spoiled, err := Read(text)
		if err != nil {
			t.Fatal(err)
		}
		change(spoiled, &spoiled.Approvals[0])
		if _, err := spoiled.Verify(spoiled.Approvals[0], []byte(signers)); err == nil {
			t.Errorf("%s changed, and the signature still holds", what)
		}
	}
}

// OpenSSH itself must find the signature good, and bad over other words.
func TestOpenSSHAgrees(t *testing.T) {
	program, err := exec.LookPath("ssh-keygen")
	if err != nil {
		t.Skip("ssh-keygen is not here")
	}
	l, a, signing := lock(), Approval{Name: "Piers Holloway", Role: "level 3", Date: "2026-06-15"}, key(t)
	if err := l.Sign(&a, signing); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for name, text := range map[string]string{"signature": a.Signature, "signers": "piers " + string(ssh.MarshalAuthorizedKey(signing.PublicKey()))} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	verify := func(statement []byte) error {
		c := exec.Command(program, "-Y", "verify", "-n", Namespace, "-I", "piers", "-f", filepath.Join(dir, "signers"), "-s", filepath.Join(dir, "signature"))
		c.Stdin = strings.NewReader(string(statement))
		return c.Run()
	}
	if err := verify(l.Statement(a)); err != nil {
		t.Errorf("OpenSSH refuses the signature: %v", err)
	}
	if err := verify(append(l.Statement(a), ' ')); err == nil {
		t.Error("OpenSSH accepts the signature over other words")
	}
}

func TestDamagedLocks(t *testing.T) {
	l := lock()
	l.Approvals = []Approval{{Name: "B. Osei", Role: "client", Date: "2026-06-20"}}
	good, err := l.Encode()
	if err != nil {
		t.Fatal(err)
	}
	l.Text = "soundwrit: 2\n"
	other, err := l.Encode()
	if err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{
		"nothing":        "",
		"another file":   "soundwrit: 1\n",
		"a list":         "[1, 2]",
		"no approval":    strings.Split(string(good), "approvals:")[0],
		"cut":            string(good[:len(good)/2]),
		"digest":         strings.Replace(string(good), "sha256:", "sha25:", 1),
		"job":            string(other),
		"something more": string(good) + "---\nx: 1\n",
	} {
		if l, err := Read([]byte(text)); err == nil {
			t.Errorf("%s: read as %+v", what, l)
		}
	}
}
