package technique

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/si"
)

// Worked out with a pocket calculator from the job's text, as TestValuesByHand.
// At 60°, sin β = 2730/3240 × 0.86603 = 0.72971, β = 46.86°, cos β = 0.68381.
func TestSingleValuesByHand(t *testing.T) {
	tech, found := read(t, "girder-manual")
	if len(found) > 0 {
		t.Fatal(found)
	}
	byHand(t, tech, "groups.", []handValue{
		{"parent.wavelength", 1.48, 0.0005, "5.92 / 4"},
		{"parent.half_beam", 4.363, 0.01, "asin(0.514 × 1.48 / 10)"},
		{"parent.near_field", 16.892, 0.001, "100 / (4 × 1.48)"},
		{"parent.beam_narrowest", 2.577, 0.01, "2 × 16.892 × tan 4.363°"},
		{"parent.widths.2.across", 3.052, 0.01, "2 × 20 × tan 4.363°"},
		{"parent.dead_wall", 1.48, 0.001, "5.92 × 0.5 / 2"},
		{"parent.depth_share", 77.6, 0.01, "(20 − 1.48 − 3) / 20"},
		{"parent.strip_from", 13, 1e-9, "half of the cap, 26 mm"},
		{"parent.strip_to", 135.5, 1e-9, "125 + 10.5 of group flat"},
		{"parent.strip_share", 98.367, 0.001, "(135.5 − 15) / (135.5 − 13)"},
		{"parent.index_overlap", 20, 1e-9, "1 − 8 / 10"},
		{"parent.strokes", 79, 0, "620 / 8 = 77.5, 78 and one more"},
		{"parent.raster_time", 199.08 / 60, 1e-6, "2 × 79 × 126 mm at 100 mm/s"},
		{"parent.pulse_cycles", 2, 1e-9, "0.5 × 4"},
		{"main.pulse_cycles", 2.4, 1e-9, "0.6 × 4"},
		{"main.wedge_axis", 46.862, 0.001, "asin 0.72971"},
		{"main.wedge_path", 9.828, 0.0005, "2.73 × 3.6"},
		{"main.half_beam", 2.162, 0.01, "asin(0.442 × 0.6825 / 8)"},
		{"main.edge_lower", 56.59, 0.02, "asin(3240/2730 × sin 44.70°) = asin(1.18681 × 0.70339)"},
		{"main.edge_upper", 63.63, 0.02, "asin(1.18681 × sin 49.02°) = asin(1.18681 × 0.75494)"},
		{"main.near_field", 6.162, 0.005, "64 × 4 / (4 × 3.24) × 0.5 / 0.68381 − 9.828 × 2730 / 3240"},
		{"main.beam_narrowest", 1.99, 0.01, "2 × 81 / (4 × 0.81) × tan asin(0.442 × 0.81 / 9)"},
		{"main.full_skip", 69.282, 0.001, "40 × 1.73205"},
		{"main.exit_to_centreline", 24.5, 1e-9, "14 + 10.5"},
		{"main.time_of_flight", 57.183, 0.001, "2 × (3.6 + 80 / 3.24) + 0.6"},
		{"main.pulse_speed", 663.5, 4, "1.99 × 1000 / 3"},
		{"main.curve.5.gain", 18.17, 0.01, "first hole at 10, fifth at 50 mm; in front of them 8.281 across, × (0.5/0.68381)² = 4.427 in the plane: 20 lg(54.427/14.427) + 10 lg(58.281/18.281) + 2 × 20 dB/m × 40 mm = 11.53 + 5.04 + 1.6"},
		{"main.transfer_distance", -3.12, 0.01, "40 mm to the corner against 60 in the block: 10 lg(44.427 × 48.281 / (64.427 × 68.281)) = 10 lg 0.4876"},
	})
	if len(tech.Lines) != 0 || len(tech.Speed.Passes) != 0 {
		t.Errorf("strokes are no scan lines: %+v", tech.Lines)
	}
}

// By hand, of steel at 5920 m/s: block No. 1 is 25 mm thick and 100 mm wide. What a
// straight beam sees of it an angled one does not, and the other way round.
func TestStraightEchoesOfBlockNo1(t *testing.T) {
	tech, _ := read(t, "girder-manual", "longitudinal: 5920 m/s", "longitudinal: 5900 m/s")
	for id, want := range map[string]float64{"thickness-1.time": 8.446e-6, "thickness-2.time": 16.892e-6, "thickness-4.time": 33.784e-6, "width-1.time": 33.784e-6, "width-2.time": 67.568e-6, "width-2.reading": 0.2 * 5900 / 5920} {
		v, ok := tech.Value("reference.radii.longitudinal." + id)
		if !ok || math.Abs(v.Q.SI/want-1) > 1e-4 {
			t.Errorf("%s is %g, by hand %g", id, v.Q.SI, want)
		}
	}
	for _, id := range []string{"longitudinal.100.time", "transverse.thickness-1.time"} {
		if _, ok := tech.Value("reference.radii." + id); ok {
			t.Errorf("%s is stated", id)
		}
	}
}

func TestSingleSetUps(t *testing.T) {
	testSetUps(t, "girder-manual", map[string]setUp{
		"strokes too far apart":       {[]string{"to: 138 mm, index: 8 mm", "to: 138 mm, index: 9.5 mm"}, "good-practice/stroke-overlap"},
		"strip too narrow":            {[]string{"to: 138 mm, index: 8 mm", "to: 90 mm, index: 8 mm"}, "good-practice/parent-strip"},
		"no loss stated":              {[]string{"    back_wall_loss: 6 dB\n", ""}, "good-practice/back-wall-loss"},
		"too flat":                    {[]string{"angle: 70 deg", "angle: 75 deg"}, "good-practice/angle-high"},
		"too steep":                   {[]string{"angle: 45 deg", "angle: 38 deg"}, "good-practice/angle-low"},
		"angles close to each other":  {[]string{"angle: 45 deg", "angle: 55 deg"}, "iso-17640-2018/two-probes"},
		"on the reinforcement":        {[]string{"{from: 14 mm, to: 60 mm", "{from: 12 mm, to: 60 mm"}, "wedge-on-reinforcement"},
		"straight, on it":             {[]string{"{from: 20 mm, to: 138 mm", "{from: 17 mm, to: 138 mm"}, "wedge-on-reinforcement"},
		"small element":               {[]string{"diameter: 10 mm", "diameter: 5 mm"}, "iso-17640-2018/element-size"},
		"too fast":                    {[]string{"speed: 100 mm/s", "speed: 900 mm/s"}, "good-practice/three-pulses"},
		"past the critical angle":     {[]string{"angle: 60 deg\n      wedge_velocity: 2730 m/s", "angle: 60 deg\n      wedge_velocity: 3900 m/s"}, "past-critical-angle"},
		"one line":                    {[]string{"    raster: {from: 14 mm, to: 60 mm, index: 7 mm}\n", "    wedge_front: 14 mm\n", "  overlap: 20 mm\n", "  overlap: 20 mm\n  increment: 1 mm\n"}, ""},
		"a line without an increment": {[]string{"    raster: {from: 14 mm, to: 60 mm, index: 7 mm}\n", "    wedge_front: 14 mm\n"}, "missing-key"},
		"longitudinal":                {[]string{"    purpose: Root and centre of the weld\n", "    wave: longitudinal\n"}, ""},
		"a dual probe":                {[]string{"dead_zone: 3 mm", "dual: true\n      range: {from: 2 mm, to: 30 mm}"}, ""},
		"a delay line":                {[]string{"dead_zone: 3 mm", "wedge_velocity: 2730 m/s\n      delay: 5 us"}, ""},
		"from the bottom":             {[]string{"surfaces: [top]", "surfaces: [top, bottom]", "    probe: S0\n", "    probe: S0\n    surface: bottom\n"}, ""},
	})
}

// What lies under the strokes of a straight beam on a dressed weld, between the
// depths that it shows, is reached: a rectangle of the volume.
func TestStraightBeamOfAWeld(t *testing.T) {
	tech, found := read(t, "girder-manual", "target: parent", "target: weld", "{from: 20 mm, to: 138 mm", "{from: 0 mm, to: 23 mm",
		"cap: {condition: as-welded, width: 26 mm, height: 2 mm}", "cap: {condition: flush}")
	if len(found) > 0 {
		t.Fatal(found)
	}
	g := &tech.Groups[0]
	width := func(r coverage.Result) (area float64) {
		rows := r.Rows()
		for _, row := range rows.Row {
			for _, s := range row {
				area += float64(s.To-s.From) * float64(rows.Height)
			}
		}
		return area
	}
	// Rows of 0.05 mm: 3 mm to 18.5 mm in full.
	var want float64
	for z := 3.025e-3; z < 18.5e-3; z += 0.05e-3 {
		from, to := tech.Section.VolumeRow(si.Length(z))
		want += float64(min(to, 0.023)-max(from, -0.023)) * 0.05e-3
	}
	if got := width(g.Coverage); math.Abs(got-want) > 1e-9 {
		t.Errorf("reached %.2f mm², by rows of the volume %.2f mm²", got*1e6, want*1e6)
	}
	if _, ok := tech.Value("groups.parent.strip_share"); ok {
		t.Error("a strip of parent metal is stated of a group that examines the weld")
	}
}

// A delay line's own second echo, and a dual probe's range, end what is shown.
func TestStraightDepths(t *testing.T) {
	for name, c := range map[string]struct {
		put      string
		from, to float64
	}{
		"delay": {"wedge_velocity: 2730 m/s\n      delay: 2.5 us", 1.48, 5.92 * 2.5},                // the pulse itself, and c t_0
		"dual":  {"dual: true\n      range: {from: 4 mm, to: 15 mm}\n      dead_zone: 2 mm", 4, 15}, // its range
		"dead":  {"dead_zone: 5 mm", 5, 20 - 1.48},                                                  // as stated
		"pulse": {"range: {from: 1 mm, to: 500 mm}", 1.48, 20 - 1.48},                               // wider than the part
	} {
		tech, _ := read(t, "girder-manual", "dead_zone: 3 mm", c.put)
		one := tech.Groups[0].Single
		if math.Abs(float64(one.Dead)*1e3-c.from) > 1e-6 || math.Abs(float64(one.Reaches)*1e3-c.to) > 1e-6 {
			t.Errorf("%s: shown from %v to %v, by hand %g mm to %g mm", name, one.Dead, one.Reaches, c.from, c.to)
		}
	}
}

// Where a probe stands is told along its surface: in a plate, that is the job's own
// place. The straight probe of 10 mm has its axis at 20 mm.
func TestSinglesStandWhereTheJobSays(t *testing.T) {
	tech, _ := read(t, "girder-manual")
	for i, want := range []float64{-15, -14, -14, -14} {
		p := &tech.Groups[i].Placements[0]
		if got := float64(p.Along(p.Front)) * 1e3; math.Abs(got-want) > 1e-9 {
			t.Errorf("group %s stands at %v mm, in the job at %v", tech.Groups[i].Set.Name, got, want)
		}
	}
}

// Row P083: an acrylic probe of 60° in steel of 3230 m/s that stays warms by 20 K,
// and its axis goes to 61.90°, to 0.03°; at 20 °C it stays. 3.6 µs are 9.828 mm of
// acrylic; at 2680 m/s the range reads 3230 × 9.828 × (1/2680 − 1/2730) = 0.2169 mm
// too long. Without a coefficient nothing is stated.
func TestWarmAngledProbe(t *testing.T) {
	edits := []string{"transverse: 3240 m/s\n", "transverse: 3230 m/s\n    temperature_coefficient: {transverse: 0 m/s/K}\n", "temperature: {from: 5 degC, to: 30 degC}", "temperature: {from: 20 degC, to: 40 degC}"}
	tech, found := read(t, "girder-manual", edits...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	for id, want := range map[string][2]float64{
		"low.angle": {60, 1e-9}, "high.angle": {61.90, 0.03}, "high.range_shift": {0.2169, 1e-4},
	} {
		closeTo(t, id, value(t, tech, "groups.main.temperature."+id), want[0], want[1])
	}
	tech, _ = read(t, "girder-manual", append(edits, "      temperature_coefficient: -2.5 m/s/K\n", "")...)
	if v, ok := tech.Value("groups.main.temperature.high.angle"); ok {
		t.Errorf("a wedge that changes in an unknown way is stated: %s", v.Text())
	}
}
