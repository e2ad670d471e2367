package technique

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/field"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

func mapped(t *testing.T, tech *Technique, group string) *Map {
	t.Helper()
	for i := range tech.Groups {
		if g := &tech.Groups[i]; g.Set.Name == group {
			if g.Map == nil {
				t.Fatalf("group %s has no map", group)
			}
			return g.Map
		}
	}
	t.Fatalf("no group %s", group)
	return nil
}

// A symmetrical joint seen from both sides has a symmetrical map.
func TestMapOfSymmetricalJoint(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	for _, group := range []string{"direct", "skip"} {
		m := mapped(t, tech, group)
		places := 0
		m.Hole.places(func(j, k int) {
			places++
			if a, b := m.Hole.at(j, k), m.Hole.at(j, -k); math.Abs(float64(a-b)) > 1e-9 {
				t.Fatalf("group %s: %.3f dB at row %d, column %d, and %.3f dB opposite", group, a, j, k, b)
			}
		})
		if places < 200 {
			t.Errorf("group %s: only %d places", group, places)
		}
		if a, b := m.Faces[0], m.Faces[1]; math.Abs(float64(a.Least-b.Least)) > 1e-6 || math.Abs(float64(a.Most-b.Most)) > 1e-6 {
			t.Errorf("group %s: face A %v, face B %v", group, a, b)
		}
	}
}

// A joint that is the same from above and from below is seen alike from both
// surfaces.
func TestMapFromBothSurfaces(t *testing.T) {
	above, _ := read(t, "plate-seam")
	below, _ := read(t, "plate-seam", "surfaces: [top]", "surfaces: [bottom]", "    wedge: W55\n", "    wedge: W55\n    surface: bottom\n")
	for _, group := range []string{"direct", "skip"} {
		a, b := mapped(t, above, group), mapped(t, below, group)
		last := len(a.Hole.rows.Row) - 1
		if got := len(b.Hole.rows.Row) - 1; got != last {
			t.Fatalf("%d rows from below, %d from above", got, last)
		}
		a.Hole.places(func(j, k int) {
			if x, y := a.Hole.at(j, k), b.Hole.at(last-j, k); math.Abs(float64(x-y)) > 1e-6 {
				t.Fatalf("group %s: %.3f dB from above, %.3f dB from below", group, x, y)
			}
		})
		upper, lower := a.met[0], b.met[len(b.met)/2-1] // A upper from above, A lower from below
		for i := range upper {
			if x, y := upper[i], lower[facePlaces-1-i]; si.Known(x) != si.Known(y) || math.Abs(float64(x-y)) > 1e-6 {
				t.Fatalf("group %s: face %.3f dB from above, %.3f dB from below", group, x, y)
			}
		}
	}
}

// A fixed angle that meets the fusion face square is answered by all of it, about
// as the law of a strip says; one that is a bevel angle off is not.
func TestMapOfSquareFace(t *testing.T) {
	tech, _ := read(t, "deck-linear")
	m := mapped(t, tech, "walls")
	square, ok := tech.Value("groups.walls.map.square")
	if !ok {
		t.Fatal("no value of a flaw met square")
	}
	for _, f := range m.Faces {
		// The strip narrows the beam a little, and no place lies just on an axis.
		if !(float64(f.Least) > square.Q.SI-1 && float64(f.Most) < square.Q.SI+0.1) || f.Above != 1 {
			t.Errorf("face %s: %.1f to %.1f dB, met square %.1f dB", f.Face, f.Least, f.Most, square.Q.SI)
		}
	}
	off, _ := read(t, "deck-linear", "bevel_angle: 30 deg", "bevel_angle: 15 deg")
	for _, f := range mapped(t, off, "walls").Faces {
		if !(f.Most < m.Faces[0].Least-10) {
			t.Errorf("face %s, met 15° off: still %.1f dB", f.Face, f.Most)
		}
	}
}

// The stretches below a level hold what is lower, between the places as a
// straight line has it, and nothing else of what is reached.
func TestMapBelow(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	v := &mapped(t, tech, "direct").Hole
	within := func(row []coverage.Interval, x si.Length) bool {
		for _, r := range row {
			if r.From < x && x < r.To {
				return true
			}
		}
		return false
	}
	looked := 0
	for _, level := range []si.Decibel{-100, -9, -6, -3, 1} {
		below := v.Below(level)
		for i, row := range v.Reached.Row {
			for _, r := range row {
				first, last := v.columnsIn(r)
				for k := first; k <= last; k++ {
					x, y := v.rows.Height*si.Length(k), v.between(i, k)
					if !(x > r.From && x < r.To) || !si.Known(y) || math.Abs(float64(y-level)) < 1e-6 {
						continue
					}
					looked++
					if inside := within(below.Row[i], x); inside != (y < level) {
						t.Fatalf("%.2f dB in fine row %d, column %d: inside the stretches below %v dB is %v", y, i, k, level, inside)
					}
				}
			}
		}
		v.places(func(j, k int) {
			// A row of places lies between two fine rows.
			mean := (v.between(fineRows*j+fineRows/2-1, k) + v.between(fineRows*j+fineRows/2, k)) / 2
			lone := !si.Known(v.at(j-1, k)) || !si.Known(v.at(j+1, k))
			if bend := math.Abs(float64(v.at(j-1, k) + v.at(j+1, k) - 2*v.at(j, k))); !lone && math.Abs(float64(mean-v.at(j, k))) > bend {
				t.Fatalf("fine rows show %.2f dB where the place has %.2f", mean, v.at(j, k))
			}
		})
	}
	if looked < 1000 {
		t.Errorf("only %d places looked at", looked)
	}
}

// Together the groups show at each place what the best of them shows.
func TestMapOfAllGroups(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	a, b := mapped(t, tech, "direct"), mapped(t, tech, "skip")
	places, good, least := 0, 0, math.Inf(1)
	for j := range a.Hole.rows.Row {
		for k := -100; k <= 100; k++ {
			x, y := float64(a.Hole.at(j, k)), float64(b.Hole.at(j, k))
			switch {
			case math.IsNaN(x):
				x = y
			case y > x:
				x = y
			}
			if math.IsNaN(x) {
				continue
			}
			places++
			if x >= -6 {
				good++
			}
			least = math.Min(least, x)
		}
	}
	for id, want := range map[string]float64{"map.least": least, "map.above": float64(good) / float64(places)} {
		if v, ok := tech.Value(id); !ok || math.Abs(v.Q.SI-want) > 1e-9 {
			t.Errorf("%s is %v, want %v", id, v.Q.SI, want)
		}
	}
}

// A wider step between beams leaves lower echoes between them.
func TestMapShowsGapsBetweenBeams(t *testing.T) {
	fine, _ := read(t, "plate-seam")
	coarse, _ := read(t, "plate-seam", "step: 1 deg", "step: 6 deg")
	a, _ := fine.Value("groups.direct.map.least")
	b, _ := coarse.Value("groups.direct.map.least")
	// Half of 6° is about the echo's −6 dB edge of these beams.
	if !(a.Q.SI > -0.5 && b.Q.SI < -2) {
		t.Errorf("smallest echo %.2f dB with beams 1° apart, %.2f dB with 6°", a.Q.SI, b.Q.SI)
	}
}

// Without densities the contact face is left out, and without holes nothing is
// said of flat flaws.
func TestMapOfPoorJob(t *testing.T) {
	tech, _ := read(t, "plate-seam", "      density: 1050 kg/m³\n", "")
	if mapped(t, tech, "direct").Contact {
		t.Error("the contact face counts though the wedge has no density")
	}
	tech, _ = read(t, "plate-seam", "reflector: side-drilled-hole", "reflector: notch")
	if m := mapped(t, tech, "direct"); len(m.Faces) > 0 || len(m.Facet().values) > 0 {
		t.Error("flat flaws are compared with a hole that is not used")
	}
}

// From the bore of a pipe, where X counts along the inside, each place of the
// section as drawn has what is predicted at that very place, to the ends of its row. Rays of a
// row are good to some thousandths of a decibel.
func TestMapFromBoreIsOfThePlacesDrawn(t *testing.T) {
	tech, _ := read(t, "header-seam", append([]string{"    legs: [2]\n", "    legs: [2]\n    sides: [B]\n"}, fromInside[:4]...)...)
	tech.Job.Groups[1].Surface = "bottom"
	tech = Compute(tech.Job)
	m, g := mapped(t, tech, "skip"), &tech.Groups[1]
	eyes := g.eyes(field.New((&sheet{Technique: tech}).media(g)), g.stand(g.Set.WedgeFront))
	f := frameOf(tech.Section, "B", "bottom", g.Set.WedgeFront)
	if len(eyes) != 1 || f.scale == 1 {
		t.Fatalf("%d views, X scaled by %v", len(eyes), f.scale)
	}
	places := 0
	m.Hole.places(func(j, k int) {
		places++
		at := m.Hole.place(j, k)
		want := eyes[0].hole(field.Point(f.seen(geometry.Point(at))))
		if got := m.Hole.at(j, k); !(math.Abs(float64(got-want)) < 0.005) {
			t.Errorf("%.3f mm across, %.3f mm deep: %.3f dB, predicted there %.3f", at.X*1e3, at.Z*1e3, got, want)
		}
	})
	if places < 100 {
		t.Errorf("only %d places", places)
	}
}

// Between two lobes of a flat flaw lies a null that is narrower than the rows of
// places of a round reflector are apart. Its drawing hides none of it: what is
// low at any place between those that were worked out, has a stretch that is low
// within a third of that distance, and what is drawn low is low as near.
func TestMapOfFlatFlawShowsNulls(t *testing.T) {
	tech, _ := read(t, "plate-seam")
	m := mapped(t, tech, "direct")
	drawn, view := m.Facet(), &m.facets[0]
	if len(m.facets) != 1 || view.frame.mirrored || view.frame.flipped {
		t.Fatal("the flat flaw is not seen once, from side A and the top")
	}
	const level = si.Decibel(-12)
	below, step := drawn.Below(level), m.Hole.Step()/3
	drawnNear := func(p field.Point) bool {
		for j, row := range below.Row {
			z := below.Top + below.Height*(si.Length(j)+0.5)
			for _, r := range row {
				if math.Abs(float64(z-p.Z)) <= float64(step) && p.X > r.From-step && p.X < r.To+step {
					return true
				}
			}
		}
		return false
	}
	low := 0
	for j, row := range drawn.Reached.Row {
		for _, r := range row {
			for x := r.From + step; x < r.To-step; x += 0.27 * step { // seldom at a place of the map
				p := field.Point{X: x, Z: drawn.Reached.Top + drawn.Reached.Height*(si.Length(j)+0.23)}
				if view.eye.facet(p, view.strip) < level {
					if low++; !drawnNear(p) {
						t.Fatalf("below %v dB at %v across, %v deep, and not drawn so", level, p.X, p.Z)
					}
				}
			}
		}
	}
	if low < 100 {
		t.Errorf("only %d places lie below %v dB", low, level)
	}
	for j, row := range below.Row {
		for _, r := range row {
			least := math.Inf(1)
			for dx := -step; dx <= r.To-r.From+step; dx += step / 4 {
				for dz := -step; dz <= step; dz += step / 4 {
					p := field.Point{X: r.From + dx, Z: below.Top + below.Height*(si.Length(j)+0.5) + dz}
					if e := view.eye.facet(p, view.strip); si.Known(e) {
						least = math.Min(least, float64(e))
					}
				}
			}
			if !(least < float64(level)) {
				t.Fatalf("drawn below %v dB at %v to %v across, row %d: %.1f dB at least", level, r.From, r.To, j, least)
			}
		}
	}
}
