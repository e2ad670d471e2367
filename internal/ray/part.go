package ray

import (
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// Part is what a ray crosses below the scan surface: strata of even thickness,
// such as the base metal and a cladding. Its walls are flat, or circles
// about one axis that is square to the section.
//
// On a cylinder all places are unrolled: X is the length of arc along the scan
// surface, Z the depth square to it, and an element stands at a height square to
// it, over the arc X. The wedge is shaped to the surface, so that it lies on it
// without a gap.
type Part struct {
	Strata []Stratum // from the scan surface down
	Base   int       // index of the base metal, in which a refracted angle is meant

	// Radius of the scan surface: zero where it is flat, positive where a cylinder
	// is scanned from outside, negative where it is scanned from inside.
	Radius si.Length
}

// Stratum is one layer of a part.
type Stratum struct {
	Thickness si.Length
	acoustics.Medium
}

// Plate returns a flat part of one metal.
func Plate(thickness si.Length, metal acoustics.Medium) Part {
	return Part{Strata: []Stratum{{thickness, metal}}}
}

// Thickness returns that of all strata together.
func (p *Part) Thickness() si.Length {
	sum := si.Length(0)
	for i := range p.Strata {
		sum += p.Strata[i].Thickness
	}
	return sum
}

// Speed returns the speed of a wave in the base metal; NaN where there is none.
func (p *Part) Speed(wave acoustics.Wave) si.Speed {
	if p.Base < 0 || p.Base >= len(p.Strata) {
		return si.Unknown[si.Speed]()
	}
	return p.Strata[p.Base].Speed(wave)
}

// curvature is 1 / Radius, zero where the part is flat. The radius at depth z is
// 1 − z · curvature of that of the scan surface, on both sides of the wall.
func (p *Part) curvature() float64 {
	if p.Radius == 0 {
		return 0
	}
	return 1 / float64(p.Radius)
}

// slab is what a ray crosses of one medium, between two depths. Whether it goes
// down or up makes no difference. Above the scan surface depths are negative.
type slab struct {
	upper, lower, speed float64
	in                  medium
}

// medium is what a slab is part of; of the base metal, by which kind of wave it
// is crossed.
type medium uint8

const (
	inBase  medium = iota // as a longitudinal wave; as a transverse one it is one more
	inWedge medium = iota + 1
	inLayer        // a coating, or a stratum that is not the base metal
	media
)

// slabs appends what a ray from an element crosses up to depth z on a leg,
// counted from 1. What is not known, or no leg of the course, comes back as NaN.
func (c *Course) slabs(list []slab, from Element, leg int, z float64) []slab {
	contact := -float64(c.Coating.Thickness)
	if from.Height != 0 {
		list = append(list, slab{contact - float64(from.Height), contact, float64(c.Wedge), inWedge})
	}
	if contact != 0 {
		list = append(list, slab{contact, 0, float64(c.Coating.Speed), inLayer})
	}
	return c.within(list, leg, z)
}

// within appends what of it lies in the part.
func (c *Course) within(list []slab, leg int, z float64) []slab {
	for i := 1; i < leg; i++ {
		list = c.cut(list, i, float64(c.Wall(i)))
	}
	return c.cut(list, leg, z)
}

// cut appends what is crossed on one leg, from where it begins to depth z, which
// may lie beyond the wall at which it ends.
func (c *Course) cut(list []slab, leg int, z float64) []slab {
	if leg < 1 || leg > len(c.Legs) {
		return append(list, slab{math.NaN(), math.NaN(), math.NaN(), inLayer})
	}
	upper := 0.0
	for k := range c.Part.Strata {
		s := &c.Part.Strata[k]
		one := slab{upper, upper + float64(s.Thickness), float64(s.Speed(c.Legs[leg-1])), inLayer}
		if k == c.Part.Base {
			one.in = inBase + medium(c.Legs[leg-1])
		}
		upper = one.lower
		switch {
		case leg%2 == 1 && k == len(c.Part.Strata)-1:
			one.lower = z
		case leg%2 == 1:
			one.lower = math.Min(one.lower, z)
		case k == 0:
			one.upper = z
		default:
			one.upper = math.Max(one.upper, z)
		}
		if !(one.lower <= one.upper) {
			list = append(list, one)
		}
	}
	if !(upper > 0) || leg%2 == 1 && z < 0 || leg%2 == 0 && z > upper {
		list = append(list, slab{math.NaN(), math.NaN(), math.NaN(), inLayer}) // no part, or before the leg begins
	}
	return list
}

// Turns returns the depths at which a ray changes its direction on a leg, in the
// order in which it comes there: where strata meet, and the wall.
func (c *Course) Turns(leg int) []si.Length {
	var list []si.Length
	lower := si.Length(0)
	for i := range c.Part.Strata {
		lower += c.Part.Strata[i].Thickness
		list = append(list, lower)
	}
	if leg%2 == 0 && len(list) > 0 {
		list = list[:len(list)-1]
		slices.Reverse(list)
		list = append(list, 0)
	}
	return list
}

// Beside returns the place that lies so far from another in the plane of the
// section: along the surface at that one, towards growing x, and square to it,
// towards growing z.
//
//	x + R atan(u / ρ) and z + v − u² / (ρ + √(u² + ρ²)), ρ = R − z − v
//
// The root has the sign of R. It is (x + u, z + v) where the part is flat.
// Valid: places less than a quarter turn away; NaN beyond the axis.
// Source: geometry of a circle; part_test.go has the circles in the plane.
func (p *Part) Beside(x, z, along, deeper si.Length) (si.Length, si.Length) {
	if p.Radius == 0 {
		return x + along, z + deeper
	}
	u, rho := float64(along), float64(p.Radius-z-deeper)
	if !(rho/float64(p.Radius) > 0) {
		return si.Unknown[si.Length](), si.Unknown[si.Length]()
	}
	rise := u * u / (rho + math.Copysign(math.Hypot(u, rho), rho))
	return x + p.Radius*si.Length(math.Atan(u/rho)), z + deeper - si.Length(rise)
}
