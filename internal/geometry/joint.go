package geometry

import (
	"math"
	"slices"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// New builds the section of a part: the weld metal between the surfaces with
// its root gap, the fusion faces, the reinforcements, and the volume to be
// examined, which is the weld and the zone of parent metal beside it.
//
// The zone's boundary "straight" is a vertical plane at the zone's width from
// the widest place of the weld on that side, where a reinforcement that is as
// welded counts with its toe. The boundary "parallel" is the fusion face, root
// face included, moved outwards along the surface by the zone's width. Either
// way the volume ends at the surfaces: reinforcements do not belong to it.
//
// A reinforcement has the width and the height of the job, its middle over the
// middle of the weld at that surface, and a parabola for its outline, which is
// for drawing only.
//
// A section that cannot be built, because a dimension is unknown or does not
// fit, is returned without weld and volume, and Known reports false.
func New(part *schema.Part) *Section {
	s := &Section{Thickness: part.Thickness, bend: bendOf(part)}
	a, b, ok := sides(part)
	off := float64(part.Weld.Misalignment)
	ok = ok && (off == 0 || s.bend == 0 && part.Flange == nil && math.Abs(off) < float64(part.Thickness)) // false where it is unknown
	var faces []Face
	if ok {
		var beside []Face
		a, faces = a.bent(s.bend, float64(part.Thickness), "A", -1)
		b, beside = b.lowered(off).bent(s.bend, float64(part.Thickness), "B", 1)
		faces = append(faces, beside...)
		ok = a != nil && b != nil
	}
	if !ok && part.Flange != nil {
		s.capSpan, s.rootSpan = fillet(part.Weld.Cap, math.NaN()), fillet(part.Weld.Root, math.NaN())
		return s
	}
	if !ok {
		s.capSpan, s.rootSpan = reinforcement(part.Weld.Cap, math.NaN()), reinforcement(part.Weld.Root, math.NaN())
		return s
	}
	s.Weld = s.spread(between(a, b))
	s.Faces = faces

	// In a bent section what is measured along a surface is measured there, and
	// becomes an arc along the surface at depth 0 last of all.
	if part.Flange != nil {
		s.tee(part, a)
		return s
	}
	t := float64(part.Thickness)
	s.capSpan = reinforcement(part.Weld.Cap, (b[0].x-a[0].x)/2)
	s.rootSpan = reinforcement(part.Weld.Root, (b[len(b)-1].x-a[len(a)-1].x)/2)
	s.Cap = s.spread(bead(s.capSpan, 0, off, -float64(part.Weld.Cap.Height)))
	s.Root = s.spread(bead(s.rootSpan, t, t+off, float64(part.Weld.Root.Height)))
	capSpan, rootSpan := s.capSpan, s.rootSpan
	s.rootSpan = rootSpan.spread(s.bend.scale(t))

	if !s.walls(part, a, b) {
		return s
	}
	width := float64(part.Zone.Width)
	if !(width >= 0) || math.IsInf(width, 0) || math.IsNaN(capSpan.to+rootSpan.to) {
		return s
	}
	switch part.Zone.Boundary {
	case "parallel":
		s.Volume = s.spread(s.within(a.boundary(width), b.boundary(width)))
	case "straight":
		s.Volume = s.spread(s.within(
			upright(max(a.widest(), -capSpan.from, -rootSpan.from)+width, t),
			upright(max(b.widest(), capSpan.to, rootSpan.to)+width, t)))
	}
	return s
}

// between is the outline of what lies between the two sides: along the top
// from A to B, down B, and up A.
func between(a, b profile) Polygon {
	var outline Polygon
	add := func(p Point) {
		if n := len(outline); n == 0 || outline[n-1] != p {
			outline = append(outline, p)
		}
	}
	add(point(-a[0].x, a[0].z))
	for _, c := range b {
		add(point(c.x, c.z))
	}
	for i := len(a) - 1; i > 0; i-- {
		add(point(-a[i].x, a[i].z))
	}
	if n := len(outline); n > 1 && outline[n-1] == outline[0] {
		outline = outline[:n-1]
	}
	return outline
}

func point(x, z float64) Point { return Point{si.Length(x + 0), si.Length(z)} } // + 0: no negative zero

// reinforcement returns where a reinforcement begins and ends.
func reinforcement(r schema.Reinforcement, middle float64) span {
	half := math.NaN()
	switch {
	case r.Condition == "flush":
		return span{}
	case r.Condition == "as-welded" && r.Width >= 0 && !math.IsInf(float64(r.Width), 0):
		half = float64(r.Width) / 2
	}
	return span{middle - half, middle + half}
}

// bead outlines a reinforcement that stands over the surface between its toes,
// which lie at two depths, and rises from it by the height given, which is
// negative at the top; nil where there is none.
func bead(s span, a, b, height float64) Polygon {
	if !(s.to > s.from) || !(math.Abs(height) > 0) {
		return nil
	}
	const pieces = 12
	outline := make(Polygon, 0, pieces+1)
	for i := 0; i <= pieces; i++ {
		u := 2*float64(i)/pieces - 1 // -1 at one toe, 1 at the other
		outline = append(outline, point(s.from+(s.to-s.from)*float64(i)/pieces, a+(b-a)*(u+1)/2+height*(1-u*u)))
	}
	return outline
}

// within is the outline of what lies between two boundaries and between the
// walls, to which the boundaries are made longer or shorter by uprights.
func (s *Section) within(a, b profile) Polygon {
	if len(s.Top.Corners)+len(s.Bottom.Corners) == 0 {
		return between(a, b)
	}
	a, b = s.upTo(a, -1), s.upTo(b, 1)
	outline := between(a, b)
	// between goes along the top, down B and up A.
	last := len(b)
	for i := range outline { // where B ends at the bottom
		if outline[i] == point(b[len(b)-1].x, b[len(b)-1].z) {
			last = i + 1
		}
	}
	bottom := s.Bottom.between(si.Length(-a[len(a)-1].x), si.Length(b[len(b)-1].x))
	slices.Reverse(bottom)
	outline = slices.Insert(outline, last, bottom...)
	return slices.Insert(outline, 1, s.Top.between(si.Length(-a[0].x), si.Length(b[0].x))...)
}

// upTo returns a boundary that begins at the top wall and ends at the bottom.
func (s *Section) upTo(p profile, sign float64) profile {
	p = slices.Clone(p)
	first := &p[0]
	if top := float64(s.Top.At(si.Length(sign * first.x))); top != first.z {
		if p[1].x == first.x || top > first.z && top < p[1].z {
			first.x += (p[1].x - first.x) * math.Max(0, top-first.z) / (p[1].z - first.z)
			first.z = top
		} else {
			p = append(profile{{x: first.x, z: top}}, p...)
		}
	}
	last := &p[len(p)-1]
	if bottom := float64(s.Bottom.At(si.Length(sign * last.x))); bottom != last.z {
		if before := p[len(p)-2]; before.x == last.x || bottom < last.z && bottom > before.z {
			last.x += (before.x - last.x) * math.Max(0, last.z-bottom) / (last.z - before.z)
			last.z = bottom
		} else {
			p = append(p, corner{x: last.x, z: bottom})
		}
	}
	return p
}
