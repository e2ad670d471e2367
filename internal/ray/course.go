package ray

import (
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// Course is how a ray goes between an element and a place in the part: through
// the wedge, then over legs between the outer walls of the part, each of its own
// kind of wave. The way back to the probe is the same course with its legs
// counted from the probe, since a ray can be followed both ways.
type Course struct {
	Wedge   si.Speed
	Coating Layer // between wedge and part, crossed on the way in and out; walls reflect below it
	Part    Part
	Legs    []acoustics.Wave // from the probe on; the first goes down, the next up
}

// Waves returns so many legs of one wave.
func Waves(wave acoustics.Wave, legs int) []acoustics.Wave {
	if legs < 1 {
		return nil
	}
	return slices.Repeat([]acoustics.Wave{wave}, legs)
}

// Equal reports whether rays go alike on two courses. Densities, which may be
// unknown, make no difference to them.
func (c *Course) Equal(d *Course) bool {
	alike := func(a, b Stratum) bool {
		return a.Thickness == b.Thickness && a.Longitudinal == b.Longitudinal && a.Transverse == b.Transverse
	}
	return c.Wedge == d.Wedge && c.Coating == d.Coating && c.Part.Base == d.Part.Base && c.Part.Radius == d.Part.Radius &&
		slices.Equal(c.Legs, d.Legs) && slices.EqualFunc(c.Part.Strata, d.Part.Strata, alike)
}

// Speed returns that of the wave of a leg, counted from 1, in the base metal.
func (c *Course) Speed(leg int) si.Speed {
	if leg < 1 || leg > len(c.Legs) {
		return si.Unknown[si.Speed]()
	}
	return c.Part.Speed(c.Legs[leg-1])
}

// At returns the speed of the wave of a leg at depth z. Where two strata meet it
// is that of the upper one.
func (c *Course) At(leg int, z si.Length) si.Speed {
	if leg < 1 || leg > len(c.Legs) {
		return si.Unknown[si.Speed]()
	}
	lower, speed := si.Length(0), si.Unknown[si.Speed]()
	for k := range c.Part.Strata {
		s := &c.Part.Strata[k]
		speed, lower = s.Speed(c.Legs[leg-1]), lower+s.Thickness
		if z <= lower {
			break
		}
	}
	return speed
}

// AtElement returns the speed in which an element works: of the wedge, or of what
// it touches.
func (c *Course) AtElement(e Element) si.Speed {
	switch {
	case e.Height != 0:
		return c.Wedge
	case c.Coating.Thickness != 0:
		return c.Coating.Speed
	}
	return c.At(1, 0)
}

// Wall returns the depth at which a leg ends.
func (c *Course) Wall(leg int) si.Length {
	if leg%2 == 1 {
		return c.Part.Thickness()
	}
	return 0
}

// Ray is one ray of a course, known by its slowness along the scan surface,
// which is the same everywhere on it. Where a ray does not come, or the course
// does not exist, all that is asked of it there is NaN.
type Ray struct {
	course *Course
	from   Element

	// tan is the tangent of the angle, signed as X, which the ray has or would have
	// where its slowness could not be more than limit. Nothing is lost with it
	// near grazing.
	tan, limit float64
}

// Leave returns the ray that leaves an element towards the given refracted
// angle, which is that of the first leg in the base metal at the scan surface.
//
//	p = sin α / c, the slowness along the scan surface
//
// Valid: |α| < 90°; NaN otherwise.
// Source: Snell's law.
func (c *Course) Leave(from Element, angle si.Angle) Ray {
	r := Ray{c, from, math.NaN(), math.NaN()}
	if len(c.Legs) > 0 && math.Abs(float64(angle)) < math.Pi/2 {
		r.tan, r.limit = angle.Tan(), 1/float64(c.Part.Speed(c.Legs[0]))
	}
	return r
}

// To returns the ray from an element to the place at x and depth z on the last
// leg, and its time, one way.
//
//	Σ run(p) = x − X₀, the sum over all that is crossed; see Ray.X
//
// A place on the scan surface is taken a nanometre below it, so that a direct ray
// has a length there, and a place beyond the wall at which the leg ends as if the
// leg went on. On a cylinder a place is reached going towards that wall: one that
// a ray would meet only after it has passed the axis is not reached.
// Valid: places past the beginning of the last leg, heights ≥ 0, known speeds; NaN
// otherwise, and where no ray reaches the place.
// Source: Fermat's principle, Snell's law at flat and at circular walls; brute
// force in course_test.go.
func (c *Course) To(from Element, x, z si.Length) (Ray, si.Time) {
	depth := sought(len(c.Legs), z)
	if speed, plain := c.plain(); plain {
		layers := [2]Layer{{from.Height, c.Wedge}, {c.unfolded(si.Length(depth)), speed}}
		used := layers[:]
		if from.Height == 0 {
			used = layers[1:] // without a wedge, whose speed may be unknown
		}
		path := Between(x-from.X, used)
		return Ray{c, from, path.tan, 1 / path.fastest}, path.Time
	}
	var store [12]slab
	crossed := c.slabs(store[:0], from, len(c.Legs), depth)
	path := level(x-from.X, crossed)
	r := Ray{c, from, path.tan, 1 / path.fastest}
	if c.Part.Radius == 0 {
		return r, path.Time
	}
	bend := c.Part.curvature()
	r.tan, r.limit = math.NaN(), math.NaN()
	if g := newRing(crossed, bend); math.Abs(float64(x-from.X)) <= g.farthest {
		r.tan, r.limit = g.ray(float64(x-from.X), path), g.limit
	}
	time := 0.0
	p := r.pace()
	for _, s := range crossed {
		time += p.over(s, bend).length / s.speed
	}
	return r, si.Time(time)
}

// Past returns the time of To as a smooth function of the place, on both sides of
// the farthest ray. Beyond it no ray comes, since it would have to graze a wall or
// turn before; the straight lines are followed on through the place at which that
// ray grazes. Open is the cosine of the ray's angle there, negative beyond; in a
// flat part 1.
//
// Valid: as To; NaN also for places too far beyond.
// Source: own derivation, see ring.past; in a part of one metal, without a turn at
// a wall, it is the time over the straight line past its lowest point.
func (c *Course) Past(from Element, x, z si.Length) (time si.Time, open si.Ratio) {
	if c.Part.Radius == 0 {
		_, time = c.To(from, x, z)
		return time, 1
	}
	var store [12]slab
	g := newRing(c.slabs(store[:0], from, len(c.Legs), sought(len(c.Legs), z)), c.Part.curvature())
	late, cosine := g.past(math.Abs(float64(x - from.X)))
	return si.Time(late), si.Ratio(cosine)
}

// sought is the depth at which a place is taken that is sought on a leg: on the
// first, one on the scan surface is a nanometre below it.
func sought(leg int, z si.Length) float64 {
	if leg == 1 && z > -1e-12 {
		return math.Max(float64(z), 1e-9)
	}
	return float64(z)
}

// plain reports whether all legs have one speed in a flat part of one metal.
func (c *Course) plain() (si.Speed, bool) {
	if c.Part.Radius != 0 || len(c.Part.Strata) != 1 || len(c.Legs) == 0 || c.Coating.Thickness != 0 {
		return 0, false
	}
	for _, leg := range c.Legs {
		if leg != c.Legs[0] {
			return 0, false
		}
	}
	return c.Part.Strata[0].Speed(c.Legs[0]), true
}

// unfolded is Unfold without the walls' limits.
func (c *Course) unfolded(z si.Length) si.Length {
	legs, thickness := si.Length(len(c.Legs)), c.Part.Strata[0].Thickness
	if len(c.Legs)%2 == 1 {
		return (legs-1)*thickness + z
	}
	return legs*thickness - z
}

// level is the ray through the same media between flat walls. Their order is all
// one, so that what has one speed counts as one layer.
func level(dx si.Length, crossed []slab) Path {
	var store [8]Layer
	layers := store[:0]
next:
	for _, s := range crossed {
		for i := range layers {
			if float64(layers[i].Speed) == s.speed {
				layers[i].Thickness += si.Length(s.lower - s.upper)
				continue next
			}
		}
		layers = append(layers, Layer{si.Length(s.lower - s.upper), si.Speed(s.speed)})
	}
	return Between(dx, layers)
}

// pace is the slowness of a ray along the scan surface, and what is left of its
// limit across.
type pace struct{ sine, cosine, limit float64 }

func (r Ray) pace() pace {
	across := 1 / math.Sqrt(1+r.tan*r.tan)
	return pace{r.limit * r.tan * across, r.limit * across, r.limit}
}

// cosineAt returns the cosine of the ray's angle where the radius is ratio times
// that of the scan surface, times that ratio; the sine times the ratio is p c.
//
//	ρ cos β = √(ρ² − p² c²)
//
// Of a line that is followed past the place that limits its slowness, cosine is
// negative, and so is this one there: see ring.past.
func (p pace) cosineAt(ratio, speed float64) float64 {
	a, b := p.limit*speed, p.cosine*speed
	square := (ratio-a)*(ratio+a) + b*b
	switch {
	case !(ratio > 0):
		return math.NaN() // beyond the axis
	case b < 0 && math.Abs(ratio-a) < 1e-12:
		return b
	case math.Abs(square) < 1e-14:
		return 0 // grazing, but for float noise
	}
	return math.Sqrt(square)
}

// piece is what a ray does in one slab: how far it moves along the scan surface,
// how long it is, and by how much the run grows with the slowness.
type piece struct{ run, length, slope float64 }

// over follows a ray through a slab. With ρ the radius over that of the scan
// surface, and κ the curvature, a straight line of slowness p has
//
//	w = ρ cos β = √(ρ² − p² c²); length Δz (ρ₁ + ρ₂) / (w₁ + w₂)
//	tan κX = κ p c length / (w₁ w₂ + p² c²); dX/dp = c length / (w₁ w₂)
//
// which are h tan β, h / cos β and c h / cos³ β where it is flat.
// Source: own derivation, from the angle between the two radii, β₂ − β₁.
func (p pace) over(s slab, bend float64) piece {
	above, below := 1-bend*s.upper, 1-bend*s.lower
	w1 := p.cosineAt(above, s.speed)
	w2 := w1
	if bend != 0 {
		w2 = p.cosineAt(below, s.speed)
	}
	sine := p.sine * s.speed
	length := (s.lower - s.upper) * (above + below) / (w1 + w2)
	run := sine * length / (w1*w2 + sine*sine)
	if math.Abs(bend*run) > 1e-8 {
		run = math.Atan2(bend*sine*length, w1*w2+sine*sine) / bend
	}
	return piece{run, length, s.speed * length / (w1 * w2)}
}

// X returns where the ray is at depth z on a leg, counted from 1.
//
//	X₀ + Σ run; of a straight line in one medium between the radii r₁ and r₂:
//	run = R (β₂ − β₁), r sin β / c the same everywhere; h tan β where it is flat
//
// Valid: legs of the course, 0 ≤ z ≤ the thickness; NaN otherwise, and where the
// ray turns back before it comes there.
// Source: Snell's law at concentric circles; published cases P148 to P150 in
// package acoustics and brute force in course_test.go.
func (r Ray) X(leg int, z si.Length) si.Length {
	x, _ := r.follow(leg, z)
	return x
}

// Time returns the time from the element to depth z on a leg, one way.
// Valid and Source: as X.
func (r Ray) Time(leg int, z si.Length) si.Time {
	_, t := r.follow(leg, z)
	return t
}

func (r Ray) follow(leg int, z si.Length) (si.Length, si.Time) {
	var store [12]slab
	p, bend := r.pace(), r.course.Part.curvature()
	x, time := 0.0, 0.0
	for _, s := range r.course.slabs(store[:0], r.from, leg, float64(z)) {
		o := p.over(s, bend)
		x += o.run
		time += o.length / s.speed
	}
	return r.from.X + si.Length(x), si.Time(time)
}

// Path returns the length of the ray within the part up to depth z on a leg.
// Valid and Source: as X.
func (r Ray) Path(leg int, z si.Length) si.Length {
	var store [12]slab
	p, bend, sum := r.pace(), r.course.Part.curvature(), 0.0
	for _, s := range r.course.within(store[:0], leg, float64(z)) {
		sum += p.over(s, bend).length
	}
	return si.Length(sum)
}

// InWedge returns the length of the ray in the wedge.
func (r Ray) InWedge() si.Length {
	if r.from.Height == 0 {
		return 0
	}
	contact := -float64(r.course.Coating.Thickness)
	s := slab{contact - float64(r.from.Height), contact, float64(r.course.Wedge), inWedge}
	return si.Length(r.pace().over(s, r.course.Part.curvature()).length)
}

// Front returns when a plane wave, of which this is one ray, passes a place: the
// ray's own time to that depth, and more for what lies farther along it.
//
//	T + p (x − X), p the slowness along the scan surface
//
// Valid and Source: as X; a wavefront is square to its rays.
func (r Ray) Front(leg int, x, z si.Length) si.Time {
	at, time := r.follow(leg, z)
	return time + si.Time(r.pace().sine*float64(x-at))
}

// Entry returns where the ray enters the part.
func (r Ray) Entry() si.Length { return r.X(1, 0) }

// Refracted returns the angle by which the ray is named: that of the first leg
// in the base metal, at the scan surface. It is NaN where no such ray exists.
func (r Ray) Refracted() si.Angle {
	return r.angle(1, float64(r.course.Speed(1)))
}

// AtElement returns the angle from the normal of the scan surface under which
// the ray leaves the element.
func (r Ray) AtElement() si.Angle {
	c := r.course
	above := 1 + c.Part.curvature()*float64(r.from.Height+c.Coating.Thickness)
	return r.angle(above, float64(c.AtElement(r.from)))
}

// Angle returns the ray's angle at depth z on a leg, from the normal of the
// surface there, signed as X. Where two strata meet it is that of the upper one.
//
//	sin β = p c R / r
//
// Valid and Source: as X.
func (r Ray) Angle(leg int, z si.Length) si.Angle {
	return r.angle(1-r.course.Part.curvature()*float64(z), float64(r.course.At(leg, z)))
}

// angle is that of the ray where the radius is ratio times that of the scan surface.
func (r Ray) angle(ratio, speed float64) si.Angle {
	p := r.pace()
	return si.Angle(math.Atan(p.sine * speed / p.cosineAt(ratio, speed)))
}
