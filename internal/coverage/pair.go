package coverage

import (
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Pair is two alike probes astride the weld, exit points at X = ±Half, that
// time what is diffracted between them.
type Pair struct {
	Half         si.Length
	Lower, Upper si.Angle // refracted angles of the beams' edges; 90° reaches up to the surface
	Speed        si.Speed // longitudinal
	Pulse        si.Time  // length of the pulse
	Top, Bottom  si.Length
}

// Reach returns the stretches of the volume that the pair covers: between its
// two depths, inside both beams, and where the echo comes apart from the
// lateral wave and has ended before the back-wall echo begins. With r₁ and r₂
// the distances to the exit points and W the thickness:
//
//	2 s + c t_p ≤ r₁ + r₂ ≤ 2 √(s² + W²) − c t_p
//
// The zones that these waves hide are thus bounded by ellipses, and the one over
// the back wall grows away from the middle. Rows that the two depths do not hold
// in full are left out. The section is cut into rows as by the Reach of views.
//
// Valid: all quantities known, s, c and t_p > 0; nothing is reached otherwise.
// Source: geometry of paths of equal time; checked against a raster of summed
// paths in pair_test.go.
func (p Pair) Reach(section *geometry.Section, rows int) Rows {
	if !section.Known() {
		return Rows{}
	}
	if rows <= 0 {
		rows = DefaultRows
	}
	reached := newRows(section, rows)
	if !(p.Half > 0 && p.Speed > 0 && p.Pulse > 0) {
		return reached
	}
	s, blind := float64(p.Half), float64(p.Speed)*float64(p.Pulse)
	first, last := 2*s+blind, 2*math.Hypot(s, float64(section.Thickness))-blind
	for k := range reached.Row {
		z := reached.middle(k)
		from, to := section.VolumeRow(z)
		if !(reached.edge(k) >= p.Top-floatNoise && reached.edge(k+1) <= p.Bottom+floatNoise) || !(to > from) {
			continue
		}
		half := p.beam(float64(z))
		inside, outer := ellipse(first, s, float64(z)), ellipse(last, s, float64(z))
		if outer = math.Min(outer, half); !(outer > 0) || !(inside < outer) {
			continue
		}
		echoes := []Interval{{si.Length(-outer), si.Length(-inside)}, {si.Length(inside), si.Length(outer)}}
		reached.Row[k] = merged(common(nil, []Interval{{from, to}}, echoes))
	}
	return reached
}

// beam is the half width, about the middle, of what both beams hold at depth z;
// negative where they do not meet.
func (p Pair) beam(z float64) float64 {
	half := float64(p.Half) - z*math.Tan(float64(p.Lower))
	if p.Upper < math.Pi/2-1e-9 {
		half = math.Min(half, z*math.Tan(float64(p.Upper))-float64(p.Half))
	}
	return half
}

// ellipse is the distance from the middle at which places at depth z have a sum
// of distances from ±s of that length; zero where even the middle has more.
func ellipse(length, s, z float64) float64 {
	a := length / 2
	b := math.Sqrt((a - s) * (a + s))
	if !(z < b) {
		return 0
	}
	return a * math.Sqrt((1-z/b)*(1+z/b))
}
