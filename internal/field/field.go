// Package field predicts how high the echo of a reflector is, anywhere in a
// part, that an array on a wedge receives: of a reflector that is small or round
// in the section, and of a flat one of a given tilt.
//
// The sound of every source of the aperture is followed along its ray, in one
// wave mode, with the flat walls unfolded. Each ray carries
//
//	a = D(θ) √E(β) R(β)ⁿ 10^(−(a_w L + a_p s) / 20) / S
//
// D is the directivity of an element in the wedge, E the share of energy that
// the contact face passes (once each way, hence its root), R the reflection at a
// free wall, n the reflections, S the distance over which the sound spreads in a
// tube of rays. The same ray back has the same amplitude, so that an echo does
// not change when transmitter and receiver change places.
//
// What is left out: the phase that a wave changes by at an interface (only its
// differences between the sources of one aperture would count), the length of
// the pulse (waves are continuous, at the centre frequency), waves that change
// their kind, and the near field across the section. Echoes are stated against
// that of a hole at a like sound path, so that most of it cancels.
package field

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Point is a place in the part: X along the surface in the direction in which
// the probe looks, Z the depth.
type Point struct{ X, Z si.Length }

// Media is what the sound goes through, with one wave mode in the part.
type Media struct {
	Contact   acoustics.Interface // from wedge to part; without densities the contact face counts as lossless
	Wave      acoustics.Wave      // in the part
	Frequency si.Frequency
	Tilt      si.Angle       // between array and surface: it rises towards growing X
	Element   si.Length      // width of an element
	Wedge     si.Attenuation // at Frequency; unknown counts as none
	Part      si.Attenuation
	Thickness si.Length
}

// PassesKnown reports whether the share of energy that the contact face passes
// can be computed.
func (m *Media) PassesKnown() bool {
	return si.Known(m.passed(0.5 * si.Degree))
}

// passed is the share of energy that the contact face passes at a refracted
// angle.
func (m *Media) passed(angle si.Angle) si.Ratio {
	split := m.Contact.Split(acoustics.Longitudinal, acoustics.Refract(angle, m.speed(), m.Contact.From.Longitudinal))
	if m.Wave == acoustics.Longitudinal {
		return split.TransmittedLongitudinal
	}
	return split.TransmittedTransverse
}

// speed is that of the wave in the part.
func (m *Media) speed() si.Speed {
	if m.Wave == acoustics.Longitudinal {
		return m.Contact.To.Longitudinal
	}
	return m.Contact.To.Transverse
}

// Model is the media made ready: what depends on the angle alone is in tables
// over its sine.
type Model struct {
	Media
	wedge, part float64 // speeds
	omega       float64 // 2π f
	send        [2*sines + 1]float64
	wall        [2*sines + 1]float64
	ok          bool
}

// sines is how many steps a table has on each side of upright.
const sines = 200

// New prepares the media. Of media that are not known everything is NaN.
func New(media Media) *Model {
	m := &Model{Media: media, wedge: float64(media.Contact.From.Longitudinal), part: float64(media.speed()), omega: 2 * math.Pi * float64(media.Frequency)}
	m.ok = m.wedge > 0 && m.part > 0 && m.omega > 0 && media.Thickness > 0 && media.Element > 0 && si.Known(media.Tilt)
	if !m.ok {
		return m
	}
	lambda := acoustics.Wavelength(media.Contact.From.Longitudinal, media.Frequency)
	known := media.PassesKnown()
	for i := range sines + 1 {
		// At grazing, where nothing is defined, stands what holds just before.
		angle := si.Angle(math.Asin(math.Min(1-1e-6, float64(i)/sines)))
		incidence := acoustics.Refract(angle, media.speed(), media.Contact.From.Longitudinal)
		if !si.Known(incidence) {
			break // no such ray, and none beyond
		}
		passed := 1.0
		if known {
			passed = math.Sqrt(float64(media.passed(angle)))
		}
		kept, _ := acoustics.FreeSurfaceReflection(media.Wave, angle, media.Contact.To.Longitudinal, media.Contact.To.Transverse)
		for _, sign := range []int{-1, 1} {
			send := 0.0
			if side := si.Angle(sign)*incidence - media.Tilt; math.Abs(float64(side)) < math.Pi/2 {
				send = float64(acoustics.ElementDirectivity(media.Element, lambda, side))
			}
			m.send[sines+sign*i], m.wall[sines+sign*i] = send*passed, float64(kept)
		}
	}
	return m
}

// arrival is the wave of one source at a place.
type arrival struct {
	amplitude, time float64
	sine            float64 // of its angle from the normal of the surface
	cosine          float64 // negative where it goes up
}

// arrive returns the wave of a source at a place on the last of so many legs.
func (m *Model) arrive(from ray.Element, p Point, legs int) arrival {
	return m.arriveAt(from, float64(p.X), float64(ray.Unfold(legs, p.Z, m.Thickness)), legs)
}

// arriveAt is arrive at an unfolded depth.
func (m *Model) arriveAt(from ray.Element, x, unfolded float64, legs int) arrival {
	// On the surface a ray in the part has no length; a nanometre below it does.
	depth := si.Length(math.Max(unfolded, 1e-9))
	layers := [2]ray.Layer{{Thickness: from.Height, Speed: si.Speed(m.wedge)}, {Thickness: depth, Speed: si.Speed(m.part)}}
	path := ray.Between(si.Length(x)-from.X, layers[:])
	across := float64(path.Across(layers[1]))
	s := math.Sqrt(across*across + float64(depth*depth))
	a := arrival{time: float64(path.Time), sine: across / s, cosine: float64(depth) / s}
	sine := a.sine * m.wedge / m.part
	cosine := math.Sqrt(1 - sine*sine)
	l := float64(from.Height) / cosine
	a.amplitude = table(&m.send, a.sine) * m.decay(l, s) / spreading(l, s*m.part/m.wedge, a.cosine/cosine)
	for range legs - 1 {
		a.amplitude *= table(&m.wall, a.sine)
	}
	if legs%2 == 0 {
		a.cosine = -a.cosine
	}
	return a
}

// decay is what attenuation leaves of the amplitude, one way.
func (m *Model) decay(wedge, part float64) float64 {
	loss := 0.0
	if m.Wedge > 0 {
		loss += float64(m.Wedge) * wedge
	}
	if m.Part > 0 {
		loss += float64(m.Part) * part
	}
	if loss == 0 {
		return 1
	}
	return math.Pow(10, -loss/20)
}

// spreading is acoustics.Beam.Spreading of a path in the wedge, one in the part
// counted in the wedge, and the cosines' ratio, without its checks: it is asked
// for each source at each place. A test holds the two equal.
func spreading(wedge, part, squeeze float64) float64 {
	return math.Sqrt((wedge*squeeze + part/squeeze) * (wedge + part))
}

// table reads a table over the sine between its rows.
func table(t *[2*sines + 1]float64, sine float64) float64 {
	at := (sine + 1) * sines
	i := min(max(int(at), 0), 2*sines-1)
	share := at - float64(i)
	return t[i]*(1-share) + t[i+1]*share
}

// Aperture returns so many sources, evenly spaced as the elements of an array
// of which the centres of the first and the last are given. More than most are
// replaced by that many, each for a run of elements: what is added up varies
// slowly along the aperture.
func Aperture(first, last ray.Element, elements int) []ray.Element {
	const most = 16
	if elements < 1 {
		return nil
	}
	n := min(elements, most)
	list := make([]ray.Element, n)
	for i := range list {
		share := 0.5
		if elements > 1 {
			share = ((float64(i)+0.5)/float64(n)*float64(elements) - 0.5) / float64(elements-1)
		}
		list[i] = ray.Element{
			X:      first.X + si.Length(share)*(last.X-first.X),
			Height: first.Height + si.Length(share)*(last.Height-first.Height),
		}
	}
	return list
}

// decibels is an amplitude as dB.
func decibels(amplitude float64) si.Decibel { return si.Decibel(20 * math.Log10(amplitude)) }
