package field

import (
	"math"
	"math/cmplx"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// plane is the plane of a section around a pipe, for sums that know no rays: y
// goes down along the radius at X = 0, the scan surface has the radius R, which
// is negative from inside.
type plane struct{ radius float64 }

func (p plane) at(x, z float64) (px, py float64) {
	sin, cos := math.Sincos(x / p.radius)
	return (p.radius - z) * sin, p.radius - (p.radius-z)*cos
}

// unrolled is the inverse of at.
func (p plane) unrolled(px, py float64) (x, z float64) {
	return p.radius * math.Atan(px/(p.radius-py)), p.radius - math.Copysign(math.Hypot(px, p.radius-py), p.radius)
}

// ringed is wedged on a pipe, with an array of n elements whose wedge touches at
// X = −40 mm, where its level is square to the radius; and the array in the plane.
func ringed(radius si.Length, n int, pitch float64) (Media, []ray.Element, [][2]float64) {
	m := wedged()
	m.Part.Radius, m.Touch = radius, -40*mm
	p := plane{float64(radius)}
	sin, cos := math.Sincos(float64(m.Touch / radius))
	var elements []ray.Element
	var places [][2]float64
	for i := range n {
		s, c := math.Sincos(float64(m.Tilt))
		along, up := (float64(i)-2)*pitch*c, 8e-3+float64(i)*pitch*s
		tx, ty := p.at(float64(m.Touch), 0)
		place := [2]float64{tx + along*cos + up*sin, ty + along*sin - up*cos}
		places = append(places, place)
		x, z := p.unrolled(place[0], place[1])
		elements = append(elements, ray.Element{X: si.Length(x), Height: si.Length(-z)})
	}
	return m, elements, places
}

// The beam of an array on a wedge shaped to a pipe against waves that are added up
// twice without any ray, as in TestRefractedBeamAgainstTwoIntegrals, over the arc
// of the contact face and in the plane: from outside, where the face spreads the
// beam, and from inside, where it gathers it. Delays are even along the array. The
// tolerance is as there.
func TestRoundBeamAgainstTwoIntegrals(t *testing.T) {
	const (
		cw, c, f = 2730.0, 3230.0, 5e6
		kw, k    = 2 * math.Pi * f / cw, 2 * math.Pi * f / c
		n, pitch = 16, 0.6e-3
		dx       = 0.02e-3
	)
	for _, radius := range []si.Length{150 * mm, -120 * mm} {
		m, elements, places := ringed(radius, n, pitch)
		m.Wedge.Density = si.Unknown[si.Density]() // nothing is lost at the face
		m.Element = 1e-6                           // and elements send alike, but for their obliquity
		m.Part.Strata[0].Thickness = 40 * mm
		ring := plane{float64(radius)}
		b := New(m).Sources(elements, transverse).Beam(50*si.Degree, si.Unknown[si.Length]())

		// Of the ray to 50° from the middle of the array: its way in the plane.
		mx, my := (places[n/2-1][0]+places[n/2][0])/2, (places[n/2-1][1]+places[n/2][1])/2
		least := func(at float64) float64 { // how far from 50° the ray by a place of the face is
			px, py := ring.at(at, 0)
			local := math.Atan2(px-mx, py-my) + at/float64(radius)
			return math.Abs(math.Asin(math.Sin(local)*c/cw) - 50*math.Pi/180)
		}
		entry := -60e-3
		for at := -60e-3; at < 10e-3; at += 1e-6 {
			if least(at) < least(entry) || math.IsNaN(least(entry)) {
				entry = at
			}
		}
		ex, ey := ring.at(entry, 0)
		along := math.Atan2(places[n-1][1]-places[0][1], places[n-1][0]-places[0][0]) // of the array, downwards
		steer := math.Sin(math.Atan2(ex-mx, ey-my) + along)                           // of the angle to its normal
		normal := -along

		brute := func(x, z float64) float64 {
			px, py := ring.at(x, z)
			var sum complex128
			for i, source := range places {
				var one complex128
				least, q, away := math.Inf(1), 0.0, 0.0
				for at := -75e-3; at < 5e-3; at += dx {
					fx, fy := ring.at(at, 0)
					sin, cos := math.Sincos(-at / float64(radius)) // of the radius that leads in
					l, r := math.Hypot(fx-source[0], fy-source[1]), math.Hypot(px-fx, py-fy)
					in := ((fx-source[0])*sin + (fy-source[1])*cos) / l
					out := ((px-fx)*sin + (py-fy)*cos) / r
					oblique := math.Cos(math.Atan2(fx-source[0], fy-source[1]) - normal)
					one += cmplx.Rect(oblique*out*math.Sqrt(k/(2*math.Pi*l*r))*dx, -kw*l-k*r)
					if time := l/cw + r/c; time < least {
						least, q, away = time, out/in, l+r*c/cw
					}
				}
				sum += one * cmplx.Rect(1/math.Sqrt(q*away), -2*math.Pi*f*float64(i)*pitch*steer/cw)
			}
			return cmplx.Abs(sum)
		}
		model := func(x, z float64) float64 {
			return cmplx.Abs(b.field(b.sources.send(Point{si.Length(x), si.Length(z)})))
		}
		near(t, "entry", float64(b.Axis(0)), entry, 2e-6)
		for _, z := range []float64{8e-3, 18e-3} {
			axis := float64(b.Axis(si.Length(z)))
			peak, want := model(axis, z), brute(axis, z)
			near(t, "height on the axis", peak/want, 1, 0.03)
			for off := -6e-3; off <= 6e-3; off += 1e-3 {
				near(t, "field across the beam", model(axis+off, z)/peak, brute(axis+off, z)/want, 0.03)
			}
		}
	}
}

// What flows through circles of any depth between the same two rays is the same:
// the square of the amplitude, over an arc, and over the width that the tube has
// across the section. Shares lost at a face or a wall do not count: the angles at
// it are the same.
func TestFlowAroundAPipe(t *testing.T) {
	for _, radius := range []si.Length{90 * mm, -90 * mm} {
		for _, legs := range []int{1, 2} {
			m, elements, _ := ringed(radius, 1, 0.6e-3)
			m.Element = 0.01 * mm
			s := New(m).Sources(elements, ray.Waves(transverse, legs)...)
			flow := func(z si.Length) float64 {
				const parts = 400
				low, high := s.course.Leave(elements[0], 35*si.Degree).X(legs, z), s.course.Leave(elements[0], 45*si.Degree).X(legs, z)
				sum := 0.0
				for i := range parts {
					p := Point{low + (high-low)*(si.Length(i)+0.5)/parts, z}
					a := s.send(p)[0]
					r, _ := s.course.To(elements[0], p.X, p.Z)
					arc := float64((high-low)/parts) * float64(1-z/radius)
					sum += a.amplitude * a.amplitude * math.Sqrt(1-a.sine*a.sine) * arc * float64(r.Across(legs, z))
				}
				return sum
			}
			want := flow(10 * mm)
			for _, z := range []si.Length{1 * mm, 5 * mm, 15 * mm, 19 * mm} {
				near(t, "flow", flow(z)/want, 1, 1e-3)
			}
		}
	}
}

// At 10 km radius a pipe is a plate: the sag over 80 mm is 0.3 μm, an angle of
// 3 · 10⁻⁴°.
func TestRoundBecomesFlat(t *testing.T) {
	for _, legs := range []int{1, 2, 3} {
		m := wedged()
		m.Touch = -40 * mm
		elements := sloped(16, 0.6*mm, m)
		bent := m
		bent.Part.Radius = 1e4
		for _, focus := range []si.Length{si.Unknown[si.Length](), 25 * mm} {
			a, b := New(m).Sources(elements, ray.Waves(transverse, legs)...).Beam(55*si.Degree, focus), New(bent).Sources(elements, ray.Waves(transverse, legs)...).Beam(55*si.Degree, focus)
			strip := Facet{Height: 3 * mm, NormalX: 0.8, NormalZ: 0.6, Hole: 3 * mm}
			for _, z := range []si.Length{0, 3 * mm, 12 * mm, 20 * mm} {
				for _, off := range []si.Length{-5 * mm, 0, 4 * mm} {
					p := Point{a.Axis(z) + off, z}
					near(t, "hole", float64(b.Hole(p)), float64(a.Hole(p)), 0.02)
					near(t, "facet", float64(b.Facet(p, strip)), float64(a.Facet(p, strip)), 0.05)
				}
			}
			for _, path := range []si.Length{5 * mm, 25 * mm, 34 * mm, 80 * mm} {
				near(t, "level", float64(b.Level(path)-b.Level(30*mm)), float64(a.Level(path)-a.Level(30*mm)), 0.01)
				near(t, "width", float64(b.Width(path)/a.Width(path)), 1, 1e-3)
			}
		}
		send := func(m Media) *Image {
			s := New(m).Sources(elements, ray.Waves(transverse, legs)...)
			im := New(m).Image(s, s, around())
			if legs == 2 {
				im.PlaneWaves([]si.Angle{45 * si.Degree, 55 * si.Degree, 65 * si.Degree})
			}
			return im
		}
		flat, round := send(m), send(bent)
		for _, p := range []Point{{-5 * mm, 4 * mm}, {0, 12 * mm}, {10 * mm, 18 * mm}} {
			near(t, "image", float64(round.Hole(p)), float64(flat.Hole(p)), 0.02)
			near(t, "level of an image", float64(round.Level(p.Z)-round.Level(10*mm)), float64(flat.Level(p.Z)-flat.Level(10*mm)), 0.02)
		}
	}
}

// A strip square to the ray that meets it answers highest, where the ray's angle in
// the plane is worked out from where it entered: a straight line.
func TestRoundFacetStandsSquare(t *testing.T) {
	for _, radius := range []si.Length{90 * mm, -90 * mm} {
		m, elements, _ := ringed(radius, 16, 0.6e-3)
		b := New(m).Sources(elements, transverse).Beam(50*si.Degree, si.Unknown[si.Length]())
		const z = 15 * mm
		p := Point{b.Axis(z), z}
		ring := plane{float64(radius)}
		ex, ey := ring.at(float64(b.Axis(0)), 0)
		px, py := ring.at(float64(p.X), float64(p.Z))
		square := math.Atan2(px-ex, py-ey) + float64(p.X/radius) // from the radius there
		best, most := 0.0, si.Decibel(math.Inf(-1))
		for turn := -10.0; turn <= 10; turn += 0.25 {
			sin, cos := math.Sincos(square + turn*math.Pi/180)
			if x := b.Facet(p, Facet{Height: 3 * mm, NormalX: si.Ratio(sin), NormalZ: si.Ratio(cos), Hole: 3 * mm}); x > most {
				best, most = turn, x
			}
		}
		near(t, "degrees from square", best, 0, 1)
	}
}

// Where no ray comes round a pipe nothing is known, and where that of half of the
// elements comes it is lower than where all do.
func TestBehindTheBore(t *testing.T) {
	m, elements, _ := ringed(60*mm, 16, 0.6e-3)
	b := New(m).Sources(elements, transverse).Beam(40*si.Degree, si.Unknown[si.Length]())
	if x := b.Hole(Point{40 * mm, 19 * mm}); si.Known(x) {
		t.Errorf("behind the bore a hole answers with %v", x)
	}
	if x := b.Hole(Point{b.Axis(15 * mm), 15 * mm}); !(math.Abs(float64(x)) < 0.5) {
		t.Errorf("on the axis a hole answers with %v, want the reference", x)
	}
	turns := New(m).Sources(elements, transverse, transverse).Beam(60*si.Degree, si.Unknown[si.Length]())
	if x := turns.Hole(Point{0, 10 * mm}); si.Known(x) {
		t.Errorf("on the second leg of a ray that turns before the bore a hole answers with %v", x)
	}
}

// Of a cladding and of a coating: time and way of the axis are those of the
// course, by hand in package ray; cut into strata of one metal, a beam is the same.
func TestBeamThroughStrata(t *testing.T) {
	whole, cut := wedged(), layered(3*mm, 4*mm)
	for i := range cut.Part.Strata {
		cut.Part.Strata[i].Medium = whole.Part.Strata[0].Medium
	}
	elements := sloped(16, 0.6*mm, whole)
	for legs := 1; legs <= 2; legs++ {
		for _, focus := range []si.Length{si.Unknown[si.Length](), 30 * mm} {
			a, b := New(whole).Sources(elements, ray.Waves(transverse, legs)...).Beam(55*si.Degree, focus), New(cut).Sources(elements, ray.Waves(transverse, legs)...).Beam(55*si.Degree, focus)
			for _, path := range []si.Length{12 * mm, 20 * mm, 34 * mm, 50 * mm} {
				near(t, "width", float64(b.Width(path)/a.Width(path)), 1, 1e-3)
				near(t, "level", float64(b.Level(path)-b.Level(10*mm)), float64(a.Level(path)-a.Level(10*mm)), 0.01)
			}
			for _, p := range []Point{{-3 * mm, 2 * mm}, {4 * mm, 17 * mm}, {12 * mm, 8 * mm}} {
				near(t, "hole", float64(b.Hole(p)), float64(a.Hole(p)), 0.01)
			}
		}
	}
	clad := layered(0.5*mm, 6*mm)
	clad.Coating = ray.Layer{Thickness: 0.3 * mm, Speed: 2400}
	b := New(clad).Sources(elements, transverse).Beam(50*si.Degree, si.Unknown[si.Length]())
	course := ray.Course{Wedge: 2730, Coating: clad.Coating, Part: clad.Part, Legs: []acoustics.Wave{transverse}}
	r := course.Leave(b.sources.centre, 50*si.Degree)
	near(t, "axis in the cladding", float64(b.Axis(17*mm)), float64(r.X(1, 17*mm)), 1e-12)
	// Along the front of a plane wave all elements are in phase, so that nowhere beside it the field is higher.
	at := func(off si.Length) float64 {
		return cmplx.Abs(b.field(b.sources.send(Point{r.X(1, 17*mm) + off, 17 * mm})))
	}
	if !(at(0) > 0.97*at(1*mm) && at(0) > 0.97*at(-1*mm) && at(0) > 1.4*at(6*mm) && at(0) > 1.4*at(-6*mm)) {
		t.Errorf("beside the axis: %v %v %v %v %v", at(-6*mm), at(-1*mm), at(0), at(1*mm), at(6*mm))
	}
}
