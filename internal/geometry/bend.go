package geometry

import (
	"math"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// The section of a longitudinal seam is a piece of a ring. The joint has its true
// shape in it, a straight bevel is straight, while the coordinates of a Section
// are unrolled about the pipe's axis: X is the arc along the scan surface, Z the
// depth along the radius. A straight ray, like a straight bevel, is curved in
// them; the surfaces, off which rays turn, are level.

// bend is the radius of the surface at depth 0: positive where the depth leads
// towards the axis (a pipe seen from outside), negative where it leads away from
// it (seen from inside), zero for a flat part.
type bend float64

// true returns the place in the plane of the section, with its origin on the
// surface at the weld's centreline and y along the radius there.
//
//	x = (R − z) sin(s / R),  y = R − (R − z) cos(s / R)
//
// R is the bend, s and z the unrolled coordinates.
// Valid: both signs of R; R = 0 is flat, and x = s, y = z.
// Source: geometry of a circle; held by rays and lengths in bend_test.go.
func (r bend) true(p Point) Point {
	if r == 0 {
		return p
	}
	sin, cos := math.Sincos(float64(p.X) / float64(r))
	rho := float64(r) - float64(p.Z)
	return point(rho*sin, float64(r)-rho*cos)
}

// unrolled is the inverse of true, for places less than a quarter turn from the
// centreline.
func (r bend) unrolled(p Point) Point {
	if r == 0 {
		return p
	}
	rho := float64(r) - float64(p.Z)
	return point(float64(r)*math.Atan(float64(p.X)/rho), float64(r)-math.Copysign(math.Hypot(float64(p.X), rho), float64(r)))
}

// scale is the arc at depth z that belongs to a unit of X.
func (r bend) scale(z float64) float64 {
	if r == 0 {
		return 1
	}
	return 1 - z/float64(r)
}

// bendOf is that of a part as the job states it, from its top surface, which is
// the outside of a pipe: NaN where it is not known how the weld of a pipe runs, or
// where a longitudinal seam lacks its diameter.
func bendOf(part *schema.Part) bend {
	switch {
	case part.Longitudinal():
		return bend(part.OutsideDiameter / 2)
	case part.Kind == "pipe" && !part.Girth():
		return bend(math.NaN())
	}
	return 0
}

// Radius returns the signed radius of the surface at depth 0: zero for a flat
// section, which that of a girth weld is too; positive where the section bends
// away from a probe on that surface, negative where it bends around the probe.
func (s *Section) Radius() si.Length { return si.Length(s.bend) }

// Scale returns the true length at depth z, along the surface there, that
// belongs to a unit of X: 1 − z / R, and 1 in a flat section.
func (s *Section) Scale(z si.Length) si.Ratio { return si.Ratio(s.bend.scale(float64(z))) }

// True returns where a place of the section lies in its plane: the same in a
// flat section, and in a bent one the place from which the coordinates were
// unrolled. The origin is the centreline at depth 0.
func (s *Section) True(p Point) Point { return s.bend.true(p) }

// Shape returns an outline as it is in the plane of the section, with so many
// points more along its edges that a drawing shows arcs.
func (s *Section) Shape(p Polygon) Polygon {
	if s.bend == 0 {
		return p
	}
	var shape Polygon
	for i, a := range p {
		b := p[(i+1)%len(p)]
		n := s.bend.pieces(float64(b.X-a.X), float64(b.Z-a.Z))
		for k := range n {
			u := si.Length(k) / si.Length(n)
			shape = append(shape, s.bend.true(Point{a.X + u*(b.X-a.X), a.Z + u*(b.Z-a.Z)}))
		}
	}
	return shape
}

// Area returns the true area of an outline in the section.
//
//	A = ∮ X (1 − z / R) dz
//
// along edges that are straight in X and z, where the integral is closed.
// Valid: simple outlines; NaN for fewer than three points. In a flat section it
// is that of Polygon.Area.
// Source: the area element of polar coordinates and Green's theorem; checked
// against areas of the true outline in bend_test.go.
func (s *Section) Area(p Polygon) si.Area {
	if s.bend == 0 || len(p) < 3 {
		return p.Area()
	}
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		x1, z1, x2, z2 := float64(a.X), float64(a.Z), float64(b.X), float64(b.Z)
		sum += (z2 - z1) * ((x1+x2)/2 - (2*x1*z1+x1*z2+x2*z1+2*x2*z2)/(6*float64(s.bend)))
	}
	return si.Area(math.Abs(sum))
}

// farOff is how far an edge of an outline may lie beside the line for which it
// stands, in metres.
const farOff = 0.5e-6

// turnsBack is how far, in metres, a side may rise again towards the outside. A
// radius that begins square to the centreline does where it opens to the inside,
// by some micrometres; more is a bevel that the pipe is too small for.
const turnsBack = 0.1e-3

// pieces is into how many straight pieces an edge is cut so that each lies
// within farOff of the curve for which it stands.
//
// A line that is straight in one of the two kinds of coordinates bends in the
// other with a curvature of at most 2 / (the least radius), and so lies at most
// l² / (4 radius) beside its chord of length l.
func (r bend) pieces(dx, dz float64) int {
	if r == 0 {
		return 1
	}
	length := math.Hypot(dx, dz)
	least := math.Max(math.Abs(float64(r))-math.Abs(dz), math.Abs(float64(r))/2)
	return min(1000, max(1, int(math.Ceil(length/math.Sqrt(4*least*farOff)))))
}

// bent is a side of the weld, built flat, as it stands between the two circles:
// heights are those on the centreline, so the pieces that reach a surface are
// cut off or carried on there. Of each corner x is the arc from the centreline at
// the corner's own depth, which is what widths along the surface are added to.
// The straight pieces are cut into so many that they keep their shape. The faces
// are those of the side, before it is cut into pieces.
//
// It is nil where a piece misses its surface, or leans so far that it turns back.
func (p profile) bent(r bend, t float64, side string, sign float64) (profile, []Face) {
	if r == 0 {
		return p, p.faces(side, sign)
	}
	if !(float64(r) > t) {
		return nil, nil
	}
	p = p.clipped(r, t)
	if p == nil {
		return nil, nil
	}
	faces := p.faces(side, sign)
	for i := range faces {
		f := &faces[i]
		f.Bend = si.Length(r)
		f.Upper, f.Lower = r.unrolled(f.Upper), r.unrolled(f.Lower)
		if f.Radius > 0 {
			f.Centre = r.unrolled(f.Centre)
		}
	}
	var q profile
	for i, c := range p {
		n := 1
		if i > 0 {
			n = r.pieces(c.x-p[i-1].x, c.z-p[i-1].z)
		}
		for k := 1; k <= n; k++ {
			at := point(c.x, c.z)
			if k < n {
				u := float64(k) / float64(n)
				at = point(p[i-1].x+u*(c.x-p[i-1].x), p[i-1].z+u*(c.z-p[i-1].z))
			}
			at = r.unrolled(at)
			q = append(q, corner{float64(at.X) * r.scale(float64(at.Z)), float64(at.Z), c.piece})
		}
	}
	q[0].z = 0 // not a rounding beside it
	for i := 1; i < len(q); i++ {
		if !(q[i].z > q[i-1].z-turnsBack) {
			return nil, nil
		}
		q[i].z = math.Min(math.Max(q[i].z, q[i-1].z), t)
	}
	q[len(q)-1].z = t
	return q, faces
}

// clipped is a side between the two circles in place of the two planes.
func (p profile) clipped(r bend, t float64) profile {
	depth := func(c corner) float64 { return float64(r.unrolled(point(c.x, c.z)).Z) }
	first := 0
	for first+1 < len(p) && depth(p[first+1]) <= 0 {
		first++
	}
	if first+1 == len(p) {
		return nil
	}
	q := append(profile{}, p[first:]...)
	q[0] = r.meet(p[first], p[first+1], 0)
	last := len(q) - 1
	for last > 1 && depth(q[last-1]) >= t {
		last--
	}
	q = q[:last+1]
	above := last - 1
	for above > 0 && q[last].z-q[above].z < 1e-9 { // a piece of no length has no direction
		above--
	}
	end := r.meet(q[above], q[last], t)
	end.piece = q[last].piece
	q[last] = end
	if math.IsNaN(q[0].x + end.x) {
		return nil
	}
	return q
}

// meet returns where the line from a to b, carried on if need be, meets the
// circle of depth z; of two such places the one nearer to b, or for the top, which
// is a's, nearer to a. NaN where there is none.
func (r bend) meet(a, b corner, z float64) corner {
	rho := float64(r) - z
	dx, dz := b.x-a.x, b.z-a.z
	// |a + u d| = ρ about the axis at (0, R)
	y := a.z - float64(r)
	qa, qb, qc := dx*dx+dz*dz, 2*(a.x*dx+y*dz), a.x*a.x+y*y-rho*rho
	root := math.Sqrt(qb*qb - 4*qa*qc)
	u1, u2 := (-qb-root)/(2*qa), (-qb+root)/(2*qa)
	target := 0.0
	if z > 0 {
		target = 1
	}
	u := u1
	if math.Abs(u2-target) < math.Abs(u1-target) {
		u = u2
	}
	return corner{a.x + u*dx, a.z + u*dz, a.piece}
}

// spread turns an outline whose X are arcs at their own depths into one whose X
// are arcs along the surface at depth 0.
func (s *Section) spread(p Polygon) Polygon {
	if s.bend == 0 || p == nil {
		return p
	}
	var q Polygon
	for i, a := range p {
		b := p[(i+1)%len(p)]
		n := 1
		if a.Z != b.Z {
			n = s.bend.pieces(float64(b.X-a.X), float64(b.Z-a.Z))
		}
		for k := range n {
			u := si.Length(k) / si.Length(n)
			c := Point{a.X + u*(b.X-a.X), a.Z + u*(b.Z-a.Z)}
			q = append(q, Point{c.X / si.Length(s.bend.scale(float64(c.Z))), c.Z})
		}
	}
	return q
}

func (s span) spread(scale float64) span { return span{s.from / scale, s.to / scale} }
