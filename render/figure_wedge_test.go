package render

import (
	"math"
	"strings"
	"testing"

	"soundwrit/internal/si"
)

// wedgeFigure is the figure of the wedges of a shipped job, with its texts.
func wedgeFigure(t *testing.T, job string) (Figure, string) {
	t.Helper()
	for _, f := range Figures(computed(t, job)) {
		if f.Name != "wedges" {
			continue
		}
		var texts []string
		for _, l := range f.Drawing.labels {
			texts = append(texts, l.text)
		}
		return f, strings.Join(texts, "\n")
	}
	t.Fatalf("%s: no figure of the wedges", job)
	return Figure{}, ""
}

// The wedge of plate-seam by hand: 36.1° and 2330 m/s, element 1 of 32 at 6 mm over
// the face and 32 mm behind the front, pitch 0.5 mm; elements 9 to 24, so that the
// middle is 15.5 pitches from element 1; a beam of 55° at 3240 m/s.
func TestWedgeByHand(t *testing.T) {
	f, texts := wedgeFigure(t, "plate-seam")
	tilt, along := 36.1*math.Pi/180, 15.5*0.5
	height, distance := 6+along*math.Sin(tilt), 32-along*math.Cos(tilt)
	beta := math.Asin(2330 * math.Sin(55*math.Pi/180) / 3240)
	exit, path := distance-height*math.Tan(beta), height/math.Cos(beta)
	for _, want := range []string{"Wedge W55 with probe P4-32", "36.1°", "6 mm", "1", "32", "55°", "contact face 45 mm", "front to element 1 32 mm",
		"front to exit point " + si.Round(exit, 0, si.Nearest) + " mm", // 18.04
		"in the wedge " + si.Round(path, 1, si.Nearest) + " mm", "Groups direct, skip: elements 9 to 24, filled."} {
		if !strings.Contains("\n"+texts+"\n", "\n"+want+"\n") {
			t.Errorf("no %q among %q", want, texts)
		}
	}
	if !strings.HasSuffix(f.Caption, "scale 1:1") {
		t.Fatalf("%q: the lengths below are of 1:1", f.Caption)
	}
	for _, s := range f.Drawing.shapes {
		if s.pen.width == ray().width && s.pen.colour == accent() {
			dx, dy := s.points[1].x-s.points[0].x, s.points[1].y-s.points[0].y
			if got := math.Hypot(dx, dy); math.Abs(got-path) > 1e-6 {
				t.Errorf("the way in the wedge is %.6f mm on the paper, by hand %.6f mm", got, path)
			}
			if got := math.Atan2(dx, dy); math.Abs(got-beta) > 1e-6 {
				t.Errorf("it is drawn at %.4f rad, by hand %.4f", got, beta)
			}
			return
		}
	}
	t.Error("no beam in the wedge")
}

// A wedge is drawn once, however many groups use it, in no more room than a row
// may take.
func TestWedgesAlikeAreDrawnOnce(t *testing.T) {
	for job, want := range map[string]int{"plate-seam": 1, "clad-shell": 2, "drum-tofd": 2, "girder-manual": 3, "header-seam": 1} {
		f, texts := wedgeFigure(t, job)
		if got := strings.Count(texts, "front to exit point"); got != want {
			t.Errorf("%s: %d wedges, want %d", job, got, want)
		}
		if f.Drawing.height > wedgeHeight {
			t.Errorf("%s: %.1f mm high", job, f.Drawing.height)
		}
	}
}

// A contact face that is shaped to a pipe is drawn with the radius that stands at
// it: along the beam for a seam along the pipe, across it for one around.
func TestShapedWedgeHasItsRadius(t *testing.T) {
	for job, want := range map[string]struct {
		text   string
		radius float64 // mm, at 1:1
	}{"header-seam": {"R 254 mm", 254}, "pipe-girth": {"R 5.375 in", 10.75 / 2 * 25.4}} {
		f, texts := wedgeFigure(t, job)
		if !strings.Contains(texts, want.text) || !strings.HasSuffix(f.Caption, "scale 1:1") {
			t.Errorf("%s: no %q among %q, or %q is not 1:1", job, want.text, texts, f.Caption)
		}
		found := false
		for _, s := range f.Drawing.shapes {
			if s.pen.width != outline().width || len(s.points) < 40 {
				continue
			}
			// Three places of the face, whose last points follow each other.
			n := len(s.points)
			a, b, c := s.points[n-30], s.points[n-15], s.points[n-3]
			ab, bc, ca := math.Hypot(b.x-a.x, b.y-a.y), math.Hypot(c.x-b.x, c.y-b.y), math.Hypot(a.x-c.x, a.y-c.y)
			area := math.Abs((b.x-a.x)*(c.y-a.y)-(c.x-a.x)*(b.y-a.y)) / 2
			if got := ab * bc * ca / (4 * area); math.Abs(got-want.radius) < 1e-3 {
				found = true
			}
		}
		if !found {
			t.Errorf("%s: no face of radius %.3f mm is drawn", job, want.radius)
		}
	}
}
