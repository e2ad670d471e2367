package technique

import (
	"math"

	"soundwrit/internal/acquisition"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
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
// wave passes a place at depth z on the last leg out. The elements' delays bring
// their pulses to the origin of the surface together, at the time of the slowest. A
// wave that turns before that depth counts where it turns, and one that does not
// come to the last leg not at all; where none comes, nothing is known.
func (g *Group) wavesArrive(st stand, x, z si.Length) si.Time {
	latest := math.NaN()
	out, _ := g.ways()
	for _, angle := range g.waves() {
		slowest := math.Inf(-1)
		for _, e := range st.active(1) {
			slowest = math.Max(slowest, float64(out.Leave(e, angle).Front(1, 0, 0)))
		}
		onwards, leg := out.Leave(ray.Element{}, angle), len(out.Legs)
		from, to := out.Wall(leg-1), z
		if !si.Known(onwards.X(leg, to)) {
			for range 60 {
				if middle := (from + to) / 2; si.Known(onwards.X(leg, middle)) {
					from = middle
				} else {
					to = middle
				}
			}
			to = from
		}
		arrives := slowest + float64(onwards.Front(leg, x, to)-onwards.Front(1, 0, 0))
		if arrives > latest || math.IsNaN(latest) {
			latest = arrives
		}
	}
	return si.Time(latest)
}

// wavesAt are the waves that reach a point of the section as the probe sees it:
// between the rays of the first and the last element, with no bounce where a
// wall is not plain.
func (g *Group) wavesAt(section *geometry.Section, at geometry.Point) []si.Angle {
	st := g.stand(g.Set.WedgeFront)
	out, _ := g.ways()
	legs := len(out.Legs)
	var list []si.Angle
	for _, angle := range g.waves() {
		first, last := out.Leave(st.element(st.first), angle), out.Leave(st.element(st.first+st.count-1), angle)
		reached := first.X(legs, at.Z) <= at.X && at.X <= last.X(legs, at.Z)
		for bounce := 1; bounce < legs; bounce++ {
			wall := out.Wall(bounce)
			x := first.X(bounce, wall) + at.X - first.X(legs, at.Z) // of the ray that comes there
			for _, uneven := range section.Uneven(bounce%2 == 1) {
				reached = reached && !(x > uneven[0] && x < uneven[1])
			}
		}
		if reached {
			list = append(list, angle)
		}
	}
	return list
}
