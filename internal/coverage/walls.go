package coverage

import (
	"math"
	"slices"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// rayRange is the rays of one emitter, or of one angle: those at the places of a
// range, along which X grows at every depth.
type rayRange struct {
	way   *Way
	whole [2]float64
	send  func(float64) beam
	find  func(x float64, leg int, part [2]float64) float64 // the place whose ray lies at x at the end of a leg of the course
}

// bundle is rays of a range that have turned on the same stretches of wall.
type bundle struct {
	part [2]float64
	leg  int       // on which they are
	from float64   // depth of the last turn; of the surface, on the first leg
	more []float64 // by how much farther they went to each turn than in the course; nil where not
}

// x is where the ray at a place of the range lies at depth z on its leg. A flat
// wall that lies farther away than in the course costs the way there and back:
//
//	Δx = Δz (tan β₁ + tan β₂), β₁ and β₂ the angles before and after the turn
//
// Source: geometry; held by rays traced from wall to wall in walls_test.go.
func (r *rayRange) x(b bundle, at, z float64) float64 {
	sent := r.send(at)
	wall := math.Min(math.Max(z, 0), float64(r.way.Course.Part.Thickness()))
	x := sent.shift + float64(sent.ray.X(b.leg, si.Length(wall))) + r.moved(b, sent)
	if wall != z { // beyond the walls of the course
		x += math.Abs(z-wall) * sent.ray.Angle(b.leg, si.Length(wall)).Tan() * sense(b.leg, z-wall)
	}
	return x
}

// sense is 1 where a step in depth leads forwards on a leg.
func sense(leg int, dz float64) float64 {
	if leg%2 == 0 {
		dz = -dz
	}
	return math.Copysign(1, dz)
}

// moved is by how much a ray is moved along X by walls that lie elsewhere than
// in the course.
func (r *rayRange) moved(b bundle, sent beam) float64 {
	x := 0.0
	for i, more := range b.more {
		wall := r.way.Course.Wall(i + 1)
		x += more * (sent.ray.Angle(i+1, wall).Tan() + sent.ray.Angle(i+2, wall).Tan())
	}
	return x
}

// crossing cuts a bundle down to the rays that lie between two places at depth z
// on their leg.
func (r *rayRange) crossing(b bundle, z, from, to float64) (bundle, bool) {
	first, last := r.x(b, b.part[0], z), r.x(b, b.part[1], z)
	if !(last >= from && first <= to) {
		return b, false
	}
	old := b
	if first < from {
		b.part[0] = r.place(old, from, z)
	}
	if last > to {
		b.part[1] = r.place(old, to, z)
	}
	return b, true
}

// place is that of the ray of a bundle that lies at x at depth z on its leg.
func (r *rayRange) place(b bundle, x, z float64) float64 {
	if b.more == nil && z == float64(r.way.Course.Wall(b.leg)) {
		return r.find(x, b.leg, b.part)
	}
	low, high := b.part[0], b.part[1]
	for range 60 {
		if middle := (low + high) / 2; r.x(b, middle, z) < x {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// place is where rays are asked for.
type place struct{ x, z float64 }

// turned returns the rays that reach the last leg of the way by turns on plain
// wall only, each at the depth that the wall has there.
func (r *rayRange) turned(section *geometry.Section) []bundle {
	legs := r.way.legs()
	if legs < 1 || !(r.whole[0] <= r.whole[1]) || math.IsNaN(float64(r.send(r.whole[0]).ray.Entry()+r.send(r.whole[1]).ray.Entry())) {
		return nil
	}
	bundles := []bundle{{part: r.whole, leg: 1}}
	for leg := 1; leg < legs; leg++ {
		down, wall := leg%2 == 1, float64(r.way.Course.Wall(leg))
		var next []bundle
		for _, level := range section.Plain(down) {
			from, to, z := float64(level.From), float64(level.To), float64(level.Z)
			more := (z - wall) * sense(leg, 1)
			if math.Abs(more) < floatNoise {
				more, z = 0, wall
			} else if r.way.OneThickness || len(r.way.Course.Part.Strata) > 1 {
				continue // of strata it is not known which of them grows thicker
			}
			for _, b := range bundles {
				if !(z != b.from && sense(leg, z-b.from) > 0) {
					continue
				}
				kept, ok := r.crossing(b, z, from, to)
				if !ok {
					continue
				}
				if kept, ok = r.seen(kept, section, place{within(from, to), z}); !ok {
					continue
				}
				kept.leg, kept.from = leg+1, z
				if more != 0 || kept.more != nil {
					kept.more = append(slices.Clip(kept.more), make([]float64, leg-1-len(kept.more))...)
					kept.more = append(kept.more, more)
				}
				next = append(next, kept)
			}
		}
		bundles = next
	}
	return bundles
}

// within is a place between two, of which one or both may be infinite.
func within(from, to float64) float64 {
	switch low, high := math.IsInf(from, -1), math.IsInf(to, 1); {
	case low && high:
		return 0
	case low:
		return to - 1
	case high:
		return from + 1
	}
	return (from + to) / 2
}

// seen cuts a bundle down to the rays that come from their last turn to the
// neighbourhood of a place without meeting a wall on the way: a ray that passes
// the depth of a corner must do so on the same side of it as the place, where
// the corner stands on the wall ahead, and as its last turn, where it stands on
// the wall behind. Between the corners of both walls that is the same for all
// places.
func (r *rayRange) seen(b bundle, section *geometry.Section, at place) (bundle, bool) {
	down := b.leg%2 == 1
	sign := sense(b.leg, 1)
	if sign*(at.z-b.from) < -floatNoise { // where they would have come from, had they not turned
		return b, false
	}
	ok := true
	for _, ahead := range []bool{true, false} {
		for _, corner := range section.Wall(down == ahead).Corners {
			x, z := float64(corner.X), float64(corner.Z)
			past := sign*(z-b.from) > floatNoise     // the rays come to its depth after their turn
			before := sign*(at.z-z) > floatNoise     // and before they come to the place
			if ahead && !before || !ahead && !past { // it does not stand in the way
				continue
			}
			start := (r.x(b, b.part[0], b.from) + r.x(b, b.part[1], b.from)) / 2
			if !past || !before {
				if (start < x) != (at.x < x) {
					return b, false
				}
				continue
			}
			side := at.x
			if !ahead {
				side = start
			}
			if side < x {
				b, ok = r.crossing(b, z, math.Inf(-1), x)
			} else {
				b, ok = r.crossing(b, z, x, math.Inf(1))
			}
			if !ok {
				return b, false
			}
		}
	}
	return b, true
}

// fan is all rays of a bundle that come to a neighbourhood.
type fan struct{ from, to line }

// fans returns the rays of the bundles as they come to the neighbourhood of a
// place.
func (r *rayRange) fans(bundles []bundle, section *geometry.Section, at place) []fan {
	var fans []fan
	for _, b := range bundles {
		seen, ok := r.seen(b, section, at)
		if !ok {
			continue
		}
		lines := [2]line{}
		for i, place := range seen.part {
			sent := r.send(place)
			lines[i] = sent.line(r.way)
			lines[i].surface += r.moved(b, sent)
		}
		fans = append(fans, fan{lines[0], lines[1]})
	}
	return fans
}

// zones are the places along X and the depths at which walls bend: between them
// walls stand in the way of all places alike.
type zones struct{ x, z []float64 }

func zonesOf(section *geometry.Section) zones {
	var s zones
	for _, bottom := range []bool{false, true} {
		for _, c := range section.Wall(bottom).Corners {
			s.x, s.z = append(s.x, float64(c.X)), append(s.z, float64(c.Z))
		}
	}
	slices.Sort(s.x)
	slices.Sort(s.z)
	s.x, s.z = slices.Compact(s.x), slices.Compact(s.z)
	return s
}

// cell is the neighbourhood of a place.
type cell struct{ x, z int }

func (s *zones) cell(x, z float64) cell {
	i, _ := slices.BinarySearch(s.x, x)
	k, _ := slices.BinarySearch(s.z, z)
	return cell{i, k}
}

// stretch is where zone i begins and ends along X.
func (s *zones) stretch(i int) (from, to float64) {
	from, to = math.Inf(-1), math.Inf(1)
	if i > 0 {
		from = s.x[i-1]
	}
	if i < len(s.x) {
		to = s.x[i]
	}
	return from, to
}
