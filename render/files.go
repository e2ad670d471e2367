package render

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"slices"

	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/templates"
)

// File is one file of a written technique, or one that it was made from.
type File struct {
	Name string
	Is   string // of a source: what it is, for who reads the PDF again
	Says string // the same for people
	Data []byte
}

// Set is a technique as its files are written. All names begin with Name, so that
// several techniques can lie in one folder.
type Set struct {
	Technique *technique.Technique
	Wording   fs.FS  // folder of templates
	Sources   []File // attached to the PDF as they are: the job, and what it was read with
	Name      string
	Program   string   // that writes, with its version
	Earlier   *Earlier // nil: changes are not marked
}

// Earlier is the revision that changes are marked against.
type Earlier struct {
	Technique *technique.Technique
	Since     templates.Since
}

// Files writes Markdown, PDF and figures. It returns everything or an error,
// never a part.
func (s Set) Files() ([]File, error) {
	return s.write(s.Name, templates.Markdown, templates.Since.Markdown)
}

// Sheet is Files of the crew's sheet alone, with the figures on it.
func (s Set) Sheet() ([]File, error) {
	return s.write(s.Name+".sheet", templates.Sheet, templates.Since.Sheet)
}

// write writes a text of the technique, as it is or with its changes marked, and
// its figures. A figure that the text does not show is left out.
func (s Set) write(name string, text func(fs.FS, *technique.Technique, []templates.Figure) ([]byte, error), since func(templates.Since, fs.FS, templates.Edition, templates.Edition) ([]byte, error)) ([]File, error) {
	figures := Figures(s.Technique)
	var markdown []byte
	var err error
	if e := s.Earlier; e == nil {
		markdown, err = text(s.Wording, s.Technique, captions(figures))
	} else {
		markdown, err = since(e.Since, s.Wording, edition(e.Technique, Figures(e.Technique)), edition(s.Technique, figures))
	}
	if err != nil {
		return nil, err
	}
	d := &s.Technique.Job.Document
	pdf, err := PDF(Document{
		Markdown: markdown, Figures: figures,
		Number: d.Number, Title: d.Title, Revision: d.Revision, Date: d.Date, Status: d.Status,
		Author: d.Contractor, Language: d.Language, Subject: templates.Language(d.Language).Say("Written ultrasonic technique"), Keywords: "soundwrit " + s.Program,
		Sources: s.Sources,
		Draft:   isDraft(s.Technique), PageSize: pageSize(d.Units), Symbols: symbolTexts(s.Technique),
	})
	if err != nil {
		return nil, err
	}
	files := []File{{Name: name + ".pdf", Data: pdf}, {}}
	for _, f := range figures {
		file, shown := s.Name+"."+f.Name+".svg", []byte("]("+f.Name+".svg)")
		if !bytes.Contains(markdown, shown) {
			continue
		}
		markdown = bytes.ReplaceAll(markdown, shown, []byte("]("+file+")"))
		files = append(files, File{Name: file, Data: f.SVG()})
	}
	files[1] = File{Name: name + ".md", Data: markdown}
	return files, nil
}

// captions is what the text needs to know of figures.
func captions(figures []Figure) []templates.Figure {
	all := make([]templates.Figure, len(figures))
	for i, f := range figures {
		all[i] = templates.Figure{Name: f.Name, Caption: f.Caption, Alt: f.Alt}
	}
	return all
}

// edition is a technique with what tells its figures from those of another.
func edition(t *technique.Technique, figures []Figure) templates.Edition {
	e := templates.Edition{Technique: t, Figures: captions(figures)}
	for i, f := range figures {
		e.Figures[i].Drawn = fmt.Sprintf("%x", sha256.Sum256(f.SVG()))
	}
	return e
}

// isDraft reports whether the document is printed as a draft: it calls itself
// one, or a requirement is neither met nor covered by an agreed deviation.
func isDraft(t *technique.Technique) bool {
	return t.Job.Document.Status == "draft" || slices.ContainsFunc(t.Findings, diag.Finding.Open)
}

// symbolTexts lists where the symbols of a technique's values stand: in the
// values themselves, and in their formulas.
func symbolTexts(t *technique.Technique) []string {
	var all []string
	for _, v := range t.Values {
		all = append(all, v.Symbol, v.Formula)
		for _, in := range v.Inputs {
			all = append(all, in.Symbol)
		}
	}
	return all
}

// pageSize is the paper that goes with the units.
func pageSize(units string) string {
	if units == "in" {
		return "Letter"
	}
	return "A4"
}
