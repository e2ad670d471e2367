package technique

import (
	"fmt"

	"soundwrit/internal/si"
)

// A Radius is a radius of a standard block on which the range can be set.
type Radius struct {
	Block string // with its name in the trade
	Name  string // "25": part of the ids
	Size  si.Length
}

// Radii lists the radii of standard blocks, as far as their size is known well
// enough. The block of ISO 19675 has radii too, but its drawing was not at hand.
func Radii() []Radius {
	return []Radius{
		{"ISO 7963, block No. 2", "25", 25 * si.Millimetre},
		{"ISO 7963, block No. 2", "50", 50 * si.Millimetre},
		{"ISO 2400, block No. 1", "100", 100 * si.Millimetre},
	}
}

// Velocities of the steel of these blocks, from memory of ISO 2400: within
// 30 m/s of the longitudinal, 15 m/s of the transverse.
const (
	blockLongitudinal si.Speed = 5920
	blockTransverse   si.Speed = 3255
)

// Waves lists the kinds of wave that the groups use, as words of ids.
func (t *Technique) Waves() []string {
	used := map[string]bool{}
	for i := range t.Groups {
		if len(t.Groups[i].Placements) > 0 {
			used[waveWord(t.Groups[i].PartSpeed == t.Job.Part.Material.Longitudinal)] = true
		}
	}
	var list []string
	for _, word := range []string{"longitudinal", "transverse"} {
		if used[word] {
			list = append(list, word)
		}
	}
	return list
}

func waveWord(longitudinal bool) string {
	if longitudinal {
		return "longitudinal"
	}
	return "transverse"
}

// radii states when the echoes of the radii come, and where they are shown if
// the velocity of the part is set. The blocks are of ferritic steel, so that
// they serve for parts of it only.
func (s *sheet) radii() {
	if s.Job.Part.Material.Group != "ferritic" {
		return
	}
	for _, wave := range s.Waves() {
		speed, set := blockTransverse, s.Job.Part.Material.Transverse
		if wave == "longitudinal" {
			speed, set = blockLongitudinal, s.Job.Part.Material.Longitudinal
		}
		own := "reference.radii." + wave + "."
		s.sound(own+"velocity", "c_b", wave+" velocity in the standard blocks, at 20 °C", speed, how{source: "ISO 2400 (from memory)"})
		for _, r := range Radii() {
			at := RadiusID(wave, r)
			s.length(at+"radius", "R", "radius of "+r.Block, r.Size, how{source: "the standard named (from memory)"})
			s.time(at+"time", "t_R", fmt.Sprintf("time to the radius of %s mm and back, in the block, %s", r.Name, wave), 2*passage(r.Size, speed), micros, how{
				formula: "t_R = 2 R / c_b", inputs: []string{at + "radius", own + "velocity"}, source: "definition"})
			s.time(at+"part_time", "t_R'", fmt.Sprintf("time over the same path of %s mm and back, in the part, %s", r.Name, wave), 2*passage(r.Size, set), micros, how{
				formula: "t_R' = 2 R / c", inputs: []string{at + "radius", "part." + wave}, source: "definition"})
			s.add(at+"reading", "R'", fmt.Sprintf("sound path shown for the radius of %s mm where the velocity of the part is set, %s", r.Name, wave),
				float64(r.Size)*float64(set/speed), si.KindLength, digits{"mm", 2, "in", 3}, how{
					formula: "R' = R c / c_b", inputs: []string{at + "radius", "part." + wave, own + "velocity"}, source: "definition"})
		}
	}
}

// RadiusID is the prefix of what is stated of a radius and a wave.
func RadiusID(wave string, r Radius) string { return "reference.radii." + wave + "." + r.Name + "." }

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
