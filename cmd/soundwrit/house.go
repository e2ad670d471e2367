package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// folder is where the files that a job names are looked for.
func (a jobArg) folder() string {
	if a.Job == "-" {
		return "."
	}
	return filepath.Dir(a.Job)
}

// houseBooks reads the house books that a job names. Nothing outside the
// folder is opened, whatever the job says, not even through a link: a job
// from elsewhere may not have files of this machine read.
func houseBooks(folder string, names []string) []technique.HouseBook {
	at := func(name string) string { return filepath.Join(folder, filepath.FromSlash(name)) }
	return booksBeside(names, at, func(name string) (text []byte, problem, remedy string) { return readBook(folder, name) })
}

// booksBeside reads the books that a job names, each of which must lie in the
// folder of the job; at says what the file is called, and read what it holds.
func booksBeside(names []string, at func(name string) string, read func(name string) (text []byte, problem, remedy string)) []technique.HouseBook {
	var books []technique.HouseBook
	for _, name := range names {
		b := technique.HouseBook{Name: name, File: at(name)}
		if !filepath.IsLocal(filepath.FromSlash(name)) {
			b.Problem, b.Remedy = "it is not in the folder of the job", "put the book beside the job, and name it without a path from the root or .."
		} else {
			b.Text, b.Problem, b.Remedy = read(name)
		}
		books = append(books, b)
	}
	return books
}

// readBook reads one book inside a folder, no more of it than a book can have.
func readBook(folder, name string) (text []byte, problem, remedy string) {
	root, err := os.OpenRoot(folder)
	if err == nil {
		defer root.Close()
		var info fs.FileInfo
		if info, err = root.Stat(name); err == nil && !info.Mode().IsRegular() {
			return nil, "it is a folder or no ordinary file", "name the file of the book"
		}
	}
	var f *os.File
	if err == nil {
		f, err = root.Open(name)
	}
	if err == nil {
		defer f.Close()
		text, err = io.ReadAll(io.LimitReader(f, rules.MaxHouse+1))
	}
	switch {
	case err == nil:
		return text, "", ""
	case errors.Is(err, fs.ErrNotExist):
		return nil, "there is no such file beside the job", "check the name; it is relative to the job file"
	case errors.Is(err, fs.ErrPermission):
		return nil, "it may not be read", "ask for permission to read it"
	}
	return nil, "it cannot be read, or a link leads out of the folder of the job", "put the book itself beside the job"
}
