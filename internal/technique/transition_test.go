package technique

import (
	"math"
	"slices"
	"testing"

	"soundwrit/internal/si"
)

// part puts keys of the part into the seam.
func partWith(t *testing.T, keys string) *Technique {
	const zone = "  heat_affected_zone: {width"
	tech, found := read(t, "plate-seam", zone, keys+zone)
	for _, f := range found {
		t.Errorf("%s: %s", keys, f.Message)
	}
	return tech
}

func refusals(tech *Technique, rule, path string) (n int) {
	for _, f := range tech.Findings {
		if f.Rule == rule && f.Path == path {
			n++
		}
	}
	return n
}

// A wall that grows thicker behind every bounce changes nothing; nearer, it
// costs coverage; inside the volume, 25 mm wide on each side, the volume follows
// it, and in the weld it is refused.
func TestTransitionOfJob(t *testing.T) {
	job := func(begins string) *Technique {
		return partWith(t, "  transition:\n    A: {begins: "+begins+", slope: 14 deg, thickness: 50 mm}\n")
	}
	plain, _ := read(t, "plate-seam")
	far, near, inside, buried := job("150 mm"), job("60 mm"), job("20 mm"), job("5 mm")
	// The group that looks after one reflection, from its two sides.
	from := func(tech *Technique, side int) si.Ratio { return tech.Groups[1].Placements[side].Coverage.Share }
	if from(far, 0) != from(plain, 0) || from(near, 1) != from(plain, 1) {
		t.Errorf("coverage %v with a transition behind every bounce, %v without", from(far, 0), from(plain, 0))
	}
	if !(from(near, 0) < from(plain, 0)-0.01) {
		t.Errorf("coverage %v with a transition among the bounces, %v without", from(near, 0), from(plain, 0))
	}
	// 5 mm of slope in the volume: a triangle of 5 · 5 tan 14° / 2 = 3.117 mm².
	more := float64(inside.Section.Volume.Area()-plain.Section.Volume.Area()) * 1e6
	if math.Abs(more-3.117) > 0.001 {
		t.Errorf("the volume gains %.3f mm², by hand 3.117", more)
	}
	if n := refusals(buried, "transition-in-weld", "part.transition.A.begins"); n != 1 || buried.Section.Known() {
		t.Errorf("refused %d times in the weld", n)
	}
	both := partWith(t, "  transition:\n    A: {begins: 20 mm, slope: 14 deg, thickness: 50 mm}\n    B: {begins: 20 mm, slope: 14 deg, thickness: 50 mm}\n")
	if n := refusals(both, "transition-in-volume", "part.transition.B.begins"); n != 1 {
		t.Errorf("refused %d times on both sides of the volume", n)
	}
	if v, ok := near.Value("part.transition.A.bottom.ends"); !ok || math.Abs(v.Q.SI*1e3-100.108) > 0.001 { // 60 + 10 / tan 14°
		t.Errorf("the slope ends at %v", v.Q.SI)
	}
}

// No wedge stands on a slope of its surface; before it and behind it one does.
// Behind it, 5 mm higher, the far wall is 45 mm away, and an image is refused.
func TestWedgeOnSlope(t *testing.T) {
	job := func(begins string) *Technique {
		return partWith(t, "  transition:\n    A: {begins: "+begins+", slope: 45 deg, thickness: 45 mm, surface: top}\n")
	}
	on := job("60 mm")
	if !slices.ContainsFunc(on.Groups, func(g Group) bool {
		return refusals(on, "wedge-on-slope", "groups."+g.Set.Name+".wedge_front") == 1
	}) {
		t.Error("a wedge on the slope is not refused")
	}
	before, plain := job("200 mm"), partWith(t, "")
	for i, g := range before.Groups {
		if g.Coverage.Share != plain.Groups[i].Coverage.Share {
			t.Errorf("%s: coverage %v before the slope, %v without", g.Set.Name, g.Coverage.Share, plain.Groups[i].Coverage.Share)
		}
	}
}

// What cannot be read leaves the section unknown, and nothing panics.
func TestUnreadableWalls(t *testing.T) {
	const zone = "  heat_affected_zone: {width"
	for _, keys := range []string{
		"  transition:\n    A: {begins: far, slope: 14 deg, thickness: 50 mm}\n",
		"  transition:\n    A: {begins: 60 mm, slope: steep, thickness: 50 mm}\n",
		"  transition:\n    B: {begins: 60 mm, slope: 14 deg, thickness: thick, surface: both}\n",
		"  counterbore:\n    B: {length: long, depth: 2 mm, taper: 14 deg}\n",
		"  counterbore:\n    B: {length: 30 mm, depth: deep, taper: 14 deg}\n",
	} {
		tech, found := read(t, "plate-seam", zone, keys+zone)
		if len(found) == 0 || tech.Section.Known() || si.Known(tech.Coverage.Share) {
			t.Errorf("%s%d findings, coverage %v", keys, len(found), tech.Coverage.Share)
		}
	}
}
