package templates

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"testing/fstest" // for files in memory
	"text/template"
)

// House lays the templates of a house over the built-in ones: each stands in the
// place of that with its name. A name that no built-in one has is refused: it
// would stand beside the section that it was to replace.
func House(folder fs.FS) (fs.FS, error) {
	names, err := fs.Glob(folder, "*.md")
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, errors.New("holds no template")
	}
	o := overlay{}
	for _, name := range names {
		built, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, fmt.Errorf("holds %s, and no section has a template of that name", name)
		}
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return nil, fmt.Errorf("holds %s, which cannot be read", name)
		}
		if !bytes.Equal(text, built) {
			o[name] = &fstest.MapFile{Data: text}
		}
	}
	return o, nil
}

// overlay is templates that stand in the place of built-in ones. They were read
// once, so that what is written and what is attached are the same.
type overlay fstest.MapFS

// Open opens a template of the house, or the built-in one.
func (o overlay) Open(name string) (fs.File, error) {
	if o[name] != nil {
		return fstest.MapFS(o).Open(name)
	}
	return files.Open(name)
}

// Own returns, by name, the templates that a house wrote otherwise than those of
// Files.
func Own(wording fs.FS) map[string][]byte {
	own := map[string][]byte{}
	o, _ := wording.(overlay)
	for name, file := range o {
		own[name] = file.Data
	}
	return own
}

// Fault is a mistake in a template.
type Fault struct {
	Template     string // file name
	Line, Column int    // from 1; 0 where not known
	Cause        string
}

// Place is file, line and column, as far as they are known.
func (f *Fault) Place() string {
	place := f.Template
	for _, n := range []int{f.Line, f.Column} {
		if n > 0 {
			place += ":" + strconv.Itoa(n)
		}
	}
	return place
}

// Error says where the mistake is, and what.
func (f *Fault) Error() string { return "templates/" + f.Place() + ": " + f.Cause }

var (
	faultText = regexp.MustCompile(`(?s)^template: ([^:]+):(\d+)(?::(\d+))?: (?:executing .*? at <.*?>: )?(.*)$`)
	noField   = regexp.MustCompile(`^can't evaluate field (\S+) in type .*$`)
)

// fault takes an error of text/template apart.
func fault(err error) error {
	text, cause := err.Error(), ""
	var exec template.ExecError
	if errors.As(err, &exec) {
		text = exec.Err.Error()
		inner := exec.Err
		for next := errors.Unwrap(inner); next != nil; next = errors.Unwrap(inner) {
			inner = next
		}
		if inner != exec.Err {
			cause = inner.Error()
		}
	}
	m := faultText.FindStringSubmatch(text)
	if m == nil {
		return fmt.Errorf("templates: %w", err)
	}
	f := &Fault{Template: m[1], Cause: cause}
	f.Line, _ = strconv.Atoi(m[2])
	if column, err := strconv.Atoi(m[3]); err == nil {
		f.Column = column + 1 // text/template counts from 0
	}
	if f.Cause == "" {
		f.Cause = noField.ReplaceAllString(strings.TrimSpace(m[4]), "there is nothing called .$1 here")
	}
	return f
}
