package technique

import (
	"fmt"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// What is other for a pair of tofd around a pipe. On the outside its lateral wave
// goes straight under the surface, and depths count from the surface midway. In the
// bore the straight way leads through the bore: the radius, and the angle and sagitta
// that follow from it, are negative, and times count from the pulse.

// InBore reports whether the group stands inside a pipe.
func (g *Group) InBore() bool { return g.Part.Radius < 0 }

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
// below it. In the bore both probes have to see the far wall, midway and where the
// echo that ends the time window is converted.
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
	ends := !si.Known(s.Job.Part.Material.Transverse) || si.Known(g.converted(p.Separation))
	if !si.Known(asked) || chord.Clear(0) < s.Job.Part.Thickness && p.Crossing > chord.Clear(0) && ends {
		return false
	}
	wanted := "a straight way between the exit points that passes over the bore, axes that cross below it, and an echo of the inner wall that is converted there"
	if g.InBore() {
		wanted = "both probes see the far wall past the bore, midway and where its echo is converted, and their axes cross"
	}
	s.problem("groups."+g.Set.Name+key, "pair-around-too-much", fmt.Sprintf("the probes of group %s would stand too far around the pipe", g.Set.Name),
		s.mm(asked, si.Nearest), wanted,
		"bring the probes nearer together, choose a smaller angle, or another method")
	return true
}

// chord states the straight way of the lateral wave under the surface of a pipe.
func (s *sheet) chord(id string, g *Group) {
	if g.Part.Radius == 0 {
		return
	}
	timing, probe := g.timing(), g.Pair.Probe
	from := s.onSurface(g, id+"separation")
	if g.InBore() {
		s.length(id+"half_chord", "s", "half of the straight distance between the exit points, through the bore", timing.Half, how{
			formula: "s = R sin φ, φ = S / R, R = t − D / 2", inputs: from, source: "chord of a circle"})
		s.length(id+"sagitta", "σ", "depth of the straight line between the exit points, midway: negative, since it lies in the bore", timing.Sagitta, how{
			formula: "σ = R (1 − cos φ), φ = S / R, R = t − D / 2", inputs: from, source: "sagitta of a circle"})
	} else {
		s.length(id+"half_chord", "s", "half of the straight way between the exit points, on which the lateral wave goes", timing.Half, how{
			formula: "s = R sin φ, φ = S / R, R = D / 2", inputs: from, source: "chord of a circle"})
		s.length(id+"sagitta", "σ", "depth of that straight way under the surface, midway: over it no depth can be told", timing.Sagitta, how{
			formula: "σ = R (1 − cos φ), φ = S / R, R = D / 2", inputs: from, side: si.Up, source: "sagitta of a circle"})
	}
	s.gapUnder(id, g, "probe", contactFace{key: "probe_length", what: "length of a probe's contact face", around: probe.Length, contour: probe.Contour})
}

// wave is a value that says when a wave comes.
type wave struct{ id, symbol string }

// firstWave states when the first wave comes, or can come at the earliest.
func (s *sheet) firstWave(id string, g *Group) wave {
	timing := g.timing()
	if g.InBore() {
		s.time(id+"time_creeping", "t_A", "earliest arrival of the first wave, which creeps along the bore, time in the part", timing.First(), micros, how{
			formula: "t_A = 2 S / c_L", inputs: []string{id + "separation", "part.longitudinal"}, side: si.Down, source: creeping})
		return wave{id + "time_creeping", "t_A"}
	}
	s.time(id+"time_lateral", "t_L", "arrival of the lateral wave, time in the part", timing.Lateral(), micros, how{
		formula: "t_L = 2 s / c_L", inputs: append(s.straightWay(id), "part.longitudinal"), source: tofdStandard})
	return wave{id + "time_lateral", "t_L"}
}

const creeping = "the shortest way around the bore; creeping waves after Keller, J. Opt. Soc. Am. 52 (1962) 116, recalled"

// shadow states what the bore hides from a pair that stands in it, and what the wave
// along it does.
func (s *sheet) shadow(id string, g *Group) {
	timing := g.timing()
	s.length(id+"shadow", "z_b", "depth down to which the bore stands between flaws and the probes, in the middle", timing.Clear(0), how{
		formula: "z_b = |R| (1 / cos φ − 1), φ = S / R, R = t − D / 2", inputs: s.onSurface(g, id+"separation"), side: si.Up, source: "tangent of a circle"})
	s.length(id+"dead_surface", "D_s", "depth down to which flaws are hidden by the bore, or at least by the wave along it, in the middle", timing.SurfaceDeadZone(), how{
		formula: "D_s = the larger of z_b and σ + √((S + c_L t_p / 2)² − s²)", side: si.Up, source: creeping,
		inputs: append(s.straightWay(id), id+"separation", "part.longitudinal", id+"pulse", id+"shadow")})
}

// onPipe are inputs of a value, and the diameter where it counts.
func (s *sheet) onPipe(ids ...string) []string {
	if s.Section.Radius() != 0 {
		ids = append(ids, "part.outside_diameter")
	}
	return ids
}

// onSurface is onPipe of what follows from the radius of the scanned surface.
func (s *sheet) onSurface(g *Group, ids ...string) []string {
	if g.InBore() {
		ids = append(ids, "part.thickness")
	}
	return s.onPipe(ids...)
}

// straightWay are the values from which times are counted.
func (s *sheet) straightWay(id string) []string {
	if s.Section.Radius() != 0 {
		return []string{id + "half_chord", id + "sagitta"}
	}
	return []string{id + "separation"}
}
