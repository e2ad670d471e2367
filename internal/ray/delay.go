package ray

import (
	"math"

	"soundwrit/internal/si"
)

// Element is the centre of one element of an array above the part.
type Element struct {
	X      si.Length // along the surface
	Height si.Length // above the surface, never negative
}

// Focus returns the delay of each element that brings their pulses together at x
// and depth z on the last leg. The element farthest in time fires first, so the
// smallest delay is zero.
//
//	delayᵢ = max T − Tᵢ, T the time of the ray from each element
//
// Valid: as To; where an element has no ray, all are NaN.
// Source: equal arrival; published case P173 in package acoustics.
func (c *Course) Focus(elements []Element, x, z si.Length) []si.Time {
	delays := make([]si.Time, len(elements))
	for i, e := range elements {
		_, delays[i] = c.To(e, x, z)
	}
	return fromLast(delays)
}

// Steer returns the delay of each element that sends a plane wave into the part
// at the given refracted angle, positive towards growing X. The smallest is zero.
//
//	Tᵢ the time at which the wave of element i would pass X = 0 at the surface:
//	(Hᵢ cos α − Xᵢ sin α) / cw in a flat part, sin α = (cw / c) sin β;
//	delayᵢ = max T − Tᵢ
//
// On a cylinder it is the wave whose rays all have that angle at the surface.
// Valid: as Leave; all NaN otherwise.
// Source: plane wavefront in the wedge; for a straight array the step between
// neighbours is p sin(α − tilt) / cw, published cases P174 and P176.
func (c *Course) Steer(elements []Element, angle si.Angle) []si.Time {
	delays := make([]si.Time, len(elements))
	for i, e := range elements {
		delays[i] = c.Leave(e, angle).Front(1, 0, 0)
	}
	return fromLast(delays)
}

// fromLast turns arrival times into the delays that make them equal, in place.
// One unknown time makes every delay unknown, since math.Max carries NaN on.
func fromLast(times []si.Time) []si.Time {
	last := math.Inf(-1)
	for _, t := range times {
		last = math.Max(last, float64(t))
	}
	for i, t := range times {
		times[i] = si.Time(last - float64(t))
	}
	return times
}
