package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// The map of a pair is that of what it covers, alike on both sides of the middle,
// 0 dB where the axes cross, and no part of what the maps of echoes say together.
func TestMapOfAPair(t *testing.T) {
	tech, _ := read(t, "drum-tofd")
	m := mapped(t, tech, "timing")
	g := &tech.Groups[0]
	places, row := 0, 0
	nearest := si.Length(math.Inf(1))
	m.Hole.places(func(j, k int) {
		places++
		if a, b := m.Hole.at(j, k), m.Hole.at(j, -k); math.Abs(float64(a-b)) > 1e-3 {
			t.Fatalf("%.3f dB at row %d, column %d, and %.3f dB opposite", a, j, k, b)
		}
		if away := m.Hole.place(j, k).Z - g.Pair.Crossing; si.Length(math.Abs(float64(away))) < nearest {
			nearest, row = si.Length(math.Abs(float64(away))), j
		}
	})
	if places < 100 {
		t.Errorf("only %d places", places)
	}
	// Half a row, 0.8 mm, beside the crossing.
	if x := m.Hole.at(row, 0); math.Abs(float64(x)) > 0.3 {
		t.Errorf("%.2f dB beside the crossing of the axes", x)
	}
	least, _ := tech.Value("groups.timing.map.least")
	together, _ := tech.Value("map.least")
	if !(least.Q.SI < together.Q.SI) || m.Face != "" || len(m.Faces) > 0 {
		t.Errorf("the pair's smallest %.2f dB, all groups' %.2f dB: the two are no like things", least.Q.SI, together.Q.SI)
	}
}

// Plane waves have a map.
func TestMapOfPlaneWaves(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "transmission: {scheme: every-nth, n: 3}\n    store: matrix\n  skip", "transmission: {scheme: plane-wave, from: 45 deg, to: 70 deg, count: 11}\n    store: matrix\n  skip")
	all, _ := read(t, "vessel-seam")
	waves, matrix := mapped(t, tech, "direct"), mapped(t, all, "direct")
	// The waves pass the middle of what is reached; at its edges fewer do.
	better := 0
	waves.Hole.places(func(j, k int) {
		if x := waves.Hole.at(j, k); si.Known(matrix.Hole.at(j, k)) && x > matrix.Hole.at(j, k)+3 {
			better++
		}
	})
	if better > 0 {
		t.Errorf("%d places are shown better by plane waves than by all elements", better)
	}
}
