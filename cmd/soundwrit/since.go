package main

import (
	"io/fs"
	"maps"
	"slices"

	"soundwrit/internal/revision"
	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
	"soundwrit/templates"
)

// sinceArg is the earlier revision, as the verbs that write take it.
type sinceArg struct {
	Since revisionArg `placeholder:"OLD" help:"Earlier revision of the job, a file or REV:path: mark what reads differently, and record what changed."`
}

// What the files attached to a PDF are; verify knows them by it.
const (
	isJob         = "job"
	isTemplate    = "template"
	isBook        = "book"
	isEarlier     = "earlierjob"
	isEarlierBook = "earlierbook"
)

// source is a file as it is attached: what it is, for verify and for people.
func source(is, name string, data []byte) render.File {
	says := "The job that this document was made from"
	switch is {
	case isTemplate:
		says = "A template of the house in the place of a built-in one"
	case isBook:
		says = "A rule book of the house that the job names"
	case isEarlier:
		says = "The job of the earlier revision that changes are marked against"
	case isEarlierBook:
		says = "A rule book of the house that the earlier job names"
	}
	return render.File{Name: name, Is: is, Says: says, Data: data}
}

// set is a technique ready to be written, with all it was made from.
func set(job jobArg, data []byte, t *technique.Technique, wording fs.FS) render.Set {
	s := render.Set{Technique: t, Wording: wording, Name: baseName(job.Job), Program: version, Sources: []render.File{source(isJob, attachedName(job.Job), data)}}
	s.Sources = append(s.Sources, attachedBooks(houseBooks(job.folder(), t.Job.Codes.House), isBook)...)
	s.Sources = append(s.Sources, attachedTemplates(wording)...)
	return s
}

// attachedTemplates are those of a house as they are attached.
func attachedTemplates(wording fs.FS) []render.File {
	var files []render.File
	own := templates.Own(wording)
	for _, name := range slices.Sorted(maps.Keys(own)) {
		files = append(files, source(isTemplate, name, own[name]))
	}
	return files
}

// attachedBooks are house books as they are attached.
func attachedBooks(books []technique.HouseBook, is string) []render.File {
	var files []render.File
	for _, b := range books {
		if b.Problem == "" {
			files = append(files, source(is, b.Name, b.Text))
		}
	}
	return files
}

// mark adds the earlier revision to what is written, if one is named.
func (a sinceArg) mark(to *render.Set, s *streams) error {
	if a.Since == "" {
		return nil
	}
	data, before, findings, err := a.Since.load(s)
	if err != nil {
		return err
	}
	if before == nil {
		s.show(findings, "Nothing was written: "+string(a.Since)+", the earlier revision, cannot be computed.")
		return outcome(unusable)
	}
	to.Earlier = earlier(before, to.Technique)
	to.Sources = append(to.Sources, source(isEarlier, "earlier."+baseName(a.Since.file())+".yaml", data))
	to.Sources = append(to.Sources, attachedBooks(a.Since.house(before.Job.Codes.House), isEarlierBook)...)
	return nil
}

// earlier compares two techniques for the record of the later one.
func earlier(before, after *technique.Technique) *render.Earlier {
	c := revision.Compare(before, after)
	d := &before.Job.Document
	since := templates.Since{Number: d.Number, Revision: d.Revision, Date: d.Date, Verdict: c.Verdict(), Takes: c.Takes()}
	for _, x := range c.Changes {
		since.Changes = append(since.Changes, templates.Changed{
			Place: x.Path, Name: wordsOf(x.Change, before, after), Before: x.Before, After: x.After, Essential: x.Essential,
		})
	}
	for _, v := range c.Variables {
		since.Variables = append(since.Variables, templates.Moved{
			Variable: v.Name, Subject: v.Subject, Before: v.Before, After: v.After, Clause: v.CodeClause(), Counts: v.Counts,
		})
	}
	return &render.Earlier{Technique: before, Since: since}
}

// wordsOf is what the document calls a value of the job, where it is one that
// the document states by itself.
func wordsOf(c schema.Change, before, after *technique.Technique) string {
	for _, t := range []*technique.Technique{after, before} {
		if v, ok := t.Value(c.Path); ok {
			return v.Name
		}
	}
	return ""
}
