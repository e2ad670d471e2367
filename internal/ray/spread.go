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
	return spread(leaves, arrives, run, across, first)
}

// spread is that of Ray.Spread, of what a ray adds up on its way.
func spread(leaves, arrives, run, across, first float64) si.Length {
	return si.Length(math.Sqrt(arrives*run*leaves*across) / first)
}

// Piece is what a ray crosses of one stratum on one leg.
type Piece struct {
	Leg, Stratum int // the leg counted from 1
	Length       si.Length
	Meets        si.Angle // from the normal where the piece ends, signed as X
}

// Pieces returns the ray within the part, in the order in which it goes, up to
// depth z on a leg. Between two pieces lies a bond of strata, or the wall at which
// a leg ends.
//
// Valid: as X; none where there is no such leg, NaN where the ray does not come.
// Source: as X.
func (r Ray) Pieces(leg int, z si.Length) []Piece {
	var list []Piece
	c, p, bend := r.course, r.pace(), r.course.Part.curvature()
	if leg > len(c.Legs) {
		return nil
	}
	for n := 1; n <= leg; n++ {
		end := c.Wall(n)
		if n == leg {
			end = z
		}
		down, from, lower := n%2 == 1, c.Wall(n-1), c.Part.Thickness()
		if down {
			lower = 0
		}
		for i := range c.Part.Strata {
			k, to := i, end
			if !down {
				k = len(c.Part.Strata) - 1 - i
			}
			stratum := &c.Part.Strata[k]
			if i < len(c.Part.Strata)-1 {
				if down {
					lower += stratum.Thickness
					to = min(lower, end)
				} else {
					lower -= stratum.Thickness
					to = max(lower, end)
				}
			}
			if to == from {
				break
			}
			speed := float64(stratum.Speed(c.Legs[n-1]))
			o := p.over(slab{upper: float64(min(from, to)), lower: float64(max(from, to)), speed: speed}, bend)
			list = append(list, Piece{n, k, si.Length(o.length), r.angle(1-bend*float64(to), speed)})
			from = to
		}
	}
	return list
}
