package geometry

import (
	"math"
	"slices"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// profile is one side of the weld from the top surface to the bottom. X is the
// distance from the centreline, so that both sides are built alike.
type profile []corner

// corner ends a piece of the face, which comes down from the corner before.
// Corners that follow each other with one piece belong to one radius.
type corner struct {
	x, z  float64
	piece piece
}

// piece is what a stretch of a side is: its name, and for a radius the circle.
type piece struct {
	name string
	arc  arc
}

// arc is the circle of a radius; its zero value is a straight line.
type arc struct{ x, z, radius float64 }

// The names of the pieces. A plain bevel has no name of its own, and in a joint
// that has two the upper and the lower are told apart.
const (
	plain    = ""
	upper    = "upper"
	lower    = "lower"
	rootFace = "root face"
	square   = "square"
	flange   = "flange"
)

// form is what the preparations have in common and what tells them apart.
type form struct {
	double   bool // prepared from both surfaces
	oneSided bool // the other edge is square
	round    bool // has a radius between root face and bevel
	compound bool // has two bevels one above the other
}

// formOf returns the form of a preparation that has a groove.
func formOf(preparation string) (f form, ok bool) {
	switch preparation {
	case "single-V":
	case "double-V":
		f.double = true
	case "single-bevel":
		f.oneSided = true
	case "double-bevel":
		f.oneSided, f.double = true, true
	case "single-U", "narrow-gap":
		f.round = true
	case "double-U":
		f.round, f.double = true, true
	case "single-J":
		f.round, f.oneSided = true, true
	case "double-J":
		f.round, f.oneSided, f.double = true, true, true
	case "compound-bevel":
		f.compound = true
	default:
		return f, false
	}
	return f, true
}

// sides returns the profiles of both sides, or false where a dimension is
// unknown or impossible.
func sides(part *schema.Part) (a, b profile, ok bool) {
	w := &part.Weld
	t, gap := float64(part.Thickness), float64(w.RootGap)/2
	if !(t > 0) || math.IsInf(t, 0) || !(gap >= 0) || math.IsInf(gap, 0) {
		return nil, nil, false
	}
	upright := profile{{x: gap}, {gap, t, piece{name: square}}}
	if part.Flange != nil {
		upright[1].piece.name = flange
	}
	if w.Preparation == "square" && part.Flange == nil {
		return upright, upright, true
	}
	f, ok := formOf(w.Preparation)
	if !ok || part.Flange != nil && !(f.oneSided && w.BevelledSide == "A" && part.Kind != "pipe") {
		return nil, nil, false
	}
	groove := grooved(f, w, t, gap)
	switch {
	case groove == nil:
		return nil, nil, false
	case !f.oneSided:
		return groove, groove, true
	case w.BevelledSide == "A":
		return groove, upright, true
	case w.BevelledSide == "B":
		return upright, groove, true
	}
	return nil, nil, false
}

// grooved is a side that is cut from one surface or from both; nil where a
// dimension is unknown or does not fit.
func grooved(f form, w *schema.Weld, t, gap float64) profile {
	land := float64(w.RootFace)
	if !(land >= 0 && land <= t) {
		return nil
	}
	one := groove{depth: t - land, angle: float64(w.BevelAngle)}
	if f.round {
		one.radius = float64(w.RootRadius)
	}
	if f.double {
		two := one
		two.name, one.name = lower, upper
		if !math.IsNaN(float64(w.UpperDepth)) {
			one.depth = float64(w.UpperDepth)
		} else {
			one.depth /= 2
		}
		if !math.IsNaN(float64(w.LowerAngle)) {
			two.angle = float64(w.LowerAngle)
		}
		two.depth = t - land - one.depth
		if two.depth < 0 && two.depth > -1e-9*t { // float noise of a depth that leaves nothing
			two.depth = 0
		}
		if !one.fits() || !two.fits() {
			return nil
		}
		p := append(one.above(gap), corner{gap, one.depth + land, piece{name: rootFace}})
		return append(p, two.below(gap, t)...)
	}
	if f.compound {
		one.outer, one.change = float64(w.OuterAngle), float64(w.BreakHeight)-land
		one.name, one.outerName = lower, upper
		if w.Opens == "bottom" {
			one.name, one.outerName = upper, lower
		}
		if !isBevel(one.outer) || !(one.change >= 0 && one.change <= one.depth) {
			return nil
		}
	}
	switch {
	case !one.fits():
		return nil
	case w.Opens == "top":
		return append(one.above(gap), corner{gap, t, piece{name: rootFace}})
	case w.Opens == "bottom":
		return append(profile{{x: gap}, {gap, land, piece{name: rootFace}}}, one.below(gap, t)...)
	}
	return nil
}

func isBevel(theta float64) bool { return theta >= 0 && theta < math.Pi/2 }

// groove is what is cut away on one side from one surface: from the edge of the
// root face a radius that begins along the surface, and from its end, without a
// kink, a bevel up to the surface. A compound groove changes from its bevel to
// the outer one at a height.
type groove struct {
	name          string
	depth         float64 // from the surface to the root face
	angle, radius float64 // of the bevel; of the radius, zero for none

	outerName     string
	outer, change float64 // compound: angle of the outer bevel, height over the root face where it begins
}

// fits reports whether the groove can be cut: its radius must end below the
// surface, float noise apart.
func (g groove) fits() bool {
	return isBevel(g.angle) && g.radius >= 0 && g.radius*(1-math.Sin(g.angle)) <= g.depth*(1+1e-9)+1e-12
}

// finest is how much of a radius one straight piece of its outline stands for:
// of 3° the area of the sector is short by less than one part in two thousand.
const finest = 3 * math.Pi / 180

// rise is the groove from the edge of the root face to the surface, with
// heights over the root face in the place of depths.
//
//	x(φ) = b/2 + R sin φ,  z(φ) = R (1 − cos φ),  0 ≤ φ ≤ 90° − β
//	w = b/2 + R cos β + (h − R (1 − sin β)) tan β
//
// b is the root gap, R the radius, β the bevel angle, h the depth of the groove,
// w half its width at the surface, or the distance from the centreline there.
// Valid: R (1 − sin β) ≤ h, which fits tells; R = 0 is a plain bevel.
// Source: a circle that is tangent to the surface's direction at the root face
// and to the bevel; checked by areas worked out by hand in preparation_test.go.
func (g groove) rise(gap float64) profile {
	p := profile{{x: gap}}
	if g.radius > 0 {
		round := piece{name: joined(g.name, "radius"), arc: arc{gap, g.radius, g.radius}}
		sweep := math.Pi/2 - g.angle
		n := math.Ceil(sweep / finest)
		for i := 1.0; i <= n; i++ {
			sin, cos := math.Sincos(sweep * i / n)
			p = append(p, corner{gap + g.radius*sin, g.radius * (1 - cos), round})
		}
	}
	straight := func(height, angle float64, name string) {
		from := p[len(p)-1]
		p = append(p, corner{from.x + max(0, height-from.z)*math.Tan(angle), height, piece{name: name}})
	}
	if g.outerName != "" {
		straight(g.change, g.angle, g.name)
		straight(g.depth, g.outer, g.outerName)
	} else {
		straight(g.depth, g.angle, g.name)
	}
	return p
}

func joined(a, b string) string {
	if a == plain || b == plain {
		return a + b
	}
	return a + " " + b
}

// above is the groove from the top surface down to the root face.
func (g groove) above(gap float64) profile {
	rise := g.rise(gap)
	p := make(profile, len(rise))
	for i, c := range rise {
		at := &p[len(rise)-1-i]
		at.x, at.z = c.x, g.depth-c.z
		if i > 0 { // a piece is named by its upper end here, by its lower end there
			below := c.piece
			below.arc.z = g.depth - below.arc.z
			p[len(rise)-i].piece = below
		}
	}
	return p
}

// below is the groove from the root face, without its edge, down to the bottom
// surface at t.
func (g groove) below(gap, t float64) profile {
	p := g.rise(gap)[1:]
	for i := range p {
		p[i].z += t - g.depth
		p[i].piece.arc.z += t - g.depth
	}
	p[len(p)-1].z = t // not a rounding beside it
	return p
}

func upright(x, t float64) profile { return profile{{x: x}, {x: x, z: t}} }

// lowered is the side at a greater depth.
func (p profile) lowered(by float64) profile {
	if by == 0 {
		return p
	}
	q := slices.Clone(p)
	for i := range q {
		q[i].z += by
		q[i].piece.arc.z += by
	}
	return q
}

// boundary is the side moved outwards. Radii and the root face between them
// give way to an upright from the wider end of the radii.
func (p profile) boundary(width float64) profile {
	first, last, end := 0, 0, 0.0 // corners between which that is so, and where it stands
	for i := 1; i < len(p); i++ {
		if round := p[i].piece.arc.radius > 0; round || p[i].piece.name == rootFace {
			if last == 0 {
				first = i - 1
			}
			last = i
			if round {
				end = max(end, p[i-1].x, p[i].x)
			}
		}
	}
	var q profile
	for i, c := range p {
		inner := end > 0 && first <= i && i <= last
		if inner && i == last {
			q = append(q, corner{x: end + width, z: c.z})
		}
		// The ends of radii keep their place too, but for those at a surface,
		// which are edges of the root face.
		if !inner || i == first && i > 0 || i == last && i < len(p)-1 {
			q = append(q, corner{x: c.x + width, z: c.z})
		}
		if inner && i == first {
			q = append(q, corner{x: end + width, z: c.z})
		}
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
	for from := 0; from+1 < len(p); {
		piece, to := p[from+1].piece, from+1
		for piece.arc.radius > 0 && to+1 < len(p) && p[to+1].piece == piece {
			to++
		}
		if p[to].z-p[from].z > 1e-9 {
			f := Face{
				Name: joined(side, piece.name), Side: side, RootFace: piece.name == rootFace,
				Upper: point(sign*p[from].x, p[from].z), Lower: point(sign*p[to].x, p[to].z),
			}
			if r := piece.arc.radius; r > 0 {
				f.Radius, f.Centre = si.Length(r), point(sign*piece.arc.x, piece.arc.z)
			}
			faces = append(faces, f)
		}
		from = to
	}
	return faces
}
