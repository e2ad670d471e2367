package technique

import (
	"math"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// value is a value of a technique in the unit in which it is printed.
func value(t *testing.T, tech *Technique, id string) float64 {
	t.Helper()
	v, ok := tech.Value(id)
	if !ok {
		t.Errorf("there is no %s", id)
		return math.NaN()
	}
	u, _ := si.UnitNamed(v.Unit, v.Q.Kind)
	return v.Q.In(u)
}

const layers = "\n  coating: {thickness: 0.3 mm, longitudinal: 2400 m/s}\n  cladding: {surface: bottom, thickness: 3 mm, longitudinal: 5750 m/s, transverse: 3150 m/s}\n  parent_material:"

// The ray at 54.82°, whose sine is 0.817351 (36° in the wedge), cosine 0.576140
// and tangent 1.418667. In the coating: sine × 2400 / 3240 = 0.605445, cosine
// 0.795892, tangent 0.760712. In the cladding: × 3150 / 3240 = 0.794647, 0.607071,
// 1.308986. The wall has 13 mm of base metal and 3 mm of cladding.
func TestLayersByHand(t *testing.T) {
	tech, found := read(t, "vessel-seam", "\n  parent_material:", layers)
	if len(found) > 0 {
		t.Fatal(found)
	}
	plain, _ := read(t, "vessel-seam")
	for id, want := range map[string]float64{
		"coating_shift":  0.3 * 0.760712,
		"coating_delay":  0.3 / 2.4 / 0.795892,
		"cladding_angle": math.Asin(0.794647) * 180 / math.Pi,
		"cladding_shift": 3 * (1.308986 - 1.418667),
		"cladding_delay": 3/(3.150*0.607071) - 3/(3.240*0.576140),
		"half_skip":      13*1.418667 + 3*1.308986,
		"full_skip":      2 * (13*1.418667 + 3*1.308986),
		"v_path":         2 * (13/0.576140 + 3/0.607071),
		"exit_distance":  value(t, plain, "groups.direct.exit_distance") - 0.3*0.760712,
	} {
		if got := value(t, tech, "groups.direct."+id); math.Abs(got-want) > 2e-5*math.Abs(want)+1e-6 {
			t.Errorf("%s = %.6g, by hand %.6g", id, got, want)
		}
	}
}

// A focus at a depth of 20 mm under 3 mm of cladding: by Snell's law, the sound path
// there at the angles of the job, which are those in the base metal.
func TestFocusDepthUnderCladding(t *testing.T) {
	tech, found := read(t, "plate-seam", "\n  parent_material:", "\n  cladding: {surface: top, thickness: 3 mm, longitudinal: 5750 m/s, transverse: 3150 m/s}\n  parent_material:", "focus: {none: true}", "focus: {depth: 20 mm}")
	if len(found) > 0 {
		t.Fatal(found)
	}
	for _, law := range tech.Groups[0].Laws {
		sin, cos := math.Sincos(float64(law.Angle))
		sin *= 3150. / 3240
		if want := 3e-3/math.Sqrt(1-sin*sin) + 17e-3/cos; math.Abs(float64(law.Focus)-want) > 1e-9 {
			t.Errorf("at %.0f° the focus lies at %.4f mm, by hand %.4f", float64(law.Angle/si.Degree), law.Focus*1e3, want*1e3)
		}
	}
}

// On TL-T, the way out from the middle of the array takes the least time over all
// places of entry and of bounce, and its pieces have the angles and lengths that
// are stated.
func TestConvertedPathAgainstMinimisation(t *testing.T) {
	tech, found := read(t, "vessel-seam", "path: TT-TT", "path: TL-T", "usable_angles: {from: 38 deg, to: 72 deg}", "usable_angles: {from: 15 deg, to: 60 deg}")
	if len(found) > 0 {
		t.Fatal(found)
	}
	g := &tech.Groups[1]
	c := g.stand(g.Set.WedgeFront).centre()
	x0, h := float64(c.X), float64(c.Height)
	const x, z, thickness = 0.0, 8e-3, 16e-3 // the middle of the region
	flight := func(entry, bounce float64) float64 {
		return math.Hypot(entry-x0, h)/2330 + math.Hypot(bounce-entry, thickness)/3240 + math.Hypot(x-bounce, thickness-z)/5920
	}
	entry, bounce, best := 0.0, 0.0, math.Inf(1)
	for step := 4e-3; step > 1e-9; step /= 2 {
		ce, cb := entry, bounce
		if math.IsInf(best, 1) {
			ce, cb = x0/2, x0/4
		}
		for i := -16.0; i <= 16; i++ {
			for j := -16.0; j <= 16; j++ {
				if f := flight(ce+i*step/2, cb+j*step/2); f < best {
					best, entry, bounce = f, ce+i*step/2, cb+j*step/2
				}
			}
		}
	}
	for id, want := range map[string]float64{
		"legs.out.time":    best * 1e6,
		"legs.out.1.angle": math.Atan2(bounce-entry, thickness) * 180 / math.Pi,
		"legs.out.2.angle": math.Atan2(x-bounce, thickness-z) * 180 / math.Pi,
		"legs.out.1.path":  math.Hypot(bounce-entry, thickness) * 1e3,
		"legs.out.2.path":  math.Hypot(x-bounce, thickness-z) * 1e3,
		// Of a longitudinal leg at 80°: sin⁻¹(3240 / 5920 · sin 80°).
		"angle_to": 32.6131,
	} {
		if got := value(t, tech, "groups.skip."+id); math.Abs(got-want) > 1e-4*want {
			t.Errorf("%s = %.6g, by brute force %.6g", id, got, want)
		}
	}
	if got := value(t, tech, "groups.skip.legs.back.1.angle"); !(got > 0) {
		t.Errorf("the way back has the angle %g", got)
	}
}

// What cannot be is said, once, at the line that asks for it.
func TestPathsAndLayersThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		job     string
		replace []string
		rule    string
	}{
		{"vessel-seam", []string{"path: TT-TT", "path: TL-T"}, "path-not-open"},
		{"vessel-seam", []string{"path: TT-TT", "path: T-LT"}, "path-not-open"},
		{"drum-tofd", []string{"\n  parent_material:", strings.Replace(layers, "3 mm", "2 mm", 1)}, "cladding-not-computed"},
	} {
		tech, found := read(t, c.job, c.replace...)
		if len(found) > 0 {
			t.Fatal(found)
		}
		var rules []string
		for _, f := range tech.Findings {
			if f.Level == diag.Error {
				rules = append(rules, f.Rule)
			}
		}
		if !slices.Equal(rules, []string{c.rule}) {
			t.Errorf("%s %v: errors %v, want %s", c.job, c.replace, rules, c.rule)
		}
	}
}

// The letters of a path are those of the way that the sound travels; a course is
// counted from the probe.
func TestPathWaves(t *testing.T) {
	out, back := pathWaves("TL-LT")
	if out[0] == out[1] || !slices.Equal(out, back) {
		t.Errorf("out %v, back %v: the same way both times", out, back)
	}
}

// What a clad wall sends on is decided in the cladding. With c_pL 5750 and c_pT
// 3100 m/s, a longitudinal wave that has the angle a there, sin a = 5750 / 5920 of
// its sine in the base metal, sends on 2 κ sin 2a cos 2b / (sin 2a sin 2b + κ² cos²
// 2b) as a transverse one, κ = 5750 / 3100, sin b = sin a / κ.
func TestCladWallSendsOnByItsOwnMetal(t *testing.T) {
	tech, _ := read(t, "clad-shell")
	a := math.Asin(5750.0 / 5920 * math.Sin(value(t, tech, "groups.upright.legs.out.1.angle")*math.Pi/180))
	const k = 5750.0 / 3100
	b := math.Asin(math.Sin(a) / k)
	want := 2 * k * math.Sin(2*a) * math.Cos(2*b) / (math.Sin(2*a)*math.Sin(2*b) + k*k*math.Pow(math.Cos(2*b), 2))
	closeTo(t, "sent on", value(t, tech, "groups.upright.legs.out.1.sent_on")/100, want, 1e-6)
}

// Around a pipe r sin α / c is the same on all legs, and the way is as long as its
// pieces; where the pipe is as good as flat, the legs are those of a plate.
func TestLegsAroundPipe(t *testing.T) {
	tech := imaged(t, "90 mm")
	tech.Job.Groups[0].Path = "TL-T"
	wedge := &tech.Job.Equipment.Wedges[0]
	wedge.UsableFrom, wedge.UsableTo = 15*si.Degree, 70*si.Degree
	tech = Compute(tech.Job)
	const id = "groups.image.legs.out."
	sine := func(leg string) float64 { return math.Sin(value(t, tech, id+leg+".angle") * math.Pi / 180) }
	z := float64(tech.Job.Groups[0].Region.Top+tech.Job.Groups[0].Region.Bottom) / 2
	closeTo(t, "slowness", sine("2")*(headerRadius-z)/5920, sine("1")*headerBore/3240, 1e-12)

	tech.Job.Part.OutsideDiameter = 100e3
	pipe := Compute(tech.Job)
	flat := *tech.Job
	flat.Part.Kind = "plate"
	legs := 0
	for _, v := range Compute(&flat).Values {
		if strings.Contains(v.ID, ".legs.") {
			legs++
			got, ok := pipe.Value(v.ID)
			if !ok || math.Abs(got.Q.SI-v.Q.SI) > 1e-4*math.Abs(v.Q.SI) {
				t.Errorf("%s is %v, in a plate %v", v.ID, got.Q, v.Q)
			}
		}
	}
	if legs < 8 {
		t.Errorf("only %d values of legs", legs)
	}
}
