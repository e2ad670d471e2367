package render

// The type on a sheet that is handed out, in points. Values are set as large as
// they fit, down to what can still be read at arm's length; what names them is
// smaller, and key numbers are larger, most of all beside a figure.
const (
	sheetMost, sheetLeast = 14.0, 9.0
	sheetStep             = 0.125
	labelRatio            = 0.75
	labelLeast            = 9.0
	keyMost, keyBeside    = 18.0, 24.0
	keyStep               = 2.0
)

// sheetRise is by how much such a sheet begins above the text of other pages, in
// millimetres.
const sheetRise = 3.0

// ofSheet is the density of a sheet whose values are set in a size.
func ofSheet(size float64) density {
	return density{size / tableSize, 0.84, 0.3, max(labelRatio, min(1, labelLeast/size)), keyMost}
}

func (d density) onSheet() bool { return d.key > 0 }

// keyRatios are the sizes of key numbers to try, beside that of the values.
func (d density) keyRatios(size float64) []float64 {
	var all []float64
	for key := d.key; key > size+1; key -= keyStep {
		all = append(all, key/size)
	}
	return append(all, 1)
}

// ratio is that of the type of a cell to that of its table.
func (l *layout) ratio(t *table, rows [][][]span, r, c int, large float64) float64 {
	switch {
	case t.isLabel(rows, r, c):
		return l.density.label
	case t.key && isBold(rows[r][c]) && (t.head == nil || r > 0):
		return large
	}
	return 1
}

// isLabel reports whether a cell names others: the first of a row, or of half a
// row, one before an empty cell, and the head of a column of key numbers.
func (t *table) isLabel(rows [][][]span, r, c int) bool {
	row := rows[r]
	if t.head != nil && r == 0 {
		return c == 0 || isBold(rows[1][0])
	}
	if c == 0 || t.paired {
		return c%2 == 0 && !isBold(row[c])
	}
	return c+1 < len(row) && len(row[c+1]) == 0
}

// drop is by how much a cell in smaller type begins lower, so that its first line
// stands on that of the others.
func (f *tableFit) drop(ratio float64) float64 {
	return max(0, 1-ratio) * baseline(f.size, f.leading)
}

// sheetOfOne is a sheet that is handed out by itself: all of it stands on one
// page, in the largest type at which it fits.
type sheetOfOne struct{ blocks []block }

func (o sheetOfOne) start(l *layout) float64 { return l.sheet.foot() - l.sheet.top }

func (o sheetOfOne) place(l *layout) {
	l.breakPage()
	paper := l.sheet
	l.sheet.top -= sheetRise
	l.y, l.page().begin = l.sheet.top, l.sheet.top
	var blocks []block
	// At the smallest size it may run on to more pages.
	for size := sheetMost; ; size -= sheetStep {
		l.density, l.fits = ofSheet(max(size, sheetLeast)), map[*table]*tableFit{}
		blocks = l.pairUp(l.abreast(o.blocks))
		trial := l.trial(l.sheet.top)
		trial.flow(blocks)
		if size <= sheetLeast || len(trial.pages) == 1 && trial.held == nil && !trial.shrunk() {
			break
		}
	}
	l.flow(blocks)
	l.release()
	l.density, l.fits, l.sheet = usual(), map[*table]*tableFit{}, paper
}

// flanked is a table of key numbers with a figure beside it.
type flanked struct {
	numbers *table
	figure  picture
}

// Measures of numbers beside a figure, in millimetres.
const (
	numbersLeast = 58.0
	numbersWell  = 90.0
	captionWell  = 80.0
	abreastGap   = 4.0
)

// abreast sets a figure that follows key numbers beside them, where it is narrow
// enough.
func (l *layout) abreast(blocks []block) []block {
	var out []block
	for i := 0; i < len(blocks); i++ {
		t, ok := blocks[i].(*table)
		if ok = ok && t.key && len(t.align) == 2 && i+1 < len(blocks); ok {
			if p, picture := blocks[i+1].(picture); picture && l.width()-l.figures[p.name].Drawing.width-abreastGap >= numbersLeast {
				out = append(out, flanked{t, p})
				i++
				continue
			}
		}
		out = append(out, blocks[i])
	}
	return out
}

func (n flanked) start(l *layout) float64 {
	trial := l.trial(l.sheet.top)
	trial.y = l.sheet.top
	n.both(trial)
	return trial.y - l.sheet.top
}

func (n flanked) place(l *layout) {
	l.require(n.start(l))
	n.both(l)
}

func (n flanked) both(l *layout) {
	left, right, top := l.left, l.right, l.y
	// A caption stands on one line where the numbers have room enough.
	between := l.right - abreastGap - max(l.figures[n.figure.name].Drawing.width, min(captionWell, l.width()-numbersWell))
	l.left = between + abreastGap
	_, _, high := n.figure.size(l)
	l.left, l.right = left, between
	for l.density.key = keyBeside; l.density.key > keyMost; l.density.key -= keyStep {
		delete(l.fits, n.numbers)
		if n.numbers.start(l) <= high {
			break
		}
	}
	delete(l.fits, n.numbers)
	n.numbers.place(l)
	below := l.y
	l.left, l.right, l.y, l.density.key = between+abreastGap, right, top, keyMost
	n.figure.place(l)
	l.left, l.y = left, max(below, l.y)
}

// shrunk reports whether a table had to be set in smaller type than the others.
func (l *layout) shrunk() bool {
	for _, f := range l.fits {
		if f.size < l.at(tableSize)-1e-9 {
			return true
		}
	}
	return false
}
