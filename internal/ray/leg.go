package ray

import (
	"math"
	"slices"

	"soundwrit/internal/si"
)

// grazing is how close to its limit the slowness of a ray is taken to come: the
// limit itself lies infinitely far away in a plate.
const grazing = 1 - 1e-12

// Limit returns the largest refracted angle of a ray that comes from an element
// to depth z on a leg. On a cylinder steeper rays turn before they come to the
// wall; a ray that is to go on as a faster wave may not exist at all, even where
// its leg begins.
//
//	sin α = c min(ρ / c') over all that is crossed, ρ the radius over that of the scan surface
//
// Valid: as Ray.X; 90° where all rays come there.
// Source: r sin β / c is the same everywhere, and sin β at most 1.
func (c *Course) Limit(from Element, leg int, z si.Length) si.Angle {
	sine := math.Min(1, c.slowest(from, leg, float64(z))*grazing*float64(c.Speed(1)))
	return si.Angle(math.Asin(sine))
}

// slowest is the largest slowness along the scan surface that a ray can have.
func (c *Course) slowest(from Element, leg int, z float64) float64 {
	var store [12]slab
	bend, begins := c.Part.curvature(), c.Wall(leg-1)
	limit := (1 - bend*float64(begins)) / float64(c.At(leg, begins))
	return math.Min(limit, tightest(c.slabs(store[:0], from, leg, z), bend))
}

// tightest is the largest slowness along the scan surface of a ray that crosses
// slabs; NaN where they lie beyond the axis or have no speed.
func tightest(slabs []slab, bend float64) float64 {
	limit := math.Inf(1)
	for _, s := range slabs {
		inner := math.Min(1-bend*s.upper, 1-bend*s.lower)
		if !(inner > 0 && s.speed > 0) {
			return math.NaN()
		}
		limit = math.Min(limit, inner/s.speed)
	}
	return limit
}

// Within returns the largest refracted angle of a ray that stays within an angle of
// the normal all along a leg, from wall to wall.
//
//	sin α = c sin β min(ρ / c') over all that the leg crosses, ρ as in Limit
//
// Valid: legs of the course, 0 ≤ β ≤ 90°; NaN otherwise, and 90° where all rays do.
// Source: as Limit.
func (c *Course) Within(leg int, most si.Angle) si.Angle {
	var store [6]slab
	limit := tightest(c.cut(store[:0], leg, float64(c.Wall(leg))), c.Part.curvature())
	return si.Angle(math.Asin(math.Min(1, limit*most.Sin()*float64(c.Speed(1)))))
}

// Along returns where the ray is at a sound path in the part, and on which leg.
//
//	on a straight line w = w₀ ∓ path / R and ρ² = w² + p² c², w and ρ of pace.over
//
// Valid: paths ≥ 0 on the legs of the course; NaN otherwise, and past the place
// where the ray turns back.
// Source: as X.
func (r Ray) Along(path si.Length) (leg int, x, z si.Length) {
	return r.spend(float64(path), func(float64) float64 { return 1 })
}

// After returns where the ray is at a time after its entry, and on which leg.
// Valid and Source: as Along.
func (r Ray) After(time si.Time) (leg int, x, z si.Length) {
	return r.spend(float64(time), func(speed float64) float64 { return 1 / speed })
}

// spend goes as far as something lasts of which each metre costs so much.
func (r Ray) spend(left float64, cost func(speed float64) float64) (leg int, x, z si.Length) {
	c, p, bend := r.course, r.pace(), r.course.Part.curvature()
	at := float64(r.Entry())
	for leg := 1; leg <= len(c.Legs); leg++ {
		down := 1.0
		if leg%2 == 0 {
			down = -1
		}
		from := float64(c.Wall(leg - 1))
		for _, turn := range c.Turns(leg) {
			s := slab{math.Min(from, float64(turn)), math.Max(from, float64(turn)), float64(c.At(leg, (si.Length(from)+turn)/2)), inLayer}
			o := p.over(s, bend)
			if spent := o.length * cost(s.speed); spent < left {
				at, left, from = at+o.run, left-spent, float64(turn)
				continue
			}
			length := left / cost(s.speed)
			ratio := 1 - bend*from
			before := p.cosineAt(ratio, s.speed)
			after := before - down*bend*length
			if !(length >= 0 && after > 0) {
				return 0, si.Unknown[si.Length](), si.Unknown[si.Length]()
			}
			z := from + down*length*(before+after)/(ratio+math.Hypot(after, p.sine*s.speed))
			s.upper, s.lower = math.Min(from, z), math.Max(from, z)
			return leg, si.Length(at + p.over(s, bend).run), si.Length(z)
		}
	}
	return 0, si.Unknown[si.Length](), si.Unknown[si.Length]()
}

// Across returns how far away the element seems to be in the plane across the
// section, at depth z on a leg.
//
//	Σ L c / cₙ, cₙ where the ray comes to
//
// Valid: as X.
// Source: neighbouring rays; the slowness across the section stays the same.
func (r Ray) Across(leg int, z si.Length) si.Length {
	var store [12]slab
	p, bend, sum := r.pace(), r.course.Part.curvature(), 0.0
	for _, s := range r.course.slabs(store[:0], r.from, leg, float64(z)) {
		sum += p.over(s, bend).length * s.speed
	}
	return si.Length(sum / float64(r.course.At(leg, z)))
}

// Leg is one leg of a ray, made ready to be asked at many depths.
type Leg struct {
	ray   Ray
	leg   int
	x, z  float64 // where the leg begins
	slope float64 // of a straight leg; NaN of any other
	knees []knee  // of a leg through flat strata, in the order they are crossed; nil of any other
}

// knee is where a leg enters a stratum.
type knee struct{ x, z, slope float64 }

// Leg returns a leg of the ray, counted from 1.
func (r Ray) Leg(leg int) Leg {
	c := r.course
	l := Leg{ray: r, leg: leg, z: float64(c.Wall(leg - 1)), slope: math.NaN()}
	l.x = float64(r.X(leg, si.Length(l.z)))
	switch {
	case leg < 1 || leg > len(c.Legs) || c.Part.Radius != 0:
	case len(c.Part.Strata) > 1:
		l.knees = l.bends()
	case len(c.Part.Strata) == 1:
		if l.slope = r.Angle(leg, 0).Tan(); leg%2 == 0 {
			l.slope = -l.slope
		}
	}
	return l
}

// bends lists the pieces of a leg through flat strata; nil where the ray does not
// come to the leg's end.
func (l *Leg) bends() []knee {
	var store [6]slab
	p, x := l.ray.pace(), l.x
	slabs := l.ray.course.cut(store[:0], l.leg, float64(l.ray.course.Wall(l.leg)))
	if l.leg%2 == 0 {
		slices.Reverse(slabs)
	}
	var list []knee
	for _, s := range slabs {
		from, height := s.upper, s.lower-s.upper
		if l.leg%2 == 0 {
			from, height = s.lower, -height
		}
		run := p.over(s, 0).run
		if math.IsNaN(x + run) {
			return nil
		}
		list = append(list, knee{x, from, run / height})
		x += run
	}
	return list
}

// Line returns where a leg that is one straight line in a plate would meet the
// scan surface, and by how much X grows with depth along it; false for any other.
// Valid and Source: as Ray.X.
func (l *Leg) Line() (surface si.Length, slope si.Ratio, ok bool) {
	return si.Length(l.x - l.slope*l.z), si.Ratio(l.slope), !math.IsNaN(l.slope)
}

// X returns where the leg is at depth z.
// Valid and Source: as Ray.X; of a flat leg also beyond the walls.
func (l *Leg) X(z si.Length) si.Length {
	if !math.IsNaN(l.slope) {
		return si.Length(l.x + l.slope*(float64(z)-l.z))
	}
	down := l.leg%2 == 1
	passed := func(at float64) bool { return down && float64(z) >= at || !down && float64(z) <= at }
	if len(l.knees) > 0 && passed(l.z) {
		k := &l.knees[0]
		for i := range l.knees {
			if passed(l.knees[i].z) {
				k = &l.knees[i]
			}
		}
		return si.Length(k.x + k.slope*(float64(z)-k.z))
	}
	var store [6]slab
	p, bend, x := l.ray.pace(), l.ray.course.Part.curvature(), l.x
	for _, s := range l.ray.course.cut(store[:0], l.leg, float64(z)) {
		x += p.over(s, bend).run
	}
	return si.Length(x)
}

// Bound returns where a fan of rays from one element ends at depth z whose
// steepest ray this leg is of: where the leg is, or, if it turns before, where the
// last ray lies that comes there.
// Valid and Source: as X and Course.Limit.
func (l *Leg) Bound(z si.Length) si.Length {
	x, p := l.X(z), l.ray.pace()
	if si.Known(x) {
		return x
	}
	limit := l.ray.course.slowest(l.ray.from, l.leg, float64(z)) * grazing
	if !(math.Abs(p.sine) > limit) {
		return x
	}
	last := Ray{l.ray.course, l.ray.from, math.Copysign(grazing/math.Sqrt((1-grazing)*(1+grazing)), l.ray.tan), limit}
	return last.X(l.leg, z)
}
