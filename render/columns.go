package render

import (
	"math"
	"slices"
)

// naturalLess is the share of the page up to which a table of several columns
// keeps the width it needs, and is not stretched.
const naturalLess = 0.72

// itemMost is the share of the page that the first of two columns takes at most:
// it names what the second one says.
const itemMost = 0.45

// A word wider than wordMost of the page is broken, and asks for no more than
// wordLeast of it: else one such word would leave the other columns no room.
const (
	wordMost  = 0.5
	wordLeast = 0.25
)

// columnFit divides a width among the columns of a table.
type columnFit struct {
	least, most []float64   // by column: of its longest word, of its longest cell
	texts       [][]float64 // widths of the texts, a row a row
	empty       []bool      // columns that are written in by hand
	right       []bool      // columns that are set to the right
	heads       int         // rows at the beginning that are heads
}

// widths gives no column less than its longest word if that is possible. Where
// everything fits, columns to be written in take what is over, or the second of
// two; else the width goes to where it makes the table lower.
func (f columnFit) widths(width float64) []float64 {
	n := len(f.most)
	f.reserve(width)
	free := width - total(f.most)
	switch {
	case total(f.least) >= width:
		return capped(f.least, width)
	case free >= 0:
		out := slices.Clone(f.most)
		hand := 0
		for _, e := range f.empty {
			if e {
				hand++
			}
		}
		for c := range out {
			switch {
			case hand > 0 && f.empty[c]:
				out[c] += free / float64(hand)
			case hand > 0:
			case n == 2 && c == 1 && !f.right[c]:
				out[c] += free
			case n > 2 && total(f.most) >= naturalLess*width:
				out[c] += free * f.most[c] / total(f.most)
			}
		}
		return out
	case n == 2 && f.least[0] <= itemMost*width:
		item := max(f.least[0], min(f.most[0], itemMost*width))
		item = min(item, width-f.least[1])
		return []float64{item, width - item}
	}
	return f.lowest(width)
}

// capped takes what is too much from the widest alone, so that the words of the
// narrow columns stay whole.
func capped(least []float64, width float64) []float64 {
	out := slices.Clone(least)
	rising := slices.Sorted(slices.Values(least))
	for i, narrow := range rising {
		share := width / float64(len(rising)-i) // of each column that is left
		if narrow >= share {
			for c := range out {
				out[c] = min(out[c], share)
			}
			break
		}
		width -= narrow
	}
	return out
}

// handWide is the width that a column to write in has, if others can spare it.
const handWide = 24.0

// reserve keeps room for handwriting.
func (f columnFit) reserve(width float64) {
	room := min(handWide, 0.8*width/float64(len(f.least)))
	for c, empty := range f.empty {
		if more := room - f.least[c]; empty && more > 0 && total(f.least)+more <= width {
			f.least[c] += more
			f.most[c] = max(f.most[c], f.least[c])
		}
	}
}

// lowest hands the width out in small parts, each to the column in which it
// saves most lines. What the columns begin with decides much, so several
// beginnings are tried.
func (f columnFit) lowest(width float64) []float64 {
	var best, floor []float64
	least := math.Inf(1)
	for _, short := range []float64{0, 20, 26, 32, 40} {
		begin := f.floors(short, width)
		if total(begin) > width {
			break
		}
		if out := f.handOut(slices.Clone(begin), width); f.lines(out) < least {
			best, floor, least = out, begin, f.lines(out)
		}
	}
	f.settle(best, floor)
	return best
}

// settle moves a little width at a time from one column to another while that
// saves lines: a text may lack less than a part to stand on one.
func (f columnFit) settle(out, floor []float64) {
	const step = 1.5
	least := f.lines(out)
	for again := true; again; {
		again = false
		for to := range out {
			for from := range out {
				for _, some := range []float64{step, 3 * step} {
					if from == to || out[from]-some < floor[from] {
						continue
					}
					out[from], out[to] = out[from]-some, out[to]+some
					if n := f.lines(out); n < least {
						least, again = n, true
						continue
					}
					out[from], out[to] = out[from]+some, out[to]-some
				}
			}
		}
	}
}

// namesMost is the share of the width that the names of rows take where the other
// columns are alike.
const namesMost = 0.25

// alike are widths that differ in the first column only; nil where a word would
// have to be broken.
func (f columnFit) alike(width float64) []float64 {
	out := []float64{max(f.least[0], min(f.most[0], namesMost*width))}
	for c := range f.most[1:] {
		out = append(out, (width-out[0])/float64(len(f.most)-1))
		if out[c+1] < f.least[c+1] {
			return nil
		}
	}
	return out
}

// lines counts the lines of all rows at some widths, about.
func (f columnFit) lines(widths []float64) float64 {
	// Lines are not filled to their end: words are not broken.
	const filled = 0.93
	sum := 0.0
	for _, texts := range f.texts {
		deepest := 1.0
		for c, text := range texts {
			if inner := widths[c] - 2*cellPadX; text > inner+1e-6 {
				deepest = max(deepest, math.Ceil(text/(filled*inner)))
			}
		}
		sum += deepest
	}
	return sum
}

// numberWide is the width up to which a number, or a range, is kept on one line.
const numberWide = 36.0

// floors is what each column begins with: its longest word, or the width of its
// usual texts where these are short, since a number on two lines reads badly.
func (f columnFit) floors(short, width float64) []float64 {
	out := slices.Clone(f.least)
	texts := make([]float64, len(f.texts))
	for c := range out {
		for r := range f.texts {
			texts[r] = f.texts[r][c]
		}
		slices.Sort(texts)
		if usual := texts[(8*(len(texts)-1)+9)/10]; usual <= short {
			out[c] = max(out[c], usual+2*cellPadX)
		}
	}
	for c, right := range f.right {
		if !right {
			continue // numbers are set to the right
		}
		wide := out[c]
		for _, texts := range f.texts[f.heads:] {
			wide = max(wide, texts[c]+2*cellPadX)
		}
		if wide <= numberWide && total(out)+wide-out[c] <= width {
			out[c] = wide
		}
	}
	return out
}

func (f columnFit) handOut(out []float64, width float64) []float64 {
	// How many lines a cell takes, not rounded: else a part too small to save a
	// line would count for nothing.
	lines := func(text, width float64) float64 { return max(1, text/max(1, width-2*cellPadX)) }
	// A row is as high as its deepest cell. The eighth power comes near to that
	// and still sees that a cell almost as deep has to follow.
	power := func(x float64) float64 { x *= x; x *= x; return x * x }
	rows := make([]float64, len(f.texts))
	for r, texts := range f.texts {
		for c, text := range texts {
			rows[r] += power(lines(text, out[c]))
		}
	}
	const parts = 50
	part := (width - total(out)) / parts
	for range parts {
		best, most := -1, 0.0
		for c := range out {
			if out[c] >= f.most[c] {
				continue
			}
			saved := 0.0
			for r, texts := range f.texts {
				if text := texts[c]; text > out[c]-2*cellPadX {
					after := rows[r] - power(lines(text, out[c])) + power(lines(text, out[c]+part))
					saved += root(rows[r]) - root(after)
				}
			}
			if saved > most {
				best, most = c, saved
			}
		}
		if best < 0 {
			best = widestGap(out, f.most)
		}
		for r, texts := range f.texts {
			rows[r] += power(lines(texts[best], out[best]+part)) - power(lines(texts[best], out[best]))
		}
		out[best] += part
	}
	return out
}

// root is the eighth root.
func root(x float64) float64 { return math.Sqrt(math.Sqrt(math.Sqrt(x))) }

// widestGap is the column that lacks most of the width it would like.
func widestGap(have, want []float64) int {
	best := 0
	for c := range have {
		if want[c]-have[c] > want[best]-have[best] {
			best = c
		}
	}
	return best
}
