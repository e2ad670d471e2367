package technique

import (
	"slices"
	"strings"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Courses: how the sound of a group goes between its elements and the part.
//
// A path is written as in ISO 23243, in the order in which the sound travels:
// TL-T goes out as a transverse wave, is turned into a longitudinal one at the
// wall, and comes straight back as a transverse one; of T-LT the longitudinal leg
// leads from the reflector to the wall. A course is counted from the probe, so
// that of the way back has the letters in reverse.

// strata are what rays cross under a scanning surface: on that of a flange, the
// flange. The thickness of the part holds the cladding, and refracted angles are
// those in the base metal.
func (s *sheet) strata(surface string) ray.Part {
	part := &s.Job.Part
	thickness := part.Thickness
	if surface == "flange" && part.Flange != nil {
		thickness = part.Flange.Thickness
	}
	p := ray.Plate(thickness, metal(&part.Material))
	p.Radius = frameOf(s.Section, "A", surface, si.Unknown[si.Length]()).local(s.Section).Radius()
	clad := part.Cladding
	if clad == nil {
		return p
	}
	p.Strata[0].Thickness -= clad.Thickness
	p.Strata = append(p.Strata, ray.Stratum{Thickness: clad.Thickness, Medium: acoustics.Medium{Density: clad.Density, Longitudinal: clad.Longitudinal, Transverse: clad.Transverse}})
	if clad.Surface == surface || surface == "" && clad.Surface == "top" {
		slices.Reverse(p.Strata)
		p.Base = 1
	}
	return p
}

func metal(m *schema.Material) acoustics.Medium {
	return acoustics.Medium{Density: m.Density, Longitudinal: m.Longitudinal, Transverse: m.Transverse}
}

// coating is what the sound crosses over the scanning surface.
func (s *sheet) coating() ray.Layer {
	if c := s.Job.Part.Coating; c != nil {
		return ray.Layer{Thickness: c.Thickness, Speed: c.Longitudinal}
	}
	return ray.Layer{}
}

// course is that of a group over the given legs, counted from the probe.
func (g *Group) course(legs []acoustics.Wave) ray.Course {
	return ray.Course{Wedge: g.Wedge.Velocity, Coating: g.Coating, Part: g.Part, Legs: legs}
}

// straight is the course over so many legs of the wave that a group sends.
func (g *Group) straight(legs int) ray.Course {
	return g.course(ray.Waves(g.Sent(), legs))
}

// ways are the courses out and back of a tfm group, both from the probe on.
func (g *Group) ways() (out, back ray.Course) {
	there, here := pathWaves(g.Set.Path)
	return g.course(there), g.course(here)
}

// pathWaves reads the legs of a path, out and back, both counted from the probe.
func pathWaves(path string) (out, back []acoustics.Wave) {
	read := func(letters string) (legs []acoustics.Wave) {
		for _, letter := range letters {
			wave := acoustics.Transverse
			if letter == 'L' {
				wave = acoustics.Longitudinal
			}
			legs = append(legs, wave)
		}
		return legs
	}
	there, here, _ := strings.Cut(path, "-")
	out, back = read(there), read(here)
	slices.Reverse(back)
	return out, back
}

// Sent is the kind of wave that a group sends into the part.
func (g *Group) Sent() acoustics.Wave {
	if g.Set.Method == "tfm" && strings.HasPrefix(g.Set.Path, "L") || g.Set.Method == "straight-beam" || g.Set.Method != "tfm" && g.Set.Wave == "longitudinal" {
		return acoustics.Longitudinal
	}
	return acoustics.Transverse
}

// Received is the kind of wave in which a group hears the part.
func (g *Group) Received() acoustics.Wave {
	if g.Set.Method != "tfm" {
		return g.Sent()
	}
	if strings.HasSuffix(g.Set.Path, "L") {
		return acoustics.Longitudinal
	}
	return acoustics.Transverse
}

// usable are the refracted angles that the wedge permits of a kind of wave. A
// wedge that sends and receives one kind states one range.
func (g *Group) usable(wave acoustics.Wave) schema.AngleRange {
	w := g.Wedge
	if wave == acoustics.Longitudinal && si.Known(w.LongitudinalFrom+w.LongitudinalTo) {
		return schema.AngleRange{From: w.LongitudinalFrom, To: w.LongitudinalTo}
	}
	return schema.AngleRange{From: w.UsableFrom, To: w.UsableTo}
}

// converts reports whether waves change their kind on the group's path.
func (g *Group) converts() bool {
	return g.Set.Method == "tfm" && strings.Contains(g.Set.Path, "L") && strings.Contains(g.Set.Path, "T")
}

// homogeneous reports whether a group looks at a flat part of one metal.
func (g *Group) homogeneous() bool {
	return g.Part.Radius == 0 && len(g.Part.Strata) == 1
}

// meeting is the velocity of the slower of the waves that meet at a place imaged.
func (g *Group) meeting() si.Speed {
	if g.Set.Method != "tfm" {
		return g.PartSpeed
	}
	out, back := g.ways()
	return min(out.Speed(len(out.Legs)), back.Speed(len(back.Legs)))
}
