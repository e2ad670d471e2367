package render

// pairedFrom is the number of rows from which a table of items and values may
// stand in pairs, and pairedMost the share of its height that it may then have.
const pairedFrom, pairedMost = 4, 0.85

// pairUp sets the tables of two columns in pairs of rows, side by side, where
// that makes them much lower: most values are short, and would leave half of the
// page empty.
func (l *layout) pairUp(blocks []block) []block {
	out := make([]block, len(blocks))
	for i, b := range blocks {
		out[i] = b
		if t, ok := b.(*table); ok {
			out[i] = l.pairedTable(t)
		}
	}
	return out
}

func (l *layout) pairedTable(t *table) *table {
	from, most := pairedFrom, pairedMost
	if l.density.onSheet() {
		from, most = 2, 1-1e-6
	}
	if len(t.align) != 2 || len(t.rows) < from || t.signed {
		return t
	}
	for _, row := range t.rows {
		if isBand(row) {
			return t
		}
	}
	pairs := l.inPairs(t)
	if len(pairs.rows) == len(t.rows) {
		return t
	}
	single, double := l.fit(t), l.fit(pairs)
	if single.ruled || double.size < single.size || double.height(0, len(double.rows)) > most*single.height(0, len(single.rows)) {
		return t
	}
	return pairs
}

// A row that is longer than this share of half the page is too long to stand
// beside another, and so is one whose value is this many times as long as the
// items leave room for: it takes the whole width, since a value of three lines
// leaves the other half empty.
const longRow, longValue = 1.3, 1.6

// inPairs is the table with two rows in each, where they are short: read from
// left to right they are in the same order.
func (l *layout) inPairs(t *table) *table {
	p := &table{paired: true, key: t.key, align: append(t.align[:2:2], t.align...)}
	marks := t.marks
	if t.head != nil {
		p.head = append(t.head[:2:2], t.head...)
		p.marks, marks = append(p.marks, marks[0]), marks[1:]
	}
	longest := longRow
	if l.density.onSheet() && !t.key {
		longest = 1
	}
	half := l.width() / 2
	wide := func(i, c int) float64 {
		return l.measure(t.rows[i][c], l.at(tableSize)*l.ratio(t, t.rows, i, c, 1)).widest() + 2*cellPadX
	}
	item := 0.0
	for i := range t.rows {
		item = max(item, wide(i, 0))
	}
	room := half - min(item, half/2) // for a value: longer items go on two lines
	short := func(i int) bool {
		value := wide(i, 1)
		return wide(i, 0)+value < longest*half && value < longValue*room
	}
	for i := 0; i < len(t.rows); i++ {
		row, changed := t.rows[i][:2:2], marks[i]
		if i+1 < len(t.rows) && short(i) && short(i+1) {
			i++
			row, changed = append(row, t.rows[i]...), changed || marks[i]
		} else {
			row = append(row, nil, nil)
		}
		p.rows, p.marks = append(p.rows, row), append(p.marks, changed)
	}
	return p
}

// labelMost is the share of the width up to which a label is kept on one line.
const labelMost = 0.18

// alone reports whether the first half of a row has the whole width.
func (t *table) alone(row [][]span) bool { return t.paired && len(row[2]) == 0 && len(row[3]) == 0 }

// pairWidths are the widths of the columns of rows that stand in pairs: those of
// both halves are alike. The labels of rows that have the whole width may have to
// be whole too.
func (f columnFit) pairWidths(t *table, all [][][]span, width float64, whole bool) []float64 {
	h := columnFit{least: make([]float64, 2), most: make([]float64, 2)}
	for r, texts := range f.texts {
		for from := 0; from < 4; from += 2 {
			if t.alone(all[r]) {
				if label := texts[0] + 2*cellPadX; whole && label < labelMost*width {
					h.least[0] = max(h.least[0], label)
				}
				break
			}
			h.texts = append(h.texts, texts[from:from+2])
			for c := range 2 {
				h.most[c] = max(h.most[c], texts[from+c]+2*cellPadX)
			}
		}
	}
	for c := range 2 {
		h.least[c] = max(h.least[c], f.least[c], f.least[c+2])
		h.most[c] = max(h.most[c], h.least[c])
	}
	half, free := h.most, width/2-total(h.most)
	switch {
	case free >= 0:
		half[1] += free
	case total(h.least) < width/2:
		half = h.lowest(width / 2)
	default:
		half = []float64{width / 4, width / 4} // words are broken: it will not stay so
	}
	return append(half, half...)
}
