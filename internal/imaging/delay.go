package imaging

import (
	"math"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// delays gives the time of every element to any place of a box, less that to the
// reflector, without solving for a ray each time.
type delays struct {
	x0, z0, w, h float64  // middle and half width of the box
	tables       []*table // one below the other: where strata meet, times bend
	at           *table   // of the depth last gone to
	open         []float64
}

// newDelays prepares the delays of all elements on one course, over the given box,
// against the place q.
func (im *Image) newDelays(course *ray.Course, q, from, to Point) *delays {
	d := &delays{open: make([]float64, len(im.Array.Elements))}
	d.x0, d.w = middle(from.X, to.X)
	d.z0, d.h = middle(from.Z, to.Z)
	own := make([]float64, len(im.Array.Elements))
	for i, e := range im.Array.Elements {
		_, time := course.To(e, q.X, q.Z)
		own[i] = float64(time)
	}
	edges := []si.Length{from.Z}
	bond := si.Length(0)
	for i := range course.Part.Strata {
		if bond += course.Part.Strata[i].Thickness; i+1 < len(course.Part.Strata) && bond > from.Z && bond < to.Z {
			edges = append(edges, bond)
		}
	}
	edges = append(edges, to.Z)
	for i := range len(edges) - 1 {
		d.tables = append(d.tables, im.newTable(course, own, Point{from.X, edges[i]}, Point{to.X, edges[i+1]}))
	}
	d.at = d.tables[0]
	return d
}

// middle returns that of two lengths, and half of what lies between them.
func middle(from, to si.Length) (at, half float64) {
	return float64(from+to) / 2, math.Max(float64(to-from)/2, 1e-9)
}

// atDepth goes to a depth, where along is asked next.
func (d *delays) atDepth(z float64) {
	for _, t := range d.tables {
		if d.at = t; z <= t.z0+t.h {
			break
		}
	}
	d.at.atDepth(z)
}

// along writes the delays of all elements at x, at the depth last gone to: NaN where
// no ray comes.
func (d *delays) along(dst []float64, x float64) { d.at.along(dst, d.open, x) }

// covers reports whether a place lies in the box. Beyond it the delays are good
// for nothing.
func (d *delays) covers(x, z float64) bool {
	const noise = 1e-9
	return math.Abs(x-d.x0) <= d.w+noise && math.Abs(z-d.z0) <= d.h+noise
}
