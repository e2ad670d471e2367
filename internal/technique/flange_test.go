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
	for i := range tech.Groups {
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

// A surface that the tool does not know is refused by name.
func TestFlangeIsNoSurface(t *testing.T) {
	_, found := read(t, "column-tee", "surface: bottom", "surface: flange")
	if len(found) != 1 || found[0].Path != "groups.under.surface" || found[0].At.Line == 0 {
		t.Errorf("%v", found)
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
