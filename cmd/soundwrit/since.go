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
	saysJob         = "The job that this document was made from"
	saysTemplate    = "A template of the house in the place of a built-in one"
	saysBook        = "A rule book of the house that the job names"
	saysEarlier     = "The job of the earlier revision that changes are marked against"
	saysEarlierBook = "A rule book of the house that the earlier job names"
)

// set is a technique ready to be written, with all it was made from.
func set(job jobArg, data []byte, t *technique.Technique, wording fs.FS) render.Set {
	source := sourceOf(job.Job, data)
	source.Says = saysJob
	s := render.Set{Technique: t, Wording: wording, Name: baseName(job.Job), Program: version, Sources: []render.File{source}}
	s.Sources = append(s.Sources, attachedBooks(houseBooks(job.folder(), t.Job.Codes.House), saysBook)...)
	s.Sources = append(s.Sources, attachedTemplates(wording)...)
	return s
}

// attachedTemplates are those of a house as they are attached.
func attachedTemplates(wording fs.FS) []render.File {
	var files []render.File
	own := templates.Own(wording)
	for _, name := range slices.Sorted(maps.Keys(own)) {
		files = append(files, render.File{Name: name, Says: saysTemplate, Data: own[name]})
	}
	return files
}

// attachedBooks are house books as they are attached.
func attachedBooks(books []technique.HouseBook, says string) []render.File {
	var files []render.File
	for _, b := range books {
		if b.Problem == "" {
			files = append(files, render.File{Name: b.Name, Says: says, Data: b.Text})
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
	to.Sources = append(to.Sources, render.File{Name: "earlier." + baseName(a.Since.file()) + ".yaml", Says: saysEarlier, Data: data})
	to.Sources = append(to.Sources, attachedBooks(a.Since.house(before.Job.Codes.House), saysEarlierBook)...)
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
