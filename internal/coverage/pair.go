package coverage

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Pair is two alike probes astride the weld, exit points at X = ±Half along the
// surface, that time what is diffracted between them.
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
// On the outside of a pipe the lateral wave goes along the chord between the exit
// points; over it nothing counts, since each place there has a twin below of the
// same time. In its bore r₁ and r₂ have to clear the bore, which an angle of at most
// 90° at both exit points says, and the first wave comes no earlier than along the
// arc between these:
//
//	2 S + c t_p ≤ r₁ + r₂
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
	if radius := float64(section.Radius()); radius != 0 {
		p.around(section, radius, &reached)
		return reached
	}
	s, blind := float64(p.Half), float64(p.Speed)*float64(p.Pulse)
	first, last := 2*s+blind, 2*math.Hypot(s, float64(section.Thickness))-blind
	for k := range reached.Row {
		z := reached.middle(k)
		from, to := section.VolumeRow(z)
		if !reached.within(k, p.Top, p.Bottom) || !(to > from) {
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

// around is Reach on a pipe. A row is asked at places a step apart, and between
// two that differ the end of the stretch is halved down to.
func (p Pair) around(section *geometry.Section, radius float64, reached *Rows) {
	const step = 0.25e-3
	for k := range reached.Row {
		z := reached.middle(k)
		from, to := section.VolumeRow(z)
		if !reached.within(k, p.Top, p.Bottom) || !(to > from) {
			continue
		}
		covered := p.bent(radius, float64(section.Thickness), float64(z))
		n := int(math.Ceil(float64(to-from)/step)) + 1
		last, seen := from, covered(float64(from))
		begin := from
		for i := 1; i <= n; i++ {
			x := from + (to-from)*si.Length(i)/si.Length(n)
			now := covered(float64(x))
			if now != seen {
				end := edge(covered, float64(last), float64(x))
				if seen {
					reached.Row[k] = append(reached.Row[k], Interval{begin, si.Length(end)})
				}
				begin = si.Length(end)
			}
			last, seen = x, now
		}
		if seen {
			reached.Row[k] = append(reached.Row[k], Interval{begin, to})
		}
	}
}

// bent reports of places of a row of a pipe whether the pair covers them. With the
// place and the exit points in the plane of the section, r₁ and r₂ are straight.
func (p Pair) bent(radius, thickness, z float64) func(x float64) bool {
	pair := acoustics.PairAround(2*p.Half, si.Length(radius), p.Speed, p.Pulse)
	s, sagitta, lean := float64(pair.Half), float64(pair.Sagitta), float64(pair.Lean())
	speed, blind := float64(p.Speed), float64(p.Speed)*float64(p.Pulse)
	first, last := speed*float64(pair.First())+blind, speed*float64(pair.Time(si.Length(thickness)))-blind
	if !(first < last && (radius < 0 || radius > thickness)) {
		return func(float64) bool { return false }
	}
	return func(x float64) bool {
		along, down := math.Sincos(x / radius)
		px, below := (radius-z)*along, radius-(radius-z)*down-sagitta
		left, right := math.Hypot(px+s, below), math.Hypot(s-px, below)
		if !(below > 0 && left+right >= first && left+right <= last) {
			return false
		}
		for _, across := range []float64{px + s, s - px} {
			// The radius at an exit point leans towards the middle, and in a bore away
			// from it.
			angle := math.Atan2(across, below) - lean
			if !(angle >= float64(p.Lower) && angle <= math.Min(float64(p.Upper), math.Pi/2)) {
				return false
			}
		}
		return true
	}
}

// edge is where what is covered begins or ends, between two places that differ.
func edge(covered func(float64) bool, from, to float64) float64 {
	at := covered(from)
	for range 40 {
		if middle := (from + to) / 2; covered(middle) == at {
			from = middle
		} else {
			to = middle
		}
	}
	return from
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
