package render

// density is how closely the text is set: all are ratios, 1 being the usual.
type density struct {
	size    float64 // of the type
	leading float64 // of the lines, beside that of the type
	air     float64 // of the gaps between blocks and around the text of cells
	label   float64 // of the type of what names values in a table, beside theirs
	key     float64 // points of the largest numbers on a sheet that is handed out; 0 off it
}

// usual is the density of text that nothing is done about.
func usual() density { return density{1, 1, 1, 1, 0} }

// small is that of the annexes, which are looked up and not read.
func (d density) small() density {
	return density{0.9, 0.95 * d.leading, 0.52 * d.air, d.label, d.key}
}

// at is a size of type, or a width that goes with it.
func (l *layout) at(size float64) float64 { return size * l.density.size }

// lead is a leading.
func (l *layout) lead(leading float64) float64 { return leading * l.density.size * l.density.leading }

// gap is a gap.
func (l *layout) gap(height float64) float64 { return height * l.density.size * l.density.air }

// A stretch of pages between two forced breaks whose last page would be almost
// empty is set closer, step by step, until that page is no longer needed. Where
// no step does it, the stretch stays as it was.
const (
	fullEnough   = 1.0 / 3 // share of a page
	closestSteps = 5
)

// closeness is by stretch the number of steps by which it is set closer.
type closeness map[int]int

func (c closeness) density(stretch int) density {
	n := float64(max(0, c[stretch]))
	return density{1, 1 - 0.012*n, 1 - 0.09*n, 1, 0}
}

// closer takes a step where one is asked for; it reports whether it did.
func (c closeness) closer(pages []*page, s sheet) bool {
	any := false
	stretch, n := 0, 0
	for _, p := range pages {
		if n++; !p.last {
			continue
		}
		switch {
		case n < 2 || p.full(s) >= fullEnough || c[stretch] < 0:
		case c[stretch] == closestSteps:
			c[stretch], any = -1, true
		default:
			c[stretch], any = c[stretch]+1, true
		}
		stretch, n = stretch+1, 0
	}
	return any
}

// full is the share of the page that is filled.
func (p *page) full(s sheet) float64 { return (p.end - s.top) / (s.foot() - s.top) }

// breakPage goes on with a new page, unless this one is empty still.
func (l *layout) breakPage() {
	if !l.atTop() {
		l.page().last = true
		l.stretch++
		l.newPage()
	}
	l.density = l.closeness.density(l.stretch)
}
