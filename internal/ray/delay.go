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

// Array is a run of elements that fire together through a wedge into a part.
type Array struct {
	Elements []Element
	Wedge    si.Speed
	Part     si.Speed // of the wave mode in use
}

// Focus returns the delay of each element that brings their pulses to a point
// together: x along the surface, depth unfolded (see Unfold). The element
// farthest in time fires first, so the smallest delay is zero.
//
//	delayᵢ = max T − Tᵢ, T the time of the ray from each element
//
// Valid: depth ≥ 0, heights ≥ 0; where an element has no ray, all are NaN.
// Source: equal arrival; published case P173 in package acoustics.
func (a Array) Focus(x, depth si.Length) []si.Time {
	delays := make([]si.Time, len(a.Elements))
	for i, e := range a.Elements {
		delays[i] = Between(x-e.X, []Layer{{e.Height, a.Wedge}, {depth, a.Part}}).Time
	}
	return fromLast(delays)
}

// Steer returns the delay of each element that sends a plane wave into the part
// at the given refracted angle, positive towards growing X. The smallest is zero.
//
//	Tᵢ = (Hᵢ cos α − Xᵢ sin α) / cw, sin α = (cw / c) sin β; delayᵢ = max T − Tᵢ
//
// Valid: |β| < 90° and cw sin β < c; all NaN otherwise.
// Source: plane wavefront in the wedge; for a straight array the step between
// neighbours is p sin(α − tilt) / cw, published cases P174 and P176.
func (a Array) Steer(angle si.Angle) []si.Time {
	sine := float64(a.Wedge) / float64(a.Part) * angle.Sin()
	cosine := math.Sqrt(1 - sine*sine)
	if !(math.Abs(float64(angle)) < math.Pi/2 && a.Wedge > 0 && a.Part > 0) {
		cosine = math.NaN()
	}
	delays := make([]si.Time, len(a.Elements))
	for i, e := range a.Elements {
		delays[i] = si.Time((float64(e.Height)*cosine - float64(e.X)*sine) / float64(a.Wedge))
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
