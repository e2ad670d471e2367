package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing/fstest" // for files in memory

	"soundwrit/internal/archive"
	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
	"soundwrit/templates"
)

// attached is what a PDF was made from, as it is attached to it.
type attached struct {
	job     archive.File
	earlier *archive.File // job of the earlier revision, where changes are marked
	books   []archive.File
	own     fstest.MapFS // templates of the house
	program string       // that wrote the PDF, with its version
}

// attachedTo reads what is attached to a PDF. The error says what the file is.
func attachedTo(pdf []byte) (*attached, error) {
	file, err := archive.Open(pdf)
	if err != nil {
		return nil, err
	}
	a := &attached{program: file.Keywords, own: fstest.MapFS{}}
	for i := range file.Files {
		f := &file.Files[i]
		switch {
		case f.Is == isJob && a.job.Data == nil:
			a.job = *f
		case f.Is == isEarlier:
			a.earlier = f
		case f.Is == isTemplate:
			a.own[f.Name] = &fstest.MapFile{Data: f.Data}
		default:
			a.books = append(a.books, *f)
		}
	}
	if a.job.Data == nil {
		return nil, errors.New("a document without the job that it was made from")
	}
	return a, nil
}

// title is what the job calls the document.
func (a *attached) title() string {
	job, _ := schema.Load(a.job.Name, a.job.Data)
	return fmt.Sprintf("%s, revision %s, of the job %s", orNothing(job.Document.Number), orNothing(job.Document.Revision), a.job.Name)
}

// house finds the house books that a job names among what is attached.
func (a *attached) house(is string, names []string) []technique.HouseBook {
	var books []technique.HouseBook
	for _, name := range names {
		b := technique.HouseBook{Name: name, File: name, Problem: "it is not attached to the document", Remedy: "verify the document where its job and the book are"}
		for _, f := range a.books {
			if f.Is == is && f.Name == name {
				b = technique.HouseBook{Name: name, File: name, Text: f.Data}
			}
		}
		books = append(books, b)
	}
	return books
}

// compute works out one of the jobs; nil where it cannot be used.
func (a *attached) compute(job archive.File, bookIs string) *technique.Technique {
	t, _ := compute(job.Name, job.Data, func(names []string) []technique.HouseBook { return a.house(bookIs, names) })
	return t
}

// rules is the digest of the rule books that the job is judged by here.
func (a *attached) rules() string {
	job, _ := schema.Load(a.job.Name, a.job.Data)
	return digestOf(schema.Books(), a.house(isBook, job.Codes.House))
}

// wording is the folder of templates that is named, or else the built-in ones
// with those of the house that are attached. The note says which were.
func (a *attached) wording(named fs.FS) (wording fs.FS, note string, err error) {
	switch {
	case named != nil:
		return named, "", nil
	case len(a.own) == 0:
		return templates.Files(), "", nil
	}
	wording, err = templates.House(a.own)
	return wording, ", worded by the templates of the house attached to it (" + strings.Join(slices.Sorted(maps.Keys(a.own)), ", ") + ")", err
}

// made says whether a PDF is, byte by byte, what this program makes of the job
// attached to it: the whole document, or the crew's sheet. It is worded by the
// templates of the folder named, or by those attached to it where that is nil.
func (a *attached) made(pdf []byte, named fs.FS) (verdict string, ok bool, err error) {
	const astray = "NOT to be told: the templates attached to it cannot be used: %v"
	wording, note, err := a.wording(named)
	if err != nil {
		return fmt.Sprintf(astray, err), false, nil
	}
	t := a.compute(a.job, isBook)
	if t == nil {
		return "NOT what soundwrit " + version + " makes of this job: by this version it has errors", false, nil
	}
	of := render.Set{Technique: t, Wording: wording, Name: "document", Program: version, Sources: []render.File{source(isJob, a.job.Name, a.job.Data)}}
	of.Sources = append(of.Sources, attachedBooks(a.house(isBook, t.Job.Codes.House), isBook)...)
	of.Sources = append(of.Sources, attachedTemplates(wording)...)
	marks := ""
	if a.earlier != nil {
		before := a.compute(*a.earlier, isEarlierBook)
		if before == nil {
			return "NOT what soundwrit " + version + " makes of this job: by this version the earlier one has errors", false, nil
		}
		of.Earlier = earlier(before, t)
		of.Sources = append(of.Sources, source(isEarlier, a.earlier.Name, a.earlier.Data))
		of.Sources = append(of.Sources, attachedBooks(a.house(isEarlierBook, before.Job.Codes.House), isEarlierBook)...)
		marks = fmt.Sprintf(", with what changed since revision %s marked", orNothing(before.Job.Document.Revision))
	}
	for _, way := range []struct {
		write func() ([]render.File, error)
		what  string
	}{{of.Files, "the document"}, {of.Sheet, "the crew's sheet"}} {
		files, err := way.write()
		switch {
		case err != nil && note != "":
			return fmt.Sprintf(astray, err), false, nil
		case err != nil:
			return "", false, err
		}
		if bytes.Equal(files[0].Data, pdf) {
			return fmt.Sprintf("%s that soundwrit %s makes of this job, every byte of it%s%s", way.what, version, marks, note), true, nil
		}
	}
	if a.program != "" && a.program != "soundwrit "+version {
		return fmt.Sprintf("NOT what soundwrit %s makes of this job; it says that %s wrote it", version, a.program), false, nil
	}
	return "NOT what soundwrit " + version + " makes of this job: it was changed, filled in, or written by other templates", false, nil
}
