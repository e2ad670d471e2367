package technique

import (
	"fmt"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// A Radius is an echo of a standard block by which the range can be set: of a
// radius, or of a face that a straight beam meets square.
type Radius struct {
	Block    string // with its name in the trade
	Name     string // "25": part of the ids
	Echo     string // "first", "second"
	Path     si.Length
	straight bool // for straight beams, the rest for angled ones
}

// standardEchoes lists the echoes of standard blocks, as far as their sizes are
// known well enough. The radii of block No. 2 lie about one centre, so that sound
// which is not taken up there runs to the other radius and back before it comes
// again. The block of ISO 19675 has radii too, but its drawing was not at hand.
func standardEchoes() []Radius {
	const mm = si.Millimetre
	list := []Radius{
		{"ISO 7963, block No. 2, towards the radius of 25 mm", "25", "first", 25 * mm, false},
		{"ISO 7963, block No. 2, towards the radius of 25 mm", "25-again", "second", (25 + 50 + 25) * mm, false},
		{"ISO 7963, block No. 2, towards the radius of 50 mm", "50", "first", 50 * mm, false},
		{"ISO 7963, block No. 2, towards the radius of 50 mm", "50-again", "second", (50 + 25 + 50) * mm, false},
		{"ISO 2400, block No. 1, radius of 100 mm", "100", "first", 100 * mm, false},
	}
	for i, echo := range []string{"first", "second", "third", "fourth"} {
		list = append(list, Radius{"ISO 2400, block No. 1, through its thickness of 25 mm", fmt.Sprintf("thickness-%d", i+1), echo, si.Length(i+1) * 25 * mm, true})
	}
	for i, echo := range []string{"first", "second"} {
		list = append(list, Radius{"ISO 2400, block No. 1, across its width of 100 mm", fmt.Sprintf("width-%d", i+1), echo, si.Length(i+1) * 100 * mm, true})
	}
	return list
}

// Velocities of the steel of these blocks, from memory of ISO 2400: within
// 30 m/s of the longitudinal, 15 m/s of the transverse.
const (
	blockLongitudinal si.Speed = 5920
	blockTransverse   si.Speed = 3255
)

// Waves lists the kinds of wave that the groups use, as words of ids.
func (t *Technique) Waves() []string {
	var list []string
	for _, word := range []string{"longitudinal", "transverse"} {
		if len(t.Radii(word)) > 0 {
			list = append(list, word)
		}
	}
	return list
}

// Radii lists the echoes of standard blocks that the groups of a kind of wave can
// use.
func (t *Technique) Radii(wave string) []Radius {
	used := map[bool]bool{}
	for i := range t.Groups {
		if g := &t.Groups[i]; len(g.Placements) > 0 && waveWord(g.PartSpeed == t.Job.Part.Material.Longitudinal) == wave {
			used[g.Set.Method == "straight-beam"] = true
		}
	}
	return slices.DeleteFunc(standardEchoes(), func(r Radius) bool { return !used[r.straight] })
}

func waveWord(longitudinal bool) string {
	if longitudinal {
		return "longitudinal"
	}
	return "transverse"
}

// radii states when the echoes of the radii come, at the temperatures of the
// job too, and where they are shown if the velocity of the part is set. The
// blocks are of ferritic steel, so that they serve for parts of it only, and
// what temperature does to the part it does to them.
func (s *sheet) radii() {
	m := &s.Job.Part.Material
	if m.Group != "ferritic" {
		return
	}
	for _, wave := range s.Waves() {
		speed, set, change := blockTransverse, m.Transverse, m.TransverseChange
		if wave == "longitudinal" {
			speed, set, change = blockLongitudinal, m.Longitudinal, m.LongitudinalChange
		}
		own := "reference.radii." + wave + "."
		s.sound(own+"velocity", "c_b", wave+" velocity in the standard blocks, at 20 °C", speed, how{source: "ISO 2400 (from memory)"})
		s.add(own+"change", "k", wave+" velocity of the blocks: change for each kelvin, as of the part", float64(change), si.KindSpeedPerKelvin, changes, given())
		for _, r := range s.Radii(wave) {
			at := RadiusID(wave, r)
			of := fmt.Sprintf("%s echo, %s, %s", r.Echo, r.Block, wave)
			s.length(at+"path", "s_R", "sound path", r.Path, how{of: of, source: "the standard named (from memory); " + map[bool]string{true: "between parallel faces", false: "geometry of two radii about one centre"}[r.straight]})
			s.time(at+"time", "t_R", "time there and back in the block at 20 °C", 2*passage(r.Path, speed), micros, how{of: of,
				formula: "t_R = 2 s_R / c_b", inputs: []string{at + "path", own + "velocity"}, source: "definition"})
			for _, end := range s.TemperatureNames() {
				degree, _ := s.Value("part.temperature." + end)
				warm := acoustics.SpeedAt(speed, change, si.Celsius(degree.Q.SI))
				if !si.Known(warm) {
					continue
				}
				s.time(at+"time_"+end, "t_ϑ", "the same at a temperature of the job", 2*passage(r.Path, warm), micros, how{of: of,
					formula: "t_ϑ = 2 s_R / (c_b + k (ϑ − 20 °C))", inputs: []string{at + "path", own + "velocity", own + "change", "part.temperature." + end}, source: "definition of the coefficient"})
			}
			s.time(at+"part_time", "t_R'", "time over the same path in the part", 2*passage(r.Path, set), micros, how{of: of,
				formula: "t_R' = 2 s_R / c", inputs: []string{at + "path", "part." + wave}, source: "definition"})
			s.add(at+"reading", "s_R'", "sound path shown where the velocity of the part is set",
				float64(r.Path)*float64(set/speed), si.KindLength, digits{"mm", 2, "in", 3}, how{of: of,
					formula: "s_R' = s_R c / c_b", inputs: []string{at + "path", "part." + wave, own + "velocity"}, source: "definition"})
		}
	}
}

// RadiusID is the prefix of what is stated of a radius and a wave.
func RadiusID(wave string, r Radius) string { return "reference.radii." + wave + "." + r.Name + "." }

// velocities states what the form for measuring the velocity in the part needs:
// the time between two back-wall echoes, and what a wrong velocity does.
func (s *sheet) velocities() {
	m := &s.Job.Part.Material
	for _, wave := range []struct {
		name string
		c    si.Speed
	}{{"longitudinal", m.Longitudinal}, {"transverse", m.Transverse}} {
		s.add("part.echo_interval."+wave.name, "Δt", "time between neighbouring back-wall echoes of a straight beam", float64(2*passage(s.Job.Part.Thickness, wave.c)), si.KindTime, digits{"us", 3, "us", 3}, how{of: wave.name,
			formula: "Δt = 2 t / c", inputs: []string{"part.thickness", "part." + wave.name}, source: "definition; ASTM E494 measures so"})
	}
	if legs, angles := s.legsAndAngles(); len(legs) > 0 {
		if turned := acoustics.Refract(angles.To, 1, 1+velocityOff); si.Known(turned) {
			s.angle("reference.velocity_turn", "Δα", "turn of the beam of the largest angle where the velocity in the part is 1 % higher", turned-angles.To, how{
				formula: "Δα = asin(1.01 sin α) − α, α the largest angle used", side: si.Up, source: snell})
		}
	}
}

// velocityOff is the difference of the velocity whose effect is stated.
const velocityOff = 0.01

// tolerance is how closely a code wants the holes of a block made.
type tolerance struct {
	code            string
	hole, depth     si.Length // NaN where the code's is not known
	holeIn, depthIn si.Length // the code's own rounded values, for a job in inches
	kind            string    // of part that it is for; empty for all
	source          string
}

// tolerances is what is known of the codes. The values of the first were seen in
// a copy of the 2010 edition in which the sign is lost.
func tolerances() []tolerance {
	unknown := si.Unknown[si.Length]()
	return []tolerance{
		{"ASME V Article 4", 0.8 * si.Millimetre, 3 * si.Millimetre, si.Inch / 32, si.Inch / 8, "plate",
			"ASME V Article 4, Figure T-434.2.1 (third-party copy of the 2010 edition, the sign from memory)"},
		{"ISO 13588", 0.2 * si.Millimetre, unknown, 0.2 * si.Millimetre, unknown, "", "ISO 13588:2019, Annex A (from memory: confirm before use)"},
	}
}

// holeTolerances states how closely the holes of the reference block are to be
// made: the smaller where several codes say so.
func (s *sheet) holeTolerances() {
	block := s.block()
	if block == nil || len(block.HoleDepths) == 0 {
		return
	}
	state := func(id, symbol, name string, value func(tolerance) si.Length) {
		least, source := si.Unknown[si.Length](), ""
		for _, t := range tolerances() {
			if x := value(t); s.follows(t) && si.Known(x) && !(x >= least) {
				least, source = x, t.source
			}
		}
		if si.Known(least) {
			s.add(id, symbol, name, float64(least), si.KindLength, digits{"mm", 1, "in", 4}, how{source: source, side: si.Down})
		}
	}
	state("reference.hole_tolerance", "Δd", "permitted deviation of the holes' diameter, up or down", func(t tolerance) si.Length {
		if s.inch {
			return t.holeIn
		}
		return t.hole
	})
	state("reference.depth_tolerance", "Δz", "permitted deviation of the holes' depths, up or down", func(t tolerance) si.Length {
		if s.inch {
			return t.depthIn
		}
		return t.depth
	})
}

// follows reports whether the job is held to the code of a tolerance.
func (s *sheet) follows(t tolerance) bool {
	if t.kind != "" && t.kind != s.Job.Part.Kind {
		return false
	}
	for _, c := range s.Job.Codes.Procedure {
		if c.Code == t.code {
			return true
		}
	}
	return false
}
