package render

import (
	"bytes"
	"io/fs"
	"slices"

	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/templates"
)

// File is one file of a written technique.
type File struct {
	Name string
	Data []byte
}

// Technique writes a technique as Markdown, PDF and figures. All names begin
// with the given one, so that several techniques can lie in one folder. The job
// is attached to the PDF as it is. The wording is that of a folder of templates. It
// returns everything or an error, never a
// part.
func Technique(t *technique.Technique, wording fs.FS, job File, name, program string) ([]File, error) {
	return set(t, wording, templates.Markdown, job, name, name, program)
}

// Sheet is Technique of the crew's sheet alone, with the figures on it.
func Sheet(t *technique.Technique, wording fs.FS, job File, name, program string) ([]File, error) {
	return set(t, wording, templates.Sheet, job, name+".sheet", name, program)
}

// set writes a text of the technique and its figures. A figure that the text
// does not show is left out.
func set(t *technique.Technique, wording fs.FS, write func(fs.FS, *technique.Technique, []templates.Figure) ([]byte, error), job File, name, drawing, program string) ([]File, error) {
	figures := Figures(t)
	captions := make([]templates.Figure, len(figures))
	for i, f := range figures {
		captions[i] = templates.Figure{Name: f.Name, Caption: f.Caption, Alt: f.Alt}
	}
	text, err := write(wording, t, captions)
	if err != nil {
		return nil, err
	}
	d := &t.Job.Document
	pdf, err := PDF(Document{
		Markdown: text, Figures: figures,
		Number: d.Number, Title: d.Title, Revision: d.Revision, Date: d.Date, Status: d.Status,
		Author: d.Contractor, Subject: "Written ultrasonic technique", Keywords: "soundwrit " + program,
		Source: &job,
		Draft:  isDraft(t), PageSize: pageSize(d.Units), Symbols: symbolTexts(t),
	})
	if err != nil {
		return nil, err
	}
	files := []File{{name + ".pdf", pdf}, {}}
	for _, f := range figures {
		file, shown := drawing+"."+f.Name+".svg", []byte("]("+f.Name+".svg)")
		if !bytes.Contains(text, shown) {
			continue
		}
		text = bytes.ReplaceAll(text, shown, []byte("]("+file+")"))
		files = append(files, File{file, f.SVG()})
	}
	files[1] = File{name + ".md", text}
	return files, nil
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
