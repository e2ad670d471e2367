package technique

import (
	"math"

	"soundwrit/internal/acquisition"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Plane waves are sent by all elements of a tfm group together, one angle after
// the other, and received by each element. The rays of the first and the last
// element bound a wave.

// waves are the refracted angles of a group's plane waves; none where it sends
// otherwise.
func (g *Group) waves() []si.Angle {
	t := g.Set.Transmission
	if t.Scheme != string(acquisition.PlaneWave) || t.Count < 2 {
		return nil
	}
	list := make([]si.Angle, t.Count)
	for i := range list {
		list[i] = t.From + (t.To-t.From)*si.Angle(i)/si.Angle(t.Count-1)
	}
	return list
}

// sent is what belongs to the scheme of a group: the n of every n-th element,
// or the number of waves.
func (g *Group) sent() int {
	if g.Set.Transmission.Scheme == string(acquisition.PlaneWave) {
		return g.Set.Transmission.Count
	}
	return g.every()
}

// waveValues states the waves.
func (s *sheet) waveValues(id string, g *Group) {
	t := g.Set.Transmission
	s.count(id+"waves", "n_w", "plane waves sent for one record", t.Count, given())
	s.angle(id+"wave_from", "θ_1", "refracted angle of the first plane wave", t.From, given())
	s.angle(id+"wave_to", "θ_2", "refracted angle of the last plane wave", t.To, given())
	s.angle(id+"wave_step", "Δθ_w", "angle between neighbouring plane waves", (t.To-t.From)/si.Angle(t.Count-1), how{
		formula: "Δθ_w = (θ_2 − θ_1) / (n_w − 1)", inputs: []string{id + "wave_from", id + "wave_to", id + "waves"}, source: "definition"})
}

// wavesArrive is the latest time after the first element has fired at which a
// wave passes a point at unfolded depth d. The elements' delays bring their
// pulses to the origin of the surface together, at the time of the slowest.
func (g *Group) wavesArrive(st stand, x, d si.Length) si.Time {
	latest := math.Inf(-1)
	for _, angle := range g.waves() {
		sine := float64(g.Wedge.Velocity/g.PartSpeed) * angle.Sin()
		cosine := math.Sqrt(1 - sine*sine)
		slowest := math.Inf(-1)
		for _, e := range st.active(1) {
			slowest = math.Max(slowest, (float64(e.Height)*cosine-float64(e.X)*sine)/float64(g.Wedge.Velocity))
		}
		latest = math.Max(latest, slowest+(float64(x)*angle.Sin()+float64(d)*angle.Cos())/float64(g.PartSpeed))
	}
	return si.Time(latest)
}

// wavesAt are the waves that reach a point of the section as the probe sees it:
// between the rays of the first and the last element, with no bounce where a
// wall is not plain.
func (g *Group) wavesAt(section *geometry.Section, at geometry.Point) []si.Angle {
	st := g.stand(g.Set.WedgeFront)
	first, last := st.element(st.first), st.element(st.first+st.count-1)
	legs, _ := g.pathLegs()
	unfolded := float64(section.Thickness) * float64(legs-1)
	if legs%2 == 1 {
		unfolded += float64(at.Z)
	} else {
		unfolded += float64(section.Thickness - at.Z)
	}
	var list []si.Angle
	for _, angle := range g.waves() {
		inWedge := math.Asin(float64(g.Wedge.Velocity/g.PartSpeed) * angle.Sin())
		on := func(x, height si.Length) float64 { return float64(x) + float64(height)*math.Tan(inWedge) }
		entry := float64(at.X) - unfolded*angle.Tan()
		reached := on(first.X, first.Height) <= entry && entry <= on(last.X, last.Height)
		for bounce := 1; bounce < legs; bounce++ {
			x := entry + float64(bounce)*float64(section.Thickness)*angle.Tan()
			for _, uneven := range section.Uneven(bounce%2 == 1) {
				reached = reached && !(x > float64(uneven[0]) && x < float64(uneven[1]))
			}
		}
		if reached {
			list = append(list, angle)
		}
	}
	return list
}
