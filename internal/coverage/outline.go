package coverage

import (
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Outlines returns polygons that together fill the rows, for drawing. Their
// sides pass through the ends of the rows' stretches at middle depth, and
// points that a straight line makes superfluous are left out.
func (r Rows) Outlines() []geometry.Polygon {
	var all []geometry.Polygon
	for _, region := range r.regions() {
		all = append(all, region.outlines(r)...)
	}
	return all
}

// stretch is one interval of one row, with those it touches in the next row
// down and how many it touches in the row above.
type stretch struct {
	row   int
	X     Interval
	below []int // indexes in the list of all stretches
	above int
}

// region is a connected set of stretches, sorted by row and then by X.
type region []*stretch

// regions sorts the stretches of the rows into connected regions: neighbours
// are stretches of adjacent rows that overlap.
func (r Rows) regions() []region {
	var all []stretch
	first := make([]int, len(r.Row)+1)
	for i, row := range r.Row {
		first[i] = len(all)
		for _, x := range row {
			all = append(all, stretch{row: i, X: x})
		}
	}
	first[len(r.Row)] = len(all)

	// root[i] leads to the region of stretch i: a forest that union joins.
	root := make([]int, len(all))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for i := range len(r.Row) - 1 {
		for a := first[i]; a < first[i+1]; a++ {
			for b := first[i+1]; b < first[i+2]; b++ {
				if all[a].X.From < all[b].X.To && all[b].X.From < all[a].X.To {
					all[a].below = append(all[a].below, b)
					all[b].above++
					root[find(b)] = find(a)
				}
			}
		}
	}
	var regions []region
	number := make(map[int]int) // of the region with that root
	for i := range all {
		k, ok := number[find(i)]
		if !ok {
			k = len(regions)
			number[find(i)] = k
			regions = append(regions, nil)
		}
		regions[k] = append(regions[k], &all[i])
	}
	return regions
}

// outlines cuts a region into polygons, each a run of stretches one below the
// other that neither splits nor joins.
func (g region) outlines(r Rows) []geometry.Polygon {
	at := make(map[int][]*stretch) // of this region, by row
	for _, s := range g {
		at[s.row] = append(at[s.row], s)
	}
	next := func(s *stretch) *stretch {
		if len(s.below) != 1 {
			return nil
		}
		for _, b := range at[s.row+1] {
			if b.above == 1 && s.X.From < b.X.To && b.X.From < s.X.To {
				return b
			}
		}
		return nil
	}
	continued := make(map[*stretch]bool)
	for _, s := range g {
		if b := next(s); b != nil {
			continued[b] = true
		}
	}
	var outlines []geometry.Polygon
	for _, s := range g {
		if !continued[s] {
			var run []*stretch
			for ; s != nil; s = next(s) {
				run = append(run, s)
			}
			outlines = append(outlines, r.outline(run))
		}
	}
	return outlines
}

// outline goes down the left ends of a run and up the right ends.
func (r Rows) outline(run []*stretch) geometry.Polygon {
	last := run[len(run)-1]
	side := func(end func(Interval) si.Length) []geometry.Point {
		line := []geometry.Point{{X: end(run[0].X), Z: r.edge(run[0].row)}}
		for _, s := range run {
			line = append(line, geometry.Point{X: end(s.X), Z: r.middle(s.row)})
		}
		return straightened(append(line, geometry.Point{X: end(last.X), Z: r.edge(last.row + 1)}))
	}
	left := side(func(x Interval) si.Length { return x.From })
	right := side(func(x Interval) si.Length { return x.To })
	for i := len(right) - 1; i >= 0; i-- {
		left = append(left, right[i])
	}
	return left
}

// straightened leaves out points that lie within a micrometre of the line
// between those kept.
func straightened(line []geometry.Point) []geometry.Point {
	const tolerance = 1e-6
	kept := []geometry.Point{line[0]}
	for anchor := 0; anchor < len(line)-1; {
		end := anchor + 1
		for end+1 < len(line) && isStraight(line[anchor:end+2], tolerance) {
			end++
		}
		kept = append(kept, line[end])
		anchor = end
	}
	return kept
}

func isStraight(line []geometry.Point, tolerance float64) bool {
	a, b := line[0], line[len(line)-1]
	dx, dz := float64(b.X-a.X), float64(b.Z-a.Z)
	length := math.Hypot(dx, dz)
	for _, p := range line[1 : len(line)-1] {
		if math.Abs(dx*float64(p.Z-a.Z)-dz*float64(p.X-a.X)) > tolerance*length {
			return false
		}
	}
	return true
}
