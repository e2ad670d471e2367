package technique

import (
	"strings"
	"testing"

	"soundwrit/internal/si"
)

// Over the range the technique must come to what it comes to on a part that is
// written into the job as that size.
func TestRangeIsTheJobAnewAtEachSize(t *testing.T) {
	tech, _ := read(t, "plate-seam", "  thickness: 40 mm", "  thickness: 40 mm\n  range: {thickness: {from: 32 mm, to: 44 mm}}")
	if len(tech.Range) < 7 {
		t.Fatalf("%d sizes", len(tech.Range))
	}
	for _, size := range []string{"32 mm", "44 mm"} {
		alone, _ := read(t, "plate-seam", "  thickness: 40 mm", "  thickness: "+size)
		want := alone.Coverage.Share
		found := false
		for _, p := range tech.Range {
			if q := (si.Quantity{SI: float64(p.Thickness), Kind: si.KindLength}).Text("mm", 0, si.Nearest); q == size {
				found = true
				if p.Coverage != want {
					t.Errorf("at %s: %v of the volume, want %v", size, p.Coverage, want)
				}
			}
		}
		if !found {
			t.Errorf("%s is not among the sizes", size)
		}
	}
	// The block's deepest hole, 36 mm, serves legs to 45 mm of its thickness: a
	// requirement that fails somewhere in the range is told with the sizes.
	told := false
	for _, f := range tech.Findings {
		told = told || strings.HasPrefix(f.Message, "on a part ") && f.Rule == "iso-13588-2019/curve-reach" && f.Path == "part.range"
	}
	if !told {
		t.Errorf("the gain that ends too early on thick parts is not told: %v", tech.Findings)
	}
	// Where it changes is found to a thirty-second of a step of 2 mm.
	for i := 1; i < len(tech.Range); i++ {
		if a, b := tech.Range[i-1], tech.Range[i]; b.Changed && !(b.Thickness-a.Thickness <= 2*si.Millimetre/16) {
			t.Errorf("between %v and %v something changes, and the place was not searched for", a.Thickness, b.Thickness)
		}
	}
}

// The joint cannot be cut in so small a pipe, and nothing is computed of that size: no smallest value over the range is stated then, that of the other
// sizes would be taken for it.
func TestNoSmallestWhereASizeIsNotKnown(t *testing.T) {
	tech, _ := read(t, "header-seam", "  outside_diameter: 508 mm", "  outside_diameter: 508 mm\n  range: {outside_diameter: {from: 34 mm, to: 600 mm}}")
	unknown := 0
	for _, p := range tech.Range {
		if !si.Known(p.Coverage) && !si.Known(p.Square) {
			unknown++
		}
	}
	if unknown == 0 || unknown == len(tech.Range) {
		t.Fatalf("%d of %d sizes are not known", unknown, len(tech.Range))
	}
	for _, id := range []string{"range.coverage", "range.coverage_at", "range.square", "range.speed_limit"} {
		if v, ok := tech.Value(id); ok {
			t.Errorf("%s is stated as %s", id, v.Text())
		}
	}
}

// A tfm region that reaches the bottom follows it, one that does not stays.
// On a part of 4 mm an upper half of 8 mm cannot be, and no second leg at 45° and
// more reaches the bore of a pipe of 60 mm with a wall of 16 mm: sin 45° · 30 / 14 is
// more than 1. Nothing is computed there, and only the reason is told, not that
// the probe, say, were not stated.
func TestSizeThatCannotBeTellsOnlyWhy(t *testing.T) {
	for _, c := range []struct{ sizes, rule, at string }{
		{"{thickness: {from: 4 mm, to: 16 mm}}", "preparation-too-deep", "8 mm at 4.0 mm"},
		{"{outside_diameter: {from: 60 mm, to: 508 mm}}", "never-reaches-wall", "45.0° at 60.0 mm"},
	} {
		tech, _ := read(t, "header-seam", "\npart:\n", "\npart:\n  range: "+c.sizes+"\n")
		told := false
		for _, f := range tech.Findings {
			if f.Path != "part.range" {
				continue
			}
			told = told || f.Rule == c.rule && f.Actual == c.at
			if strings.Contains(f.Message, "not stated") || strings.Contains(f.Message, "not known") {
				t.Errorf("%s: %s", c.sizes, f.Message)
			}
		}
		if !told {
			t.Errorf("%s: %s is not told: %v", c.sizes, c.rule, tech.Findings)
		}
		if first := tech.Range[0]; si.Known(first.Coverage) || si.Known(first.SpeedLimit) {
			t.Errorf("%s: %v of the volume, %v, where nothing can be computed", c.sizes, first.Coverage, first.SpeedLimit)
		}
	}
}

func TestRegionFollowsThickness(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	was := tech.Job.Part.Thickness
	for i, g := range tech.Job.Sized(was/2, tech.Job.Part.OutsideDiameter).Groups {
		before := tech.Job.Groups[i].Region.Bottom
		want := before
		if before == was {
			want = was / 2
		}
		if si.Known(before) && g.Region.Bottom != want {
			t.Errorf("%s: the region ends at %v, want %v", g.Name, g.Region.Bottom, want)
		}
	}
	if tech.Job.Part.Thickness != was {
		t.Error("the job itself was changed")
	}
}
