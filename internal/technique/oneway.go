package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// oneWay is a ray from the middle of the aperture to a depth on a leg.
type oneWay struct {
	course ray.Course
	ray    ray.Ray
	leg    int
	z      si.Length
}

// loss is what one angle of a group loses, there and back.
type loss struct {
	angle, back                          si.Angle  // refracted, out and back
	path                                 si.Length // in the part, the mean of out and back
	contact, element, wedge, part, walls si.Decibel
	bonds                                si.Decibel // between strata; unknown where there is one
	spread                               si.Decibel // over that at one metre
	converted                            si.Ratio   // amplitude of the other wave at a wall, over what meets it
}

// sum adds up what is known.
func (l loss) sum() si.Decibel {
	total := l.spread
	for _, x := range []si.Decibel{l.contact, l.element, l.wedge, l.part, l.walls, l.bonds} {
		if si.Known(x) {
			total += x
		}
	}
	return total
}

// lossList works out what the first, the middle and the last angle lose to the end
// of what is used, and says what of it cannot be. That end is the end of a beam,
// or the middle depth of an image's region. The sound of an image whose way back
// is another is followed to three places at that depth, from both ends.
func (s *sheet) lossList(g *Group, st stand) (list [3]loss, short []Omitted) {
	for i := range list {
		list[i].spread = si.Unknown[si.Decibel]()
	}
	if g.Set.Method != "tfm" {
		for i, angle := range g.lossAngles(st) {
			w := s.beamWay(g, st, angle)
			list[i] = s.lossOf(g, st, w, w)
		}
		return list, nil
	}
	out, back := g.ways()
	z := (g.Set.Region.Top + g.Set.Region.Bottom) / 2
	if out.Equal(&back) {
		for i, angle := range g.lossAngles(st) {
			if angle > out.Limit(st.centre(), len(out.Legs), z) {
				short = append(short, Omitted{"losses at the " + []string{"first", "middle", "last"}[i] + " angle", "its ray turns before it comes so far", []string{"losses." + LossEnds()[i]}})
				continue
			}
			w := oneWay{out, out.Leave(st.centre(), angle), len(out.Legs), z}
			list[i] = s.lossOf(g, st, w, w)
		}
		return list, short
	}
	from, to := g.met(st, out, back, z)
	if !(from < to) {
		return list, []Omitted{{"losses on the way", "no place at the middle depth of the region is met from the middle of the array at permitted angles both out and back", []string{"losses", "converted"}}}
	}
	for i, x := range []si.Length{from, (from + to) / 2, to} {
		list[i] = s.lossOf(g, st, wayTo(out, st, x, z), wayTo(back, st, x, z))
	}
	return list, nil
}

// lossAngles are those for which losses are stated.
func (g *Group) lossAngles(st stand) [3]si.Angle {
	return [3]si.Angle{g.Angles.From, g.drawn(st)[1], g.Angles.To}
}

// beamWay is a beam to where its use ends.
func (s *sheet) beamWay(g *Group, st stand, angle si.Angle) oneWay {
	depth := s.beamDepth(g, st, angle, s.farthest(g))
	if g.homogeneous() {
		st.course.Part = ray.Plate(s.deepestWall(g), metal(&s.Job.Part.Material))
	}
	leg, z := st.legAt(depth)
	c := st.over(leg)
	return oneWay{*c, c.Leave(st.centre(), angle), leg, z}
}

// wayTo is the ray of a course to a place.
func wayTo(c ray.Course, st stand, x, z si.Length) oneWay {
	r, _ := c.To(st.centre(), x, z)
	return oneWay{c, r, len(c.Legs), z}
}

// met is the stretch of the region at a depth that the middle of the array meets
// at the angles used, both out and back. Angles grow with the distance, so that it
// is one stretch, good to a thousandth of the region's width.
func (g *Group) met(st stand, out, back ray.Course, z si.Length) (from, to si.Length) {
	const steps = 1000
	from, to = si.Length(math.Inf(1)), si.Length(math.Inf(-1))
	within := func(c ray.Course, x si.Length, least, most si.Angle) bool {
		angle := wayTo(c, st, x, z).ray.Refracted()
		return angle >= least && angle <= most
	}
	r := &g.Set.Region
	for i := range steps + 1 {
		x := -r.Near + (r.Near+r.Far)*si.Length(i)/steps
		if within(out, x, g.Angles.From, g.Angles.To) && within(back, x, g.Heard.From, g.Heard.To) {
			from, to = min(from, x), max(to, x)
		}
	}
	return from, to
}

// lossOf adds up what two ways lose.
func (s *sheet) lossOf(g *Group, st stand, out, back oneWay) loss {
	l := loss{angle: out.ray.Refracted(), back: back.ray.Refracted(), bonds: si.Unknown[si.Decibel]()}
	if len(g.Part.Strata) > 1 {
		l.bonds = 0
	}
	for _, w := range []oneWay{out, back} {
		s.lose(&l, g, st, w)
	}
	return l
}

// lose adds what is lost one way. Energy that an interface passes on is the square
// of an amplitude, each way.
func (s *sheet) lose(l *loss, g *Group, st stand, w oneWay) {
	wedge, f := g.Wedge, g.Probe.Frequency
	amplitude := func(share si.Ratio) si.Decibel { return acoustics.ContactLoss(share) / 2 }
	contact := acoustics.Interface{
		From: acoustics.Medium{Density: wedge.Density, Longitudinal: wedge.Velocity, Transverse: wedge.Transverse},
		To:   g.Part.Strata[0].Medium,
	}
	incidence := acoustics.Refract(w.ray.Refracted(), w.course.Speed(1), wedge.Velocity)
	l.contact += amplitude(contact.Split(acoustics.Longitudinal, upright(incidence)).Transmitted(w.course.Legs[0]))
	element := acoustics.ElementDirectivity(g.Probe.Pitch-g.Probe.Gap, acoustics.Wavelength(wedge.Velocity, f), st.off(w.ray))
	l.element -= 20 * si.Decibel(math.Log10(float64(element)))
	l.wedge += acoustics.AttenuationLoss(wedge.Attenuation, wedge.AttenuationAt, f, w.ray.InWedge())
	l.spread += 20 * si.Decibel(math.Log10(float64(w.ray.Spread(w.leg, w.z))))
	pieces := w.ray.Pieces(w.leg, w.z)
	for i, p := range pieces {
		wave := w.course.Legs[p.Leg-1]
		l.path += p.Length / 2
		a, at := s.damping(g, p.Stratum, wave)
		if damped := acoustics.AttenuationLoss(a, at, f, p.Length); si.Known(damped) || p.Stratum == g.Part.Base {
			l.part += damped
		}
		if i+1 == len(pieces) {
			break
		}
		medium, next := g.Part.Strata[p.Stratum].Medium, pieces[i+1]
		if next.Leg == p.Leg {
			bond := acoustics.Interface{From: medium, To: g.Part.Strata[next.Stratum].Medium, Contact: acoustics.Bonded}
			l.bonds += amplitude(bond.Split(wave, upright(p.Meets)).Transmitted(wave))
			continue
		}
		on := w.course.Legs[next.Leg-1]
		l.walls += amplitude(acoustics.FreeSurfaceShare(wave, on, upright(p.Meets), medium.Longitudinal, medium.Transverse))
		if on == wave {
			_, other := acoustics.FreeSurfaceReflection(wave, upright(p.Meets), medium.Longitudinal, medium.Transverse)
			l.converted = max(l.converted, other)
		}
	}
}

// upright is an angle without its side.
func upright(a si.Angle) si.Angle { return si.Angle(math.Abs(float64(a))) }

// damping is the attenuation of a wave in a stratum, and the frequency for which
// it is stated; unknown where it is not.
func (s *sheet) damping(g *Group, stratum int, wave acoustics.Wave) (si.Attenuation, si.Frequency) {
	if stratum == g.Part.Base {
		return s.attenuationOf(wave), s.Job.Part.Material.AttenuationAt
	}
	clad := s.Job.Part.Cladding
	if wave == acoustics.Longitudinal {
		return clad.LongitudinalAttenuation, clad.AttenuationAt
	}
	return clad.TransverseAttenuation, clad.AttenuationAt
}
