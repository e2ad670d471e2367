// Package field predicts how high the echo of a reflector is, anywhere in a
// part, that an array on a wedge receives: of a reflector that is small or round
// in the section, and of a flat one of a given tilt.
//
// The sound of every source of the aperture is followed along its ray, in one
// wave mode a leg, with the flat walls unfolded. Each ray carries
//
//	a = D(θ) √(E Π Eₙ) 10^(−(a_w L + Σ a s) / 20) / S
//
// D is the directivity of an element in the wedge, E the share of energy that
// the contact face passes (once each way, hence its root), Eₙ the share that a
// free wall sends on as the wave of the next leg, S the distance over which the
// sound spreads in a tube of rays. The same ray back has the same amplitude, so
// that an echo does not change when transmitter and receiver change places.
//
// What is left out: the phase that a wave changes by at an interface (only its
// differences between the sources of one aperture would count), the length of
// the pulse (waves are continuous, at the centre frequency), waves that change
// their kind at the reflector, and the near field across the section. Echoes are
// stated against that of a hole at a like sound path, so that most of it cancels.
package field

import (
	"math"
	"slices"
	"sync"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// Point is a place in the part: X along the surface in the direction in which
// the probe looks, Z the depth.
type Point struct{ X, Z si.Length }

// Media is what the sound goes through.
type Media struct {
	Contact      acoustics.Interface // from wedge to part; without densities the contact face counts as lossless
	Frequency    si.Frequency
	Tilt         si.Angle  // between array and surface: it rises towards growing X
	Element      si.Length // width of an element, or the diameter where it is round
	Round        bool
	Wedge        si.Attenuation // at Frequency; unknown counts as none
	Longitudinal si.Attenuation // of that wave in the part
	Transverse   si.Attenuation
	Thickness    si.Length
}

// PassesKnown reports whether the share of energy that the contact face passes
// can be computed.
func (m *Media) PassesKnown() bool {
	return si.Known(m.passed(acoustics.Longitudinal, 0.5*si.Degree))
}

// passed is the share of energy that the contact face passes into a wave, at an
// angle in the wedge.
func (m *Media) passed(wave acoustics.Wave, incidence si.Angle) si.Ratio {
	split := m.Contact.Split(acoustics.Longitudinal, incidence)
	if wave == acoustics.Longitudinal {
		return split.TransmittedLongitudinal
	}
	return split.TransmittedTransverse
}

// Model is the media made ready.
type Model struct {
	Media
	wedge float64      // speeds
	part  [2]float64   // by kind of wave
	damp  [2]float64   // attenuation in the part, by kind of wave
	omega float64      // 2π f
	wall  [2]sineTable // of a free face, what it reflects of a kind of wave
	ok    bool

	guard  sync.Mutex
	tables []*keptTable // as far as they were asked for
}

// keptTable is what elements send and faces pass on of it over some legs.
type keptTable struct {
	legs    []acoustics.Wave
	fastest si.Speed // over the sine of whose angle the table stands
	sineTable
}

// New prepares the media. Of media that are not known everything is NaN.
func New(media Media) *Model {
	to := media.Contact.To
	m := &Model{
		Media: media, wedge: float64(media.Contact.From.Longitudinal), omega: 2 * math.Pi * float64(media.Frequency),
		part: [2]float64{acoustics.Longitudinal: float64(to.Longitudinal), acoustics.Transverse: float64(to.Transverse)},
		damp: [2]float64{acoustics.Longitudinal: float64(media.Longitudinal), acoustics.Transverse: float64(media.Transverse)},
	}
	m.ok = m.wedge > 0 && m.omega > 0 && media.Thickness > 0 && media.Element > 0 && si.Known(media.Tilt)
	for wave := range m.wall {
		for i := range sines + 1 {
			kept, _ := acoustics.FreeSurfaceReflection(acoustics.Wave(wave), grazing(float64(i)/sines), to.Longitudinal, to.Transverse)
			m.wall[wave][sines-i], m.wall[wave][sines+i] = float64(kept), float64(kept)
		}
	}
	return m
}

// grazing is the angle of a sine; at grazing, where nothing is defined, stands
// what holds just before.
func grazing(sine float64) si.Angle { return si.Angle(math.Asin(math.Min(1-1e-6, sine))) }

// sines is how many steps a table over the sine of an angle has on each side of
// upright.
const sines = 200

// sineTable is a quantity that depends on a ray's angle alone.
type sineTable [2*sines + 1]float64

// at reads the table between its rows.
func (t *sineTable) at(sine float64) float64 {
	at := (sine + 1) * sines
	i := min(max(int(at), 0), 2*sines-1)
	share := at - float64(i)
	return t[i]*(1-share) + t[i+1]*share
}

// kept returns the table of some legs, which is worked out once.
func (m *Model) kept(legs []acoustics.Wave) *keptTable {
	m.guard.Lock()
	defer m.guard.Unlock()
	for _, t := range m.tables {
		if slices.Equal(t.legs, legs) {
			return t
		}
	}
	t := &keptTable{legs: legs}
	for _, wave := range legs {
		t.fastest = max(t.fastest, si.Speed(m.part[wave]))
	}
	m.fill(&t.sineTable, legs, float64(t.fastest))
	m.tables = append(m.tables, t)
	return t
}

// fill works out a table over the sine of the angle at a speed.
func (m *Model) fill(t *sineTable, legs []acoustics.Wave, speed float64) {
	lambda := acoustics.Wavelength(si.Speed(m.wedge), m.Frequency)
	known := m.PassesKnown()
	for i := range sines + 1 {
		slowness := grazing(float64(i)/sines).Sin() / speed
		incidence := si.Angle(math.Asin(slowness * m.wedge))
		if !si.Known(incidence) {
			break // no such ray, and none beyond
		}
		shares := 1.0
		if known {
			shares = float64(m.passed(legs[0], incidence))
		}
		for n := range legs[1:] {
			shares *= m.bounced(legs[n], legs[n+1], slowness)
		}
		for _, sign := range []int{-1, 1} {
			send := 0.0
			if side := si.Angle(sign)*incidence - m.Tilt; math.Abs(float64(side)) < math.Pi/2 {
				send = float64(m.directivity(lambda, side))
			}
			t[sines+sign*i] = send * math.Sqrt(shares)
		}
	}
}

// directivity is what an element sends at an angle from its normal.
func (m *Model) directivity(lambda si.Length, angle si.Angle) si.Ratio {
	if m.Round {
		return acoustics.CircularDirectivity(m.Element, lambda, angle)
	}
	return acoustics.ElementDirectivity(m.Element, lambda, angle)
}

// bounced is the share of energy that a free wall sends on of a wave as another.
//
//	R² of the same kind; of the other R² c' cos θ' / (c cos θ), R of displacements
//
// Source: acoustics.FreeSurfaceReflection, and the flux of energy through the wall.
func (m *Model) bounced(in, out acoustics.Wave, slowness float64) float64 {
	from, to := slowness*m.part[in], slowness*m.part[out]
	if to >= 1 {
		return 0 // no such wave leaves
	}
	same, other := acoustics.FreeSurfaceReflection(in, si.Angle(math.Asin(from)), si.Speed(m.part[acoustics.Longitudinal]), si.Speed(m.part[acoustics.Transverse]))
	if in == out {
		return float64(same * same)
	}
	return float64(other*other) * m.part[out] / m.part[in] * math.Sqrt((1-to*to)/(1-from*from))
}

// decibels is an amplitude as dB.
func decibels(amplitude float64) si.Decibel { return si.Decibel(20 * math.Log10(amplitude)) }
