package coverage

import (
	"math"

	"soundwrit/internal/si"
)

// Offsets says where KeepRange looks.
type Offsets struct {
	Nominal   si.Length
	Min, Max  si.Length
	Step      si.Length // no dip narrower than this is found
	Tolerance si.Ratio  // share of the volume that may be lost
}

// offsetGrid is the step to which the ends of a range are rounded.
const offsetGrid = 0.1 * si.Millimetre

// KeepRange returns the widest range of offsets around the nominal one in which
// the share f stays within the tolerance of its nominal value. It walks outwards
// in steps until f is too small, closes in on the place, and rounds the ends
// inwards to 0.1 mm, never beyond the nominal offset.
//
// Valid: finite Min ≤ Nominal ≤ Max, Step > 0, f known at the nominal offset; else NaN
// and NaN. A dip of f between two steps is not seen.
// Source: a search; no formula.
func KeepRange(f func(front si.Length) si.Ratio, o Offsets) (from, to si.Length) {
	if !(o.Min <= o.Nominal && o.Nominal <= o.Max && o.Step > 0) || math.IsInf(float64(o.Max-o.Min), 0) {
		return si.Unknown[si.Length](), si.Unknown[si.Length]()
	}
	limit := f(o.Nominal) - o.Tolerance
	if !si.Known(limit) {
		return si.Unknown[si.Length](), si.Unknown[si.Length]()
	}
	keeps := func(front si.Length) bool { return f(front) >= limit-1e-12 }
	return o.end(keeps, o.Min, -1), o.end(keeps, o.Max, 1)
}

// end returns one end of the range: the nominal offset moved in the direction
// of sign as far as it keeps, at most to last.
func (o Offsets) end(keeps func(si.Length) bool, last, sign si.Length) si.Length {
	good, bad := o.Nominal, si.Unknown[si.Length]()
	for good != last {
		next := good + sign*o.Step
		if sign*(next-last) > 0 {
			next = last
		}
		if next == good || !keeps(next) {
			bad = next
			break
		}
		good = next
	}
	for sign*(bad-good) > offsetGrid/2 {
		if middle := (good + bad) / 2; keeps(middle) {
			good = middle
		} else {
			bad = middle
		}
	}
	// Inwards onto the grid: the outermost point before what is too far, unless
	// the share is lost there too.
	edge := good
	if si.Known(bad) {
		edge = bad
	}
	n := math.Floor(float64(sign*edge/offsetGrid) + 1e-9)
	for {
		end := sign * si.Length(n) * offsetGrid
		if sign*(end-o.Nominal) <= 0 {
			return o.Nominal
		}
		if keeps(end) {
			return end
		}
		n--
	}
}
