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
// wall; a ray that is to go on as a faster wave may not exist at all.
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
	bend, limit := c.Part.curvature(), math.Inf(1)
	for _, s := range c.slabs(store[:0], from, leg, z) {
		ratio := math.Min(1-bend*s.upper, 1-bend*s.lower)
		if !(ratio > 0) {
			return math.NaN()
		}
		limit = math.Min(limit, ratio/s.speed)
	}
	return limit
}

// Leg is one leg of a ray, made ready to be asked at many depths. Rays of a fan
// bound what the fan reaches: where the ray itself turns before it comes to a
// depth, the last one that does come there stands for it.
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
	if leg >= 1 && leg <= len(c.Legs) && c.Part.Radius == 0 && len(c.Part.Strata) == 1 {
		if l.slope = r.Angle(leg, 0).Tan(); leg%2 == 0 {
			l.slope = -l.slope
		}
	}
	if leg >= 1 && leg <= len(c.Legs) && c.Part.Radius == 0 && len(c.Part.Strata) > 1 {
		l.knees = l.bends()
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

// X returns where the leg is at depth z, or the last ray that comes there.
// Valid and Source: as Ray.X and Course.Limit.
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
	if !math.IsNaN(x) {
		return si.Length(x)
	}
	limit := l.ray.course.slowest(l.ray.from, l.leg, float64(z)) * grazing
	if !(math.Abs(p.sine) > limit) {
		return si.Length(x)
	}
	last := Ray{l.ray.course, l.ray.from, math.Copysign(grazing/math.Sqrt((1-grazing)*(1+grazing)), l.ray.tan), limit}
	return last.X(l.leg, z)
}
