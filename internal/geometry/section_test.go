package geometry_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

const mm = si.Millimetre

// noise allows for the rounding of float64 arithmetic on lengths below a metre.
const noise = 1e-12

func flushPart(thickness si.Length, weld schema.Weld) *schema.Part {
	weld.Cap.Condition, weld.Root.Condition = "flush", "flush"
	return &schema.Part{Thickness: thickness, Weld: weld, Zone: schema.Zone{Width: 10 * mm, Boundary: "straight"}}
}

// singleV is a V of 30° in 20 mm with 2 mm root face and 3 mm gap: its half
// width at the top is 1.5 + 18 tan 30° = 11.8923 mm.
func singleV() *schema.Part {
	return flushPart(20*mm, schema.Weld{
		Preparation: "single-V", Opens: "top", BevelAngle: 30 * si.Degree, RootFace: 2 * mm, RootGap: 3 * mm,
	})
}

func doubleV() *schema.Part {
	return flushPart(30*mm, schema.Weld{
		Preparation: "double-V", BevelAngle: 30 * si.Degree, LowerAngle: 45 * si.Degree, UpperDepth: 12 * mm,
		RootFace: 3 * mm, RootGap: 2 * mm,
	})
}

func singleBevel() *schema.Part {
	return flushPart(10*mm, schema.Weld{
		Preparation: "single-bevel", Opens: "top", BevelledSide: "A", BevelAngle: 45 * si.Degree, RootFace: 1 * mm, RootGap: 2 * mm,
	})
}

func with(part *schema.Part, change func(*schema.Part)) *schema.Part {
	change(part)
	return part
}

func TestWeldArea(t *testing.T) {
	unknownLower := func(p *schema.Part) {
		p.Weld.LowerAngle, p.Weld.UpperDepth = si.Unknown[si.Angle](), si.Unknown[si.Length]()
	}
	for name, c := range map[string]struct {
		part *schema.Part
		mm2  float64
	}{
		// gap·t + (t − f)² tan θ = 60 + 324/√3
		"single-V":             {singleV(), 247.061487},
		"single-V from bottom": {with(singleV(), func(p *schema.Part) { p.Weld.Opens = "bottom" }), 247.061487},
		// gap·t + 12² tan 30° + 15² tan 45° = 60 + 83.138439 + 225
		"double-V": {doubleV(), 368.138439},
		// default halves of (30 − 3)/2 = 13.5: 60 + 2·13.5² tan 30° = 60 + 210.444173
		"double-V default": {with(doubleV(), unknownLower), 270.444173},
		// gap·t + (t − f)²/2 · tan 45° = 20 + 40.5
		"single-bevel":   {singleBevel(), 60.5},
		"single-bevel B": {with(singleBevel(), func(p *schema.Part) { p.Weld.BevelledSide = "B"; p.Weld.Opens = "bottom" }), 60.5},
		// no gap, no root face: t² tan θ = 400/√3
		"sharp V": {with(singleV(), func(p *schema.Part) { p.Weld.RootFace, p.Weld.RootGap = 0, 0 }), 230.940108},
	} {
		got := float64(geometry.New(c.part).Weld.Area()) * 1e6
		if math.Abs(got-c.mm2) > 1e-6 { // worked out to six decimals
			t.Errorf("%s: weld area %.7f mm², by hand %.6f", name, got, c.mm2)
		}
	}
}

func TestVolumeArea(t *testing.T) {
	capped := with(singleV(), func(p *schema.Part) {
		p.Weld.Cap = schema.Reinforcement{Condition: "as-welded", Width: 30 * mm, Height: 2 * mm}
	})
	parallel := with(singleV(), func(p *schema.Part) { p.Zone.Boundary = "parallel" })
	bevel := with(singleBevel(), func(p *schema.Part) {
		p.Weld.Cap = schema.Reinforcement{Condition: "as-welded", Width: 15 * mm, Height: 2 * mm}
	})
	for name, c := range map[string]struct {
		part *schema.Part
		mm2  float64
	}{
		"flush":    {singleV(), 2 * (11.8923048 + 10) * 20},
		"cap":      {capped, 2 * (15 + 10) * 20},
		"parallel": {parallel, 247.061487 + 2*10*20},
		// The opening goes from −(1 + 9) to 1, its middle is −4.5, the toes of
		// the cap are at −12 and 3: the planes are at −22 and 13.
		"bevel": {bevel, 35 * 10},
	} {
		got := float64(geometry.New(c.part).Volume.Area()) * 1e6
		if math.Abs(got-c.mm2) > 1e-5 { // half width worked out to seven decimals
			t.Errorf("%s: volume %.6f mm², by hand %.6f", name, got, c.mm2)
		}
	}
}

func TestReinforcement(t *testing.T) {
	s := geometry.New(with(singleBevel(), func(p *schema.Part) {
		p.Weld.Cap = schema.Reinforcement{Condition: "as-welded", Width: 15 * mm, Height: 2 * mm}
		p.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: 6 * mm, Height: 1 * mm}
	}))
	from, to := s.CapSpan()
	rootFrom, rootTo := s.RootSpan()
	got := []float64{float64(from), float64(to), float64(s.CapHalfWidth()), float64(rootFrom), float64(rootTo), float64(s.RootHalfWidth())}
	want := []float64{-0.012, 0.003, 0.012, -0.003, 0.003, 0.003}
	if d := cmp.Diff(want, got, cmpopts.EquateApprox(0, noise)); d != "" {
		t.Error(d)
	}
	// The outlines stand outside the part and reach the height of the job.
	for _, c := range []struct {
		outline  geometry.Polygon
		low, top si.Length
	}{{s.Cap, -2 * mm, 0}, {s.Root, 10 * mm, 11 * mm}} {
		low, top := c.outline[0].Z, c.outline[0].Z
		for _, p := range c.outline {
			low, top = min(low, p.Z), max(top, p.Z)
		}
		if math.Abs(float64(low-c.low)) > noise || math.Abs(float64(top-c.top)) > noise {
			t.Errorf("outline from %v to %v, want %v to %v", low, top, c.low, c.top)
		}
	}
	flush := geometry.New(singleV())
	if flush.CapHalfWidth() != 0 || flush.RootHalfWidth() != 0 || flush.Cap != nil || flush.Root != nil {
		t.Error("a flush weld has reinforcements")
	}
}

func TestFaces(t *testing.T) {
	names := func(s *geometry.Section) (names []string) {
		for _, f := range s.Faces {
			names = append(names, f.Name)
		}
		return names
	}
	for _, c := range []struct {
		section *geometry.Section
		want    []string
	}{
		{geometry.New(singleV()), []string{"A", "A root face", "B", "B root face"}},
		{geometry.New(singleV()).Mirror(), []string{"B", "B root face", "A", "A root face"}},
		{geometry.New(doubleV()), []string{"A upper", "A root face", "A lower", "B upper", "B root face", "B lower"}},
		{geometry.New(doubleV()).Flip(), []string{"A lower", "A root face", "A upper", "B lower", "B root face", "B upper"}},
		{geometry.New(singleBevel()), []string{"A", "A root face", "B square"}},
		{geometry.New(singleBevel()).Mirror(), []string{"B", "B root face", "A square"}},
		{geometry.New(with(singleV(), func(p *schema.Part) { p.Weld.RootFace = 0 })), []string{"A", "B"}},
	} {
		if d := cmp.Diff(c.want, names(c.section)); d != "" {
			t.Error(d)
		}
	}
	// The bevel of the V is 18 / cos 30° = 20.7846 mm long.
	a := geometry.New(singleV()).Faces[0]
	if math.Abs(float64(a.Length())-20.7846097e-3) > 1e-10 || math.Abs(float64(a.Inclination()-30*si.Degree)) > noise {
		t.Errorf("face A: length %v, inclination %v", a.Length(), a.Inclination())
	}
}

// A beam that meets a face square runs along its normal: checked with vectors
// written down for each leg, which SquareAngle does not use.
func TestSquareAngle(t *testing.T) {
	for _, part := range []*schema.Part{singleV(), doubleV(), singleBevel()} {
		s := geometry.New(part)
		for _, f := range s.Faces {
			for side, away := range map[string]float64{"A": 1, "B": -1} {
				angle, leg := f.SquareAngle(side)
				vertical := f.Upper.X == f.Lower.X
				if vertical {
					if si.Known(angle) || leg != 0 {
						t.Errorf("%s is vertical, yet met square at %v on leg %d", f.Name, angle, leg)
					}
					continue
				}
				down := 1.0
				if leg == 2 {
					down = -1
				}
				beamX, beamZ := away*angle.Sin(), down*angle.Cos()
				along := beamX*float64(f.Lower.X-f.Upper.X) + beamZ*float64(f.Lower.Z-f.Upper.Z)
				if !(math.Abs(along) < noise) || (leg != 1 && leg != 2) {
					t.Errorf("%s from %s: %v on leg %d is not square", f.Name, side, angle, leg)
				}
			}
		}
	}
	// A 30° bevel is met square at 60°: on its own side after one skip, on the
	// far side directly (every textbook on weld examination).
	a := geometry.New(singleV()).Faces[0]
	if angle, leg := a.SquareAngle("A"); math.Abs(float64(angle-60*si.Degree)) > noise || leg != 2 {
		t.Errorf("own side: %v on leg %d", angle, leg)
	}
	if angle, leg := a.SquareAngle("B"); math.Abs(float64(angle-60*si.Degree)) > noise || leg != 1 {
		t.Errorf("far side: %v on leg %d", angle, leg)
	}
}

func TestUnknown(t *testing.T) {
	nan := si.Unknown[si.Length]()
	for name, spoil := range map[string]func(*schema.Part){
		"thickness":     func(p *schema.Part) { p.Thickness = nan },
		"no thickness":  func(p *schema.Part) { p.Thickness = 0 },
		"root face":     func(p *schema.Part) { p.Weld.RootFace = nan },
		"large land":    func(p *schema.Part) { p.Weld.RootFace = 21 * mm },
		"gap":           func(p *schema.Part) { p.Weld.RootGap = nan },
		"negative gap":  func(p *schema.Part) { p.Weld.RootGap = -1 * mm },
		"bevel":         func(p *schema.Part) { p.Weld.BevelAngle = si.Unknown[si.Angle]() },
		"right angle":   func(p *schema.Part) { p.Weld.BevelAngle = 90 * si.Degree },
		"preparation":   func(p *schema.Part) { p.Weld.Preparation = "" },
		"opens":         func(p *schema.Part) { p.Weld.Opens = "" },
		"bevelled side": func(p *schema.Part) { p.Weld.Preparation = "single-bevel" },
		"zone":          func(p *schema.Part) { p.Zone.Width = nan },
		"boundary":      func(p *schema.Part) { p.Zone.Boundary = "" },
		"cap":           func(p *schema.Part) { p.Weld.Cap.Condition = "" },
		"cap width": func(p *schema.Part) {
			p.Weld.Cap = schema.Reinforcement{Condition: "as-welded", Width: nan, Height: mm}
		},
		"root": func(p *schema.Part) { p.Weld.Root.Condition = "" },
	} {
		s := geometry.New(with(singleV(), spoil))
		if s.Known() || s.Mirror().Known() || s.Flip().Known() {
			t.Errorf("%s: the section is known", name)
		}
		if from, to := s.VolumeRow(1 * mm); si.Known(from) || si.Known(to) || si.Known(s.Volume.Area()) {
			t.Errorf("%s: the volume has a row from %v to %v", name, from, to)
		}
	}
	if s := geometry.New(with(singleV(), func(p *schema.Part) { p.Weld.Cap.Condition = "" })); si.Known(s.CapHalfWidth()) || s.RootHalfWidth() != 0 {
		t.Error("half width of an unknown cap")
	}
	if s := geometry.New(&schema.Part{}); s.Known() {
		t.Error("an empty part has a known section")
	}
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := geometry.New(anyPart(t))
		if !s.Known() {
			t.Fatal("not known")
		}
		z := si.Length(rapid.Float64Range(0, 1).Draw(t, "depth")) * s.Thickness
		from, to := s.WeldRow(z)
		left, right := s.VolumeRow(z)
		if !(left <= from+noise && from <= to && to <= right+noise) {
			t.Fatalf("at %v the weld from %v to %v is not in the volume from %v to %v", z, from, to, left, right)
		}
		height := map[string]si.Length{}
		for _, f := range s.Faces {
			for _, p := range []geometry.Point{f.Upper, f.Lower} {
				if d := distance(p, s.Weld); d > noise {
					t.Fatalf("%s: end %v lies %g m off the weld's outline", f.Name, p, d)
				}
			}
			height[f.Side] += f.Lower.Z - f.Upper.Z
			// The normal leads away from the weld.
			share := si.Ratio(rapid.Float64Range(0.01, 0.99).Draw(t, "share"))
			p, nx, nz := f.At(share)
			if math.Abs(math.Hypot(float64(nx), float64(nz))-1) > noise || (f.Side == "A") != (nx < 0) {
				t.Fatalf("%s: normal %v %v", f.Name, nx, nz)
			}
			// A radius is outlined by chords of 3° at most, which leave it by
			// R (1 − cos 1.5°) < 3.5e-4 R.
			if d := distance(p, s.Weld); d > noise+3.5e-4*float64(f.Radius) {
				t.Fatalf("%s: %v at %v lies %g m off the weld's outline", f.Name, p, share, d)
			}
		}
		for side, h := range height {
			if math.Abs(float64(h-s.Thickness)) > 2e-9 { // pieces below a nanometre are left out
				t.Fatalf("the faces of side %s are %v high together", side, h)
			}
		}
		same := cmp.Options{
			cmp.Comparer(func(a, b si.Length) bool { return a == b || math.Abs(float64(a-b)) <= noise }), cmpopts.IgnoreUnexported(geometry.Section{}),
		}
		if d := cmp.Diff(s, s.Mirror().Mirror(), same); d != "" {
			t.Fatalf("mirrored twice: %s", d)
		}
		if d := cmp.Diff(s, s.Flip().Flip(), same); d != "" {
			t.Fatalf("flipped twice: %s", d)
		}
		from, to = s.VolumeRow(z)
		if l, r := s.Mirror().VolumeRow(z); math.Abs(float64(l+to))+math.Abs(float64(r+from)) > noise {
			t.Fatalf("mirrored row from %v to %v, not −%v to −%v", l, r, to, from)
		}
		a, b := s.CapSpan()
		if c, d := s.Mirror().CapSpan(); c != -b || d != -a {
			t.Fatalf("mirrored cap from %v to %v, not −%v to −%v", c, d, b, a)
		}
		if c, d := s.Flip().RootSpan(); c != a || d != b {
			t.Fatalf("flipped cap from %v to %v, not %v to %v", c, d, a, b)
		}
	})
}

// distance of a point from the edges of a polygon.
func distance(p geometry.Point, outline geometry.Polygon) float64 {
	best := math.Inf(1)
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		ex, ez := float64(b.X-a.X), float64(b.Z-a.Z)
		px, pz := float64(p.X-a.X), float64(p.Z-a.Z)
		u := math.Max(0, math.Min(1, (px*ex+pz*ez)/(ex*ex+ez*ez)))
		best = math.Min(best, math.Hypot(px-u*ex, pz-u*ez))
	}
	return best
}

// The mirror image of a joint is the joint of the mirrored job, and a flipped
// joint is the one that opens at the other surface.
func TestMirrorAndFlipOfTheJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := anyPart(t)
		part.Weld.Preparation = rapid.SampledFrom([]string{"single-bevel", "single-J"}).Draw(t, "one-sided preparation")
		mirrored := *part
		mirrored.Weld.BevelledSide = geometry.Opposite(part.Weld.BevelledSide)
		flipped := *part
		flipped.Weld.Opens = map[string]string{"top": "bottom", "bottom": "top"}[part.Weld.Opens]
		flipped.Weld.Cap, flipped.Weld.Root = part.Weld.Root, part.Weld.Cap
		s := geometry.New(part)
		for _, c := range []struct{ got, want *geometry.Section }{
			{s.Mirror(), geometry.New(&mirrored)}, {s.Flip(), geometry.New(&flipped)},
		} {
			for _, z := range []si.Length{0, 0.2, 0.5, 0.7, 1} {
				z *= s.Thickness
				a, b := c.got.VolumeRow(z)
				d, e := c.want.VolumeRow(z)
				if math.Abs(float64(a-d))+math.Abs(float64(b-e)) > noise {
					t.Fatalf("at %v: %v to %v, want %v to %v", z, a, b, d, e)
				}
			}
			for _, f := range c.got.Faces {
				found := false
				for _, g := range c.want.Faces {
					found = found || f.Name == g.Name && f.RootFace == g.RootFace && f.Radius == g.Radius &&
						math.Abs(float64(f.Upper.X-g.Upper.X))+math.Abs(float64(f.Lower.Z-g.Lower.Z)) < noise &&
						math.Abs(float64(f.Centre.X-g.Centre.X))+math.Abs(float64(f.Centre.Z-g.Centre.Z)) < noise
				}
				if !found {
					t.Fatalf("face %v has no counterpart in %v", f, c.want.Faces)
				}
			}
		}
	})
}
