package geometry

import (
	"math"

	"soundwrit/internal/si"
)

// FromFlange returns the section of a T-butt weld as a probe sees it that stands
// on the outer face of the flange: X along that face, from zero at the middle of
// the web, positive where the web's bottom is; Z from the outer face towards the
// web. Thickness is that of the flange. The far wall is its inner face, in which
// the web leaves a gap: through that, rays go on into the weld and between the
// surfaces of the web, which they leave no more.
//
// Each depth may cut the volume and the weld into two stretches, of which Row
// gives the ends of both together. The faces keep their order and the order of
// their ends.
func (s *Section) FromFlange() *Section {
	f := s.Flange
	m := &Section{
		Thickness: f.Outer - f.Face, Weld: s.Weld.mapped(f.Seen), Volume: s.Volume.mapped(f.Seen),
		rootSpan: span{float64(f.Seen(f.toes[0]).X), float64(f.Seen(f.toes[1]).X)},
	}
	for _, face := range s.Faces {
		m.Faces = append(m.Faces, face.mapped(f.Seen))
	}
	for _, p := range m.Volume {
		m.through = max(m.through, p.Z)
	}
	m.Top = wallOf(nil, 0)
	near, far := f.Seen(Point{f.Face, 0}), f.Seen(Point{f.Face, s.Thickness})
	end := 2 * m.through // of the web: farther than any place that counts
	inf := si.Length(math.Inf(1))
	m.Bottom = Wall{
		Corners: []Point{near, {near.X, end}, {far.X, end}, far},
		Levels:  []Level{{-inf, near.X, near.Z}, {far.X, inf, far.Z}},
	}
	return m
}

// Seen maps a place of the section to where a probe on the flange's outer face
// sees it.
func (f *Flange) Seen(p Point) Point { return Point{p.Z - f.middle, f.Outer - p.X} }

// Drawn is the inverse of Seen.
func (f *Flange) Drawn(p Point) Point { return Point{f.Outer - p.Z, p.X + f.middle} }
