package render

import (
	"strconv"
	"strings"
	"unicode"

	"soundwrit/internal/archive"
)

// Measures of a table, in millimetres; sizes in points.
const (
	tableSize = 8.4
	leastSize = 6.5
	cellPadX  = 1.5
	cellPadY  = 0.7
	formRow   = 8.0   // height of a row that is filled in by hand
	signedRow = 12.0  // of a row that is signed
	shortRows = 6     // a table of no more rows is not divided,
	shortMost = 110.0 // unless it is higher than this
	keptRows  = 3     // rows of a longer table that stay together at its ends
)

// tableFit is a table fitted to a width.
type tableFit struct {
	size, leading float64
	widths        []float64
	head          *rowFit
	rows          []rowFit
	ruled         bool      // with vertical rules: it has cells to write in
	fraction      []float64 // by column: width right of the decimal sign where numbers line up, else -1
	padY          float64   // above and below the text of a cell
}

// rowFit is one row, broken into lines.
type rowFit struct {
	cells  [][]textLine
	ratios []float64 // of the type of each cell to that of the table
	height float64
	band   bool
}

// isForm reports whether a column is there to be written in: most of its cells
// are empty.
func isForm(rows [][][]span, c int) bool {
	empty, all := 0, 0
	for _, row := range rows {
		if isBand(row) {
			continue
		}
		all++
		if len(row[c]) == 0 {
			empty++
		}
	}
	return all > 0 && 2*empty > all
}

// isBand reports whether a row is a title between the rows: its first cell
// begins bold, and the others are empty.
func isBand(row [][]span) bool {
	for _, cell := range row[1:] {
		if len(cell) > 0 {
			return false
		}
	}
	return len(row) > 1 && len(row[0]) > 0 && row[0][0].bold
}

// fit chooses the size of type and the widths of the columns, and breaks the
// cells into lines.
func (l *layout) fit(t *table) *tableFit {
	if f, ok := l.fits[t]; ok {
		return f
	}
	var f *tableFit
	large := []float64{1}
	switch {
	case t.key && l.density.onSheet():
		large = l.density.keyRatios(l.at(tableSize))
	case t.key:
		large = []float64{1.8, 1.6, 1.4, 1.2, 1}
	}
	for _, size := range []float64{tableSize, 7.5, leastSize} {
		for _, k := range large {
			var fits bool
			if f, fits = l.fitAt(t, max(l.at(size), leastSize), k, false); fits {
				if l.density.onSheet() && t.key && t.head != nil {
					if even, fits := l.fitAt(t, f.size, k, true); fits && even.height(0, len(even.rows)) <= f.height(0, len(f.rows)) {
						f = even
					}
				}
				l.fits[t] = f
				return f
			}
		}
	}
	l.fits[t] = f
	return f
}

// fitAt fits the table at one size; it reports whether no word had to be broken.
// The bold cells of a table of key numbers are larger by a ratio, and fit if each
// is one line. The columns after the first may have to be alike in width.
func (l *layout) fitAt(t *table, size, large float64, even bool) (f *tableFit, fits bool) {
	l.typeface.borrowed(func() { f, fits = l.fitNow(t, size, large, even) })
	return f, fits
}

// fitNow is fitAt, in borrowed room.
func (l *layout) fitNow(t *table, size, large float64, even bool) (*tableFit, bool) {
	f := &tableFit{size: size, leading: size * 0.49 * l.density.leading, fraction: make([]float64, len(t.align)), padY: l.gap(cellPadY)}
	all := t.rows
	heads := 0
	if t.head != nil {
		all, heads = append([][][]span{t.head}, t.rows...), 1
	}
	settings := make([][]setting, len(all))
	fit := columnFit{least: make([]float64, len(t.align)), most: make([]float64, len(t.align)), empty: make([]bool, len(t.align)), right: make([]bool, len(t.align)), heads: heads}
	for r, row := range all {
		settings[r] = make([]setting, len(row))
		for c, cell := range row {
			s := l.measure(l.withPages(cell), size*l.ratio(t, all, r, c, large))
			settings[r][c] = s
			if isBand(row) {
				continue // it may run over all columns
			}
			wide := s.widest()
			word := s.narrowest() + 2*cellPadX
			if word > wordMost*l.width() && len(row) > 1 {
				word = wordLeast * l.width()
			}
			fit.least[c] = max(fit.least[c], word)
			fit.most[c] = max(fit.most[c], wide+2*cellPadX)
			if c == 0 {
				fit.texts = append(fit.texts, make([]float64, len(t.align)))
			}
			fit.texts[len(fit.texts)-1][c] = wide
		}
	}
	for c := range f.fraction {
		fit.empty[c], fit.right[c] = !t.paired && isForm(t.rows, c), t.align[c] == alignRight
		f.ruled = f.ruled || fit.empty[c]
		f.fraction[c] = -1
		if t.align[c] == alignRight {
			f.fraction[c] = l.fractions(t.rows, c, size)
		}
	}
	switch {
	case even:
		if f.widths = fit.alike(l.width()); f.widths == nil {
			return f, false
		}
	case t.paired:
		f.widths = fit.pairWidths(t, all, l.width(), l.density.onSheet())
	default:
		f.widths = fit.widths(l.width())
	}
	if over := l.width() / total(f.widths); t.key && over > 1 {
		for c := range f.widths {
			f.widths[c] *= over
		}
	}
	fits := total(fit.least) <= total(f.widths)+1e-6
	for r := range all {
		row := rowFit{cells: make([][]textLine, len(all[r])), ratios: make([]float64, len(all[r])), band: isBand(all[r])}
		deepest, written := l.density.label, 0
		for c := range all[r] {
			width := f.widths[c]
			switch {
			case row.band && c == 0:
				width = total(f.widths)
			case c == 1 && t.alone(all[r]):
				width = total(f.widths[1:])
			}
			row.cells[c] = settings[r][c].lines(width - 2*cellPadX)
			row.ratios[c] = l.ratio(t, all, r, c, large)
			deepest = max(deepest, row.ratios[c]*float64(len(row.cells[c]))+f.drop(row.ratios[c])/f.leading)
			fits = fits && (row.ratios[c] <= 1 || len(row.cells[c]) <= 1)
			if len(row.cells[c]) > 0 {
				written++
			}
		}
		row.height = deepest*f.leading + 2*f.padY
		if t.head != nil && r == 0 {
			f.head = &row
			continue
		}
		if f.ruled && !row.band && written < len(row.cells) {
			row.height = max(row.height, formRow)
			if t.signed {
				row.height = max(row.height, signedRow)
			}
		}
		f.rows = append(f.rows, row)
	}
	return f, fits
}

func total(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum
}

// fractions returns the widest part right of the decimal sign in a column that
// holds numbers only, so that they can be lined up; -1 in any other column.
func (l *layout) fractions(rows [][][]span, c int, size float64) float64 {
	widest := 0.0
	for _, row := range rows {
		text := plain(row[c])
		if text == "" || text == "–" || text == "—" {
			continue
		}
		if !isNumber(text) || len(row[c]) > 1 || row[c][0].style() == mono {
			return -1
		}
		if i := strings.IndexAny(text, ".,"); i >= 0 {
			widest = max(widest, l.typeface.width(text[i:], row[c][0].style(), size))
		}
	}
	return widest
}

func isNumber(text string) bool {
	digits := false
	for i, r := range text {
		switch {
		case unicode.IsDigit(r):
			digits = true
		case r == '.' || r == ',' || i == 0 && strings.ContainsRune("+-−±≤≥<>", r):
		default:
			return false
		}
	}
	return digits
}

// withPages adds the page number after each link to a section, for the reader
// of the printed table.
func (l *layout) withPages(cell []span) []span {
	var out []span
	for i, s := range cell {
		name, internal := strings.CutPrefix(s.link, "#")
		out = append(out, s)
		if internal && (i+1 == len(cell) || cell[i+1].link != s.link) {
			page := l.tongue.Say(", p.")
			if len(s.text) <= 5 { // a bare number, as in annex A
				page = strings.ReplaceAll(page, " ", "\u00A0")
			}
			out = append(out, span{text: page + "\u00A0" + strconv.Itoa(l.known[name]), bold: s.bold, oblique: s.oblique})
		}
	}
	return out
}

// start is the height of the whole table where it is short, and of its first
// rows where it may go on overleaf.
func (t *table) start(l *layout) float64 {
	f := l.fit(t)
	head := 0.6
	if f.head != nil {
		head += f.head.height
	}
	kept := f.height(0, len(f.rows))
	if most := l.sheet.foot() - l.sheet.top; len(f.rows) > shortRows || head+kept > min(shortMost, most) {
		kept = min(f.height(0, keptRows), most-head)
	}
	return head + kept
}

// height is that of some rows together.
func (f *tableFit) height(from, to int) float64 {
	sum := 0.0
	for _, row := range f.rows[from:min(to, len(f.rows))] {
		sum += row.height
	}
	return sum
}

// breaksBefore reports whether row i begins a page although it would fit on
// this one: so that no single row is left to stand on the next, and no title is
// parted from the row below it.
func (f *tableFit) breaksBefore(i int, l *layout) bool {
	last := len(f.rows) - keptRows
	for last > 0 && f.rows[last-1].band {
		last--
	}
	if i >= 2 && i == last && f.height(i, len(f.rows)) > l.room() {
		return true
	}
	below := i
	for f.rows[below].band && below+1 < len(f.rows) {
		below++
	}
	return below > i && f.height(i, below+1) > l.room()
}

// place sets the rows; a row stays on one page unless it is higher than a page,
// and the head is repeated on each.
func (t *table) place(l *layout) {
	f := l.fit(t)
	defer l.begin("Table")()
	head := l.head(t)
	body := l.part.Add("TBody")
	marks := t.marks[len(t.marks)-len(t.rows):] // the head's is before them
	l.y += 0.6
	top := l.y
	begin := func() {
		top = l.y
		l.tableRule(f, l.y, 0.3)
		if f.head != nil {
			l.page().rects = append(l.page().rects, placedRect{l.left, l.y, total(f.widths), f.head.height, grey(0xE6)})
			bar := l.beside(t.marks[0] && head != nil)
			l.row(t, f, *f.head, l.y, true, head)
			bar()
			head = nil // repeated for the eye only
			l.tableRule(f, l.y, 0.3)
		}
	}
	finish := func() {
		l.tableRule(f, l.y, 0.3)
		if f.ruled {
			l.columnRules(f, top)
		}
	}
	begin()
	for i, row := range f.rows {
		cells := t.parts(i, body.Add("TR"))
		if f.breaksBefore(i, l) {
			finish()
			l.newPage()
			begin()
		}
		for {
			part := row
			if row.height > l.room() {
				if bare := l.y - top; bare > 1e-6 && (f.head == nil || bare > f.head.height+1e-6) {
					finish()
					l.newPage()
					begin()
				}
				part, row = f.split(row, l.room())
			} else {
				row.cells = nil
			}
			l.fields(t, f, i, part, cells)
			before := len(l.page().texts)
			bar := l.beside(marks[i])
			l.row(t, f, part, l.y, false, cells)
			bar()
			l.crosses(t, f, i, before, cells)
			if row.cells == nil {
				break
			}
		}
		if i < len(f.rows)-1 {
			l.tableRule(f, l.y, 0.12)
		}
	}
	finish()
	l.y += l.gap(bodyGap + 1)
}

// split divides a row that is higher than a page.
func (f *tableFit) split(row rowFit, room float64) (first, rest rowFit) {
	if row.height <= room {
		return row, rowFit{}
	}
	n := max(1, int((room-2*f.padY)/f.leading))
	left := 0
	first.ratios, rest.ratios = row.ratios, row.ratios
	for _, cell := range row.cells {
		k := min(n, len(cell))
		first.cells = append(first.cells, cell[:k])
		rest.cells = append(rest.cells, cell[k:])
		left = max(left, len(cell)-k)
	}
	first.height = float64(n)*f.leading + 2*f.padY
	rest.height = float64(left)*f.leading + 2*f.padY
	if left == 0 {
		return row, rowFit{}
	}
	return first, rest
}

// row sets one row and moves below it. What it says belongs to cells; to nothing
// where there are none.
func (l *layout) row(t *table, f *tableFit, row rowFit, y float64, head bool, cells []*archive.Element) {
	defer l.under(nil)()
	x := l.left
	if row.band {
		l.page().rects = append(l.page().rects, placedRect{x, y, total(f.widths), row.height, grey(0xF2)})
	}
	for c, cell := range row.cells {
		if cells != nil {
			l.part = cells[c]
		}
		inner := f.widths[c] - 2*cellPadX
		fm := format{f.size * row.ratios[c], f.leading * row.ratios[c], t.align[c], black()}
		top := y + f.padY + f.drop(row.ratios[c])
		if t.key {
			top = y + (row.height-float64(len(cell))*fm.leading)/2
		}
		for i, line := range cell {
			width := inner
			if f.fraction[c] > 0 && !head {
				width -= f.fraction[c]
				text := line.runs[0].text
				if j := strings.IndexAny(text, ".,"); j >= 0 {
					width += l.typeface.width(text[j:], line.runs[0].style, f.size)
				}
			}
			l.setLine(line, x+cellPadX, width, top+float64(i)*fm.leading, fm)
		}
		x += f.widths[c]
	}
	l.y += row.height
	if t.paired && (len(row.cells[2]) > 0 || len(row.cells[3]) > 0) {
		middle := l.left + l.width()/2
		l.page().rules = append(l.page().rules, placedRule{middle, y, middle, l.y, 0.12, grey(0x80)})
	}
}

func (l *layout) tableRule(f *tableFit, y, width float64) {
	c := black()
	if width < 0.2 {
		c = grey(0x80)
	}
	l.page().rules = append(l.page().rules, placedRule{l.left, y, l.left + total(f.widths), y, width, c})
}

func (l *layout) columnRules(f *tableFit, top float64) {
	x := l.left
	for c := 0; c <= len(f.widths); c++ {
		l.page().rules = append(l.page().rules, placedRule{x, top, x, l.y, 0.12, grey(0x80)})
		if c < len(f.widths) {
			x += f.widths[c]
		}
	}
}
