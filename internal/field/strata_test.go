package field

import (
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// layered is the part of wedged under a coating of another metal and over a
// cladding.
func layered(coating, cladding si.Length) Media {
	m := wedged()
	base := m.Part.Strata[0].Medium
	other := acoustics.Medium{Density: 8000, Longitudinal: 5700, Transverse: 3100}
	m.Part = ray.Part{Base: 1, Strata: []ray.Stratum{
		{Thickness: coating, Medium: other}, {Thickness: 20*mm - coating - cladding, Medium: base}, {Thickness: cladding, Medium: other}}}
	return m
}

// A part cut into strata of one metal is the part, in time and in amplitude, since
// a bond of like metals loses nothing.
func TestStrataOfOneMetal(t *testing.T) {
	whole, cut := wedged(), layered(3*mm, 4*mm)
	for i := range cut.Part.Strata {
		cut.Part.Strata[i].Medium = whole.Part.Strata[0].Medium
	}
	elements := sloped(16, 0.6*mm, whole)
	for _, legs := range [][]acoustics.Wave{{transverse}, {transverse, transverse}, {transverse, longitudinal}, {longitudinal, transverse, transverse}} {
		one, other := New(whole).Sources(elements, legs...), New(cut).Sources(elements, legs...)
		for _, z := range []si.Length{2 * mm, 10 * mm, 19 * mm} {
			p := Point{0, z}
			a, b := one.send(p), other.send(p)
			for i := range a {
				near(t, "time", b[i].time/a[i].time, 1, 1e-8)
				near(t, "amplitude", b[i].amplitude/a[i].amplitude, 1, 1e-3) // tables over the sine
			}
		}
	}
}

// The time of a ray through strata is that of ray.Course, which follows it from
// wall to wall.
func TestStrataAgainstCourse(t *testing.T) {
	m := layered(1*mm, 5*mm)
	elements := sloped(4, 2*mm, m)
	for _, legs := range [][]acoustics.Wave{{transverse}, {transverse, transverse}, {transverse, longitudinal}, {longitudinal, longitudinal, transverse}} {
		s := New(m).Sources(elements, legs...)
		course := ray.Course{Wedge: 2730, Part: m.Part, Legs: legs}
		for _, z := range []si.Length{0.5 * mm, 3 * mm, 12 * mm, 17 * mm} {
			for i, a := range s.send(Point{-2 * mm, z}) {
				_, time := course.To(elements[i], -2*mm, z)
				near(t, "time", a.time/float64(time), 1, 1e-9)
			}
		}
	}
}

// What a bond passes, worked by hand for waves that meet it square: the share is
// 4 Z₁ Z₂ / (Z₁ + Z₂)². A transverse wave of 7800 × 3230 on 1000 × 1000 keeps
// 4 × 25.194 × 1 / 26.194² = 0.14688.
func TestBond(t *testing.T) {
	m := layered(1*mm, 1*mm)
	m.Part.Strata[2].Medium = acoustics.Medium{Density: 1000, Longitudinal: 2000, Transverse: 1000}
	near(t, "share on a soft layer", New(m).crossed(1, 2, transverse, 0), 0.14688, 1e-5)
	near(t, "share back", New(m).crossed(2, 1, transverse, 0), 0.14688, 1e-5)
	m.Part.Strata[2].Density = si.Unknown[si.Density]()
	if share := New(m).crossed(1, 2, transverse, 0); share != 1 {
		t.Errorf("a bond to a layer of unknown density passes %v, want all", share)
	}
}
