package geometry

import (
	"math"
	"slices"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Flange is the plate across the end of the web of a T-butt weld: two upright
// surfaces, which have no end.
type Flange struct {
	Face  si.Length // X of the face to which the web is welded
	Outer si.Length // X of the outer face

	middle si.Length // depth of the middle of the web
	toes   [2]Point  // of the fillets on the face, at the top of the web and at its bottom
}

// tee builds a T-butt weld from the edge of its web, which lies on side A. The
// flange's face is the square edge of the joint, on side B.
//
// The surfaces of the web end at the flange, and so do the rays that turn on
// them. Beyond the face the volume is the zone of parent metal, as wide as beside
// the weld but no wider than the flange, and along the face from the toe of one
// fillet to that of the other and the width of the zone more. The fillets are
// reinforcements: they do not belong to the volume. Each is a triangle between
// the toes.
//
// What is unknown leaves the section without a volume.
func (s *Section) tee(part *schema.Part, web profile) {
	t, face, thick, zone := float64(part.Thickness), float64(part.Weld.RootGap)/2, float64(part.Flange.Thickness), float64(part.Zone.Width)
	s.capSpan, s.rootSpan = fillet(part.Weld.Cap, face), fillet(part.Weld.Root, face)
	above, below := leg(part.Weld.Cap), leg(part.Weld.Root)
	if !(thick > 0) || !(zone >= 0) || math.IsInf(thick+zone+above+below, 0) || math.IsNaN(above+below+s.capSpan.to+s.rootSpan.to) {
		return
	}
	s.Flange = &Flange{
		Face: si.Length(face), Outer: si.Length(face + thick),
		middle: part.Thickness / 2, toes: [2]Point{point(face, -above), point(face, t+below)},
	}
	s.Cap, s.Root = triangle(s.capSpan, 0, -above), triangle(s.rootSpan, t, below)

	above, below = above+zone, below+zone // how far the volume goes along the flange
	end := thick + t                      // farther than any ray that counts
	s.Top = webWall(point(face, 0), point(face, -above-end))
	s.Bottom = webWall(point(face, t), point(face, t+below+end))

	var beside profile
	switch part.Zone.Boundary {
	case "parallel":
		beside = web.boundary(zone)
	case "straight":
		beside = upright(max(web.widest(), -s.capSpan.from, -s.rootSpan.from)+zone, t)
	default:
		return
	}
	far := face + min(zone, thick)
	for _, c := range slices.Backward(beside) {
		s.Volume = append(s.Volume, point(-c.x, c.z))
	}
	if far == face { // no zone: the weld alone
		s.Volume = append(s.Volume, point(face, 0), point(face, t))
		return
	}
	s.Volume = append(s.Volume,
		point(face, 0), point(face, -above), point(far, -above), point(far, t+below), point(face, t+below), point(face, t))
}

// webWall is a surface of the web, which ends at the corner with the flange.
func webWall(corner, end Point) Wall {
	return Wall{Corners: []Point{corner, end}, Levels: []Level{{si.Length(math.Inf(-1)), corner.X, corner.Z}}}
}

// fillet returns where a fillet begins on the web, and where it ends, which is
// the flange's face.
func fillet(r schema.Reinforcement, face float64) span {
	switch {
	case r.Condition == "flush":
		return span{}
	case r.Condition == "as-welded" && r.Width >= 0 && !math.IsInf(float64(r.Width), 0):
		return span{face - float64(r.Width), face}
	}
	return span{math.NaN(), math.NaN()}
}

// leg is that of a fillet along the flange: zero where there is none, NaN where
// unknown.
func leg(r schema.Reinforcement) float64 {
	switch {
	case r.Condition == "flush":
		return 0
	case r.Condition == "as-welded" && r.Height >= 0:
		return float64(r.Height)
	}
	return math.NaN()
}

// triangle outlines a fillet over the surface at a depth; nil where there is
// none.
func triangle(s span, z, leg float64) Polygon {
	if !(s.to > s.from) || leg == 0 {
		return nil
	}
	return Polygon{point(s.from, z), point(s.to, z+leg), point(s.to, z)}
}

// mapped copies a flange with its faces mapped by a reflection; nil stays nil.
func (f *Flange) mapped(point func(Point) Point) *Flange {
	if f == nil {
		return nil
	}
	m := &Flange{
		Face: point(Point{X: f.Face}).X, Outer: point(Point{X: f.Outer}).X,
		middle: point(Point{Z: f.middle}).Z, toes: [2]Point{point(f.toes[0]), point(f.toes[1])},
	}
	if m.toes[0].Z > m.toes[1].Z {
		slices.Reverse(m.toes[:])
	}
	return m
}
