package render

import (
	"math"
	"strings"
	"testing"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// seamByHand is the shipped girder rolled to a pipe with a seam along it, scanned
// from one of its surfaces.
func seamByHand(t testing.TB, surface string) *technique.Technique {
	return computed(t, "girder-manual", func(j *schema.Job) {
		j.Part.Kind, j.Part.OutsideDiameter, j.Part.Weld.Seam, j.Part.Thickness = "pipe", 406.4*si.Millimetre, "longitudinal", 16*si.Millimetre
		j.Part.Surfaces = []string{surface}
		for i := range j.Groups {
			j.Groups[i].Surface = surface
		}
		for i := range j.Equipment.SingleProbes {
			p := &j.Equipment.SingleProbes[i]
			p.Width = 12 * si.Millimetre
			if p.Angle > 65*si.Degree {
				p.Angle = 65 * si.Degree
			}
		}
	})
}

func TestFiguresOfSinglesFit(t *testing.T) {
	figuresFit(t, "girder-manual", document(t, computed(t, "girder-manual"), "A4").Figures)
	for _, surface := range []string{"top", "bottom"} {
		tech := seamByHand(t, surface)
		for _, g := range tech.Groups {
			if len(g.Placements) != 2 {
				t.Fatalf("%s: group %s is not computed: %v", surface, g.Set.Name, tech.Findings)
			}
		}
		figuresFit(t, surface, Figures(tech))
	}
}

// Strokes are drawn to scale, by hand at 1:5: an element of 10 mm every 8 mm leaves
// 2 mm that are passed twice, 0.4 mm on the paper, over 118 mm of way, 23.6 mm; the
// angled ones, 9 mm every 7 mm, over 46, 76 and 111 mm.
func TestStrokesAreToScale(t *testing.T) {
	tech := computed(t, "girder-manual")
	var strokes *Figure
	for _, f := range Figures(tech) {
		if f.Name == "strokes" {
			strokes = &f
		}
	}
	if strokes == nil || !strings.HasSuffix(strokes.Caption, "scale 1:5") {
		t.Fatalf("no strokes at 1:5: %+v", strokes)
	}
	found := map[float64]int{}
	for _, s := range strokes.Drawing.shapes {
		if s.fill.colour != overlapTint() {
			continue
		}
		low, high := reachX(s.points)
		if math.Abs(high-low-0.4) > 1e-9 {
			t.Errorf("neighbouring strokes overlap by %.3f mm on the paper, by hand 0.4", high-low)
		}
		found[math.Round(math.Abs(s.points[2].y-s.points[1].y)*100)/100]++
	}
	for _, length := range []float64{23.6, 9.2, 15.2, 22.2} {
		if found[length] < 2*(strokesLeast-1) {
			t.Errorf("%d overlaps of %.1f mm are drawn on both sides: %v", found[length], length, found)
		}
	}
	if len(found) != 4 {
		t.Errorf("lengths of strokes: %v", found)
	}
}

func TestNoStrokesWithoutRaster(t *testing.T) {
	for _, f := range Figures(computed(t, "plate-seam")) {
		if f.Name == "strokes" {
			t.Error("strokes of a job that has scan lines")
		}
	}
}

// Strokes on the outer face of a flange lie on both sides of the web, which is
// behind it: two of the web, 25 mm thick, and 36 mm on each side.
func TestStrokesOnFlange(t *testing.T) {
	up, down := 0, 0
	for _, f := range Figures(computed(t, "column-tee")) {
		if f.Name != "strokes" {
			continue
		}
		var middle float64
		for _, s := range f.Drawing.shapes {
			if s.fill == tint() && len(s.points) == 4 {
				if high := math.Abs(s.points[2].y - s.points[1].y); math.Abs(high-25) > 1e-9 {
					t.Errorf("the web is %.2f mm thick on the paper", high)
				}
				middle = (s.points[2].y + s.points[1].y) / 2
			}
		}
		for _, s := range f.Drawing.shapes {
			if s.fill.colour == overlapTint() {
				switch y := s.points[2].y - middle; {
				case math.Abs(y-36) < 1e-9:
					down++
				case math.Abs(y+36) < 1e-9:
					up++
				default:
					t.Errorf("a stroke ends %.2f mm from the middle of the web", y)
				}
			}
		}
	}
	if up == 0 || up != down {
		t.Errorf("%d strokes to the side of the web's top, %d to its bottom", up, down)
	}
}

// A straight probe is set by its middle, and every figure says so: 20 mm, of an
// element of 10 mm.
func TestStraightProbeIsToldByItsMiddle(t *testing.T) {
	for _, f := range Figures(computed(t, "girder-manual")) {
		if f.Name != "section-all" && f.Name != "section-parent" {
			continue
		}
		var texts []string
		for _, l := range f.Drawing.labels {
			texts = append(texts, l.text)
		}
		if all := strings.Join(texts, "; "); !strings.Contains(all, "−20 mm") || strings.Contains(all, "15 mm") {
			t.Errorf("%s: %s", f.Name, all)
		}
	}
}
