package technique

import (
	"math"
	"slices"
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
	byHand(t, tech, "groups.timing.", []handValue{
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
	})
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

// Where it stands is not known: nothing may be stated as if it stood on top.
func TestPairOnUnknownSurface(t *testing.T) {
	tech, _ := read(t, "drum-tofd", "    pair: D5-6\n", "    pair: D5-6\n    surface: inside\n")
	if v, stated := tech.Value("groups.timing.crossing_share"); stated || len(tech.Groups[0].Placements) > 0 {
		t.Errorf("%v is stated, with %d placements", v, len(tech.Groups[0].Placements))
	}
}

// timedRing is the shipped header with a pair astride its seam.
var timedRing = []string{
	"  blocks:\n", `  single_probes:
    D10-3:
      description: Two alike longitudinal probes with fixed wedges, 10 MHz, 3 mm, 70 deg in steel
      frequency: 10 MHz
      diameter: 3 mm
      angle: 70 deg
      wedge_velocity: 2400 m/s
      front_distance: 6 mm
      length: 16 mm
      delay: 3.1 us
      pulse: 0.15 us
  blocks:
`, "groups:\n", `groups:
  timing:
    method: tofd
    purpose: Body of the weld, and the height of every indication
    pair: D10-3
    separation: 60 mm
    separation_tolerance: 0.5 mm
    depth_zone: {from: 0 mm, to: 16 mm}
`,
}

// timedBore has that pair in the bore.
var timedBore = append(slices.Clone(timedRing), "surfaces: [top]", "surfaces: [top, bottom]", "    pair: D10-3\n", "    pair: D10-3\n    surface: bottom\n")

// With a pocket calculator, from straight lines in the plane of the ring: R = 254,
// φ = 30 / 254 = 0.1181102 (6.76722°), sin φ = 0.1178358, 1 − cos φ = 0.0069669.
func TestPairAroundPipeByHand(t *testing.T) {
	tech, found := read(t, "header-seam", timedRing...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	byHand(t, tech, "groups.timing.", []handValue{
		{"half_chord", 29.9303, 0.0002, "254 × 0.1178358"},
		{"sagitta", 1.7696, 0.0002, "254 × 0.0069669"},
		{"wedge_front", 23.999, 0.002, "30 − 254 asin(6 / 254)"},
		{"crossing", 8.808, 0.001, "sin 76.76722° = 0.9396926 × 0.9930331 + 0.3420201 × 0.1178358 = 0.9734481; 254 (1 − 0.9396926 / 0.9734481)"},
		{"time_lateral", 10.1116, 0.0002, "59.8606 / 5.92"},
		{"time_wall", 11.1963, 0.0002, "2 √(895.823 + 202.504) / 5.92 = 2 × 33.1410 / 5.92"},
		{"dead_surface", 6.945, 0.002, "1.7696 + √((5.92 × 0.15 / 2)² + 29.9303 × 0.888)"},
		{"wedge_gap", 0.126, 0.001, "8² / 508"},
	})
	// All of the bore is seen.
	firstConverted(t, tech, 254e-3, 238e-3, 30.0/254, func(float64) bool { return true })
	drawnAxes(t, tech, func(a vec) vec { return a.to(vec{0, headerRadius}) })
	if c := tech.Groups[0].Coverage.Share; !(c > 0.2 && c < 0.9) {
		t.Errorf("the pair covers %v", c)
	}
}

// firstConverted holds the first converted echo of a pair, which stands on a radius
// at angles phi to both sides, to that by trial: over places of the other wall a
// micrometre apart that both exit points see.
func firstConverted(t *testing.T, tech *Technique, radius, wall, phi float64, sees func(x float64) bool) {
	t.Helper()
	least := math.Inf(1)
	for x := -phi; x < phi; x += 1e-6 / wall {
		way := func(side float64) float64 {
			return math.Hypot(wall*math.Sin(x)-side*radius*math.Sin(phi), wall*math.Cos(x)-radius*math.Cos(phi))
		}
		if sees(x) {
			least = min(least, way(-1)/5920+way(1)/3240)
		}
	}
	if v, _ := tech.Value("groups.timing.time_converted"); math.Abs(v.Q.SI-least) > 1e-12 {
		t.Errorf("converted echo %g s, by trial %g", v.Q.SI, least)
	}
}

// drawnAxes holds the rays of a pair in the figure to their angles against the
// radius into the wall, and its axes to cross in the middle.
func drawnAxes(t *testing.T, tech *Technique, into func(vec) vec) {
	t.Helper()
	for _, p := range tech.Groups[0].Placements {
		for _, r := range p.Rays {
			a, b := plane(tech.Section, r.Points[0]), plane(tech.Section, r.Points[1])
			if got := a.to(b).angle(into(a)); math.Abs(got-float64(r.Angle)) > 1e-6 {
				t.Errorf("a ray of %v leaves at %g° to the radius", r.Angle/si.Degree, got*180/math.Pi)
			}
			if !r.Edge && math.Abs(b.x) > 1e-9 {
				t.Errorf("the axis ends at %g m from the middle", b.x)
			}
		}
	}
}

// The same from the bore: r = 238, φ = 30 / 238 = 0.1260504 (7.22216°),
// sin φ = 0.1257169, cos φ = 0.9920662.
func TestPairInTheBoreByHand(t *testing.T) {
	tech, found := read(t, "header-seam", timedBore...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	byHand(t, tech, "groups.timing.", []handValue{
		{"half_chord", 29.9206, 0.0002, "238 × 0.1257169"},
		{"sagitta", -1.8883, 0.0002, "238 × 0.0079338, over the surface"},
		{"wedge_front", 23.999, 0.002, "30 − 238 asin(6 / 238)"},
		{"crossing", 13.503, 0.002, "sin 62.77784° = 0.9396926 × 0.9920662 − 0.3420201 × 0.1257169 = 0.8892396; 238 (0.9396926 / 0.8892396 − 1) = 13.503"},
		{"time_creeping", 10.1351, 0.0002, "60 / 5.92"},
		{"time_wall", 11.7771, 0.0002, "2 √(29.9206² + 17.8883²) / 5.92 = 2 × 34.8602 / 5.92"},
		{"window_from", 15.3351, 0.0002, "10.1351 + 6.2 − 1"},
		{"shadow", 1.9034, 0.0002, "238 (1 / 0.9920662 − 1)"},
		{"dead_surface", 3.733, 0.002, "√((30 + 0.444)² − 29.9206²) − 1.8883 = 5.6209 − 1.8883"},
		{"wedge_gap", 0.134, 0.001, "8² / 476"},
	})
	// Both exit points see a place of the outer wall over the bore's tangent.
	const phi = 30.0 / 238
	firstConverted(t, tech, 238e-3, 254e-3, phi, func(x float64) bool { return 254*math.Cos(phi+math.Abs(x)) > 238 })
	drawnAxes(t, tech, func(a vec) vec { return vec{0, headerRadius}.to(a) })
	for _, d := range tech.Groups[0].Pair.Depths {
		if d.Depth < 1.9034e-3 {
			t.Errorf("%v is told through the bore", d.Depth)
		}
	}
	if c := tech.Groups[0].Coverage.Share; !(c > 0.2 && c < 0.9) {
		t.Errorf("the pair covers %v", c)
	}
	if _, stated := tech.Value("groups.timing.time_lateral"); stated {
		t.Error("a lateral wave is timed through the bore")
	}
	if o, named := tech.OmittedValue("groups.timing.time_lateral"); !named || o.Why == "" {
		t.Error("that no lateral wave is timed is not said")
	}
}

func TestPairAroundPipeSetUps(t *testing.T) {
	for name, c := range map[string]struct{ change, rule string }{
		"too far around":  {"separation: 200 mm", "pair-around-too-much"},
		"around the bore": {"separation: 180 mm\n    surface: bottom", "pair-around-too-much"},
		// The wall midway is in sight to 2 × 238 acos(238 / 254) = 170 mm. A converted
		// echo comes round to 238 (20.44° + asin 0.5473 − asin(0.5473 × 238 / 254)) = 95 mm.
		"not converted": {"separation: 120 mm\n    surface: bottom", "pair-around-too-much"},
		"on the weld":   {"separation: 20 mm", "wedge-on-reinforcement"},
	} {
		tech, _ := read(t, "header-seam", append(append([]string{}, timedRing...), "separation: 60 mm", c.change, "surfaces: [top]", "surfaces: [top, bottom]")...)
		hit := false
		for _, f := range tech.Findings {
			hit = hit || f.Rule == c.rule
		}
		if !hit {
			t.Errorf("%s: no %s in %v", name, c.rule, tech.Findings)
		}
	}
}
