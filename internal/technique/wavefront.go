package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// focus is the sound path in the part to the focus of the beam of an angle; not
// known where the beams have none, or where the ray turns before it.
func (g *Group) focus(st stand, angle si.Angle) si.Length {
	switch g.Set.Focus.Kind {
	case "depth":
		return st.pathAt(angle, g.Set.Focus.At)
	case "path":
		return g.Set.Focus.At
	}
	return si.Unknown[si.Length]()
}

// focusLimit is the sound path in the part up to which the beam of an angle can
// be focused in the plane of the section. In one flat metal it is that of
// acoustics.Beam; elsewhere it is where a focus is a quarter as wide as the beam
// would be there whose delays make its rays parallel:
//
//	λ_w B / A = ¼ A (c / c_w) / D, hence B D = (c / c_w) A² / (4 λ_w)
//
// B is how far apart two rays are there that leave the middle of the aperture an
// angle of one apart, D by how much their directions then differ, A the aperture
// along the beam. A shaped wedge and round walls change B and D; delays can undo
// what they do to the beam, but not this.
// Valid: as acoustics.Beam.FocusLimit, which this is in one flat metal; not known
// where no place of the next legs has it.
// Source: own derivation; rays that are near each other form a linear map, whose
// determinant is c / c_w. Summed rays in wavefront_test.go.
func (s stand) focusLimit(angle si.Angle) si.Length {
	if s.bend() == 0 && len(s.course.Part.Strata) == 1 {
		return s.beam(angle).FocusLimit()
	}
	along := float64(acoustics.ActiveAperture(s.count, s.probe.Pitch, s.probe.Pitch-s.probe.Gap)) * s.steered(angle).Cos()
	lambda := float64(acoustics.Wavelength(s.wedge.Velocity, s.probe.Frequency))
	spread := func(unfolded si.Length) float64 { // over what it is at the limit
		leg, z := s.legAt(unfolded)
		opened, turned := s.wavefront(angle, leg, z)
		c := s.over(leg)
		return opened * turned / (float64(c.At(leg, z)/s.wedge.Velocity) * along * along / (4 * lambda))
	}
	const legs, steps = 12, 20 // on each leg
	t := s.course.Part.Thickness()
	for i := si.Length(0); i <= legs*steps; i++ {
		from, to := i*t/steps, (i+1)*t/steps
		if spread(to) < 1 {
			continue
		}
		for range 40 {
			if middle := (from + to) / 2; spread(middle) < 1 {
				from = middle
			} else {
				to = middle
			}
		}
		if !(spread(to) >= 1) {
			break // it turns before
		}
		return s.pathAt(angle, from)
	}
	return si.Unknown[si.Length]()
}

// wavefront is what two rays from the middle of the aperture do on their way to a
// depth on a leg, for each unit of the angle between them where they leave it: how
// far apart they are, and by how much their directions differ.
//
//	B = (1 − z / R) cos β dX / dθ;  D = dβ / dθ ∓ dX / dθ / R, − on the way down
//
// β is the ray's angle from the radius, which turns by dX / R.
// Valid: rays that come there, and have not crossed before; NaN otherwise.
// Source: own derivation, neighbouring rays by a difference of 2e-5 in the angle;
// rays in the plane in bent_test.go.
func (s stand) wavefront(angle si.Angle, leg int, z si.Length) (opened, turned float64) {
	const half = 1e-5
	c, from := s.over(leg), s.centre()
	low, high := c.Leave(from, angle-half), c.Leave(from, angle+half)
	apart := float64(high.AtElement() - low.AtElement())
	run := float64(high.X(leg, z)-low.X(leg, z)) / apart
	if !(run > 0) {
		return math.NaN(), math.NaN()
	}
	scale, turn := 1.0, 0.0
	if r := float64(s.bend()); r != 0 {
		scale, turn = 1-float64(z)/r, run/r
	}
	if leg%2 == 1 {
		turn = -turn
	}
	return run * scale * c.Leave(from, angle).Angle(leg, z).Cos(), float64(high.Angle(leg, z)-low.Angle(leg, z))/apart + turn
}

// axisApart is how far from a point of the axis of a beam that of another passes,
// at a depth on a leg.
func axisApart(st stand, angle si.Angle, other stand, to si.Angle, leg int, z si.Length) si.Length {
	axis, next := st.over(leg).Leave(st.centre(), angle), other.over(leg).Leave(other.centre(), to)
	along, deeper := float64(axis.X(leg, z)-next.X(leg, z)), 0.0
	if r := float64(st.bend()); r != 0 {
		half := math.Sin(along / r / 2)
		along, deeper = (r-float64(z))*math.Sin(along/r), 2*(r-float64(z))*half*half
	}
	sin, cos := math.Sincos(float64(next.Angle(leg, z)))
	if leg%2 == 0 {
		sin = -sin
	}
	return si.Length(math.Abs(along*cos - deeper*sin))
}
