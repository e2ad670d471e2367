// Package geometry builds the weld's section from the job: the plane across the
// weld in which all rays of the program lie. The joint that is drawn is the
// joint that the rays meet.
//
// Coordinates: X across the weld, zero on its centreline, side A negative and
// side B positive; Z is depth, zero at the top surface and growing into the
// part. The section of a girth weld holds the pipe's axis, so its walls are
// straight too. That of a longitudinal seam is a piece of a ring: there X is the
// arc along the surface at depth 0, and Z goes along the radius (see bend). The centreline of a joint with one square edge, whose two faces
// differ, is the middle of its root gap.
package geometry

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/si"
)

// Point is a place in the section.
type Point struct{ X, Z si.Length }

// Polygon is a closed outline; the last point joins the first.
type Polygon []Point

// Section is the joint as it is examined. What the job leaves unknown is nil
// here: see Known.
type Section struct {
	Thickness si.Length
	Weld      Polygon // weld metal between the surfaces, without reinforcement
	Volume    Polygon // what must be examined: weld and parent metal beside it, between the surfaces
	Faces     []Face  // of side A from the top down, then of side B
	Cap       Polygon // reinforcement at the top, nil where flush
	Root      Polygon // reinforcement at the bottom, nil where flush

	Top, Bottom Wall         // surfaces of the part
	Transitions []Transition // to thicker walls
	Flange      *Flange      // of a T-butt weld; nil of a butt weld

	capSpan, rootSpan span
	bend              bend
	buried            []Buried
	through           si.Length // how deep rays are followed that pass from a flange into the web; zero seen from elsewhere
}

// span is a stretch along X; zero where there is none, NaN where unknown.
type span struct{ from, to float64 }

func (s span) mirror() span { return span{-s.to, -s.from} }

// Known reports whether the job gave all that the section needs. The section
// of a job that did not has neither weld nor volume, and what is computed from
// it is unknown too.
func (s *Section) Known() bool {
	return len(s.Volume) > 0
}

// CapSpan returns where the reinforcement at the top begins and ends along X:
// zero and zero where it is flush, NaN where its width is unknown.
func (s *Section) CapSpan() (from, to si.Length) {
	return si.Length(s.capSpan.from), si.Length(s.capSpan.to)
}

// RootSpan returns where the reinforcement at the bottom begins and ends along
// X: zero and zero where it is flush, NaN where its width is unknown.
func (s *Section) RootSpan() (from, to si.Length) {
	return si.Length(s.rootSpan.from), si.Length(s.rootSpan.to)
}

// CapHalfWidth returns the distance from the centreline to the farther toe of
// the reinforcement at the top, zero where it is flush. The two toes lie at the
// same distance except where one edge is square; CapSpan tells them apart.
func (s *Section) CapHalfWidth() si.Length {
	return si.Length(math.Max(-s.capSpan.from, s.capSpan.to))
}

// RootHalfWidth is CapHalfWidth for the reinforcement at the bottom.
func (s *Section) RootHalfWidth() si.Length {
	return si.Length(math.Max(-s.rootSpan.from, s.rootSpan.to))
}

// VolumeRow returns the stretch of the volume to be examined at depth z, NaN
// where there is none.
func (s *Section) VolumeRow(z si.Length) (from, to si.Length) { return s.Volume.row(z) }

// WeldRow returns the stretch of weld metal at depth z, NaN where there is
// none.
func (s *Section) WeldRow(z si.Length) (from, to si.Length) { return s.Weld.row(z) }

// Edges returns the edges of the preparation at a surface, on sides A and B;
// unknown where the section is.
func (s *Section) Edges(bottom bool) (a, b Point) {
	edge := func(side string) Point {
		at := Point{si.Unknown[si.Length](), si.Unknown[si.Length]()}
		for _, f := range s.Faces {
			if f.Side != side {
				continue
			}
			if bottom && !(f.Lower.Z <= at.Z) {
				at = f.Lower
			}
			if !bottom && !(f.Upper.Z >= at.Z) {
				at = f.Upper
			}
		}
		return at
	}
	return edge("A"), edge("B")
}

// row returns the smallest and the largest X at depth z. Weld and volume have
// one stretch at each depth, because each of their sides is a function of it.
func (p Polygon) row(z si.Length) (from, to si.Length) {
	from, to = si.Length(math.Inf(1)), si.Length(math.Inf(-1))
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (z < a.Z && z < b.Z) || (z > a.Z && z > b.Z) {
			continue
		}
		x, far := a.X, b.X // a horizontal edge lies in the row with both its ends
		if a.Z != b.Z {
			x = a.X + (b.X-a.X)*(z-a.Z)/(b.Z-a.Z)
			far = x
		}
		from, to = min(from, x, far), max(to, x, far)
	}
	if !(from <= to) {
		return si.Unknown[si.Length](), si.Unknown[si.Length]()
	}
	return from, to
}

// Area returns the area of a polygon that does not cross itself.
//
//	A = ½ |Σ (xᵢ zᵢ₊₁ − xᵢ₊₁ zᵢ)|
//
// Valid: simple polygons; NaN for fewer than three points.
// Source: the shoelace formula, e.g. Bronshtein and Semendyayev, Handbook of
// Mathematics, analytic geometry of the plane (from memory); checked against
// trapezoids worked out by hand in section_test.go.
func (p Polygon) Area() si.Area {
	if len(p) < 3 {
		return si.Unknown[si.Area]()
	}
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += float64(a.X)*float64(b.Z) - float64(b.X)*float64(a.Z)
	}
	return si.Area(math.Abs(sum) / 2)
}

// mapped is the outline with every point mapped.
func (p Polygon) mapped(point func(Point) Point) Polygon {
	q := slices.Clone(p)
	for i := range q {
		q[i] = point(q[i])
	}
	return q
}

// Mirror returns the section as seen by a probe on the other side: X changes
// its sign, and A and B change places, in the names of the faces too. The faces
// keep their order, so that Faces[i] of both sections is the same face.
func (s *Section) Mirror() *Section {
	point := func(p Point) Point { return Point{0 - p.X, p.Z} } // 0 - x: no negative zero
	m := s.mapped(point)
	m.bend, m.through = s.bend, s.through
	m.Top, m.Bottom = s.Top.mapped(point), s.Bottom.mapped(point)
	m.capSpan, m.rootSpan = s.capSpan.mirror(), s.rootSpan.mirror()
	for _, t := range s.Transitions {
		m.Transitions = append(m.Transitions, t.mapped(Opposite(t.Side), t.Bottom, point))
	}
	for i, f := range s.Faces {
		side := Opposite(f.Side)
		m.Faces[i] = Face{
			Name: side + strings.TrimPrefix(f.Name, f.Side), Side: side, RootFace: f.RootFace,
			Upper: point(f.Upper), Lower: point(f.Lower), Bend: f.Bend,
		}
		if f.Radius > 0 {
			m.Faces[i].Radius, m.Faces[i].Centre = f.Radius, point(f.Centre)
		}
	}
	return m
}

// Flip returns the section as seen by a probe on the other surface: top and
// bottom change places, and so do upper and lower in the names of the faces.
// The faces keep their order, so that Faces[i] of both sections is the same
// face, with its upper and lower end exchanged. X of a bent section becomes the
// arc along the other surface.
func (s *Section) Flip() *Section {
	scale := s.bend.scale(float64(s.Thickness))
	point := func(p Point) Point { return Point{p.X * si.Length(scale), s.Thickness - p.Z} }
	m := s.mapped(point)
	if s.bend != 0 {
		m.bend = bend(s.Thickness) - s.bend
	}
	m.Top, m.Bottom = s.Bottom.mapped(point), s.Top.mapped(point)
	m.Cap, m.Root = m.Root, m.Cap
	m.capSpan, m.rootSpan = s.rootSpan.spread(1/scale), s.capSpan.spread(1/scale)
	for _, t := range s.Transitions {
		m.Transitions = append(m.Transitions, t.mapped(t.Side, !t.Bottom, point))
	}
	exchange := strings.NewReplacer("upper", "lower", "lower", "upper")
	for i, f := range s.Faces {
		m.Faces[i] = Face{
			Name: exchange.Replace(f.Name), Side: f.Side, RootFace: f.RootFace,
			Upper: point(f.Lower), Lower: point(f.Upper), Bend: si.Length(m.bend),
		}
		if f.Radius > 0 {
			m.Faces[i].Radius, m.Faces[i].Centre = f.Radius, point(f.Centre)
		}
	}
	return m
}

// mapped copies the section with every outline mapped by a reflection. The
// points are reversed, so that outlines keep their sense of rotation.
func (s *Section) mapped(point func(Point) Point) *Section {
	outline := func(p Polygon) Polygon {
		q := p.mapped(point)
		slices.Reverse(q)
		return q
	}
	return &Section{
		Thickness: s.Thickness,
		Weld:      outline(s.Weld), Volume: outline(s.Volume),
		Cap: outline(s.Cap), Root: outline(s.Root), Flange: s.Flange.mapped(point),
		Faces: make([]Face, len(s.Faces)),
	}
}

// Opposite returns the other side of the weld.
func Opposite(side string) string {
	if side == "A" {
		return "B"
	}
	return "A"
}
