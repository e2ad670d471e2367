package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"

	"soundwrit/internal/archive"
	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
)

// attached is what a PDF was made from, as it is attached to it.
type attached struct {
	job     archive.File
	earlier *archive.File // job of the earlier revision, where changes are marked
	books   []archive.File
	program string // that wrote the PDF, with its version
}

// attachedTo reads what is attached to a PDF. The error says what the file is.
func attachedTo(pdf []byte) (*attached, error) {
	file, err := archive.Open(pdf)
	if err != nil {
		return nil, err
	}
	a := &attached{program: file.Keywords}
	for i, f := range file.Files {
		switch {
		case f.Says == saysJob && a.job.Data == nil:
			a.job = f
		case f.Says == saysEarlier:
			a.earlier = &file.Files[i]
		default:
			a.books = append(a.books, f)
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
func (a *attached) house(says string, names []string) []technique.HouseBook {
	var books []technique.HouseBook
	for _, name := range names {
		b := technique.HouseBook{Name: name, File: name, Problem: "it is not attached to the document", Remedy: "verify the document where its job and the book are"}
		for _, f := range a.books {
			if f.Says == says && f.Name == name {
				b = technique.HouseBook{Name: name, File: name, Text: f.Data}
			}
		}
		books = append(books, b)
	}
	return books
}

// compute works out one of the jobs; nil where it cannot be used.
func (a *attached) compute(job archive.File, says string) *technique.Technique {
	t, _ := compute(job.Name, job.Data, func(names []string) []technique.HouseBook { return a.house(says, names) })
	return t
}

// rules is the digest of the rule books that the job is judged by here.
func (a *attached) rules() string {
	job, _ := schema.Load(a.job.Name, a.job.Data)
	return digestOf(schema.Books(), a.house(saysBook, job.Codes.House))
}

// made says whether a PDF is, byte by byte, what this program makes of the job
// attached to it: the whole document, or the crew's sheet.
func (a *attached) made(pdf []byte, wording fs.FS) (verdict string, ok bool, err error) {
	t := a.compute(a.job, saysBook)
	if t == nil {
		return "NOT what soundwrit " + version + " makes of this job: by this version it has errors", false, nil
	}
	of := render.Set{Technique: t, Wording: wording, Name: "document", Program: version, Sources: []render.File{{Name: a.job.Name, Says: saysJob, Data: a.job.Data}}}
	of.Sources = append(of.Sources, attachedBooks(a.house(saysBook, t.Job.Codes.House), saysBook)...)
	marks := ""
	if a.earlier != nil {
		before := a.compute(*a.earlier, saysEarlierBook)
		if before == nil {
			return "NOT what soundwrit " + version + " makes of this job: by this version the earlier one has errors", false, nil
		}
		of.Earlier = earlier(before, t)
		of.Sources = append(of.Sources, render.File{Name: a.earlier.Name, Says: saysEarlier, Data: a.earlier.Data})
		of.Sources = append(of.Sources, attachedBooks(a.house(saysEarlierBook, before.Job.Codes.House), saysEarlierBook)...)
		marks = fmt.Sprintf(", with what changed since revision %s marked", orNothing(before.Job.Document.Revision))
	}
	for _, way := range []struct {
		write func() ([]render.File, error)
		what  string
	}{{of.Files, "the document"}, {of.Sheet, "the crew's sheet"}} {
		files, err := way.write()
		if err != nil {
			return "", false, err
		}
		if bytes.Equal(files[0].Data, pdf) {
			return fmt.Sprintf("%s that soundwrit %s makes of this job, every byte of it%s", way.what, version, marks), true, nil
		}
	}
	if a.program != "" && a.program != "soundwrit "+version {
		return fmt.Sprintf("NOT what soundwrit %s makes of this job; it says that %s wrote it", version, a.program), false, nil
	}
	return "NOT what soundwrit " + version + " makes of this job: it was changed, filled in, or written by other templates", false, nil
}
