package technique

import (
	"math"
	"strings"
	"testing"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// At its focus limit a strip has λ/2 of path from its middle to its ends, so that
// a beam of parallel rays keeps the share |∫ exp(4π i u²) du| of what all of it in
// phase would make. Waves of a narrow array on the header, delayed so that their
// rays are parallel in the wall, have that share where the limit is said to be:
// each goes over the circle by the way of least time. The tolerance is that of a
// limit to second order for an array a quarter as long as its near field.
func TestFocusLimitAroundPipeAgainstSummedWaves(t *testing.T) {
	re, im := 0.0, 0.0
	for i := range 2000 {
		u := (float64(i)+0.5)/2000 - 0.5
		re, im = re+math.Cos(4*math.Pi*u*u)/2000, im+math.Sin(4*math.Pi*u*u)/2000
	}
	kept := math.Hypot(re, im)
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside} {
		tech, _ := read(t, "header-seam", changes...)
		g := &tech.Groups[0]
		radius := headerRadius
		if name == "inside" {
			radius = headerBore
		}
		probe := *g.Probe
		probe.Frequency = 40 * si.Megahertz
		st := g.stand(g.Set.WedgeFront)
		st.probe, st.first, st.count = &probe, 13, 6
		p := &g.Placements[0]
		first, last := plane(tech.Section, p.Elements[13]), plane(tech.Section, p.Elements[18])
		along := first.to(last).unit()
		length := float64(probe.Pitch)*6 - float64(probe.Gap)
		centre := vec{(first.x + last.x) / 2, (first.y + last.y) / 2}
		for _, angle := range []si.Angle{45 * si.Degree, 55 * si.Degree} {
			limit := float64(st.focusLimit(angle))
			if !(limit > 4e-3 && limit < 21e-3) {
				t.Fatalf("%s, %v°: the limit is %v m, not on the first leg", name, angle/si.Degree, limit)
			}
			x, _ := st.exit(angle)
			at := plane(tech.Section, frameOf(tech.Section, p.Side, g.Set.Surface, g.Set.WedgeFront).point(geometry.Point{X: x}))
			normal := vec{at.x, at.y - headerRadius}.unit()
			if name == "outside" {
				normal = vec{-normal.x, -normal.y}
			}
			level := vec{-normal.y, normal.x}
			if level.dot(centre.to(at)) < 0 {
				level = vec{normal.y, -normal.x}
			}
			sin, cos := math.Sincos(float64(angle))
			way := vec{cos*normal.x + sin*level.x, cos*normal.y + sin*level.y}
			far := at.at(way, 40) // rays to a place 40 m away are parallel
			share := func(path float64) float64 {
				to, re, im := at.at(way, path), 0.0, 0.0
				const n = 61
				for i := range n {
					from := centre.at(along, length*((float64(i)+0.5)/n-0.5))
					phase := 2 * math.Pi * 40e6 * (leastTime(from, to, radius) - leastToFar(from, far, radius))
					re, im = re+math.Cos(phase), im+math.Sin(phase)
				}
				return math.Hypot(re, im) / n
			}
			low, high := limit/3, limit*3
			for range 30 {
				if middle := (low + high) / 2; share(middle) < kept {
					low = middle
				} else {
					high = middle
				}
			}
			// What the wedge takes of the near field counts too: the tolerance is of both.
			if math.Abs(limit-low) > 0.05*limit {
				t.Errorf("%s, %v°: limit %.3f mm, by summed waves %.3f mm", name, angle/si.Degree, limit*1e3, low*1e3)
			}
		}
	}
}

// leastToFar is leastTime to a place so far away that no other place of the
// surface than that near the source matters.
func leastToFar(from, to vec, radius float64) float64 {
	phi := math.Atan2(from.x, headerRadius-from.y)
	return leastBetween(from, to, radius, phi-0.2, phi+0.2)
}

// On a pipe that is nearly flat, limits, distances between axes and what
// temperature does are those of a plate.
func TestNearlyFlatBeams(t *testing.T) {
	depth := []string{"    focus: {none: true}\n    legs: [1, 2]", "    focus: {depth: 4 mm}\n    legs: [1, 2]"}
	pipe, _ := read(t, "header-seam", append([]string{"outside_diameter: 508 mm", "outside_diameter: 10 m", "contour: 508 mm", "contour: 10 m", "      diameter: 508 mm", "      diameter: 10 m"}, depth...)...)
	plate, _ := read(t, "header-seam", append([]string{"kind: pipe", "kind: plate", "  outside_diameter: 508 mm\n", "", "    seam: longitudinal\n", "", "      diameter: 508 mm\n", ""}, depth...)...)
	for _, end := range []string{
		"focus_ratio", "widths.from.focus_limit", "widths.from.1.path", "widths.from.1.width", "widths.from.1.apart", "widths.to.2.width", "widths.middle.4.apart", "widths.middle.4.width",
		"width_overlap", "temperature.low.steepest", "temperature.high.exit", "gain_span", "curve.2.gain", "map.least", "map.faces.A-lower.most",
	} {
		a, ok := pipe.Value("groups.direct." + end)
		b, known := plate.Value("groups.direct." + end)
		if !ok || !known {
			t.Errorf("%s: stated around the pipe %v, in the plate %v", end, ok, known)
			continue
		}
		tolerance := 0.02 * math.Abs(b.Q.SI)
		if b.Q.Kind == si.KindDecibel {
			tolerance = 0.5 // of the last angle, which grazes the wall sooner
		}
		if math.Abs(a.Q.SI-b.Q.SI) > tolerance {
			t.Errorf("%s: %v around a pipe of 10 m, %v in a plate", end, a.Q.SI, b.Q.SI)
		}
	}
}

// A part that is clad with its own metal is the part, for beams with a focus and
// their widths, gains and maps.
func TestCladWithItsOwnMetal(t *testing.T) {
	depth := []string{"focus: {none: true}", "focus: {path: 25 mm}"}
	plain, _ := read(t, "plate-seam", depth...)
	clad, found := read(t, "plate-seam", append([]string{"\n  parent_material:", "\n  cladding: {surface: bottom, thickness: 4 mm, longitudinal: 5920 m/s, transverse: 3240 m/s}\n  parent_material:"}, depth...)...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	compared := 0
	for _, v := range plain.Values {
		if !strings.Contains(v.ID, ".widths.") && !strings.HasSuffix(v.ID, "gain_span") && !strings.HasSuffix(v.ID, "map.least") && !strings.HasSuffix(v.ID, "focus_ratio") {
			continue
		}
		w, ok := clad.Value(v.ID)
		if !ok {
			t.Errorf("%s is left out of the clad part", v.ID)
			continue
		}
		compared++
		tolerance := 1e-3 * math.Abs(v.Q.SI)
		if v.Q.Kind == si.KindDecibel {
			tolerance = 0.02
		}
		if math.Abs(w.Q.SI-v.Q.SI) > tolerance && !strings.HasSuffix(v.ID, "overlap") {
			t.Errorf("%s: %v clad, %v of one metal", v.ID, w.Q.SI, v.Q.SI)
		}
	}
	if compared < 40 {
		t.Errorf("only %d values are compared", compared)
	}
}
