// Package archive makes a drawn PDF fit to be kept and to be read aloud. In come
// pages that the PDF library has drawn, with their text in marked content, and
// what is to be said of them: properties, structure, bookmarks, links, fields
// and the files they were made from. Out comes one file in the form of ISO
// 19005-3 (PDF/A-3b), tagged, with an appearance for every field. It must never
// change what a page shows, nor read a clock.
package archive

import (
	"slices"
	"time"

	"soundwrit/internal/si"
)

// Document is what is said of the pages.
type Document struct {
	Title, Author, Subject, Keywords string
	Program                          string // that made the document
	Language                         string // BCP 47
	Date                             time.Time

	Fonts  map[string]string // name of each typeface by the family that the PDF library knows it as
	Typing Typing            // where there are fields

	Structure *Element
	Pages     []Page // in the order of the file
	Outline   []Entry
	Files     []File
}

// Typing is the typeface in which fields are filled in: one of the document's,
// embedded with all of Typed.
type Typing struct {
	Family string // as the PDF library knows it
	Widths []int  // of each character of Typed, in thousandths of the size of type
}

// Page holds what can be pressed or filled in on a page.
type Page struct {
	Links  []Link
	Fields []Field
}

// Box is a rectangle on a page, from its lower left corner.
type Box struct{ Left, Bottom, Right, Top si.Length }

// Place is a height on a page, to which a reader is led.
type Place struct {
	Page int // from 0
	Top  si.Length
}

// Link leads from a rectangle to an address or, where there is none, to a place.
type Link struct {
	Box     Box
	Address string
	To      Place
	Says    string   // where it leads, in words
	Part    *Element // the text that it lies over
}

// Field is to be filled in: with text, or with a cross.
type Field struct {
	Box   Box
	Name  string // in the file; one that occurs before gets a number
	Says  string // what belongs in it
	Cross bool
	Part  *Element
}

// Entry is a bookmark. The first is of level 0, and no level is left out on the
// way down.
type Entry struct {
	Title string
	Level int
	To    Place
}

// File is attached to the document as its source.
type File struct {
	Name, Kind, Says string // Kind is a media type; Says is for people, in the language of the document
	Is               string // what it is, for the program that reads it again: a word of small letters
	Data             []byte
}

// Finish returns the file. The same pages and document give the same bytes. It
// fails where the pages are not as the PDF library writes them.
func Finish(drawn []byte, d Document) ([]byte, error) {
	f, err := read(drawn)
	if err != nil {
		return nil, err
	}
	if err := f.nameFonts(d.Fonts); err != nil {
		return nil, err
	}
	b := book{file: f, Document: d}
	if b.pages, err = f.kids(); err != nil {
		return nil, err
	}
	if slices.ContainsFunc(d.Pages, func(p Page) bool { return len(p.Fields) > 0 }) {
		if b.typing, err = b.typeface(); err != nil {
			return nil, err
		}
	}
	root := b.catalog()
	return f.write(root, b.info()), nil
}

// book is a document on its way into a file.
type book struct {
	*file
	Document
	pages  []ref
	annots [][]ref // by page
	heirs  []ref   // the element that each numbered annotation belongs to, by its number less that of pages
	fields []ref
	typing ref            // the resources of what is typed into fields
	names  map[string]int // of fields, and how often
}

// catalog adds everything that the document says, and the object that leads to
// all of it.
func (b *book) catalog() ref {
	b.annotate()
	structure := b.structure()
	for i, page := range b.pages {
		entries := value("/StructParents %d/Tabs/S", i)
		if len(b.annots[i]) > 0 {
			entries = append(entries, value("/Annots%s", array(b.annots[i]))...)
		}
		b.extend(page, entries)
	}
	c := value("<</Type/Catalog/Pages 1 0 R/Lang%s/MarkInfo<</Marked true>>/ViewerPreferences<</DisplayDocTitle true>>/StructTreeRoot %s/Metadata %s/OutputIntents[%s]",
		text(b.Language), structure, b.metadata(), b.outputIntent())
	if len(b.Outline) > 0 {
		c = append(c, value("/PageMode/UseOutlines/Outlines %s", b.outline())...)
	}
	if len(b.fields) > 0 {
		c = append(c, value("/AcroForm %s", b.form())...)
	}
	if len(b.Files) > 0 {
		c = append(c, b.attach()...)
	}
	return b.add(append(c, ">>"...))
}
