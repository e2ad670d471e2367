package geometry

import (
	"math"

	"soundwrit/internal/si"
)

// Face is one straight piece of a fusion face or of the root face.
type Face struct {
	Name         string // "A", "A upper", "A lower", "A root face", "B square"
	Side         string // A, B
	RootFace     bool   // true for the land between the bevels
	Upper, Lower Point  // ends; Upper has the smaller depth
}

// Length returns the length of the face in the section.
func (f Face) Length() si.Length {
	return si.Length(math.Hypot(float64(f.Lower.X-f.Upper.X), float64(f.Lower.Z-f.Upper.Z)))
}

// Inclination returns the angle between the face and the normal of the
// surface, never negative: the bevel angle of the job, zero for a vertical face.
func (f Face) Inclination() si.Angle {
	return si.Angle(math.Atan2(math.Abs(float64(f.Lower.X-f.Upper.X)), float64(f.Lower.Z-f.Upper.Z)))
}

// Normal returns the unit vector square to the face that points out of the
// weld, into the parent metal of the face's side.
func (f Face) Normal() (x, z si.Ratio) {
	dx, dz := float64(f.Lower.X-f.Upper.X), float64(f.Lower.Z-f.Upper.Z)
	l := math.Hypot(dx, dz)
	x, z = si.Ratio(dz/l), si.Ratio(-dx/l)
	if f.Side == "A" {
		x, z = 0-x, 0-z // 0 - x: no negative zero
	}
	return x, z
}

// SquareAngle returns the refracted angle of the beam that meets the face at a
// right angle when the probe stands on the side given and on the top surface,
// and the first leg on which it does: 1 where the beam must go down (as on leg
// 3), 2 where it must go up.
//
//	α = 90° − θ, θ the inclination of the face
//
// Valid: inclined fusion faces. NaN and leg 0 for a vertical face, which only
// a beam along the surface would meet square, and for the root face.
// Source: a beam of refracted angle α makes 90° − α with the surface, and a
// face of inclination θ makes 90° − θ with it; the two are square to each other
// when α + θ = 90°.
func (f Face) SquareAngle(from string) (angle si.Angle, leg int) {
	theta := f.Inclination()
	if f.RootFace || !(theta > 1e-9) {
		return si.Unknown[si.Angle](), 0
	}
	// Of the two senses of the normal, the one along which the beam travels
	// leads away from the probe.
	x, z := f.Normal()
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
