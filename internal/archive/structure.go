package archive

import "strconv"

// Element is a part of the document as a reader follows it: a heading, a row, a
// link. Roles are those of ISO 32000-1, 14.8.4.
type Element struct {
	Role  string
	Alt   string // instead of what is shown, for those who do not see it
	Box   *Box   // where a figure stands
	Heads string // of a TH: the Column or the Row that it is the head of
	Spans int    // columns of a TH or TD, where more than one

	kids []kid
}

// kid is what an element holds: another, marked content of a page, or an
// annotation.
type kid struct {
	element  *Element
	page, id int // of marked content its number on the page, of an annotation that in the file
	annot    ref
}

// Add appends an element.
func (e *Element) Add(role string) *Element {
	k := &Element{Role: role}
	e.kids = append(e.kids, kid{element: k})
	return k
}

// Mark appends marked content: that which has the number id on a page, both from
// 0. Numbers of a page are used once, and none is left out.
func (e *Element) Mark(page, id int) { e.kids = append(e.kids, kid{page: page, id: id}) }

// structure writes the elements and the tree by which a reader finds the element
// of what is on a page.
func (b *book) structure() ref {
	root := b.reserve()
	if b.Structure == nil {
		b.Structure = &Element{Role: "Document"}
	}
	marks := make([][]ref, len(b.pages))
	top := b.element(b.Structure, root, marks)
	nums := []byte("<</Nums[")
	for i, m := range marks {
		nums = strconv.AppendInt(nums, int64(i), 10)
		nums = append(nums, array(m)...)
	}
	for i, r := range b.heirs {
		nums = append(nums, value("%d %s ", len(b.pages)+i, r)...)
	}
	tree := b.add(append(nums, "]>>"...))
	b.object(root).value = value("<</Type/StructTreeRoot/K %s/ParentTree %s/ParentTreeNextKey %d>>", top, tree, len(b.pages)+len(b.heirs))
	return root
}

// element writes an element after those that it holds, and enters it for what it
// marks.
func (b *book) element(e *Element, parent ref, marks [][]ref) ref {
	own := b.reserve()
	page := -1 // the page of the content that says none of its own
	var kids []byte
	for _, k := range e.kids {
		kids = append(kids, ' ')
		switch {
		case k.element != nil:
			kids = append(kids, b.element(k.element, own, marks).String()...)
			continue
		case k.annot != 0:
			b.heirs[k.id] = own
			kids = append(kids, value("<</Type/OBJR/Obj %s/Pg %s>>", k.annot, b.pages[k.page])...)
			continue
		}
		m := marks[k.page]
		for len(m) <= k.id {
			m = append(m, 0)
		}
		m[k.id] = own
		marks[k.page] = m
		if page < 0 {
			page = k.page
		}
		if k.page == page {
			kids = strconv.AppendInt(kids, int64(k.id), 10)
		} else {
			kids = append(kids, value("<</Type/MCR/Pg %s/MCID %d>>", b.pages[k.page], k.id)...)
		}
	}
	v := value("<</S/%s/P %s", e.Role, parent)
	if page >= 0 {
		v = append(v, value("/Pg %s", b.pages[page])...)
	}
	if e.Alt != "" {
		v = append(v, value("/Alt%s", text(e.Alt))...)
	}
	v = append(v, e.attributes()...)
	if len(kids) > 0 {
		v = append(append(append(v, "/K["...), kids[1:]...), ']')
	}
	b.object(own).value = append(v, ">>"...)
	return own
}

func (e *Element) attributes() []byte {
	if e.Box != nil {
		return value("/A<</O/Layout/Placement/Block/BBox%s>>", *e.Box)
	}
	if e.Heads == "" && e.Spans < 2 {
		return nil
	}
	v := []byte("/A<</O/Table")
	if e.Heads != "" {
		v = append(v, value("/Scope/%s", e.Heads)...)
	}
	if e.Spans > 1 {
		v = append(v, value("/ColSpan %d", e.Spans)...)
	}
	return append(v, ">>"...)
}
