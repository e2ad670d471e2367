package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// output is a file rendered in memory, waiting to be saved.
type output struct {
	name string
	data []byte
}

// save writes all files into dir, or none: each goes to a temporary file first,
// is flushed to the disk, and only when all of them stand are they renamed. An
// existing file is replaced whole or left as it was.
func save(dir string, files []output) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return &saveError{dir, err}
	}
	var temporary []string
	defer func() {
		for _, t := range temporary {
			os.Remove(t) // after the rename there is nothing left to remove
		}
	}()
	for _, f := range files {
		t, err := writeTemporary(dir, f)
		if t != "" {
			temporary = append(temporary, t)
		}
		if err != nil {
			return &saveError{filepath.Join(dir, f.name), err}
		}
	}
	for _, f := range files { // before the first is replaced
		path := filepath.Join(dir, f.name)
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			return &saveError{path, syscall.EISDIR}
		}
	}
	for i, f := range files {
		path := filepath.Join(dir, f.name)
		if err := os.Rename(temporary[i], path); err != nil {
			return &saveError{path, err}
		}
	}
	return nil
}

func writeTemporary(dir string, f output) (name string, err error) {
	t, err := os.CreateTemp(dir, ".soundwrit-*")
	if err != nil {
		return "", err
	}
	_, err = t.Write(f.data)
	if err == nil {
		err = t.Chmod(0o644)
	}
	if err == nil {
		err = t.Sync()
	}
	return t.Name(), errors.Join(err, t.Close())
}

// saveError is output that could not be written.
type saveError struct {
	path string
	err  error
}

// Error returns the sentence.
func (e *saveError) Error() string { return e.what() }

// Unwrap gives the cause.
func (e *saveError) Unwrap() error { return e.err }

func (e *saveError) what() string {
	cause := e.err
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(e.err, &p):
		cause = p.Err
	case errors.As(e.err, &l):
		cause = l.Err
	}
	why := cause.Error()
	switch {
	case errors.Is(cause, syscall.ENOTDIR):
		why = "a file stands where a folder is needed"
	case errors.Is(cause, syscall.EISDIR):
		why = "a folder stands where the file belongs"
	}
	return fmt.Sprintf("%s could not be written: %s; nothing was replaced", e.path, why)
}

func (e *saveError) do() string {
	if errors.Is(e.err, fs.ErrPermission) {
		return "choose a folder you may write to, with -o"
	}
	return "check the folder and the disk, or choose another folder with -o"
}
