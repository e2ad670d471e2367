package technique

import (
	"fmt"
	"math"
	"testing"

	"soundwrit/internal/si"
)

// The gain of a disc, at the step that lies at a sound path in millimetres.
func discGain(t *testing.T, tech *Technique, group string, path float64) float64 {
	t.Helper()
	for i := 1; ; i++ {
		at := fmt.Sprintf("groups.%s.dgs.%d.", group, i)
		s, ok := tech.Value(at + "path")
		if !ok {
			t.Fatalf("no step at %g mm", path)
		}
		if math.Abs(s.Q.SI*1e3-path) < 1e-6 {
			g, _ := tech.Value(at + "gain")
			return g.Q.SI
		}
	}
}

// By hand, on a wall of 200 mm, 11.8 near fields of the 10 mm element: the far law
// 20 lg(2 λ s² / (π D² t)) with λ = 1.48 mm, D = 2 mm. What is left of the near
// field takes (sin x / x)² of the disc's echo, x = π N / (2 s), and from the wall
// nothing to speak of; between 200 mm and a shorter path attenuation of 10 dB/m.
func TestDiscByBackWall(t *testing.T) {
	disc := []string{"reflector: back-wall\n", "reflector: disc\n    disc: 2 mm\n", "  thickness: 20 mm\n  weld", "  thickness: 200 mm\n  weld",
		"width: 26 mm", "width: 240 mm", "{from: 20 mm, to: 138 mm", "{from: 130 mm, to: 600 mm",
		"{from: 14 mm, to: 60 mm", "{from: 125 mm, to: 600 mm", "{from: 14 mm, to: 90 mm", "{from: 125 mm, to: 600 mm", "{from: 14 mm, to: 125 mm", "{from: 125 mm, to: 600 mm"}
	tech, found := read(t, "girder-manual", disc...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	for path, want := range map[float64]float64{
		200: 33.46 + 0.05,       // 20 lg(592 / 12.566)
		100: 21.42 + 0.20 - 2.0, // 20 lg(29600 / 2513), 2 × 10 dB/m × 0.1 m
	} {
		if got := discGain(t, tech, "parent", path); math.Abs(got-want) > 0.05 {
			t.Errorf("at %g mm: %.2f dB, by hand %.2f dB", path, got, want)
		}
	}
	if len(tech.Groups[0].Single.Charted) != 5 {
		t.Errorf("wall, hole and three discs are drawn: %d", len(tech.Groups[0].Single.Charted))
	}
	// From the outside of a pipe the back wall is convex: 10 lg(1 − 2 × 200 / 1000)
	// = −2.22 dB, so that less gain is asked for.
	pipe, found := read(t, "girder-manual", append(disc, "  kind: plate\n", "  kind: pipe\n  outside_diameter: 1 m\n", "    length: 600 mm\n", "",
		"dead_zone: 3 mm", "width: 12 mm\n      dead_zone: 3 mm")...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	if got := discGain(t, tech, "parent", 200) - discGain(t, pipe, "parent", 200); math.Abs(got-2.218) > 0.001 {
		t.Errorf("the wall of the pipe takes %.3f dB, by hand 2.218", got)
	}
}

// By hand: where hole and disc lie at the same 50 mm, the gain is that of the
// areas, 40 lg(D_e / 2 mm), D_e² = √2/π λ √(d r), r = 50 + 8.28 mm: 4.822 mm². The
// place is 2.3 near fields away, where the laws are within 0.8 dB.
func TestDiscByHole(t *testing.T) {
	tech, found := read(t, "girder-manual", "    legs: [1, 2]\n  flat:", "    legs: [1, 2]\n    reflector: disc\n    disc: 2 mm\n  flat:")
	if len(found) > 0 {
		t.Fatal(found)
	}
	if v, _ := tech.Value("groups.main.dgs.reference_path"); math.Abs(v.Q.SI-0.050) > 1e-9 {
		t.Errorf("the deepest hole lies at 25 mm, 50 mm along the beam: %v", v.Q.SI)
	}
	if got, want := discGain(t, tech, "main", 50), 40*math.Log10(math.Sqrt(4.822)/2); math.Abs(got-want) > 0.8 {
		t.Errorf("%.2f dB, by hand %.2f dB", got, want)
	}
	// Nearer than one near field across the section, 25 − 8.28 mm, nothing is stated.
	if first := tech.Groups[2].Single.Steps[0].Path; !(first >= 16.72*si.Millimetre && first < 26.73*si.Millimetre) {
		t.Errorf("the first step lies at %v", first)
	}
	if _, ok := tech.Value("groups.main.curve.1.path"); ok {
		t.Error("a curve of holes is stated of a group that is set by a disc")
	}
}
