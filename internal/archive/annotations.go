package archive

import (
	"fmt"
	"strings"

	"soundwrit/internal/si"
)

// String writes the rectangle as an array.
func (b Box) String() string {
	return fmt.Sprintf("[%.2f %.2f %.2f %.2f]", points(b.Left), points(b.Bottom), points(b.Right), points(b.Top))
}

// points is a length on the paper as a PDF has it, in 1/72 inch.
func points(l si.Length) float64 { return float64(l/si.Inch) * 72 }

// destination is where a link or a bookmark leads.
func (b *book) destination(p Place) string {
	return fmt.Sprintf("[%s/XYZ 0 %.2f null]", b.pages[p.Page], points(p.Top))
}

// annotate adds links and fields. All are printed with the page (flag 4), as an
// archive demands. Each gets a number, under which the structure tree enters it.
func (b *book) annotate() {
	b.annots = make([][]ref, len(b.pages))
	b.names = map[string]int{}
	var crosses ref // how boxes look; 0: no box yet
	for i := range b.pages {
		if i >= len(b.Document.Pages) {
			break
		}
		for _, l := range b.Document.Pages[i].Links {
			v := value("<</Type/Annot/Subtype/Link/F 4/Border[0 0 0]/Rect%s/Contents%s", l.Box, text(l.Says))
			if l.Address != "" {
				v = append(v, value("/A<</S/URI/URI%s>>", text(l.Address))...)
			} else {
				v = append(v, value("/Dest%s", b.destination(l.To))...)
			}
			b.annotation(i, v, l.Part)
		}
		for _, f := range b.Document.Pages[i].Fields {
			v := value("<</Type/Annot/Subtype/Widget/F 4/Rect%s/P %s/T%s/TU%s", f.Box, b.pages[i], text(b.once(f.Name)), text(f.Says))
			if f.Cross {
				if crosses == 0 {
					crosses = b.crosses()
				}
				v = append(v, value("/FT/Btn/V/Off/AS/Off/AP<</N %s>>", crosses)...)
			} else {
				// 4096: of several lines. Some programs write what is typed into the
				// appearance that is there, so each field has its own.
				empty := b.addStream(fmt.Sprintf("/Subtype/Form/BBox[0 0 %.2f %.2f]/Resources %s", points(f.Box.Right-f.Box.Left), points(f.Box.Top-f.Box.Bottom), b.typing), []byte("/Tx BMC EMC"))
				v = append(v, value("/FT/Tx/Ff 4096/AP<</N %s>>", empty)...)
			}
			b.fields = append(b.fields, b.annotation(i, v, f.Part))
		}
	}
}

func (b *book) annotation(page int, v []byte, part *Element) ref {
	if part != nil {
		v = append(v, value("/StructParent %d", len(b.pages)+len(b.heirs))...)
	}
	r := b.add(append(v, ">>"...))
	b.annots[page] = append(b.annots[page], r)
	if part != nil {
		b.heirs = append(b.heirs, 0)
		part.kids = append(part.kids, kid{annot: r, page: page, id: len(b.heirs) - 1})
	}
	return r
}

// once is the name of a field, made different from those before; a full stop
// would divide it.
func (b *book) once(name string) string {
	name = strings.ReplaceAll(name, ".", "-")
	b.names[name]++
	if n := b.names[name]; n > 1 {
		return fmt.Sprintf("%s (%d)", name, n)
	}
	return name
}

// crosses are how a box looks that is crossed, and one that is not. A reader
// stretches them to the field.
func (b *book) crosses() ref {
	const entries = "/Subtype/Form/BBox[0 0 10 10]"
	crossed := b.addStream(entries, []byte("q 1.4 w 2 2 m 8 8 l 2 8 m 8 2 l S Q"))
	return b.add(value("<</Yes %s/Off %s>>", crossed, b.addStream(entries, []byte{})))
}

// form gathers the fields, and says in what type they are filled in.
func (b *book) form() ref {
	return b.add(value("<</Fields%s/NeedAppearances false/DA(/Text 8 Tf 0 g)/DR %s>>", array(b.fields), b.typing))
}

// outline writes the bookmarks. Chapters are closed: a reader sees them at a
// glance and opens the one wanted.
func (b *book) outline() ref {
	root := b.reserve()
	type node struct {
		parent, prev, next, first, last ref
		kids                            int
	}
	nodes := map[ref]*node{root: {}}
	order := make([]ref, len(b.Outline))
	open := []ref{root} // the parents of each level
	for i, e := range b.Outline {
		own := b.reserve()
		order[i] = own
		open = append(open[:e.Level+1], own)
		parent := nodes[open[e.Level]]
		nodes[own] = &node{parent: open[e.Level], prev: parent.last}
		if parent.last != 0 {
			nodes[parent.last].next = own
		} else {
			parent.first = own
		}
		parent.last = own
		parent.kids++
	}
	for i, own := range order {
		n := nodes[own]
		v := value("<</Title%s/Parent %s/Dest%s", text(b.Outline[i].Title), n.parent, b.destination(b.Outline[i].To))
		for _, e := range []struct {
			key string
			to  ref
		}{{"Prev", n.prev}, {"Next", n.next}, {"First", n.first}, {"Last", n.last}} {
			if e.to != 0 {
				v = append(v, value("/%s %s", e.key, e.to)...)
			}
		}
		if n.kids > 0 {
			v = append(v, value("/Count %d", -n.kids)...)
		}
		b.object(own).value = append(v, ">>"...)
	}
	top := nodes[root]
	b.object(root).value = value("<</Type/Outlines/First %s/Last %s/Count %d>>", top.first, top.last, top.kids)
	return root
}
