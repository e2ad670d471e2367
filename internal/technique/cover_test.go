package technique

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/si"
)

// What is reached twice is counted anew, place by place on a grid of 0.05 mm
// along each row: a pair counts once, and a scan of the parent metal not at all.
// The grid is off by a place at each end of a stretch, of which a row has few.
func TestReachedTwiceAgainstAGrid(t *testing.T) {
	const grid, tolerance = 0.05 * si.Millimetre, 0.01
	for _, name := range []string{"plate-seam", "drum-tofd", "girder-manual", "vessel-seam"} {
		tech, _ := read(t, name)
		var views []coverage.Rows
		for _, g := range tech.Groups {
			for i, p := range g.Placements {
				if g.Set.Target != "parent" && (g.Pair == nil || i == 0) {
					views = append(views, p.Coverage.Rows())
				}
			}
		}
		var twice si.Area
		for j := range views[0].Row {
			counts := map[int]int{}
			for _, v := range views {
				for _, s := range v.Row[j] {
					for k := math.Ceil(float64(s.From / grid)); k < float64(s.To/grid); k++ {
						counts[int(k)]++
					}
				}
			}
			for _, n := range counts {
				if n > 1 {
					twice += si.Area(grid * views[0].Height)
				}
			}
		}
		want := float64(twice / tech.Coverage.Volume)
		got, ok := tech.Value("coverage.twice")
		if !ok || math.Abs(got.Q.SI-want) > tolerance {
			t.Errorf("%s: %.3f of the volume is reached twice, by the grid %.3f", name, got.Q.SI, want)
		}
	}
}
