// Package render turns a technique's Markdown into a PDF, and a technique into
// its figures. Markdown is parsed, laid out as pages of placed items, and a
// writer loops over the items; a figure is data that an SVG writer and a PDF
// writer both read. Nothing here knows a formula: what a page says comes from
// the Markdown, what a figure shows from the technique.
//
// Everything is a pure function of its arguments. Dates come from the document.
package render

import "fmt"

// Document is what is printed: the Markdown, its figures, and what the running
// header and the file's properties say.
type Document struct {
	Markdown []byte
	Figures  []Figure // those the Markdown refers to as name.svg

	Number   string // of the document
	Title    string
	Revision string
	Date     string // ISO 8601, a day; also the date of the file
	Status   string // draft, for approval, approved, superseded
	Author   string
	Subject  string
	Keywords string
	Language string // BCP 47; English where empty

	Draft    bool   // DRAFT across every page
	PageSize string // A4 where empty, or Letter

	Sources []File // that the document was made from, attached to it

	Symbols []string // symbols and formulas; an index in them is lowered wherever the symbol stands
}

// PDF lays the document out and writes it. The same document gives the same
// bytes. It fails where the Markdown uses something that cannot be set, refers
// to a figure or heading that is not there, or where a figure holds an unknown
// number.
func PDF(doc Document) ([]byte, error) {
	sheet, err := sheetNamed(doc.PageSize)
	if err != nil {
		return nil, err
	}
	blocks, err := parseMarkdown(doc.Markdown, symbolsOf(doc.Symbols))
	if err != nil {
		return nil, err
	}
	fonts := newTypeface()
	pages, structure, err := layOut(blocks, doc, sheet, fonts)
	if err != nil {
		return nil, err
	}
	return writePDF(pages, structure, doc, sheet, fonts)
}

// sheet is the paper and its margins, in millimetres. The left margin is for
// the binding.
type sheet struct {
	name                     string
	width, height            float64
	left, right, top, bottom float64
}

func sheetNamed(name string) (sheet, error) {
	switch name {
	case "", "A4":
		return sheet{"A4", 210, 297, 22, 15, 25, 20}, nil
	case "Letter":
		return sheet{"Letter", 215.9, 279.4, 22, 15, 25, 20}, nil
	}
	return sheet{}, fmt.Errorf("page size %q is not known: write A4 or Letter", name)
}

// foot is where the text must end.
func (s sheet) foot() float64 { return s.height - s.bottom }
