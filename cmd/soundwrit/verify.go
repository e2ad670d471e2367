package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"soundwrit/internal/approval"
)

type verifyVerb struct {
	templatesArg
	Files   []string `arg:"" help:"The approval that approve wrote beside the job (seam.approval) and documents, figures and jobs to hold against it; or PDFs alone, each held against the job attached to it."`
	Signers string   `placeholder:"FILE" help:"Public keys of those who may approve, in the allowed-signers format of SSH."`
	Extract string   `placeholder:"FILE" help:"Save the job attached to the PDF, of which there must be one."`
}

// largest is the largest file that verify reads.
const largest = 1 << 28

// Run says whether files are the approved ones, byte by byte, and whose
// approvals are signed; of PDFs alone, whether they are what this program makes
// of the job attached to them. Exit code 1 says that one is not.
func (v *verifyVerb) Run(s *streams) error {
	var held [][]byte
	for _, name := range v.Files {
		data, err := readFile(name)
		if err != nil {
			return err
		}
		held = append(held, data)
	}
	if v.Extract != "" {
		if err := v.extract(held); err != nil {
			return err
		}
	}
	var wording fs.FS // nil: that attached to each PDF
	if v.Templates != "" {
		var err error
		if wording, err = v.wording(); err != nil {
			return err
		}
	}
	good := true
	say := func(ok bool, format string, args ...any) {
		good = good && ok
		fmt.Fprintf(s.out, format+"\n", args...)
	}
	if !isPDF(held[0]) {
		if strings.EqualFold(filepath.Ext(v.Files[0]), ".pdf") {
			return noPDF(v.Files[0], held[0])
		}
		l, err := openLock(v.Files[0])
		if err != nil {
			return err
		}
		if err := v.approvals(l, say); err != nil {
			return err
		}
		for i, data := range held[1:] {
			verdict, ok, err := judge(l, data, wording)
			if err != nil {
				return v.mistake(err)
			}
			say(ok, "    %s: %s", v.Files[i+1], verdict)
		}
	} else {
		if v.Signers != "" {
			return &refusal{"--signers needs an approval, and none is named", "name the approval before the PDF: seam.approval"}
		}
		for i, data := range held {
			if !isPDF(data) {
				if strings.EqualFold(filepath.Ext(v.Files[i]), ".pdf") {
					return noPDF(v.Files[i], data)
				}
				return &refusal{v.Files[i] + " is no PDF, and no approval is named before it", "name the approval first: seam.approval"}
			}
			a, err := attachedTo(data)
			if err != nil {
				say(false, "%s: NOT verified: it is %v", v.Files[i], err)
				continue
			}
			verdict, ok, err := a.made(data, wording)
			if err != nil {
				return v.mistake(err)
			}
			say(ok, "%s: %s\n    %s", v.Files[i], a.title(), verdict)
		}
	}
	if !good {
		return outcome(unmet)
	}
	return nil
}

// approvals says who approved, and whether it is signed.
func (v *verifyVerb) approvals(l *approval.Lock, say func(bool, string, ...any)) error {
	var signers []byte
	if v.Signers != "" {
		var err error
		if signers, err = os.ReadFile(v.Signers); err != nil {
			return &refusal{v.Signers + " cannot be read", "name a file with a name and a public key on each line"}
		}
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
	return nil
}

// judge says what a file is to an approval.
func judge(l *approval.Lock, data []byte, wording fs.FS) (verdict string, ok bool, err error) {
	digest := approval.Digest(data)
	if digest == l.Job {
		return "the approved job", true, nil
	}
	for _, output := range slices.Sorted(maps.Keys(l.Outputs)) {
		if l.Outputs[output] == digest {
			return "the approved " + output, true, nil
		}
	}
	const not = "NOT the approved file, nor the approved job: not every byte is as approved"
	if !isPDF(data) {
		return not, false, nil
	}
	a, err := attachedTo(data)
	if err != nil {
		return fmt.Sprintf("%s; it is %v", not, err), false, nil
	}
	if approval.Digest(a.job.Data) != l.Job {
		return not + "; the job attached to it is another", false, nil
	}
	verdict, ok, err = a.made(data, wording)
	if err != nil {
		return "", false, err
	}
	// What is made of the approved job by the approved rules and wording says
	// what the approved document says, with changes marked or the sheet alone.
	if by, _, err := a.wording(wording); ok && err == nil && digestOf(by, nil) == l.Templates && a.rules() == l.Rules {
		return "not the approved file, but made of the approved job by the approved rules and templates: " + verdict, true, nil
	}
	return "NOT the approved file, though the approved job is attached to it: " + verdict, false, nil
}

// extract saves the job that is attached to the one PDF.
func (v *verifyVerb) extract(held [][]byte) error {
	var found []*attached
	for i, data := range held {
		if !isPDF(data) {
			continue
		}
		a, err := attachedTo(data)
		if err != nil {
			return &refusal{fmt.Sprintf("no job can be taken out of %s: it is %v", v.Files[i], err), "name a PDF as soundwrit wrote it"}
		}
		found = append(found, a)
	}
	if len(found) != 1 {
		return &refusal{fmt.Sprintf("--extract takes the job of one PDF, and %s named", isAre(len(found))), "name one PDF"}
	}
	if exists(v.Extract) {
		return &refusal{v.Extract + " exists already", "name another file"}
	}
	return save(filepath.Dir(v.Extract), []output{{filepath.Base(v.Extract), found[0].job.Data}})
}

func isAre(n int) string {
	if n == 0 {
		return "none is"
	}
	return fmt.Sprintf("%d are", n)
}

// noPDF refuses a file that is called a PDF and is none.
func noPDF(name string, data []byte) error {
	if len(data) == 0 {
		return &refusal{name + " is empty", "take the file again from where it came"}
	}
	return &refusal{name + " is no PDF: it does not begin as one", "take the file again from where it came"}
}

func isPDF(data []byte) bool { return bytes.HasPrefix(data, []byte("%PDF-")) }

func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) && strings.HasSuffix(name, ".approval") {
		return nil, &refusal{name + " does not exist", "name the file that soundwrit approve wrote beside the job"}
	}
	if err != nil {
		return nil, cannotRead(name, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.Size() > largest {
		return nil, &refusal{fmt.Sprintf("%s is larger than a document can be (%d MB)", name, largest>>20), "check the path"}
	}
	data, err := io.ReadAll(io.LimitReader(f, largest))
	if err != nil {
		return nil, cannotRead(name, err)
	}
	return data, nil
}
