package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// Worked out with a pocket calculator from the job's text, as TestValuesByHand.
func TestPairValuesByHand(t *testing.T) {
	tech, _ := read(t, "drum-tofd")
	// The first converted echo, by trying places of the wall a micrometre apart.
	converted := math.Inf(1)
	for x := 0.0; x < 92.491e-3; x += 1e-6 {
		converted = min(converted, math.Hypot(x, 0.040)/5920+math.Hypot(92.491e-3-x, 0.040)/3240)
	}
	for _, c := range []struct {
		id           string
		want, within float64
		how          string
	}{
		{"separation", 92.491, 0.001, "2 × 26.7 tan 60° = 53.4 × 1.73205"},
		{"wedge_front", 38.246, 0.001, "46.246 − 8"},
		{"crossing_share", 66.75, 0.001, "26.7 / 40"},
		{"time_lateral", 15.6235, 0.0005, "92.491 / 5.92"},
		{"time_wall", 20.657, 0.001, "2 √(46.246² + 40²) / 5.92 = 122.290 / 5.92"},
		{"time_converted", converted * 1e6, 0.0005, "by trial"},
		{"window_from", 23.0235, 0.0005, "15.6235 + 8.4 − 1"},
		{"window_to", converted*1e6 + 8.7, 0.0005, "8.4 and the pulse of 0.3 more"},
		{"dead_surface", 9.106, 0.001, "√(5.92² × 0.3² / 4 + 46.246 × 5.92 × 0.3) = √82.921"},
		{"dead_wall", 1.345, 0.002, "√(62.033² − 46.246²) − 40"},
		{"hidden_middle", 1.371, 0.002, "40 − √(60.257² − 46.246²)"},
		{"half_beam", 3.229, 0.002, "asin(0.704 × 0.48 / 6); half the field is 0.705, 6 dB a little more than half"},
		{"edge_lower", 47.27, 0.02, "β = asin(2400/5920 × 0.86603) = 20.557°; sin 17.324° = 0.29777; × 2.46667 = 0.73450"},
		{"edge_upper", 84.1, 0.1, "sin 23.790° = 0.40338; × 2.46667 = 0.99500"},
		{"firings", 1, 0, "one probe sends"},
		{"depths.3.depth", 20, 1e-9, "half of 40"},
		{"depths.3.time", 17.022, 0.001, "2 √(46.246² + 20²) / 5.92 = 100.771 / 5.92"},
		{"depths.3.timing", 0.0746, 0.0001, "5.92 × 0.01 × 50.385 / 40"},
	} {
		v, ok := tech.Value("groups.timing." + c.id)
		u, _ := si.UnitNamed(v.Unit, v.Q.Kind)
		if got := v.Q.In(u); !ok || math.Abs(got-c.want) > c.within {
			t.Errorf("%s = %g %s, by hand %g (%s)", c.id, got, v.Unit, c.want, c.how)
		}
	}
	if l := tech.Lines[0]; !l.Pair || l.Side != "A and B" || len(tech.Lines) != 5 {
		t.Errorf("a pair and two positions on two sides: %+v", tech.Lines)
	}
	for _, f := range tech.Faces {
		if !si.Known(f.Reached) {
			t.Errorf("face %s: %v", f.Face.Name, f.Reached)
		}
	}
}

// What forbids a pair, and what the rules find.
func TestPairSetUps(t *testing.T) {
	testSetUps(t, "drum-tofd", map[string]setUp{
		"low frequency":           {[]string{"frequency: 5 MHz", "frequency: 2.5 MHz"}, "iso-10863-2020/frequency-low"},
		"crossing too high":       {[]string{"crossing_depth: 26.7 mm", "crossing_depth: 20 mm"}, "iso-10863-2020/crossing"},
		"on each other":           {[]string{"crossing_depth: 26.7 mm", "separation: 15 mm"}, "wedge-on-reinforcement"},
		"past the critical angle": {[]string{"wedge_velocity: 2400 m/s", "wedge_velocity: 7000 m/s"}, "past-critical-angle"},
		"sparse increment":        {[]string{"increment: 1 mm", "increment: 2 mm"}, "iso-10863-2020/scan-increment"},
		"beams too narrow":        {[]string{"{from: 40 deg,", "{from: 68 deg,"}, "iso-10863-2020/coverage"},
	})
}

// From the bottom the pair sees the flipped section: of a symmetrical joint as
// much as from the top.
func TestPairOnTheOtherSurface(t *testing.T) {
	top, _ := read(t, "drum-tofd")
	bottom, found := read(t, "drum-tofd", "    pair: D5-6\n", "    pair: D5-6\n    surface: bottom\n", "surfaces: [top]", "surfaces: [top, bottom]")
	if len(found) > 0 {
		t.Fatal(found)
	}
	a, b := top.Groups[0], bottom.Groups[0]
	if math.Abs(float64(a.Coverage.Share-b.Coverage.Share)) > 1e-9 || math.Abs(float64(b.Placements[0].Exit.Z)-0.040) > 1e-12 {
		t.Errorf("from the top %v, from the bottom %v, exit at %v", a.Coverage.Share, b.Coverage.Share, b.Placements[0].Exit)
	}
}
