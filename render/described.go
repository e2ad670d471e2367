package render

import (
	"math"
	"strings"

	"golang.org/x/image/font/sfnt"

	"soundwrit/internal/archive"
	"soundwrit/internal/si"
	"soundwrit/templates"
)

// described is what is said of the pages beside their structure: properties,
// bookmarks, links, fields, and the job they were made from.
func described(pages []*page, doc Document, s sheet, t *typeface) archive.Document {
	d := archive.Document{
		Title: t.clean(doc.Title, regular), Author: t.clean(doc.Author, regular),
		Subject: t.clean(doc.Subject, regular), Keywords: t.clean(doc.Keywords, regular),
		Program: "Soundwrit", Language: doc.Language, Fonts: map[string]string{},
	}
	if d.Language == "" {
		d.Language = "en"
	}
	for i := range styles {
		d.Fonts[i.family()] = t.faces[i].name()
	}
	d.Typing.Family = regular.family()
	for _, r := range archive.Typed() {
		d.Typing.Widths = append(d.Typing.Widths, int(math.Round(t.faces[regular].advance(r))))
	}
	places := map[string]archive.Place{}
	depth := -1
	for i, p := range pages {
		for _, m := range p.marks {
			to := archive.Place{Page: i, Top: millimetres(s.height - m.y + 2)}
			places[m.anchor] = to
			// The title and the sections are on one level; no level is left out.
			depth = min(max(m.level-2, 0), depth+1)
			d.Outline = append(d.Outline, archive.Entry{Title: t.clean(m.title, regular), Level: depth, To: to})
		}
	}
	for _, p := range pages {
		var own archive.Page
		for _, k := range p.links {
			link := archive.Link{Box: *s.box(k.x, k.y, k.width, k.height), Says: k.says, Part: k.part}
			if name, internal := strings.CutPrefix(k.target, "#"); internal {
				link.To = places[name]
			} else {
				link.Address = k.target
			}
			own.Links = append(own.Links, link)
		}
		for _, f := range p.fields {
			own.Fields = append(own.Fields, archive.Field{Box: *s.box(f.x, f.y, f.width, f.height),
				Name: f.name, Says: f.says, Cross: f.cross, Part: f.part})
		}
		d.Pages = append(d.Pages, own)
	}
	for _, f := range doc.Sources {
		d.Files = append(d.Files, archive.File{Name: f.Name, Kind: "application/yaml", Data: f.Data, Is: f.Is, Says: templates.Language(doc.Language).Say(f.Says)})
	}
	return d
}

func millimetres(x float64) si.Length { return si.Length(x) * si.Millimetre }

// box is a rectangle of the layout as the file has it, from the lower left corner
// of the sheet.
func (s sheet) box(x, y, width, height float64) *archive.Box {
	return &archive.Box{Left: millimetres(x), Bottom: millimetres(s.height - y - height), Right: millimetres(x + width), Top: millimetres(s.height - y)}
}

// family is how the PDF library knows the typeface of a style.
func (s style) family() string { return string(rune('a' + s)) }

// name is the font's own, as files name it.
func (f *face) name() string {
	name, err := f.font.Name(&f.buf, sfnt.NameIDPostScript)
	if err != nil {
		panic("render: embedded font: " + err.Error())
	}
	return name
}
