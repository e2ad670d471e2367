package coverage_test

import (
	"math"
	"math/rand"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

func region(near, far, top, bottom si.Length) *schema.Region {
	return &schema.Region{Near: near, Far: far, Top: top, Bottom: bottom}
}

// vee is the V of 30° in 20 mm, root face 2 mm, gap 3 mm. The middle of face B
// is at X = (11.8923 + 1.5)/2 = 6.69615 mm, Z = 9 mm.
func vee() *geometry.Section {
	part := squareButt()
	part.Weld.BevelAngle, part.Weld.RootFace, part.Weld.RootGap = 30*si.Degree, 2*mm, 3*mm
	return geometry.New(part)
}

// uGroove is 30 mm thick, with radii of 6 mm, bevels of 10°, root face 2 mm and
// gap 2 mm: the centre of the radius of side B is at X = 1 mm, Z = 22 mm.
func uGroove() *geometry.Section {
	part := squareButt()
	part.Thickness = 30 * mm
	part.Weld.Preparation, part.Weld.BevelAngle, part.Weld.RootRadius = "single-U", 10*si.Degree, 6*mm
	part.Weld.RootFace, part.Weld.RootGap = 2*mm, 2*mm
	return geometry.New(part)
}

func face(t *testing.T, s *geometry.Section, name string) geometry.Face {
	t.Helper()
	for _, f := range s.Faces {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no face %s", name)
	return geometry.Face{}
}

func TestIncidenceByHand(t *testing.T) {
	v, butt, u := vee(), geometry.New(squareButt()), uGroove() // faces of the butt at X = ±2 mm, middle at Z = 10 mm
	from := func(x, depth, degrees float64) si.Length {        // where a ray of that angle starts
		return si.Length(x-depth*math.Tan(degrees*math.Pi/180)) * mm
	}
	pulse := func(legs int, x si.Length) coverage.View { return same(contact(legs, 0, 89*si.Degree, x)) }
	pair := func(transmit, receive coverage.Way) coverage.View {
		return coverage.View{Transmit: transmit, Receive: receive}
	}
	longitudinal := func(w coverage.Way) coverage.Way {
		w.Course.Legs = ray.Waves(acoustics.Longitudinal, len(w.Course.Legs))
		return w
	}
	const mid = 6.6961524
	for name, c := range map[string]struct {
		section *geometry.Section
		face    string
		views   []coverage.View
		degrees float64
	}{
		// A 30° bevel is met square at 60°: far face directly, own face at
		// 40 − 9 mm unfolded depth.
		"far face":    {v, "B", []coverage.View{pulse(1, from(mid, 9, 60))}, 0},
		"own face":    {v, "A", []coverage.View{pulse(2, from(-mid, 31, 60))}, 0},
		"10° less":    {v, "B", []coverage.View{pulse(1, from(mid, 9, 50))}, 10},
		"wrong leg":   {v, "B", []coverage.View{pulse(2, from(mid, 31, 60))}, 60}, // beam and normal are 30° above and below the horizontal
		"best counts": {v, "B", []coverage.View{pulse(1, from(mid, 9, 45)), pulse(1, from(mid, 9, 57)), pulse(1, from(mid, 9, 80))}, 3},
		// A vertical face: 45° to it directly; TT-T is square when both legs
		// have one angle, and off by half the difference when they have not.
		"direct on vertical": {butt, "B root face", []coverage.View{pulse(1, from(2, 10, 45))}, 45},
		"TT-T 45/45":         {butt, "B root face", []coverage.View{pair(contact(2, 0, 89*si.Degree, from(2, 30, 45)), contact(1, 0, 89*si.Degree, from(2, 10, 45)))}, 0},
		"TT-T 45/60":         {butt, "B root face", []coverage.View{pair(contact(2, 0, 89*si.Degree, from(2, 30, 45)), contact(1, 0, 89*si.Degree, from(2, 10, 60)))}, 7.5},
		// LL-T on a vertical face: 30° to its normal as a longitudinal wave,
		// by Snell's law arcsin(sin 30° · 3240/5920) = 15.8815° as a transverse
		// wave; refracted angles 60° and 74.1185°.
		"LL-T": {butt, "B root face", []coverage.View{pair(longitudinal(contact(2, 0, 89*si.Degree, from(2, 30, 60))), contact(1, 0, 89*si.Degree, from(2, 10, 74.1185014)))}, 0},
		// Sound straight through the face is no echo.
		"through": {butt, "B root face", []coverage.View{pair(contact(2, 0, 89*si.Degree, from(2, 30, 30)), contact(1, -89*si.Degree, 0, from(2, 10, -30)))}, 90},
		// The middle of the radius of the U, 6 mm beside its centre in a
		// direction of 50° under the horizontal: square at 40°, on any other
		// point of it at another angle.
		"radius":          {u, "B radius", []coverage.View{pulse(1, from(1+6*math.Sin(40*math.Pi/180), 22+6*math.Cos(40*math.Pi/180), 40))}, 0},
		"radius 15° more": {u, "B radius", []coverage.View{pulse(1, from(1+6*math.Sin(40*math.Pi/180), 22+6*math.Cos(40*math.Pi/180), 55))}, 15},
		// The centre of an array counts: elements at −8 mm ± 3.
		"array": {butt, "B root face", []coverage.View{same(contact(1, 0, 89*si.Degree, -11*mm, -8*mm, -5*mm))}, 45},
	} {
		got := incidence(c.section, face(t, c.section, c.face), c.views, 1)
		if got.Reached != 1 || math.Abs(float64(got.Best/si.Degree)-c.degrees) > 1e-5 { // the middle is given to 1e-7 mm
			t.Errorf("%s: reached %v, %.6f° off square, by hand %v°", name, got.Reached, float64(got.Best/si.Degree), c.degrees)
		}
	}
}

// Through a wedge: a ray of 30° in the wedge from 5 mm height, by Snell's law
// sin α = 3240/2330 · 0.5, α = 44.0498°, meets a vertical face at that much
// less than 90°.
func TestIncidenceThroughWedge(t *testing.T) {
	alpha := math.Asin(3240.0 / 2330 * 0.5)
	x := 0.002 - 0.005*math.Tan(math.Pi/6) - 0.010*math.Tan(alpha)
	way := coverage.Way{
		Emitters: []coverage.Emitter{{X: si.Length(x), Height: 5 * mm}}, From: 0, To: 80 * si.Degree,
		Course: course(2330, 1),
	}
	s := geometry.New(squareButt())
	got := incidence(s, face(t, s, "B root face"), []coverage.View{same(way)}, 1)
	if want := math.Pi/2 - alpha; math.Abs(float64(got.Best)-want) > 1e-9 { // angles are found to 1e-12
		t.Errorf("%.9f rad off square, by hand %.9f", got.Best, want)
	}
}

// Rays from the centre of a radius's circle would all meet it square. From the
// surface 22 mm straight above the centre, the ray to the point that lies φ from
// the bottom of the circle has the angle arctan(6 sin φ / (22 + 6 cos φ)), and
// is off square by φ less that.
func TestIncidenceAlongRadius(t *testing.T) {
	s := uGroove()
	got := incidence(s, face(t, s, "B radius"), []coverage.View{same(contact(1, 0, 89*si.Degree, 1*mm))}, 8)
	for i, p := range got.Points {
		phi := (80 - 10*(float64(i)+0.5)) * math.Pi / 180 // from the bevel down to the root face
		want := phi - math.Atan(6*math.Sin(phi)/(22+6*math.Cos(phi)))
		if !p.Reached || math.Abs(float64(p.Angle)-want) > 1e-9 { // angles are found to 1e-12
			t.Errorf("point %d: %v rad off square, by hand %v", i, p.Angle, want)
		}
	}
}

// The direct fan of TestReachByHand meets the face at X = 2 mm where
// 2z − 30 ≥ 2, below 16 mm: 20 of 100 points. At depth z its ray has the
// tangent 32/z and is the angle arctan(z/32) off square: 26.7° at the
// shallowest point, 16.1 mm deep, and 31.9° at the deepest, at 19.9 mm.
func TestIncidenceInSum(t *testing.T) {
	s := geometry.New(squareButt())
	f := face(t, s, "B root face")
	direct := same(contact(1, 45*si.Degree, twice, -30*mm))
	got := incidence(s, f, []coverage.View{direct}, 100)
	check := func(what string, got, want, tolerance float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tolerance) {
			t.Errorf("%s: %v, by hand %v", what, got, want)
		}
	}
	check("reached", float64(got.Reached), 0.20, 1e-12)
	check("best", float64(got.Best), math.Atan(16.1/32), 1e-9)
	check("worst", float64(got.Worst), math.Atan(19.9/32), 1e-9)
	check("square", float64(got.Square), 0, 0)

	// The region ends at 18 mm: half of the points are left.
	direct.Region = region(10*mm, 10*mm, 0, 18*mm)
	got = incidence(s, f, []coverage.View{direct}, 100)
	check("reached in region", float64(got.Reached), 0.10, 1e-12)

	// A steep view from 1 mm before the face reaches all of it but the first
	// point, arctan(z/1) off square; merged, the better of the two counts.
	steep := same(contact(1, 0, 80*si.Degree, 1*mm))
	all := incidence(s, f, []coverage.View{steep}, 100)
	both := coverage.Merge(got, coverage.Meeting{}, all)
	check("merged reached", float64(both.Reached), 0.99, 1e-12)
	check("merged best", float64(both.Best), math.Atan(0.3), 1e-9)
	check("merged at 14.1 mm", float64(both.Points[70].Angle), math.Atan(14.1), 1e-9)
	check("merged at 16.1 mm", float64(both.Points[80].Angle), math.Atan(16.1/32), 1e-9)
	// Flipping reverses the points and nothing else.
	if f := all.Flip(); f.Points[0] != all.Points[99] || f.Best != all.Best || f.Flip().Points[7] != all.Points[7] {
		t.Error("flipped meeting")
	}
	// The square share counts what is within 10°: a V face met from where the
	// middle is square, 20.785 mm long. At u along the face from there, the
	// ray is arctan(u / 18) off, 18 mm being its sound path: |u| < 18 tan 10°
	// = 3.1738 mm; 2 · 3.1738 / 20.785 = 0.3054.
	v := vee()
	sq := incidence(v, face(t, v, "B"), []coverage.View{same(contact(1, 0, 89*si.Degree, si.Length(6.6961524-9*math.Sqrt(3))*mm))}, 1000)
	check("square share", float64(sq.Square), 0.3054, 0.001+0.0001) // one point of a thousand at each end

	none := incidence(s, f, nil, 0)
	if none.Reached != 0 || si.Known(none.Best) || len(none.Points) != coverage.DefaultSamples {
		t.Errorf("no views: %+v", none)
	}
	part := squareButt()
	part.Zone.Width = si.Unknown[si.Length]()
	if u := incidence(geometry.New(part), f, []coverage.View{steep}, 10); si.Known(u.Reached) || si.Known(u.Best) {
		t.Errorf("unknown section: %+v", u)
	}
}

// A point of a face is reached where the rays traced from wall to wall arrive.
func TestIncidenceAgainstTracedRays(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	hits, misses := 0, 0
	for range 100 {
		part, view := randomPart(r), randomView(r)
		s := geometry.New(part)
		f := s.Faces[r.Intn(len(s.Faces))]
		for i, p := range incidence(s, f, []coverage.View{view}, 8).Points {
			at, _, _ := f.At((si.Ratio(i) + 0.5) / 8)
			x, z := float64(at.X), float64(at.Z)
			brute := bruteRow(part, s, []coverage.View{view}, z, 0)
			const border = 1e-3 // as in TestReachAgainstTracedRays
			want := brute(x)
			if brute(x-border) != want || brute(x+border) != want {
				continue
			}
			if want {
				hits++
			} else {
				misses++
			}
			if p.Reached != want {
				t.Fatalf("%s, point %d: reached %v, traced rays say %v\npart %+v\nview %+v", f.Name, i, p.Reached, want, part, view)
			}
		}
	}
	if hits < 40 || misses < 40 {
		t.Errorf("%d points reached, %d not", hits, misses)
	}
}

// Turning a mirror by an angle turns the reflected ray by twice that angle:
// a ray reflected at the face leaves the receiving path by twice the deviation.
func TestIncidenceIsReflection(t *testing.T) {
	s := geometry.New(squareButt())
	rapid.Check(t, func(t *rapid.T) {
		const x, z, thickness = 0.001, 0.012, 0.020
		var ways [2]coverage.Way
		var arrive [2][2]float64
		for i := range ways {
			legs := rapid.IntRange(1, 3).Draw(t, "legs")
			angle := rapid.Float64Range(0.1, 1.4).Draw(t, "angle")
			depth := []float64{z, 2*thickness - z, 2*thickness + z}[legs-1]
			ways[i] = contact(legs, 0, 89*si.Degree, si.Length(x-depth*math.Tan(angle)))
			arrive[i] = [2]float64{math.Sin(angle), math.Cos(angle) * []float64{1, -1, 1}[legs-1]}
		}
		turn := rapid.Float64Range(-1.5, 1.5).Draw(t, "face")
		ex, ez := math.Sin(turn), math.Cos(turn) // along the face
		end := func(l float64) geometry.Point { return geometry.Point{X: si.Length(x + l*ex), Z: si.Length(z + l*ez)} }
		f := geometry.Face{Side: "B", Upper: end(-0.001), Lower: end(0.001)}
		got := incidence(s, f, []coverage.View{{Transmit: ways[0], Receive: ways[1]}}, 1)

		in, out := arrive[0], [2]float64{-arrive[1][0], -arrive[1][1]}
		along := in[0]*ex + in[1]*ez
		reflected := [2]float64{2*along*ex - in[0], 2*along*ez - in[1]}
		cosine := reflected[0]*out[0] + reflected[1]*out[1]
		if got.Reached != 1 || math.Abs(math.Cos(2*float64(got.Best))-cosine) > 1e-9 {
			t.Fatalf("deviation %v, reflected ray has the cosine %v to the receiving path", got.Best, cosine)
		}
	})
}

// A bounce under the root reinforcement does not count for a face either.
func TestIncidenceUnderRoot(t *testing.T) {
	part := squareButt()
	s := geometry.New(part)
	// One skip to the middle of the face at X = 2: the bounce is a third of the
	// way back, at 2 − 10 tan α. With α = 11.3° (tangent 0.2) it is at X = 0.
	view := []coverage.View{same(contact(2, 0, 80*si.Degree, (2-0.2*30)*mm))}
	if got := incidence(s, face(t, s, "B root face"), view, 1); got.Reached != 1 {
		t.Error("not reached over a plain root")
	}
	part.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: 4 * mm, Height: 1 * mm}
	s = geometry.New(part)
	if got := incidence(s, face(t, s, "B root face"), view, 1); got.Reached != 0 || si.Known(got.Best) {
		t.Error("reached over a root reinforcement")
	}
}
