package geometry

import (
	"math"

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
	s := &Section{Thickness: part.Thickness}
	a, b, ok := sides(part)
	if !ok {
		s.capSpan, s.rootSpan = reinforcement(part.Weld.Cap, math.NaN()), reinforcement(part.Weld.Root, math.NaN())
		return s
	}
	s.Weld = between(a, b)
	s.Faces = append(a.faces("A", -1), b.faces("B", 1)...)

	t := float64(part.Thickness)
	s.capSpan = reinforcement(part.Weld.Cap, (b[0].x-a[0].x)/2)
	s.rootSpan = reinforcement(part.Weld.Root, (b[len(b)-1].x-a[len(a)-1].x)/2)
	s.Cap = bead(s.capSpan, 0, -float64(part.Weld.Cap.Height))
	s.Root = bead(s.rootSpan, t, t+float64(part.Weld.Root.Height))

	width := float64(part.Zone.Width)
	if !(width >= 0) || math.IsInf(width, 0) || math.IsNaN(s.capSpan.to+s.rootSpan.to) {
		return s
	}
	switch part.Zone.Boundary {
	case "parallel":
		s.Volume = between(a.moved(width), b.moved(width))
	case "straight":
		s.Volume = between(
			upright(max(a.widest(), -s.capSpan.from, -s.rootSpan.from)+width, t),
			upright(max(b.widest(), s.capSpan.to, s.rootSpan.to)+width, t))
	}
	return s
}

// profile is one side of the weld from the top surface to the bottom. X is the
// distance from the centreline, so that both sides are built alike.
type profile []corner

// corner ends the piece of face that is named, which comes down from the
// corner before.
type corner struct {
	x, z  float64
	piece string
}

// The pieces of a profile. A plain bevel has no name of its own.
const (
	bevel    = ""
	upper    = "upper"
	lower    = "lower"
	rootFace = "root face"
	square   = "square"
)

// sides returns the profiles of both sides, or false where a dimension is
// unknown or impossible.
func sides(part *schema.Part) (a, b profile, ok bool) {
	w := &part.Weld
	t, land, gap := float64(part.Thickness), float64(w.RootFace), float64(w.RootGap)/2
	theta := float64(w.BevelAngle)
	if !(t > 0) || math.IsInf(t, 0) || !(land >= 0 && land <= t) || !(gap >= 0) || math.IsInf(gap, 0) || !isBevel(theta) {
		return nil, nil, false
	}
	switch w.Preparation {
	case "single-V":
		a = single(w.Opens, t, land, gap, theta)
		return a, a, a != nil
	case "single-bevel":
		v, plain := single(w.Opens, t, land, gap, theta), profile{{x: gap}, {gap, t, square}}
		if w.BevelledSide == "B" {
			return plain, v, v != nil
		}
		return v, plain, v != nil && w.BevelledSide == "A"
	case "double-V":
		depth, below := float64(w.UpperDepth), float64(w.LowerAngle)
		if math.IsNaN(depth) {
			depth = (t - land) / 2
		}
		if math.IsNaN(below) {
			below = theta
		}
		rest := t - land - depth
		if rest < 0 && rest > -1e-9*t { // float noise of a depth that leaves nothing
			rest = 0
		}
		if !(depth >= 0 && rest >= 0) || !isBevel(below) {
			return nil, nil, false
		}
		a = profile{
			{x: gap + depth*math.Tan(theta)},
			{gap, depth, upper},
			{gap, depth + land, rootFace},
			{gap + rest*math.Tan(below), t, lower},
		}
		return a, a, true
	}
	return nil, nil, false
}

func isBevel(theta float64) bool { return theta >= 0 && theta < math.Pi/2 }

// single is a preparation that is wide at one surface and has its root face at
// the other; nil where the surface is not stated.
func single(opens string, t, land, gap, theta float64) profile {
	wide := gap + (t-land)*math.Tan(theta)
	switch opens {
	case "top":
		return profile{{x: wide}, {gap, t - land, bevel}, {gap, t, rootFace}}
	case "bottom":
		return profile{{x: gap}, {gap, land, rootFace}, {wide, t, bevel}}
	}
	return nil
}

func upright(x, t float64) profile { return profile{{x: x}, {x: x, z: t}} }

func (p profile) moved(width float64) profile {
	q := make(profile, len(p))
	for i, c := range p {
		q[i] = corner{c.x + width, c.z, c.piece}
	}
	return q
}

func (p profile) widest() float64 {
	x := 0.0
	for _, c := range p {
		x = max(x, c.x)
	}
	return x
}

// faces returns the pieces that have a length, as faces of the side named. A
// piece of less than a nanometre is float noise.
func (p profile) faces(side string, sign float64) []Face {
	var faces []Face
	for i := 1; i < len(p); i++ {
		if !(p[i].z-p[i-1].z > 1e-9) {
			continue
		}
		name := side
		if p[i].piece != bevel {
			name += " " + p[i].piece
		}
		faces = append(faces, Face{
			Name: name, Side: side, RootFace: p[i].piece == rootFace,
			Upper: point(sign*p[i-1].x, p[i-1].z), Lower: point(sign*p[i].x, p[i].z),
		})
	}
	return faces
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

// bead outlines a reinforcement that stands on the surface at depth z and ends
// at depth top; nil where there is none.
func bead(s span, z, top float64) Polygon {
	if !(s.to > s.from) || !(math.Abs(top-z) > 0) {
		return nil
	}
	const pieces = 12
	outline := make(Polygon, 0, pieces+1)
	for i := 0; i <= pieces; i++ {
		u := 2*float64(i)/pieces - 1 // -1 at one toe, 1 at the other
		outline = append(outline, point(s.from+(s.to-s.from)*float64(i)/pieces, z+(top-z)*(1-u*u)))
	}
	return outline
}
