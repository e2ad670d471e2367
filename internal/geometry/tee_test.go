package geometry_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// tee is a web of 20 mm with a K preparation of 45°, root face and gap of 2 mm, on
// a flange of 30 mm, with fillets of 16 mm by 8 mm at the top and of 14 mm by 6 mm
// at the bottom.
func tee() *schema.Part {
	p := &schema.Part{Kind: "plate", Thickness: 20 * mm, Flange: &schema.Flange{Thickness: 30 * mm}}
	p.Weld = schema.Weld{
		Preparation: "double-bevel", BevelledSide: "A", BevelAngle: 45 * si.Degree, LowerAngle: 45 * si.Degree,
		UpperDepth: 9 * mm, RootFace: 2 * mm, RootGap: 2 * mm,
		Cap:  schema.Reinforcement{Condition: "as-welded", Width: 16 * mm, Height: 8 * mm},
		Root: schema.Reinforcement{Condition: "as-welded", Width: 14 * mm, Height: 6 * mm},
	}
	p.Zone = schema.Zone{Width: 10 * mm, Boundary: "straight"}
	return p
}

// By hand. The flange's face lies 1 mm beside the centreline. The weld is a gap of
// 2 × 20 and two triangles of 9 × 9 / 2: 40 + 81 = 121 mm². The toes lie at −15
// and −13 mm, so the volume begins at −25 mm: 26 × 20 in the web; in the flange
// 10 × (18 + 20 + 16) = 540: 1060 mm². Parallel: the fusion face moved by 10 mm,
// so the web's part is the weld's 121 and 10 × 20 = 321: 861 mm².
func TestTee(t *testing.T) {
	for name, c := range map[string]struct {
		change       func(*schema.Part)
		weld, volume float64 // mm²
		outer        si.Length
	}{
		"straight": {func(*schema.Part) {}, 121, 1060, 31 * mm},
		"parallel": {func(p *schema.Part) { p.Zone.Boundary = "parallel" }, 121, 861, 31 * mm},
		// A zone wider than the flange ends with it: the web's 26 × 20 and 8 × 54.
		"thin flange": {func(p *schema.Part) { p.Flange.Thickness = 8 * mm }, 121, 952, 9 * mm},
		// Flush: the weld reaches 10 mm to side A, the volume 20; along the flange
		// 10 + 20 + 10: 21 × 20 + 10 × 40.
		"flush": {func(p *schema.Part) {
			p.Weld.Cap, p.Weld.Root = schema.Reinforcement{Condition: "flush"}, schema.Reinforcement{Condition: "flush"}
		}, 121, 820, 31 * mm},
		// A half V of 45° over 18 mm: 40 + 162 mm²; the weld's edge at −19 is
		// farther than the toe: the volume begins at −29: 30 × 20 + 540.
		"single bevel": {func(p *schema.Part) { p.Weld.Preparation, p.Weld.Opens = "single-bevel", "top" }, 202, 1140, 31 * mm},
		"no zone":      {func(p *schema.Part) { p.Zone.Width = 0 }, 121, 16 * 20, 31 * mm},
	} {
		p := tee()
		c.change(p)
		s := geometry.New(p)
		if !s.Known() {
			t.Errorf("%s: not known", name)
			continue
		}
		for what, v := range map[string][2]float64{
			"weld": {float64(s.Weld.Area()) * 1e6, c.weld}, "volume": {float64(s.Volume.Area()) * 1e6, c.volume},
			"face": {float64(s.Flange.Face) * 1e3, 1}, "outer face": {float64(s.Flange.Outer) * 1e3, float64(c.outer) * 1e3},
		} {
			if math.Abs(v[0]-v[1]) > 1e-6 {
				t.Errorf("%s: %s %v, by hand %v", name, what, v[0], v[1])
			}
		}
	}
	s := geometry.New(tee())
	var names []string
	for _, f := range s.Faces {
		names = append(names, f.Name)
	}
	if d := cmp.Diff([]string{"A upper", "A root face", "A lower", "B flange"}, names); d != "" {
		t.Error(d)
	}
	for z, want := range map[si.Length][2]float64{-17: {1, 11}, -1: {1, 11}, 5: {-25, 11}, 19: {-25, 11}, 35: {1, 11}} {
		from, to := s.VolumeRow(z * mm)
		if math.Abs(float64(from)*1e3-want[0]) > 1e-9 || math.Abs(float64(to)*1e3-want[1]) > 1e-9 {
			t.Errorf("depth %v mm: %v to %v, by hand %v", z, from, to, want)
		}
	}
	for _, z := range []si.Length{-19, 37} {
		if from, _ := s.VolumeRow(z * mm); si.Known(from) {
			t.Errorf("depth %v mm: beyond the volume begins at %v", z, from)
		}
	}
	if from, to := s.CapSpan(); math.Abs(float64(from)+0.015) > noise || math.Abs(float64(to)-0.001) > noise {
		t.Errorf("fillet from %v to %v", from, to)
	}
}

// A section seen from the other side or surface and back is the same.
func TestTeeThereAndBack(t *testing.T) {
	s := geometry.New(tee())
	near := cmp.Comparer(func(a, b si.Length) bool { return a == b || math.Abs(float64(a-b)) <= noise })
	for name, back := range map[string]*geometry.Section{"mirror": s.Mirror().Mirror(), "flip": s.Flip().Flip()} {
		for what, d := range map[string]string{
			"flange": cmp.Diff(s.Flange, back.Flange, near, cmp.AllowUnexported(geometry.Flange{})), "faces": cmp.Diff(s.Faces, back.Faces, near),
			"volume": cmp.Diff(s.Volume, back.Volume, near), "top": cmp.Diff(s.Top, back.Top, near), "cap": cmp.Diff(s.Cap, back.Cap, near),
		} {
			if d != "" {
				t.Errorf("%s, %s: %s", name, what, d)
			}
		}
	}
	if m := s.Mirror(); m.Flange.Outer != -31*mm || m.Faces[3].Name != "A flange" {
		t.Errorf("mirrored: outer face at %v, face %s", m.Flange.Outer, m.Faces[3].Name)
	}
	seen, deeper := s.Stand(-30 * mm)
	if deeper != 0 || seen.Thickness != 20*mm || seen.Flange == nil {
		t.Errorf("stands %v deeper, %v thick", deeper, seen.Thickness)
	}
}

// Where rays meet: straight lines by hand. From X = −30 at 45° down the bottom is
// met at −10, under the fillet that begins at −13; from −40 at −20, before it; at
// 70° from −20 the ray passes between the surfaces into the flange, and meets the
// outer face, 51 mm on, at 51 / tan 70° = 18.56 mm.
func TestRaysInTee(t *testing.T) {
	s := geometry.New(tee())
	for _, c := range []struct {
		x, degrees, toX, toZ float64
		turns                bool
	}{{-30, 45, -10, 20, false}, {-40, 45, -20, 20, true}, {-20, 70, 31, 51 / math.Tan(70*math.Pi/180), false}} {
		at, turns := s.Meets(geometry.Point{X: si.Length(c.x) * mm}, si.Angle(c.degrees)*si.Degree, true)
		if math.Abs(float64(at.X)*1e3-c.toX) > 1e-6 || math.Abs(float64(at.Z)*1e3-c.toZ) > 1e-6 || turns != c.turns {
			t.Errorf("from %v mm at %v°: %v, turns %v", c.x, c.degrees, at, turns)
		}
	}
}

func TestUnknownTee(t *testing.T) {
	unknown := si.Unknown[si.Length]()
	for name, spoil := range map[string]func(*schema.Part){
		"flange":       func(p *schema.Part) { p.Flange.Thickness = unknown },
		"thickness":    func(p *schema.Part) { p.Thickness = unknown },
		"leg":          func(p *schema.Part) { p.Weld.Cap.Height = unknown },
		"width":        func(p *schema.Part) { p.Weld.Root.Width = unknown },
		"condition":    func(p *schema.Part) { p.Weld.Root.Condition = "" },
		"zone":         func(p *schema.Part) { p.Zone.Width = unknown },
		"boundary":     func(p *schema.Part) { p.Zone.Boundary = "" },
		"V":            func(p *schema.Part) { p.Weld.Preparation = "double-V" },
		"square":       func(p *schema.Part) { p.Weld.Preparation = "square" },
		"other side":   func(p *schema.Part) { p.Weld.BevelledSide = "B" },
		"misalignment": func(p *schema.Part) { p.Weld.Misalignment = mm },
	} {
		p := tee()
		spoil(p)
		if geometry.New(p).Known() {
			t.Errorf("%s: the section is known", name)
		}
	}
}
