package technique

import (
	"fmt"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// What is other for a pair of tofd on the outside of a pipe: its lateral wave goes
// straight under the surface, and depths count from the surface midway.

// timing is when the echoes of a pair come.
func (g *Group) timing() acoustics.Pair {
	return g.timingOver(g.Pair.Separation, g.Pair.Probe.Pulse)
}

// timingOver is that of a pair with a separation and a pulse.
func (g *Group) timingOver(separation si.Length, pulse si.Time) acoustics.Pair {
	if g.Part.Radius != 0 {
		return acoustics.PairAround(separation, g.Part.Radius, g.PartSpeed, pulse)
	}
	return acoustics.Pair{Half: separation / 2, Speed: g.PartSpeed, Pulse: pulse}
}

// bowed reports a pair on a pipe whose lateral wave or axes do not go as they must:
// the chord between the exit points has to pass over the bore, and the axes to meet
// below it.
func (s *sheet) bowed(g *Group, p *Pair) bool {
	r := g.Part.Radius
	if r == 0 || !si.Known(r) || !si.Known(p.Probe.Angle) {
		return false
	}
	key, asked := ".separation", p.Separation
	if !si.Known(g.Set.Separation) {
		key, asked = ".crossing_depth", g.Set.CrossingDepth
	}
	chord := g.timingOver(p.Separation, p.Probe.Pulse)
	if !si.Known(asked) || chord.Sagitta < s.Job.Part.Thickness && p.Crossing > chord.Sagitta {
		return false
	}
	s.problem("groups."+g.Set.Name+key, "pair-around-too-much", fmt.Sprintf("the probes of group %s would stand too far around the pipe", g.Set.Name),
		s.mm(asked, si.Nearest), "a straight way between the exit points that passes over the bore, and axes that cross below it",
		"bring the probes nearer together, choose a smaller angle, or another method")
	return true
}

// chord states the straight way of the lateral wave under the surface of a pipe.
func (s *sheet) chord(id string, g *Group) {
	if g.Part.Radius == 0 {
		return
	}
	timing, probe := g.timing(), g.Pair.Probe
	from := s.onPipe(id + "separation")
	s.length(id+"half_chord", "s", "half of the straight way between the exit points, on which the lateral wave goes", timing.Half, how{
		formula: "s = R sin φ, φ = S / R, R = D / 2", inputs: from, source: "chord of a circle"})
	s.length(id+"sagitta", "σ", "depth of that straight way under the surface, midway: over it no depth can be told", timing.Sagitta, how{
		formula: "σ = R (1 − cos φ), φ = S / R, R = D / 2", inputs: from, side: si.Up, source: "sagitta of a circle"})
	s.gapUnder(id, g, "probe", contactFace{key: "probe_length", what: "length of a probe's contact face", around: probe.Length, contour: probe.Contour})
}

// onPipe are inputs of a value, and the diameter where it counts.
func (s *sheet) onPipe(ids ...string) []string {
	if s.Section.Radius() != 0 {
		ids = append(ids, "part.outside_diameter")
	}
	return ids
}

// straightWay are the values from which times are counted.
func (s *sheet) straightWay(id string) []string {
	if s.Section.Radius() != 0 {
		return []string{id + "half_chord", id + "sagitta"}
	}
	return []string{id + "separation"}
}
