// Package field predicts how high the echo of a reflector is, anywhere in a
// part, that an array on a wedge receives: of a reflector that is small or round
// in the section, and of a flat one of a given tilt.
//
// The sound of every source of the aperture is followed along its ray, in one
// wave mode a leg, between flat walls or around a pipe. Each ray carries
//
//	a = D(θ) √(E Π Eₙ) 10^(−(a_w L + Σ a s) / 20) / S
//
// D is the directivity of an element in the wedge, E the share of energy that
// the contact face passes (once each way, hence its root), Eₙ the share that a
// free wall sends on as the wave of the next leg, and that the bond between two
// strata passes, S the distance over which the sound spreads in a tube of rays. The
// same ray back has the same amplitude, so that an echo does not change when
// transmitter and receiver change places.
//
// What is left out: the phase that a wave changes by at an interface (only its
// differences between the sources of one aperture would count), the length of
// the pulse (waves are continuous, at the centre frequency), waves that change
// their kind at the reflector or at a bond, echoes between strata, and the near
// field across the section. Echoes are stated against that of a hole at a like
// sound path, so that most of it cancels.
package field

import (
	"math"
	"slices"
	"sync"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Point is a place in the part: X along the surface in the direction in which
// the probe looks, Z the depth.
type Point struct{ X, Z si.Length }

// Media is what the sound goes through.
type Media struct {
	Wedge        acoustics.Medium
	Coating      ray.Layer // its faces count as lossless, for densities are not known
	Part         ray.Part  // faces of media without densities count as lossless
	Frequency    si.Frequency
	Tilt         si.Angle  // between array and surface: it rises towards growing X
	Touch        si.Length // X where that holds, around a pipe
	Element      si.Length // width of an element, or the diameter where it is round
	Round        bool
	InWedge      si.Attenuation // at Frequency; unknown counts as none
	Longitudinal si.Attenuation // of that wave in the base metal
	Transverse   si.Attenuation
}

// PassesKnown reports whether the share of energy that the contact face passes
// can be computed.
func (m *Media) PassesKnown() bool {
	return si.Known(m.passed(acoustics.Longitudinal, 0.5*si.Degree))
}

// passed is the share of energy that the contact face passes into a wave, at an
// angle in the wedge.
func (m *Media) passed(wave acoustics.Wave, incidence si.Angle) si.Ratio {
	if len(m.Part.Strata) == 0 {
		return si.Unknown[si.Ratio]()
	}
	contact := acoustics.Interface{From: m.Wedge, To: m.Part.Strata[0].Medium}
	return contact.Split(acoustics.Longitudinal, incidence).Transmitted(wave)
}

// Model is the media made ready.
type Model struct {
	Media
	wedge     float64    // speeds
	part      [2]float64 // by kind of wave
	damp      [2]float64 // attenuation in the part, by kind of wave
	omega     float64    // 2π f
	thickness si.Length
	wall      [2]sineTable // of a free face, what it reflects of a kind of wave
	element   sineTable    // directivity over the sine of the angle from an element's normal, for round parts
	ok        bool

	guard  sync.Mutex
	tables []*keptTable // as far as they were asked for
}

// keptTable is what elements send and faces pass on of it over some legs.
type keptTable struct {
	legs    []acoustics.Wave
	stratum int      // in which the last leg ends
	fastest si.Speed // over the sine of whose angle the table stands
	sineTable
}

// New prepares the media. Of media that are not known everything is NaN.
func New(media Media) *Model {
	m := &Model{
		Media: media, wedge: float64(media.Wedge.Longitudinal), omega: 2 * math.Pi * float64(media.Frequency), thickness: media.Part.Thickness(),
		part: [2]float64{acoustics.Longitudinal: float64(media.Part.Speed(acoustics.Longitudinal)), acoustics.Transverse: float64(media.Part.Speed(acoustics.Transverse))},
		damp: [2]float64{acoustics.Longitudinal: float64(media.Longitudinal), acoustics.Transverse: float64(media.Transverse)},
	}
	m.ok = m.wedge > 0 && m.omega > 0 && m.thickness > 0 && si.Known(media.Part.Radius) && media.Element > 0 && si.Known(media.Tilt) && (media.Part.Radius == 0 || si.Known(media.Touch))
	for wave := range m.wall {
		for i := range sines + 1 {
			kept, _ := acoustics.FreeSurfaceReflection(acoustics.Wave(wave), grazing(float64(i)/sines), si.Speed(m.part[acoustics.Longitudinal]), si.Speed(m.part[acoustics.Transverse]))
			m.wall[wave][sines-i], m.wall[wave][sines+i] = float64(kept), float64(kept)
		}
	}
	if media.Part.Radius != 0 {
		lambda := acoustics.Wavelength(si.Speed(m.wedge), m.Frequency)
		for i := range sines + 1 {
			send := float64(m.directivity(lambda, grazing(float64(i)/sines)))
			m.element[sines-i], m.element[sines+i] = send, send
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

// kept returns the table of some legs that end in a stratum. It is worked out once.
func (m *Model) kept(legs []acoustics.Wave, stratum int) *keptTable {
	m.guard.Lock()
	defer m.guard.Unlock()
	for _, t := range m.tables {
		if t.stratum == stratum && slices.Equal(t.legs, legs) {
			return t
		}
	}
	t := &keptTable{legs: legs, stratum: stratum, fastest: m.speed(0, legs[0])}
	t.faces(&m.Part, func(ratio float64, in, out side) {
		t.fastest = max(t.fastest, m.speed(in.stratum, in.wave)/si.Speed(ratio), m.speed(out.stratum, out.wave)/si.Speed(ratio))
	})
	m.fill(t)
	m.tables = append(m.tables, t)
	return t
}

// fill works out a table.
func (m *Model) fill(t *keptTable) {
	lambda := acoustics.Wavelength(si.Speed(m.wedge), m.Frequency)
	known := m.PassesKnown()
	for i := range sines + 1 {
		slowness := grazing(float64(i)/sines).Sin() / float64(t.fastest)
		incidence := si.Angle(math.Asin(slowness * m.wedge))
		if !si.Known(incidence) {
			break // no such ray, and none beyond
		}
		shares := m.passedOn(t, slowness)
		if known {
			shares *= float64(m.passed(t.legs[0], incidence))
		}
		for _, sign := range []int{-1, 1} {
			send := 0.0
			switch side := si.Angle(sign)*incidence - m.Tilt; {
			case m.Part.Radius != 0:
				send = 1 // each element leans otherwise against its ray
			case math.Abs(float64(side)) < math.Pi/2:
				send = float64(m.directivity(lambda, side))
			}
			t.sineTable[sines+sign*i] = send * math.Sqrt(shares)
		}
	}
}

// side is what a ray is in on one side of a face.
type side struct {
	stratum int
	wave    acoustics.Wave
}

// faces calls for every bond that is passed and every wall that is met, with the
// radius there over that of the scan surface.
func (t *keptTable) faces(part *ray.Part, do func(ratio float64, in, out side)) {
	ratios := []float64{1} // of the upper face of each stratum, and of the far wall
	for i := range part.Strata {
		ratio := ratios[i]
		if part.Radius != 0 {
			ratio -= float64(part.Strata[i].Thickness / part.Radius)
		}
		ratios = append(ratios, ratio)
	}
	strata, last := len(part.Strata), len(t.legs)-1
	for n, wave := range t.legs {
		at, to, step, wall := 0, strata-1, 1, strata
		if n%2 == 1 {
			at, to, step, wall = strata-1, 0, -1, 0
		}
		if n == last {
			to = t.stratum
		}
		for ; at != to; at += step {
			do(ratios[max(at, at+step)], side{at, wave}, side{at + step, wave})
		}
		if n < last {
			do(ratios[wall], side{to, wave}, side{to, t.legs[n+1]})
		}
	}
}

// passedOn is the share of energy that the walls, and the faces between strata,
// pass on over some legs.
func (m *Model) passedOn(t *keptTable, slowness float64) float64 {
	share := 1.0
	t.faces(&m.Part, func(ratio float64, in, out side) {
		if in.stratum == out.stratum {
			share *= m.bounced(in.stratum, in.wave, out.wave, slowness/ratio)
		} else {
			share *= m.crossed(in.stratum, out.stratum, in.wave, slowness/ratio)
		}
	})
	return share
}

// crossed is the share of energy that the bond between two strata passes without
// a change of kind; all where it is not known.
func (m *Model) crossed(from, to int, wave acoustics.Wave, slowness float64) float64 {
	sine := slowness * float64(m.speed(from, wave))
	if sine >= 1 || slowness*float64(m.speed(to, wave)) >= 1 {
		return 0
	}
	bond := acoustics.Interface{From: m.Part.Strata[from].Medium, To: m.Part.Strata[to].Medium, Contact: acoustics.Bonded}
	if share := bond.Split(wave, si.Angle(math.Asin(sine))).Transmitted(wave); si.Known(share) {
		return float64(share)
	}
	return 1
}

// speed is that of a wave in a stratum.
func (m *Model) speed(stratum int, wave acoustics.Wave) si.Speed {
	return m.Part.Strata[stratum].Speed(wave)
}

// directivity is what an element sends at an angle from its normal.
func (m *Model) directivity(lambda si.Length, angle si.Angle) si.Ratio {
	if m.Round {
		return acoustics.CircularDirectivity(m.Element, lambda, angle)
	}
	return acoustics.ElementDirectivity(m.Element, lambda, angle)
}

// bounced is the share of energy that a free wall of a stratum sends on of a wave
// as another.
func (m *Model) bounced(stratum int, in, out acoustics.Wave, slowness float64) float64 {
	from := slowness * float64(m.speed(stratum, in))
	if from >= 1 {
		return 0 // no such wave comes
	}
	medium := m.Part.Strata[stratum]
	return float64(acoustics.FreeSurfaceShare(in, out, si.Angle(math.Asin(from)), medium.Longitudinal, medium.Transverse))
}

// decibels is an amplitude as dB.
func decibels(amplitude float64) si.Decibel { return si.Decibel(20 * math.Log10(amplitude)) }
