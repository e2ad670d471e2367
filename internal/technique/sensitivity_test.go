package technique

import (
	"math"
	"testing"

	"soundwrit/internal/rules"
	"soundwrit/internal/si"
)

// Worked out with a pocket calculator from the job's text; tolerances are half
// of the last digit carried.
func TestSensitivityByHand(t *testing.T) {
	tech, _ := read(t, "plate-seam")
	byHand(t, tech, "", []handValue{
		// L_w = 10.566 / cos 36.09° = 13.075; L_w c_w / c = 9.403; q = cos 55° / cos 36.09° = 0.7098, q² of it 4.737
		{"groups.direct.curve.5.path", 62.76, 0.01, "36 / cos 55°"},
		{"groups.direct.curve.5.gain", 20.01, 0.02, "20 log(67.50 / 13.45) + 10 log(72.17 / 18.12)"},
		{"groups.direct.curve.5.disc", 2.316, 0.005, "0.67094 √(0.81 √(3 × 72.17))"},
		{"groups.direct.transfer_distance", -0.935, 0.005, "10 log(74.475 × 79.141 / (83.192 × 87.858))"},
		{"groups.skip.ghost_rate", 3.0646, 0.0005, "1 / (3 × 108.77 µs)"},
		{"groups.skip.pulse_rate", 3, 1e-9, "the rate that is set, since 108.8 + 20 µs are shorter"},
		{"groups.direct.sampling_loss", 0.277, 0.0005, "−20 log cos(π 4 / 50)"},
		{"groups.direct.sampling_least", 20, 1e-9, "5 × 4"},
		{"reference.radii.transverse.100.time", 61.444, 0.001, "200 / 3.255"},
		{"reference.radii.transverse.100.part_time", 61.728, 0.001, "200 / 3.240"},
		{"reference.radii.transverse.25.reading", 24.885, 0.001, "25 × 3240 / 3255"},
		{"reference.radii.transverse.25-again.time", 61.444, 0.001, "2 × (25 + 50 + 25) / 3.255"},
		{"reference.radii.transverse.50-again.time_low", 76.664, 0.001, "2 × (50 + 25 + 50) / (3.255 + 0.0004 × 15)"},
		{"part.echo_interval.longitudinal", 13.514, 0.001, "80 / 5.920"},
		{"part.echo_interval.transverse", 24.691, 0.001, "80 / 3.240"},
		{"reference.velocity_turn", 1.6388, 0.0005, "asin(1.01 sin 70°) − 70°"},
		{"groups.direct.temperature.high.range_shift", 0.273, 0.002, "3.240 × 13.075 × (1 / 2.2955 − 1 / 2.330): 15 K, −2.3 m/s each"},
		{"reference.hole_tolerance", 0.2, 1e-9, "recalled of ISO 13588"},
		{"scan.counts", 20, 1e-9, "1 / 0.05"},
		{"scan.count_error", 0, 1e-7, "1 / 0.05 is whole"},
	})
}

// The span is that of the angle at which the gain rises most: no group and angle
// of the curve may need more.
func TestGainSpanIsTheLargestRise(t *testing.T) {
	tech, _ := read(t, "plate-seam")
	span, _ := tech.Value("reference.gain_span")
	for _, id := range []string{"groups.direct.curve.5.gain", "groups.direct.gain_span", "groups.skip.curve.10.gain", "groups.skip.gain_span"} {
		if v, ok := tech.Value(id); !ok || v.Q.SI > span.Q.SI {
			t.Errorf("%s is %v, over the span of %v", id, v.Q.SI, span.Q.SI)
		}
	}
}

// Beyond three near fields a focus is of no account, and the gains of a focused
// group approach those of the law of spreading; nearer less gain is enough, since
// the near holes are out of focus.
func TestGainsWithAFocus(t *testing.T) {
	plain, _ := read(t, "plate-seam")
	tech, _ := read(t, "plate-seam", "focus: {none: true}\n    legs: [1]", "focus: {depth: 20 mm}\n    legs: [1]")
	gain := func(of *Technique, id string) si.Quantity {
		v, ok := of.Value(id)
		if !ok {
			t.Fatalf("there is no %s", id)
		}
		return v.Q
	}
	for _, pair := range [][2]string{{"5", "4"}, {"4", "3"}} {
		rise := func(of *Technique) float64 {
			return gain(of, "groups.direct.curve."+pair[0]+".gain").SI - gain(of, "groups.direct.curve."+pair[1]+".gain").SI
		}
		if a, b := rise(plain), rise(tech); math.Abs(a-b) > 0.5 {
			t.Errorf("from hole %s to %s: %.2f dB without a focus, %.2f dB with one", pair[1], pair[0], a, b)
		}
	}
	if span := gain(tech, "reference.gain_span"); !(span.SI > 15 && span.SI < 30) {
		t.Errorf("a span of %.1f dB", span.SI)
	}
}

// The image of a block has a gain at each hole that it shows, and the span is the
// largest difference of any two.
func TestGainsOfAnImage(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	least, most := 0.0, 0.0 // of the first reflector
	for i := range tech.Curve {
		if v, ok := tech.Value("groups.skip." + CurveID(i) + "gain"); ok {
			least, most = math.Min(least, v.Q.SI), math.Max(most, v.Q.SI)
		}
	}
	span, ok := tech.Value("groups.skip.gain_span")
	if !ok || math.Abs(span.Q.SI-(most-least)) > 1e-9 || !(most > 1) {
		t.Errorf("a span of %v, the gains go from %.2f to %.2f dB", span.Q.SI, least, most)
	}
	if _, ok := tech.Value("reference.gain_span"); !ok {
		t.Error("no span over all groups, though all are images")
	}
}

func TestSpanOfTheInstrument(t *testing.T) {
	for span, want := range map[string]rules.Verdict{"40 dB": rules.Met, "20 dB": rules.NotMet} {
		tech, _ := read(t, "plate-seam", "gain_span: 40 dB", "gain_span: "+span)
		for _, r := range tech.Rules {
			if r.Rule == "gain-span" && r.Subject == "direct" && r.Verdict != want {
				t.Errorf("%s for a rise of %s: %s, want %s", span, r.Actual, r.Verdict, want)
			}
		}
	}
}

func TestTolerancesOfCodes(t *testing.T) {
	tech, _ := read(t, "plate-seam", `{code: ISO 13588, edition: "2019", testing_level: B}`, `{code: ASME V Article 4, edition: "2019"}`)
	for id, want := range map[string]float64{"reference.hole_tolerance": 0.8e-3, "reference.depth_tolerance": 3e-3} {
		if v, ok := tech.Value(id); !ok || math.Abs(v.Q.SI-want) > 1e-12 {
			t.Errorf("%s is %v m, seen in a copy of the code %v m", id, v.Q.SI, want)
		}
	}
	tech, _ = read(t, "pipe-girth")
	if v, ok := tech.Value("reference.hole_tolerance"); ok {
		t.Errorf("a deviation of %s for a block of piping, whose figure is another", v.Text())
	}
}

// A standard block of ferritic steel says nothing of the range in another metal.
func TestNoRadiiForOtherMetals(t *testing.T) {
	tech, _ := read(t, "plate-seam", "group: ferritic", "group: austenitic")
	if _, ok := tech.Value("reference.radii.transverse.25.time"); ok {
		t.Error("radii of ferritic blocks for an austenitic part")
	}
}

// By hand: 31 beams twice at 3 kHz are 20.667 ms, and 1 ms a position: 46.15
// positions a second.
func TestAveragesSlowTheScan(t *testing.T) {
	plain, _ := read(t, "plate-seam")
	tech, _ := read(t, "plate-seam", "    rearm: 20 us", "    rearm: 20 us\n    averages: 2", "speed: 60 mm/s", "speed: 30 mm/s")
	for id, want := range map[string]float64{
		"groups.direct.firings": 62, "groups.direct.a_scans": 31, "scan.speed_limit": 46.1538e-3, "instrument.averaging_gain": 3.0103,
	} {
		if v, ok := tech.Value(id); !ok || math.Abs(v.Q.SI/want-1) > 1e-4 {
			t.Errorf("%s is %v, by hand %v", id, v.Q.SI, want)
		}
	}
	a, _ := plain.Value("groups.direct.data_position")
	if b, _ := tech.Value("groups.direct.data_position"); a.Q.SI != b.Q.SI {
		t.Errorf("an average of two holds %v bytes, one A-scan %v", b.Q.SI, a.Q.SI)
	}
}

// By hand: 2.4 m in scans of 1 m that overlap by 25 mm take 2.4 / 0.975 = 2.46,
// three scans of each of four passes. The way of a pass is 2400 + 3 × 25 mm, at
// 60 mm/s; each scan costs 5 min more.
func TestTimeOfTheWeldInStretches(t *testing.T) {
	tech, _ := read(t, "plate-seam", "speed: 60 mm/s", "speed: 60 mm/s\n  setup_time: 5 min\n  stretch: 1 m")
	for id, want := range map[string]float64{
		"scan.stretches": 3, "scan.positions": 2475, "scan.time": 4 * 2475 / 60.0, "scan.total_time": 4*2475/60.0 + 4*3*300,
	} {
		if v, ok := tech.Value(id); !ok || math.Abs(v.Q.SI-want) > 1e-6 {
			t.Errorf("%s is %v, by hand %v", id, v.Q.SI, want)
		}
	}
}

func TestTimeOfTheWeldWithItsPasses(t *testing.T) {
	tech, _ := read(t, "plate-seam", "speed: 60 mm/s", "speed: 60 mm/s\n  setup_time: 5 min")
	// 4 passes of 2425 mm at 60 mm/s are 161.67 s, and 20 min beside.
	if v, ok := tech.Value("scan.total_time"); !ok || math.Abs(v.Q.SI-(4*2425/60.0+4*300)) > 1e-6 {
		t.Errorf("the weld takes %v s, by hand 1361.67 s", v.Q.SI)
	}
}

func TestCountsThatDoNotFit(t *testing.T) {
	tech, _ := read(t, "plate-seam", "resolution: 0.05 mm", "resolution: 0.3 mm")
	for _, r := range tech.Rules {
		if r.Rule == "encoder-counts" && r.Verdict != rules.NotMet {
			t.Errorf("three counts of 0.3 mm for 1 mm: %s", r.Verdict)
		}
	}
}
