package geometry_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// seam makes a part a longitudinal seam in a pipe of the diameter given.
func seam(part *schema.Part, outside si.Length) *schema.Part {
	return with(part, func(p *schema.Part) {
		p.Kind, p.OutsideDiameter, p.Weld.Seam = "pipe", outside, "longitudinal"
	})
}

// place is the plane of the section by hand: x across, y down from the surface
// on the centreline, for a pipe of outside radius R about (0, R).
func place(s *geometry.Section, p geometry.Point, outside float64) (x, y float64) {
	phi := float64(p.X) / outside
	return (outside - float64(p.Z)) * math.Sin(phi), outside - (outside-float64(p.Z))*math.Cos(phi)
}

// A bevel of a seam is straight in the plane of the section and ends on the true
// circles, to half a micrometre.
func TestBevelOfSeamIsStraight(t *testing.T) {
	const R = 0.10955
	s := geometry.New(seam(singleV(), 2*R))
	if !s.Known() {
		t.Fatal("the section is not known")
	}
	// Side B of the V: x = 1.5 + (18 − y) tan 30° for y ≤ 18, 1.5 below (mm).
	for i, p := range s.Weld {
		q := s.Weld[(i+1)%len(s.Weld)]
		if p.X <= 0 || q.X <= 0 || p.Z == q.Z {
			continue
		}
		for _, u := range []si.Length{0, 0.25, 0.5, 0.75} {
			x, y := place(s, geometry.Point{X: p.X + u*(q.X-p.X), Z: p.Z + u*(q.Z-p.Z)}, R)
			want := 1.5e-3 + math.Max(0, 18e-3-y)*math.Tan(math.Pi/6)
			if math.Abs(x-want) > 0.6e-6 {
				t.Fatalf("the face lies at x %.6f mm at y %.4f mm, straight it lies at %.6f", x*1e3, y*1e3, want*1e3)
			}
		}
	}
	// The true area by hand: between the two circles, ∫ of their depths over x,
	// bounded by the faces; here by a sum of a million strips along x.
	const strips = 1_000_000
	inner, sum := R-0.020, 0.0
	half := 12e-3
	for i := range strips {
		x := (float64(i) + 0.5) / strips * half
		top := R - math.Sqrt(R*R-x*x)
		bottom := R - math.Sqrt(inner*inner-x*x)
		if x > 1.5e-3 {
			bottom = 18e-3 - (x-1.5e-3)/math.Tan(math.Pi/6)
		}
		sum += 2 * math.Max(0, bottom-top) * half / strips
	}
	if got := float64(s.Area(s.Weld)); math.Abs(got-sum) > 0.02e-6 { // 40 mm of faces, half a micrometre beside
		t.Errorf("area %.6f mm², summed in the plane %.6f", got*1e6, sum*1e6)
	}
}

// The faces of a seam keep their lengths, angles and normals of the plane.
func TestFacesOfSeam(t *testing.T) {
	const R = 0.10955
	s := geometry.New(seam(singleV(), 2*R))
	for _, f := range s.Faces {
		if f.Side != "B" {
			continue
		}
		want := 30 * si.Degree
		if f.RootFace {
			want = 0
		}
		if got := f.Inclination(); math.Abs(float64(got-want)) > 1e-9 {
			t.Errorf("%s inclines %v, built with %v", f.Name, got, want)
		}
		x1, y1 := place(s, f.Upper, R)
		x2, y2 := place(s, f.Lower, R)
		if got := float64(f.Length()); math.Abs(got-math.Hypot(x2-x1, y2-y1)) > 1e-12 {
			t.Errorf("%s: length %v", f.Name, got)
		}
		p, nx, nz := f.At(0.3)
		x, y := place(s, p, R)
		// Back into the plane: along the surface there, and along the radius.
		phi := float64(p.X) / R
		vx := float64(nx)*math.Cos(phi) - float64(nz)*math.Sin(phi)
		vy := float64(nx)*math.Sin(phi) + float64(nz)*math.Cos(phi)
		if dot := vx*(x2-x1) + vy*(y2-y1); math.Abs(dot) > 1e-12 {
			t.Errorf("%s: the normal is not square to the face: %g", f.Name, dot)
		}
		if vx <= 0 || math.Abs(math.Hypot(vx, vy)-1) > 1e-12 {
			t.Errorf("%s: the normal (%v, %v) does not lead out of the weld", f.Name, vx, vy)
		}
		if cross := (x-x1)*(y2-y1) - (y-y1)*(x2-x1); math.Abs(cross) > 1e-15 {
			t.Errorf("%s: the point does not lie on the face: %g", f.Name, cross)
		}
		if a, leg := f.SquareAngle("A"); si.Known(a) || leg != 0 {
			t.Errorf("%s: one angle %v meets it square, in a bent section", f.Name, a)
		}
	}
}

// Widths along the surface are measured on each surface: the zone at both, and
// the reinforcement of the inside along the inside.
func TestWidthsOfSeam(t *testing.T) {
	const R, thick = 0.10955, 0.020
	part := seam(singleV(), 2*R)
	part.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: 6 * mm, Height: 1 * mm}
	s := geometry.New(part)
	from, to := s.RootSpan()
	if got := float64(to-from) * (R - thick) / R; math.Abs(got-6e-3) > 1e-12 {
		t.Errorf("the root's reinforcement is %v wide along the inside", got)
	}
	// The edge of the V on the outside: the line from (1.5, 18) at 30° meets the
	// circle; by bisection in the plane.
	low, high := 11e-3, 12e-3
	for range 60 {
		x := (low + high) / 2
		if R-math.Sqrt(R*R-x*x) < 18e-3-(x-1.5e-3)/math.Tan(math.Pi/6) {
			low = x
		} else {
			high = x
		}
	}
	edge := R * math.Asin(low/R)
	for _, z := range []si.Length{0, 10 * mm, thick - 1e-9} {
		_, to := s.VolumeRow(z)
		if got := float64(to) * (R - float64(z)) / R; math.Abs(got-(edge+10e-3)) > 1e-7 {
			t.Errorf("at depth %v the volume ends %.5f mm from the centreline along the arc, and the zone %.5f mm", z, got*1e3, (edge+10e-3)*1e3)
		}
	}
	part.Zone.Boundary = "parallel"
	s = geometry.New(part)
	for _, z := range []si.Length{1 * mm, 10 * mm, 19 * mm} {
		_, face := s.WeldRow(z)
		_, to := s.VolumeRow(z)
		if got := float64(to-face) * (R - float64(z)) / R; math.Abs(got-10e-3) > 1e-6 {
			t.Errorf("parallel, at depth %v: the zone is %.5f mm wide along the arc", z, got*1e3)
		}
	}
}

// Properties of bent sections of any preparation.
func TestSeamProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flat := anyPart(t)
		flat.TransitionA, flat.TransitionB = nil, nil
		straight := geometry.New(flat)
		if !straight.Known() {
			return
		}
		extent := float64(flat.Thickness) + float64(widest(straight))
		outside := si.Length(extent * rapid.Float64Range(6, 60).Draw(t, "diameter over extent"))
		s := geometry.New(seam(flat, outside))
		if !s.Known() {
			t.Fatalf("not known at a diameter of %v", outside)
		}
		if f := s.Flip().Flip(); math.Abs(float64(f.Radius()-s.Radius())) > 1e-12 || math.Abs(float64(f.Area(f.Volume)-s.Area(s.Volume))) > 1e-12 {
			t.Fatal("flipped twice it is another section")
		}
		for name, other := range map[string]*geometry.Section{"flip": s.Flip(), "mirror": s.Mirror()} {
			if a, b := float64(other.Area(other.Weld)), float64(s.Area(s.Weld)); math.Abs(a-b) > 1e-6*b {
				t.Fatalf("%s: the weld has %v, and had %v", name, a, b)
			}
			for i, f := range other.Faces {
				if math.Abs(float64(f.Length()-s.Faces[i].Length())) > 1e-9 {
					t.Fatalf("%s: face %s is %v long, and was %v", name, f.Name, f.Length(), s.Faces[i].Length())
				}
			}
		}
		// Its shape in the plane has the same area, by the shoelace formula.
		if a, b := float64(s.Shape(s.Weld).Area()), float64(s.Area(s.Weld)); math.Abs(a-b) > 1e-4*b+1e-9 {
			t.Fatalf("drawn area %v, area %v", a, b)
		}
		// A pipe of a kilometre is flat.
		far := geometry.New(seam(flat, 1000))
		if a, b := float64(far.Area(far.Volume)), float64(straight.Area(straight.Volume)); math.Abs(a-b) > 1e-3*b {
			t.Fatalf("volume %v, flat %v", a, b)
		}
	})
}

func widest(s *geometry.Section) si.Length {
	w := si.Length(0)
	for _, p := range s.Volume {
		w = max(w, p.X, -p.X)
	}
	return w
}

func TestSeamThatCannotBeBuilt(t *testing.T) {
	for name, d := range map[string]si.Length{"unknown": si.Unknown[si.Length](), "no bore": 39 * mm, "gap wider than the bore": 40.5 * mm} {
		if s := geometry.New(seam(singleV(), d)); s.Known() {
			t.Errorf("%s: the section is known", name)
		}
	}
}
