package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// By hand: fillets of 18 mm by 10 mm on both sides of a web of 25 mm, a K
// preparation of 45° with root face 1 mm and root gap 2 mm, a flange of 40 mm, a
// zone of 10 mm. The halves are 12 mm deep: A_w = 2 × 25 + 2 × 12² / 2 = 194 mm².
// The toes lie at 1 − 18 = −17 mm, and the volume begins at −27: 28 × 25 in the web,
// and 10 × (10 + 10 + 25 + 10 + 10) in the flange: 1350 mm².
func TestTeeValues(t *testing.T) {
	tech, found := read(t, "column-tee")
	if len(found) > 0 || len(tech.Findings) > 0 && tech.Findings[0].Level == "error" {
		t.Fatal(found, tech.Findings)
	}
	for id, want := range map[string]float64{
		"part.flange.thickness": 40e-3, "weld.fillet.top.web": 18e-3, "weld.fillet.top.flange": 10e-3, "weld.fillet.bottom.flange": 10e-3,
		"volume.flange_depth": 10e-3, "volume.flange_length": 65e-3, "weld.width_top": 14e-3, "weld.width_bottom": 14e-3, "weld.area": 194e-6,
		"groups.over.toe": 17e-3,
	} {
		v, ok := tech.Value(id)
		if !ok || math.Abs(v.Q.SI-want) > 1e-9 {
			t.Errorf("%s = %v, by hand %v", id, v.Q.SI, want)
		}
	}
	v, _ := tech.Value("volume.area")
	if math.Abs(v.Q.SI-1350e-6) > 2e-6 { // a row more or less of 0.16 mm by 10 mm
		t.Errorf("volume %v, by hand 1350 mm²", v.Q.SI)
	}
}

// A web looks alike from both its surfaces, where fillets and halves of the
// preparation are alike.
func TestTeeFromBothSurfaces(t *testing.T) {
	tech, _ := read(t, "column-tee")
	over, under := tech.Groups[0].Coverage, tech.Groups[1].Coverage
	if math.Abs(float64(over.Share-under.Share)) > 1e-9 {
		t.Errorf("from the top %v, from the bottom %v", over.Share, under.Share)
	}
	if !(tech.Coverage.Share >= over.Share) || !si.Known(tech.Coverage.Share) {
		t.Errorf("together %v, one %v", tech.Coverage.Share, over.Share)
	}
	// No echo is predicted outside the web's surfaces, and every one inside.
	for i := range tech.Groups[:2] {
		m := tech.Groups[i].Map
		if m == nil {
			t.Fatalf("group %d has no map", i)
		}
		m.Hole.places(func(row, column int) {
			if p, x := m.Hole.place(row, column), m.Hole.at(row, column); !si.Known(x) || p.Z < 0 || p.Z > tech.Section.Thickness {
				t.Errorf("group %d: %v at %v", i, x, p)
			}
		})
	}
}

// By hand: the halves of 12 mm at 45° and half of the gap on either side of the
// centreline make the weld 12 + 2 = 14 mm wide at each surface of the web.
func TestFilletCoversTheWeld(t *testing.T) {
	for width, want := range map[string]int{"13.9 mm": 2, "14 mm": 0} {
		tech, found := read(t, "column-tee", "width: 18 mm", "width: "+width)
		told := 0
		for _, f := range tech.Findings {
			if f.Rule == "fillet-narrower-than-weld" && f.At.Line > 0 {
				told++
			}
		}
		if told != want || len(found) > 0 {
			t.Errorf("%s: told %d times, %v", width, told, found)
		}
	}
}

// By hand, of the flange of 40 mm: its outer face lies 41 mm beside the centreline,
// so that the volume, which begins at −27 mm, is 68 mm deep from there. A pulse of
// 0.5 µs is 5920 × 0.5 / 2 = 1.48 mm long: beside the web flaws show down to 38.52
// mm. Missed are 20 mm of the inner face on either side, 1.48 mm high: 59.2 of 1350
// mm². The probe's middle goes from that of the web, 12.5 mm deep, to 36 mm on.
func TestStraightBeamFromFlange(t *testing.T) {
	tech, found := read(t, "column-tee")
	if len(found) > 0 {
		t.Fatal(found)
	}
	g := named(tech.Groups, groupName, "through")
	for id, want := range map[string]float64{
		"volume_depth": 68e-3, "shown_from": 8e-3, "shown_to": 38.52e-3, "shown_through": 68e-3, "depth_share": (38.52 - 8) / 40, "dgs.reference_path": 40e-3,
	} {
		if v, ok := tech.Value("groups.through." + id); !ok || math.Abs(v.Q.SI-want) > 1e-9 {
			t.Errorf("%s = %v, by hand %v", id, v.Q.SI, want)
		}
	}
	if missed := float64(1 - g.Coverage.Share); math.Abs(missed-59.2/1350) > 0.003 { // a column more or less of 0.1 by 20 mm on either side
		t.Errorf("missed %v, by hand %v", missed, 59.2/1350)
	}
	if len(g.Placements) != 2 || g.Placements[0].Side != "top" {
		t.Fatalf("%d placements, first %v", len(g.Placements), g.Placements[0].Side)
	}
	for i, z := range []si.Length{12.5e-3 - 36e-3, 12.5e-3 + 36e-3} {
		p := &g.Placements[i]
		if middle := (p.Far[0].Z + p.Far[1].Z) / 2; math.Abs(float64(middle-z)) > 1e-9 || math.Abs(float64(p.Far[0].X)-0.041) > 1e-9 {
			t.Errorf("side %s: farthest at %v, by hand (41, %v)", p.Side, p.Far, z*1000)
		}
		if at := p.Along(p.Far[0]); (at < 0) != (p.Side == "top") {
			t.Errorf("side %s: the tape reads %v", p.Side, at)
		}
	}
	// The face that is welded lies square under the beam, bevels of 45° askew by 45°.
	for _, f := range g.Faces {
		want, reached := map[string]float64{"B flange": 0, "A root face": 0, "A upper": 45, "A lower": 45}[f.Face.Name], f.Reached > 0
		if reached && math.Abs(float64(f.Best/si.Degree)-want) > 1e-6 {
			t.Errorf("%s from side %s: best %v, by hand %v°", f.Face.Name, f.Side, f.Best, want)
		}
	}
	if in := tech.Faces[3]; in.Face.Name != "B flange" || in.Reached != 1 || in.Within != 1 {
		t.Errorf("%s: reached %v, square %v", in.Face.Name, in.Reached, in.Within)
	}
}

// Of a group on a surface that is not known nothing else is said.
func TestGroupOnAnUnknownSurface(t *testing.T) {
	tech, found := read(t, "column-tee", "surface: flange", "surface: flang")
	if len(found) != 1 || found[0].Rule != "wrong-value" {
		t.Errorf("the job's own check finds %v", found)
	}
	if f := findingsOf(tech, "wedge-on-reinforcement"); len(f) > 0 {
		t.Errorf("found %v", f)
	}
}

// onFlange is the column with groups of all kinds on the outer face of its flange:
// a web and fillets that are alike from both sides.
func onFlange(t *testing.T) *Technique {
	tech, found := read(t, "column-tee",
		"    S0:\n", "    T60: {description: angled, frequency: 4 MHz, element: {length: 8 mm, width: 9 mm}, angle: 60 deg, wedge_velocity: 2730 m/s, front_distance: 10.5 mm, length: 24 mm, delay: 3.6 us, pulse: 0.6 us}\n    S0:\n",
		"\nreference:", `
  slant:
    method: sectorial
    probe: P4-64
    wedge: W55
    surface: flange
    wedge_front: 5 mm
    angles: {from: 40 deg, to: 70 deg, step: 1 deg}
    aperture: {first: 33, count: 16}
    focus: {none: true}
    legs: [1, 2]
  across:
    method: linear
    probe: P4-64
    wedge: W55
    surface: flange
    sides: [top]
    wedge_front: -10 mm
    fixed_angles: [45 deg]
    aperture: {first: 1, count: 16}
    stepping: {last: 64, step: 1}
    focus: {none: true}
    legs: [1]
  hand:
    method: angle-beam
    probe: T60
    surface: flange
    raster: {from: 5 mm, to: 60 mm, index: 7 mm}
    legs: [1, 2]

reference:`)
	if len(found) > 0 {
		t.Fatal(found)
	}
	return tech
}

// By hand: with the wedge front 5 mm to the side of the web's top it stands 7.5 mm
// deep; 10 mm past the middle, at 22.5. Both sides see the same. A beam of one leg goes
// on into the web, as far as the volume, 68 mm, at most; one of two to twice 40.
func TestBeamsFromFlange(t *testing.T) {
	tech := onFlange(t)
	for name, z := range map[string]si.Length{"slant": 7.5e-3, "across": 22.5e-3, "hand": 7.5e-3} {
		g := named(tech.Groups, groupName, name)
		if len(g.Placements) == 0 {
			t.Errorf("%s is not computed", name)
			continue
		}
		p := g.Placements[0]
		if math.Abs(float64(p.Front.X)-0.041) > 1e-9 || math.Abs(float64(p.Front.Z-z)) > 1e-9 {
			t.Errorf("%s: wedge front at %v", name, p.Front)
		}
		for _, r := range p.Rays {
			for _, q := range r.Points[1:] {
				if q.X > 0.041+1e-9 {
					t.Errorf("%s: a ray leaves the part at %v", name, q)
				}
			}
		}
		if len(g.Placements) == 2 {
			a, b := g.Placements[0].Coverage.Share, g.Placements[1].Coverage.Share
			if math.Abs(float64(a-b)) > 0.002 || !(a > 0.1) { // by rows that begin on one side
				t.Errorf("%s: %v from the side of the top, %v from that of the bottom", name, a, b)
			}
		}
		if _, ok := tech.Value("groups." + name + ".toe_clearance"); ok {
			t.Errorf("%s: the outer face has a toe", name)
		}
	}
	if got := named(tech.Groups, groupName, "slant").Deepest; got > 80e-3+1e-9 || got < 40e-3 {
		t.Errorf("two legs in a flange of 40 mm go %v deep", got)
	}
	if got := named(tech.Groups, groupName, "across").Deepest; !(got > 40e-3 && got <= 68e-3) {
		t.Errorf("one leg goes %v deep", got)
	}
	v, _ := tech.Value("groups.hand.half_skip")
	if want := 40e-3 * math.Tan(60*math.Pi/180); math.Abs(v.Q.SI-want) > 1e-9 {
		t.Errorf("half skip %v, by hand 40 tan 60° = %v", v.Q.SI, want)
	}
	for _, id := range []string{"groups.slant.map.least", "groups.slant.corner.worst"} {
		if _, stated := tech.Value(id); stated {
			t.Errorf("%s is stated", id)
		}
		if _, said := tech.OmittedValue(id); !said {
			t.Errorf("%s: nothing says why it is left out", id)
		}
	}
	// What is left of the volume, and of the others' share, does not grow by more groups.
	less, _ := read(t, "column-tee")
	if tech.Coverage.Share < less.Coverage.Share-1e-9 {
		t.Errorf("%v with more groups, %v without", tech.Coverage.Share, less.Coverage.Share)
	}
}

func TestPreparationTellsTheJoint(t *testing.T) {
	tech, _ := read(t, "column-tee")
	part := tech.Job.Part
	if got := preparationOf(&part); got != "double-bevel, T-butt" {
		t.Errorf("of a T-butt weld %q", got)
	}
	if part.Flange = nil; preparationOf(&part) != "double-bevel" {
		t.Errorf("of a butt weld %q", preparationOf(&part))
	}
}

func groupName(g *Group) string { return g.Set.Name }
