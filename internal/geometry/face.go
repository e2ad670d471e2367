package geometry

import (
	"math"

	"soundwrit/internal/si"
)

// Face is one straight piece of a fusion face or of the root face, or one
// radius between the two. In a bent section the points are unrolled like all
// others, and lengths, angles and the radius those of the true shape.
type Face struct {
	Name         string // "A", "A upper", "A radius", "A lower radius", "A root face", "B square", "B flange"
	Side         string // A, B
	RootFace     bool   // true for the land between the bevels
	Upper, Lower Point  // ends; Upper has the smaller depth

	Radius si.Length // of a radius; zero for a straight face
	Centre Point     // of the radius's circle, on the side of the weld metal

	Bend si.Length // of the section (Section.Radius): zero where flat
}

// mapped is the face with its ends, and the centre of its radius, mapped.
func (f Face) mapped(point func(Point) Point) Face {
	f.Upper, f.Lower = point(f.Upper), point(f.Lower)
	if f.Radius > 0 {
		f.Centre = point(f.Centre)
	}
	return f
}

// shape is the face in the plane of the section.
func (f Face) shape() Face {
	if f.Bend != 0 {
		f.Upper, f.Lower, f.Centre = bend(f.Bend).true(f.Upper), bend(f.Bend).true(f.Lower), bend(f.Bend).true(f.Centre)
		f.Bend = 0
	}
	return f
}

// Length returns the length of the face in the section.
func (f Face) Length() si.Length {
	f = f.shape()
	if f.Radius > 0 {
		_, sweep := f.sweep()
		return f.Radius * si.Length(math.Abs(sweep))
	}
	return si.Length(math.Hypot(float64(f.Lower.X-f.Upper.X), float64(f.Lower.Z-f.Upper.Z)))
}

// sweep returns, for a radius, the direction from its centre to the upper end,
// and the angle through which it turns on the way to the lower end.
func (f Face) sweep() (from, angle float64) {
	from = math.Atan2(float64(f.Upper.Z-f.Centre.Z), float64(f.Upper.X-f.Centre.X))
	to := math.Atan2(float64(f.Lower.Z-f.Centre.Z), float64(f.Lower.X-f.Centre.X))
	return from, math.Remainder(to-from, 2*math.Pi)
}

// Inclination returns the angle between the face and the normal of the
// surface at the centreline, never negative: the bevel angle of the job, zero for
// a vertical face, NaN for a radius, which has no single one.
func (f Face) Inclination() si.Angle {
	f = f.shape()
	if f.Radius > 0 {
		return si.Unknown[si.Angle]()
	}
	return si.Angle(math.Atan2(math.Abs(float64(f.Lower.X-f.Upper.X)), math.Abs(float64(f.Lower.Z-f.Upper.Z))))
}

// At returns the point at a share of the length from the upper end, and the
// unit vector that is square to the face there and points out of the weld, into
// the parent metal of the face's side: its part along the surface and its part
// along the normal of the surface there.
func (f Face) At(share si.Ratio) (p Point, x, z si.Ratio) {
	if r := bend(f.Bend); r != 0 {
		p, x, z = f.shape().At(share)
		p = r.unrolled(p)
		sin, cos := math.Sincos(float64(p.X) / float64(r)) // the surface's direction there
		return p, x*si.Ratio(cos) + z*si.Ratio(sin), z*si.Ratio(cos) - x*si.Ratio(sin)
	}
	u := float64(share)
	if f.Radius > 0 {
		from, angle := f.sweep()
		sin, cos := math.Sincos(from + u*angle)
		p = Point{f.Centre.X + f.Radius*si.Length(cos), f.Centre.Z + f.Radius*si.Length(sin)}
		return p, si.Ratio(cos), si.Ratio(sin)
	}
	dx, dz := float64(f.Lower.X-f.Upper.X), float64(f.Lower.Z-f.Upper.Z)
	p = Point{f.Upper.X + si.Length(u*dx), f.Upper.Z + si.Length(u*dz)}
	l := math.Hypot(dx, dz)
	x, z = si.Ratio(dz/l), si.Ratio(-dx/l)
	if f.Side == "A" {
		x, z = 0-x, 0-z // 0 - x: no negative zero
	}
	return p, x, z
}

// SquareAngle returns the refracted angle of the beam that meets the face at a
// right angle when the probe stands on the side given and on the top surface,
// and the first leg on which it does: 1 where the beam must go down (as on leg
// 3), 2 where it must go up.
//
//	α = 90° − θ, θ the inclination of the face
//
// Valid: inclined straight fusion faces. NaN and leg 0 for a vertical face, which
// only a beam along the surface would meet square, for the root face, and for a
// radius and in a bent section, where each point is met square by another angle.
// Source: a beam of refracted angle α makes 90° − α with the surface, and a
// face of inclination θ makes 90° − θ with it; the two are square to each other
// when α + θ = 90°.
func (f Face) SquareAngle(from string) (angle si.Angle, leg int) {
	theta := f.Inclination()
	if f.RootFace || f.Bend != 0 || !(theta > 1e-9) {
		return si.Unknown[si.Angle](), 0
	}
	// Of the two senses of the normal, the one along which the beam travels
	// leads away from the probe.
	_, x, z := f.At(0)
	away := si.Ratio(1)
	if from == "B" {
		away = -1
	}
	leg = 1
	if z*x*away < 0 {
		leg = 2
	}
	return 90*si.Degree - theta, leg
}
