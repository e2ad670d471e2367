package technique

import (
	"math"

	"soundwrit/internal/coverage"
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
	r := float64(s.bend())
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

// bend is the signed radius of the scan surface, zero where the section is flat.
func (s stand) bend() si.Length { return s.course.Part.Radius }

// over is the course of the stand over so many legs.
func (s stand) over(legs int) *ray.Course {
	c := s.course
	c.Legs = ray.Waves(c.Legs[0], legs)
	return &c
}

// turn is the depth at which the ray of a refracted angle turns before it comes to
// the other wall, zero where it comes there.
//
//	R (1 − sin α), where sin α > r / R
//
// Source: the ray is square to the radius there; published case P151.
func (s stand) turn(angle si.Angle) si.Length {
	r := s.bend()
	if !(r > 0) || !(angle.Sin() > float64(1-s.course.Part.Thickness()/r)) {
		return 0
	}
	return r * si.Length(1-angle.Sin())
}

// follow returns how far a ray of a refracted angle goes, over so many legs at
// most, until it has passed X = right: its path in the part, and the depth counted
// over the legs. One that turns is followed to where it does.
func (s stand) follow(angle si.Angle, legs int, right si.Length) (path, unfolded si.Length) {
	turn := s.turn(angle) * (1 - 1e-9)
	if turn > 0 {
		legs = 1
	}
	c := s.over(legs)
	r := c.Leave(s.centre(), angle)
	if !(r.Entry() < right) {
		return 0, 0
	}
	for leg := 1; leg <= legs; leg++ {
		from, to := c.Wall(leg-1), c.Wall(leg)
		begin := from
		if turn > 0 {
			to = turn
		}
		if r.X(leg, to) > right {
			// Halve the leg until its place at right is known.
			for range 60 {
				if middle := (from + to) / 2; r.X(leg, middle) <= right {
					from = middle
				} else {
					to = middle
				}
			}
			legs = leg
		}
		path, unfolded = r.Path(leg, to), unfolded+si.Length(math.Abs(float64(to-begin)))
	}
	return path, unfolded
}

// legAt is the leg, and the depth on it, at a depth counted over the legs.
func (s stand) legAt(unfolded si.Length) (leg int, z si.Length) {
	t := s.course.Part.Thickness()
	leg = max(1, int(math.Ceil(float64(unfolded/t)-1e-9)))
	z = unfolded - si.Length(leg-1)*t
	if leg%2 == 0 {
		z = t - z
	}
	return leg, z
}

// pathAt is the path of a ray to a depth that is counted over the legs; NaN where
// it turns before.
func (s stand) pathAt(angle si.Angle, unfolded si.Length) si.Length {
	leg, z := s.legAt(unfolded)
	return s.over(leg).Leave(s.centre(), angle).Path(leg, z)
}

// bentFocus are the delays that bring the elements' pulses together at a path
// along the central ray of an angle; all NaN where the ray turns before.
func (s stand) bentFocus(angle si.Angle, path si.Length) []si.Time {
	low, high := si.Length(0), 20*s.course.Part.Thickness()
	for range 60 {
		if middle := (low + high) / 2; s.pathAt(angle, middle) < path {
			low = middle
		} else {
			high = middle
		}
	}
	leg, z := s.legAt(high)
	c := s.over(leg)
	return c.Focus(s.active(1), c.Leave(s.centre(), angle).X(leg, z), z)
}
