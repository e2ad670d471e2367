package ray

import (
	"math"

	"soundwrit/internal/si"
)

// Spread returns the distance over which the sound of the element, as a point,
// would spread as much in what it touches alone, at depth z on a leg: the root of
// the section of a narrow tube of rays over the solid angle in which it left.
//
//	spread² = ρ cos β · dX/dp · ρₑ cos θₑ / cₑ · Σ s c / cₑ
//
// β is the ray's angle at the depth, θₑ at the element, ρ and ρₑ the radii there
// over that of the scan surface, p the slowness along that surface. The first
// factors are the spread in the section, the last one that across it, where the
// slowness stays the same too. Rays of one point do not cross before they turn
// away from the axis: dX/dp is above zero in all that they cross.
//
// Valid: as X, and not where the ray turns; NaN otherwise. Waves may change their
// kind at the walls. Near a turn or at grazing, ray theory ends before this does.
// Source: own derivation, neighbouring rays; flat and in one metal as
// acoustics.Beam.Spreading, and traced in space in spread_test.go.
func (r Ray) Spread(leg int, z si.Length) si.Length {
	var store [12]slab
	c, p, bend := r.course, r.pace(), r.course.Part.curvature()
	run, across := 0.0, 0.0
	for _, s := range c.slabs(store[:0], r.from, leg, float64(z)) {
		o := p.over(s, bend)
		run += o.slope
		across += o.length * s.speed
	}
	first := float64(c.AtElement(r.from))
	leaves := p.cosineAt(1+bend*float64(r.from.Height+c.Coating.Thickness), first)
	arrives := p.cosineAt(1-bend*float64(z), float64(c.At(leg, z)))
	return si.Length(math.Sqrt(arrives * run * leaves * across / (first * first)))
}
