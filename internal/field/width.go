package field

import (
	"math"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// half is what is left of the field of one passage at the edge of an echo that
// has dropped by 6 dB.
const half = 0.7071067811865476

// Level returns the echo of a long side-drilled hole, square to the section, on
// the axis of the beam at a sound path in the part. Only differences of it mean
// something: what is left out is the same at every path.
//
//	20 log₁₀ (F² √r), r = Σ L c' / c over wedge and part, s + L_w c_w / c in one metal
//
// F² is the echo of what sends back in all directions, as if it spread across the
// section on the way back too; a long hole does not let it, hence √r.
//
// Valid: path > 0; beyond the near field of the elements across the section:
// nearer the echo falls more slowly than this says. NaN for media that are not known.
// Source: the sum over the aperture of the package's comment; width_test.go: the
// law of 30 log₁₀ far away, and row P237 of the published cases.
func (b *Beam) Level(path si.Length) si.Decibel {
	if !(b.ok && path > 0) {
		return si.Unknown[si.Decibel]()
	}
	leg, x, z := b.ray.Along(path)
	across, amplitude := float64(b.ray.Across(leg, z)), b.at(leg, x, z)
	return decibels(amplitude * amplitude * math.Sqrt(across))
}

// Width returns the width of the beam square to its axis at a sound path in the
// part, between the edges at which the echo of a small reflector has dropped by
// 6 dB from the highest that it has there. Where the echo rises and falls across
// the beam, as near the probe, it is that of the highest rise alone.
//
// Valid: path > 0 and places below the surface; NaN otherwise, and where an edge
// would lie above it.
// Source: the sum over the aperture of the package's comment; width_test.go, by
// Rayleigh's integral and the directivity of a strip.
func (b *Beam) Width(path si.Length) si.Length {
	if !(b.ok && path > 0) {
		return si.Unknown[si.Length]()
	}
	lambda := 2 * math.Pi * b.speed / b.sources.model.omega
	leg, x, z := b.ray.Along(path)
	angle := b.ray.Angle(leg, z)
	at := func(off float64) float64 { return b.at(b.beside(leg, x, z, angle, off)) }
	step := lambda / 3
	reach := b.aperture() / 2
	best, most := 0.0, at(0)
	for off := step; off <= reach; off += step {
		for _, x := range []float64{off, -off} {
			if f := at(x); f > most {
				best, most = x, f
			}
		}
	}
	for range 12 { // to the top, by thirds of what is left
		step /= 2
		for _, x := range []float64{best - step, best + step} {
			if f := at(x); f > most {
				best, most = x, f
				break
			}
		}
	}
	edge := func(sign float64) float64 {
		in, out := 0.0, lambda/4
		for at(best+sign*out) > half*most {
			in, out = out, out*1.25
		}
		for range 20 {
			middle := (in + out) / 2
			if at(best+sign*middle) > half*most {
				in = middle
			} else {
				out = middle
			}
		}
		if math.IsNaN(at(best + sign*out)) {
			return math.NaN()
		}
		return out
	}
	return si.Length(edge(-1) + edge(1))
}

// beside is the place so far off the axis, square to it, towards growing X. What
// lies behind the wall at which the leg begins or ends is on the leg before or
// after; above the surface, on the first, it is unknown.
func (b *Beam) beside(on int, x, z si.Length, angle si.Angle, off float64) (leg int, bx, bz si.Length) {
	up := off * angle.Sin()
	if on%2 == 0 {
		up = -up
	}
	coat := b.course.Coating.Thickness // heights count from above it
	moved := b.sources.model.moved(ray.Element{X: x, Height: -z - coat}, si.Length(off*angle.Cos()), si.Length(up))
	x, z = moved.X, -moved.Height-coat
	t := b.sources.model.thickness
	switch {
	case z < 0 && on%2 == 1:
		return on - 1, x, -z
	case z < 0:
		return on + 1, x, -z
	case z > t && on%2 == 1:
		return on + 1, x, 2*t - z
	case z > t:
		return on - 1, x, 2*t - z
	}
	return on, x, z
}

// aperture is the length of the array as the beam sees it, square to its axis.
func (b *Beam) aperture() float64 {
	elements, angle := b.sources.elements, b.ray.Refracted()
	first, last := b.course.Leave(elements[0], angle), b.course.Leave(elements[len(elements)-1], angle)
	return math.Abs(float64(last.Entry()-first.Entry())) * angle.Cos()
}

// Depth returns where the echo of a hole on the axis is highest, up to a sound
// path, and between which paths it has not dropped by more than 6 dB: the depth
// of field of a focused beam. An end that lies beyond what was asked for is
// infinite, or zero.
//
// Valid: limit > 0; NaN of media that are not known.
// Source: Level.
func (b *Beam) Depth(limit si.Length) (from, highest, to si.Length) {
	unknown := si.Unknown[si.Length]()
	if !(b.ok && limit > 0) {
		return unknown, unknown, unknown
	}
	const places = 100
	step := limit / places
	level := func(i int) si.Decibel { return b.Level(step * si.Length(i)) }
	best, most := 1, level(1)
	levels := []si.Decibel{most, most}
	for i := 2; i <= places; i++ {
		l := level(i)
		if levels = append(levels, l); l > most {
			best, most = i, l
		}
	}
	highest = step * si.Length(best)
	if !si.Known(most) {
		return unknown, unknown, unknown
	}
	if best > 1 && best < places { // the top of a parabola through three places
		a, c := levels[best-1]-most, levels[best+1]-most
		highest += step * si.Length((a-c)/(2*(a+c)))
	}
	cross := func(i, outward int) si.Length {
		for ; i >= 1 && i <= places; i += outward {
			if levels[i] < most-6 {
				share := (most - 6 - levels[i]) / (levels[i-outward] - levels[i])
				return step * (si.Length(i) - si.Length(outward)*si.Length(share))
			}
		}
		return si.Length(math.Inf(outward))
	}
	return max(0, cross(best, -1)), highest, cross(best, 1)
}
