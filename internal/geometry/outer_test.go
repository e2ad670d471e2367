package geometry_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// By hand, for the web of 20 mm on a flange of 30 mm: the outer face lies 31 mm
// beside the centreline and the middle of the web 10 mm deep. So the corner of
// web and flange at the top, (1, 0), is seen at (−10, 30), and the upper edge of
// the volume in the web, (−25, 0), at (−10, 56). The fillets are 8 and 6 mm along
// the flange: its inner face is even up to −18 and from 16 mm on.
func TestFromFlange(t *testing.T) {
	s := geometry.New(tee())
	seen := s.FromFlange()
	near := cmp.Comparer(func(a, b si.Length) bool { return a == b || math.Abs(float64(a-b)) <= noise })
	for at, want := range map[geometry.Point]geometry.Point{{1 * mm, 0}: {-10 * mm, 30 * mm}, {-25 * mm, 0}: {-10 * mm, 56 * mm}, {31 * mm, 28 * mm}: {18 * mm, 0}} {
		got := s.Flange.Seen(at)
		if d := cmp.Diff([]geometry.Point{want, at}, []geometry.Point{got, s.Flange.Drawn(got)}, near); d != "" {
			t.Errorf("%v: %s", at, d)
		}
	}
	if math.Abs(float64(seen.Thickness)-0.03) > noise {
		t.Errorf("thickness %v, by hand 30 mm", seen.Thickness)
	}
	if d := cmp.Diff([]geometry.Level{{si.Length(math.Inf(-1)), -18 * mm, 30 * mm}, {16 * mm, si.Length(math.Inf(1)), 30 * mm}}, seen.Plain(true), near); d != "" {
		t.Error(d)
	}
	if from, to := seen.CapSpan(); from != 0 || to != 0 {
		t.Errorf("the outer face has a reinforcement from %v to %v", from, to)
	}
	for what, p := range map[string][2]geometry.Polygon{"weld": {s.Weld, seen.Weld}, "volume": {s.Volume, seen.Volume}} {
		if a, b := p[0].Area(), p[1].Area(); math.Abs(float64(a-b)) > 1e-12 {
			t.Errorf("%s: %v in the section, %v from the flange", what, a, b)
		}
	}
	// In the flange the volume is 54 mm long, 18 mm to the side of the web's top and
	// 16 to that of its bottom beyond it; in the web as high as that.
	for z, want := range map[si.Length][2]float64{25: {-28, 26}, 40: {-10, 10}} {
		from, to := seen.VolumeRow(z * mm)
		if math.Abs(float64(from)*1e3-want[0]) > 1e-9 || math.Abs(float64(to)*1e3-want[1]) > 1e-9 {
			t.Errorf("depth %v mm: %v to %v, by hand %v", z, from, to, want)
		}
	}
}

// Angles that meet faces square, by hand: the flange's face lies across a straight
// beam, a bevel of 45° across a beam of 45°, and the root face along it.
func TestFacesFromFlange(t *testing.T) {
	s := geometry.New(tee())
	want := map[string][2]float64{"A upper": {45, 1}, "A lower": {45, 1}, "B flange": {0, 1}, "A root face": {math.NaN(), 0}}
	seen := s.FromFlange()
	for i, f := range seen.Faces {
		angle, leg := f.SquareAngle("A")
		w := want[s.Faces[i].Name]
		if math.Abs(float64(angle/si.Degree)-w[0]) > 1e-9 || math.IsNaN(w[0]) != math.IsNaN(float64(angle)) {
			t.Errorf("%s: square at %v, by hand %v°", f.Name, angle, w[0])
		}
		if f.Name != "A upper" && f.Name != "A lower" && float64(leg) != w[1] {
			t.Errorf("%s: on leg %d", f.Name, leg)
		}
		if math.Abs(float64(f.Length()-s.Faces[i].Length())) > noise {
			t.Errorf("%s: %v long, in the section %v", f.Name, f.Length(), s.Faces[i].Length())
		}
		// The normal turns with the section: along X what was down, down what was back.
		_, x, z := s.Faces[i].At(0.3)
		_, sx, sz := f.At(0.3)
		if math.Abs(float64(sx-z)) > 1e-12 || math.Abs(float64(sz+x)) > 1e-12 {
			t.Errorf("%s: normal (%v, %v) is seen as (%v, %v)", f.Name, x, z, sx, sz)
		}
	}
	// The upper bevel faces away from a probe on the side of the web's top, so that
	// one on the other side meets it on the direct leg.
	_, fromTop := seen.Faces[0].SquareAngle("A")
	_, fromBottom := seen.Mirror().Faces[0].SquareAngle("A")
	if fromTop == fromBottom {
		t.Errorf("upper bevel on leg %d from both sides", fromTop)
	}
}

// A web seen upside down is that of a probe on the other side.
func TestFromFlangeMirrors(t *testing.T) {
	s := geometry.New(tee())
	a, b := s.Flip().FromFlange(), s.FromFlange().Mirror()
	near := cmp.Comparer(func(a, b si.Length) bool { return a == b || math.Abs(float64(a-b)) <= noise })
	for what, d := range map[string]string{
		"far wall": cmp.Diff(a.Bottom, b.Bottom, near), "even": cmp.Diff(a.Plain(true), b.Plain(true), near),
	} {
		if d != "" {
			t.Errorf("%s: %s", what, d)
		}
	}
	for z := 0.5 * mm; z < 56*mm; z += mm {
		for what, row := range map[string]func(*geometry.Section) (si.Length, si.Length){
			"volume": func(s *geometry.Section) (si.Length, si.Length) { return s.VolumeRow(z) },
			"weld":   func(s *geometry.Section) (si.Length, si.Length) { return s.WeldRow(z) },
		} {
			from, to := row(a)
			begin, end := row(b)
			if si.Known(from) != si.Known(begin) || math.Abs(float64(from-begin)) > noise || math.Abs(float64(to-end)) > noise {
				t.Errorf("%s at %v: %v to %v, mirrored %v to %v", what, z, from, to, begin, end)
			}
		}
	}
}

// Where rays from the outer face meet: straight lines by hand. A straight beam over
// the web ends with the volume, at 56 mm, and beside the fillets it turns at 30. At
// 45° from −35 the inner face is met at −5, in the gap: the ray passes the lower
// surface of the web, 10 mm on the other side of its middle, at 45 mm. At 45° from
// −45 it is met at −15, under the fillet that begins at −18.
func TestRaysFromFlange(t *testing.T) {
	s := geometry.New(tee()).FromFlange()
	for _, c := range []struct {
		x, degrees, toX, toZ float64
		turns                bool
	}{{0, 0, 0, 56, false}, {-20, 0, -20, 30, true}, {-35, 45, 10, 45, false}, {-45, 45, -15, 30, false}, {-60, 45, -30, 30, true}} {
		at, turns := s.Meets(geometry.Point{X: si.Length(c.x) * mm}, si.Angle(c.degrees)*si.Degree, true)
		if math.Abs(float64(at.X)*1e3-c.toX) > 1e-6 || math.Abs(float64(at.Z)*1e3-c.toZ) > 1e-6 || turns != c.turns {
			t.Errorf("from %v mm at %v°: %v, turns %v", c.x, c.degrees, at, turns)
		}
	}
	if at, turns := s.Meets(geometry.Point{X: -30 * mm, Z: 30 * mm}, 45*si.Degree, false); at.Z != 0 || !turns {
		t.Errorf("up from the inner face: %v, turns %v", at, turns)
	}
}
