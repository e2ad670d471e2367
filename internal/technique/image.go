package technique

import (
	"fmt"
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// imageValues states the grid and the load of a tfm group.
func (s *sheet) imageValues(id string, g *Group, st stand) {
	set, r := g.Set, g.Set.Region
	points := int(math.Floor(float64((r.Near+r.Far)/set.Grid)+1+1e-9)) * int(math.Floor(float64((r.Bottom-r.Top)/set.Grid)+1+1e-9))
	if !si.Known(set.Grid) || !si.Known(r.Near+r.Far+r.Top+r.Bottom) {
		points = 0
	}
	s.fine(id+"grid", "Δ", "distance between image points", set.Grid, given())
	s.count(id+"grid_points", "n_g", "image points", points, how{
		formula: "n_g = (width / Δ + 1) (height / Δ + 1)", inputs: []string{id + "grid"}, source: "definition"})
	lambda := acoustics.Wavelength(g.meeting(), g.Probe.Frequency)
	s.ratio(id+"grid_ratio", "λ/Δ", "image points in a wavelength", si.Ratio(lambda/set.Grid), how{
		formula: "λ / Δ", inputs: []string{id + "wavelength", id + "grid"}, side: si.Down, source: "definition"})
	if si.Known(set.Fidelity) {
		s.gain(id+"fidelity", "δ_m", "measured loss of amplitude between image points", set.Fidelity, given())
	}
	scheme := acquisition.Scheme(set.Transmission.Scheme)
	firings, ascans := acquisition.Firings(st.count, scheme, g.sent()), acquisition.AScans(st.count, scheme, g.sent())
	if scheme == acquisition.PlaneWave {
		s.waveValues(id, g)
	} else {
		s.count(id+"elements_firing", "n_t", "elements that fire", firings, how{
			formula: "n_t = ⌈n / k⌉, every k-th element fires", inputs: []string{id + "active_elements"}, source: "counting"})
	}
	if scheme == acquisition.EveryNth {
		s.firingEnds(id, g, st)
	}
	g.Load = acquisition.Load{Firings: firings, AScans: ascans, GridPoints: points, TimeOfFlight: s.imageTime(g, st)}
	s.elementTimes(id, g, st)
	transmit, receive := g.pathLegs()
	g.Deepest = max(g.unfolded(transmit, s.Job.Part.Thickness), g.unfolded(receive, s.Job.Part.Thickness))
	s.loadValues(id, g)
}

// firingEnds states which of the elements fire: the last of the aperture need not
// be one of them, and the sound is then sent from less than hears it.
func (s *sheet) firingEnds(id string, g *Group, st stand) {
	across := len(st.active(g.every()))*g.every() - g.every() + 1 // elements, from the first that fires to the last
	s.count(id+"first_firing", "m_1", "first element that fires", st.first+1, how{formula: "first of the aperture", source: "counting"})
	s.count(id+"last_firing", "m_t", "last element that fires", st.first+across, how{
		formula: "m_t = m_1 + (n_t − 1) k", inputs: []string{id + "first_firing", id + "elements_firing"}, source: "counting"})
	if across < st.count {
		s.fine(id+"aperture_firing", "A_t", "aperture from the first element that fires to the last", acoustics.ActiveAperture(across, g.Probe.Pitch, g.Probe.Pitch-g.Probe.Gap), how{
			formula: "A_t = (m_t − m_1) p + e", inputs: []string{id + "first_firing", id + "last_firing", id + "pitch", id + "element"}, source: "definition"})
	}
}

// elementTimes states the time from every element to the middle of the region
// on its way out, the delay with which that point is focused.
func (s *sheet) elementTimes(id string, g *Group, st stand) {
	r := g.Set.Region
	out, _ := g.ways()
	formula := "T_i = least of (path in the wedge) / c_w + (unfolded path in the part) / c"
	if g.converts() || !g.homogeneous() {
		formula = "T_i = least of Σ s_j / c_j over wedge, legs and metals"
	}
	for i := range st.count {
		if _, time := out.To(st.element(st.first+i), (r.Far-r.Near)/2, (r.Top+r.Bottom)/2); si.Known(time) {
			s.time(fmt.Sprintf("%stimes.%d", id, st.first+i+1), "T_i", "one-way time from an element to the middle of the region", time, micros, how{
				formula: formula, inputs: []string{id + "wedge_velocity"}, source: "Fermat's principle"})
		}
	}
}

// unfolded is the largest unfolded depth of the region on a way of so many legs.
func (g *Group) unfolded(legs int, thickness si.Length) si.Length {
	return max(ray.Unfold(legs, g.Set.Region.Top, thickness), ray.Unfold(legs, g.Set.Region.Bottom, thickness))
}

// imageTime is the longest time from any firing element over a corner of the
// region to any receiving element. Time grows with distance, so that the first
// and last element and the corners of the region suffice. Corners that no ray
// reaches have none.
func (s *sheet) imageTime(g *Group, st stand) si.Time {
	transmit, receive := g.ways()
	r := g.Set.Region
	longest := si.Time(0)
	for _, x := range []si.Length{-r.Near, r.Far} {
		for _, z := range []si.Length{r.Top, r.Bottom} {
			slowest := func(c *ray.Course) si.Time {
				worst := si.Time(0)
				for _, e := range []ray.Element{st.element(st.first), st.element(st.first + st.count - 1)} {
					_, time := c.To(e, x, z)
					if c.Part.Radius != 0 && !si.Known(time) { // the last ray that comes to that depth
						time = c.Leave(e, c.Limit(e, len(c.Legs), z)).Time(len(c.Legs), z)
					}
					if time > worst {
						worst = time
					}
				}
				return worst
			}
			out := slowest(&transmit)
			if waves := g.waves(); len(waves) > 0 {
				out = g.wavesArrive(st, x, z)
			}
			longest = max(longest, out+slowest(&receive))
		}
	}
	return longest
}
