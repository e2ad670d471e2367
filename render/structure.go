package render

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"soundwrit/internal/archive"
)

// newStructure begins the tree of what a document's pages say, for those who
// hear it or search it.
func newStructure() *archive.Element { return &archive.Element{Role: "Document"} }

// under makes an element the one that is filled, until the function that it
// returns is called.
func (l *layout) under(e *archive.Element) (leave func()) {
	outer := l.part
	l.part = e
	return func() { l.part = outer }
}

// begin is under, with a new element below the one that is filled.
func (l *layout) begin(role string) (leave func()) { return l.under(l.part.Add(role)) }

// mark gives the next text of the page to an element, in one piece with the text
// before it where that has the same. What belongs to none stands on every page.
func (l *layout) mark(e *archive.Element) content {
	if e == nil {
		return content{}
	}
	p := l.page()
	if last := len(p.texts) - 1; last >= 0 && p.texts[last].part == e {
		return p.texts[last].content
	}
	return l.markAlone(e)
}

// markAlone gives a piece of its own to an element.
func (l *layout) markAlone(e *archive.Element) content {
	p := l.page()
	p.marked++
	e.Mark(len(l.pages)-1, p.marked-1)
	return content{part: e, id: p.marked - 1}
}

// headingRole is that of a heading; no level is left out on the way down.
func (l *layout) headingRole(level int) string {
	l.level = min(level, l.level+1)
	return "H" + strconv.Itoa(l.level)
}

// head is the row of a table's head, a cell a column; nil where it has none.
func (l *layout) head(t *table) []*archive.Element {
	if t.head == nil {
		return nil
	}
	row := l.part.Add("THead").Add("TR")
	cells := make([]*archive.Element, len(t.head))
	for c := range cells {
		cells[c] = row.Add("TH")
		cells[c].Heads = "Column"
	}
	return cells
}

// parts are the cells of row i. A bold cell is the head of its row: in the first
// column, or in any where the columns have none.
func (t *table) parts(i int, row *archive.Element) []*archive.Element {
	cells := make([]*archive.Element, len(t.rows[i]))
	band := isBand(t.rows[i])
	for c, cell := range t.rows[i] {
		if band && c > 0 || t.alone(t.rows[i]) && c > 1 {
			break // the one before runs over all columns
		}
		role := "TD"
		if names := isBold(cell) && (c == 0 || t.head == nil); names && !t.key || t.key && t.head == nil && c%2 == 0 {
			role = "TH"
		}
		cells[c] = row.Add(role)
		if role == "TH" {
			cells[c].Heads = "Row"
		}
		if band {
			cells[c].Spans = len(t.rows[i])
		}
		if c == 1 && t.alone(t.rows[i]) {
			cells[c].Spans = 3
		}
	}
	return cells
}

func isBold(spans []span) bool {
	for _, s := range spans {
		if !s.bold {
			return false
		}
	}
	return len(spans) > 0
}

// fieldInset keeps a field off the rules around it, in millimetres.
const fieldInset = 0.4

// fields places a field in each empty cell of a row that is there to be written
// in.
func (l *layout) fields(t *table, f *tableFit, i int, row rowFit, cells []*archive.Element) {
	if !f.ruled || row.band {
		return
	}
	x := l.left
	for c, cell := range t.rows[i] {
		if len(cell) == 0 && row.height >= formRow {
			says := t.asks(i, c)
			l.page().fields = append(l.page().fields, placedField{x + fieldInset, l.y + fieldInset,
				f.widths[c] - 2*fieldInset, row.height - 2*fieldInset, l.fieldName(says), says, false, cells[c].Add("Form")})
		}
		x += f.widths[c]
	}
}

// crossBox is the sign in a form that is crossed.
const crossBox = '☐'

// crosses places a field over each box to be crossed in a row that was set, where
// its table is there to be written in. Texts before the given one are of other
// rows.
func (l *layout) crosses(t *table, f *tableFit, i, from int, cells []*archive.Element) {
	if !f.ruled {
		return
	}
	p := l.page()
	for _, x := range p.texts[from:] {
		c := slices.Index(cells, x.part)
		for at, r := range x.text {
			if r != crossBox || c < 0 {
				continue
			}
			option, _, _ := strings.Cut(x.text[at+len(string(r)):], string(crossBox))
			says := t.asks(i, c) + ", " + strings.TrimSpace(option)
			left := x.x + l.typeface.width(x.text[:at], x.style, x.size)
			width, em := l.typeface.width(string(r), x.style, x.size), x.size*point
			p.fields = append(p.fields, placedField{left, x.y - 0.8*em, width, 0.95 * em, l.fieldName(says), says, true, cells[c].Add("Form")})
		}
	}
}

// fieldName begins with the number of the section that the field stands in.
func (l *layout) fieldName(says string) string {
	number := l.section
	if m := sectionNumber.FindStringSubmatch(number); m != nil {
		number = m[1]
	}
	return number + " " + says
}

// asks says what belongs in an empty cell: the row and the column. A row is
// called by its first cell or, where the columns repeat or have no heads, by the
// cell before; by its number where there is nothing.
func (t *table) asks(row, column int) string {
	cells := t.rows[row]
	label := plain(cells[0])
	if t.head == nil || repeats(t.head) {
		for c := column - 1; c >= 0 && len(cells[c+1]) == 0; c-- {
			label = plain(cells[c])
		}
	}
	if label == "" {
		label = fmt.Sprintf("row %d", row+1)
	}
	if t.head == nil || len(t.head[column]) == 0 {
		return label
	}
	return label + ": " + plain(t.head[column])
}

// repeats reports whether two columns have the same head.
func repeats(head [][]span) bool {
	seen := map[string]bool{}
	for _, cell := range head {
		text := plain(cell)
		if seen[text] {
			return true
		}
		seen[text] = true
	}
	return false
}
