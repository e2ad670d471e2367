package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"soundwrit/templates"
)

// templatesArg is the house's own wording, as the verbs that write take it.
type templatesArg struct {
	Templates string `placeholder:"DIR" help:"Folder of templates that stand in the place of the built-in ones of the same name."`
}

// wording is the folder of templates that a document is written by.
func (a templatesArg) wording() (fs.FS, error) {
	if a.Templates == "" {
		return templates.Files(), nil
	}
	info, err := os.Stat(a.Templates)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &refusal{a.Templates + " does not exist", "check the path, or write the built-in templates there with: soundwrit templates " + a.Templates}
	case err != nil:
		return nil, cannotRead(a.Templates, err)
	case !info.IsDir():
		return nil, &refusal{a.Templates + " is no folder", "name the folder of the templates"}
	}
	folder, err := templates.House(os.DirFS(a.Templates))
	if err != nil {
		return nil, &refusal{fmt.Sprintf("%s %v", a.Templates, err), "see the names that soundwrit templates writes, and keep only templates in the folder"}
	}
	return folder, nil
}

// mistake makes what is wrong with a house's template the house's to put right. A
// fault in the built-in ones remains one of the program.
func (a templatesArg) mistake(err error) error {
	if a.Templates == "" {
		return err
	}
	var f *templates.Fault
	if errors.As(err, &f) {
		return &refusal{filepath.Join(a.Templates, f.Place()) + ": " + f.Cause, "put the template right; soundwrit templates writes the built-in ones to compare with"}
	}
	return &refusal{fmt.Sprintf("the document by %s cannot be set: %v", a.Templates, err), "put the template right; soundwrit templates writes the built-in ones to compare with"}
}

type templatesVerb struct {
	Folder   string `arg:"" optional:"" default:"templates" help:"Folder to write them to."`
	Language string `enum:"en,de" default:"en" placeholder:"LANGUAGE" help:"Language of the words: en or de, as the jobs that are written by them."`
}

// Run writes the built-in templates. It replaces nothing, since what it would
// replace may be somebody's work.
func (v *templatesVerb) Run(s *streams) error {
	wording := templates.Files()
	names, err := fs.Glob(wording, "*.md")
	if err != nil {
		return err
	}
	var all []output
	for _, name := range names {
		data, err := templates.Language(v.Language).Wording(wording, name)
		if err != nil {
			return err
		}
		if path := filepath.Join(v.Folder, name); exists(path) {
			return &refusal{path + " exists already", "name another folder"}
		}
		all = append(all, output{name, data})
	}
	if err := save(v.Folder, all); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "Wrote %d templates in %s. Keep those that you change, then run: soundwrit write --templates %s JOB\n", len(all), v.Folder, v.Folder)
	return nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}
