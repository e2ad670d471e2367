package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// What is other around a pipe than in a plate. A stand with a bend looks along a
// section that is a piece of a ring; X is the arc along its scan surface.

// shaped returns where an element of a wedge that is built on the level stands
// when its contact face is shaped to the surface. The level touches the surface
// where the ray from the middle of the array, square to it, enters the part: there
// the wedge's angle and heights hold as they are stated, and beside it the surface
// falls away under the level, or rises over it.
//
//	X = s₀ + R atan(u / (R + v)),  h = √((R + v)² + u²) − R,  s₀ = −(a + R asin(u_f / R))
//
// u is the way along the level from where it touches, v the height over it, a the
// arc from the centreline to the wedge front and u_f the way to the front. R is
// negative seen from inside, and so is the root.
// Valid: |u| < |R|, v < |R| from inside; NaN otherwise.
// Source: own derivation, geometry of a circle; the choice of where the level
// touches is a convention. Checked in the plane in bent_test.go.
func (s stand) shaped(along, height si.Length) coverage.Emitter {
	r := float64(s.bend)
	front := float64(s.touch())
	u, above := float64(along)+front, r+float64(height)
	e := coverage.Emitter{
		X:      si.Length(r*math.Atan(u/above) - float64(s.front) - r*math.Asin(front/r)),
		Height: si.Length(math.Copysign(math.Hypot(u, above), r) - r),
	}
	if !(above*r > 0) {
		e.X = si.Unknown[si.Length]()
	}
	return e
}

// touch is how far behind the wedge front, along the level, the level touches the
// surface.
func (s stand) touch() si.Length {
	half := s.probe.Pitch * si.Length(s.probe.Elements-1) / 2
	height := s.wedge.FirstElementHeight + half*si.Length(s.wedge.Angle.Sin())
	return s.wedge.FrontDistance - half*si.Length(s.wedge.Angle.Cos()) - height*si.Length(s.wedge.Angle.Tan())
}

// course is the way of the group's wave over so many legs.
func (s stand) course(legs int) *ray.Course {
	wave := acoustics.Transverse
	part := ray.Plate(s.thickness, acoustics.Medium{Longitudinal: s.speed, Transverse: s.speed})
	part.Radius = s.bend
	c := &ray.Course{Wedge: s.wedge.Velocity, Part: part}
	for range legs {
		c.Legs = append(c.Legs, wave)
	}
	return c
}

// leave is the central ray of the aperture at a refracted angle.
func (s stand) leave(angle si.Angle, legs int) ray.Ray {
	c := s.centre()
	return s.course(legs).Leave(ray.Element{X: c.X, Height: c.Height}, angle)
}

// wall is the depth at which a leg ends.
func (s stand) wall(leg int) si.Length {
	if leg%2 == 1 {
		return s.thickness
	}
	return 0
}

// turn is the depth at which the ray of a refracted angle turns before it comes to
// the other wall, zero where it comes there.
//
//	R (1 − sin α), where sin α > r / R
//
// Source: the ray is square to the radius there; published case P151.
func (s stand) turn(angle si.Angle) si.Length {
	if !(s.bend > 0) || !(angle.Sin() > float64(1-s.thickness/s.bend)) {
		return 0
	}
	return s.bend * si.Length(1-angle.Sin())
}

// bentRay is ray around a pipe. One that does not come to the bore passes it and
// goes on to the outside.
func (s stand) bentRay(angle si.Angle, legs int) []geometry.Point {
	c := s.centre()
	r := s.leave(angle, legs)
	entry := r.Entry()
	points := []geometry.Point{{X: c.X, Z: -c.Height}, {X: entry}}
	if s.turn(angle) > 0 {
		return append(points, geometry.Point{X: entry + 2*s.bend*(math.Pi/2-si.Length(angle))})
	}
	for leg := 1; leg <= legs; leg++ {
		points = append(points, geometry.Point{X: r.X(leg, s.wall(leg)), Z: s.wall(leg)})
	}
	return points
}

// follow returns how far a ray of a refracted angle goes, over so many legs at
// most, until it is at X = right for good: its path, and the depth counted over
// the legs.
func (s stand) follow(angle si.Angle, legs int, right si.Length) (path, unfolded si.Length) {
	r := s.leave(angle, legs)
	if !(r.Entry() < right) {
		return 0, 0
	}
	if turn := s.turn(angle); turn > 0 {
		legs = 1
		if r.X(1, turn*(1-1e-9)) <= right {
			return s.bend * si.Length(angle.Cos()), turn
		}
	}
	for leg := 1; leg <= legs; leg++ {
		from, to := s.wall(leg-1), s.wall(leg)
		if turn := s.turn(angle); turn > 0 {
			to = turn * (1 - 1e-9)
		}
		if r.X(leg, to) <= right {
			continue
		}
		// Halve the leg until its place at right is known.
		for range 60 {
			if middle := (from + to) / 2; r.X(leg, middle) <= right {
				from = middle
			} else {
				to = middle
			}
		}
		gone := si.Length(math.Abs(float64(to - s.wall(leg-1))))
		return r.Path(leg, to), si.Length(leg-1)*s.thickness + gone
	}
	return r.Path(legs, s.wall(legs)), si.Length(legs) * s.thickness
}

// pathAt is the path of a ray to a depth that is counted over the legs; NaN where
// it turns before.
func (s stand) pathAt(angle si.Angle, unfolded si.Length) si.Length {
	leg, z := s.legAt(unfolded)
	return s.leave(angle, leg).Path(leg, z)
}

// legAt is the leg and the depth at a depth counted over the legs.
func (s stand) legAt(unfolded si.Length) (leg int, z si.Length) {
	leg = max(1, int(math.Ceil(float64(unfolded/s.thickness)-1e-9)))
	z = unfolded - si.Length(leg-1)*s.thickness
	if leg%2 == 0 {
		z = s.thickness - z
	}
	return leg, z
}

// focusDelays are those that bring the elements' pulses together at a path along
// the central ray of an angle; all NaN where the ray turns before.
func (s stand) focusDelays(angle si.Angle, path si.Length) []si.Time {
	low, high := si.Length(0), 20*s.thickness
	for range 60 {
		if middle := (low + high) / 2; s.pathAt(angle, middle) < path {
			low = middle
		} else {
			high = middle
		}
	}
	leg, z := s.legAt(high)
	x := s.leave(angle, leg).X(leg, z)
	course := s.course(leg)
	times := make([]si.Time, 0, s.count)
	last := si.Time(math.Inf(-1))
	for _, e := range s.active(1) {
		_, t := course.To(ray.Element{X: e.X, Height: e.Height}, x, z)
		times, last = append(times, t), si.Time(math.Max(float64(last), float64(t)))
	}
	for i := range times {
		times[i] = last - times[i]
	}
	return times
}

// steerDelays are those that send a plane wave through the wedge whose ray from
// the middle of the aperture has the refracted angle.
//
//	step = p sin(θ − (X − s₀) / R − tilt) / c_w
//
// θ is the angle of that ray at the array from the radius through its place, which
// leans by (X − s₀) / R against that through the place where the wedge touches.
// Source: own derivation, as for a flat surface; checked in bent_test.go by rays
// that leave side by side.
func (s stand) steerDelays(angle si.Angle) []si.Time {
	lean := (s.centre().X - s.shaped(-s.touch(), 0).X) / s.bend
	steered := s.leave(angle, 1).AtElement() - si.Angle(lean) - s.wedge.Angle
	step := float64(s.probe.Pitch) * steered.Sin() / float64(s.wedge.Velocity)
	delays := make([]si.Time, s.count)
	for i := range delays {
		// The front elements fire first where the wave leans forward: none is negative.
		n := float64(i)
		if step < 0 {
			n = float64(i - s.count + 1)
		}
		delays[i] = si.Time(n * step)
	}
	return delays
}
