package render

import (
	"fmt"
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
	return content{e, p.marked - 1}
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
		if band && c > 0 {
			break // the first runs over all columns
		}
		role := "TD"
		if isBold(cell) && (c == 0 || t.head == nil) {
			role = "TH"
		}
		cells[c] = row.Add(role)
		if role == "TH" {
			cells[c].Heads = "Row"
		}
		if band {
			cells[c].Spans = len(t.rows[i])
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

// fieldName begins with the number of the section that the field stands in.
func (l *layout) fieldName(says string) string {
	number := l.section
	if m := sectionNumber.FindStringSubmatch(number); m != nil {
		number = m[1]
	}
	return number + " " + says
}

// asks says what belongs in an empty cell: what stands before it in its row, or
// the row's number, and what stands over it.
func (t *table) asks(row, column int) string {
	before := fmt.Sprintf("row %d", row+1)
	for c := column - 1; c >= 0; c-- {
		if cell := t.rows[row][c]; len(cell) > 0 {
			before = plain(cell)
			break
		}
	}
	if t.head == nil || len(t.head[column]) == 0 {
		return before
	}
	return strings.TrimSpace(before + ": " + plain(t.head[column]))
}
