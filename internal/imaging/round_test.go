package imaging

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// spot is a place in the plane of the section, y towards the depth.
type spot struct{ x, y float64 }

// laid puts what is unrolled on its circle; a flat surface on one so large that
// it falls away by less than a hundredth of a micrometre.
func laid(radius, x, z float64) spot {
	if radius == 0 {
		radius = 1e5
	}
	sin, cos := math.Sincos(x / radius)
	return spot{(radius - z) * sin, radius - (radius-z)*cos}
}

func between(a, b spot) float64 { return math.Hypot(b.x-a.x, b.y-a.y) }

// shell is an array of 24 elements on a wedge of 36° whose level touches the
// surface of a clad wall 40 mm before the origin, with a coating on it. Its
// elements stand in a straight line in the plane.
func shell(radius, coating, clad float64, out, back string) *Image {
	const tilt, level = 36 * si.Degree, -40e-3
	base, lining := ray.Stratum{Thickness: si.Length(16e-3 - clad), Medium: acoustics.Medium{Longitudinal: 5920, Transverse: 3240}},
		ray.Stratum{Thickness: si.Length(clad), Medium: acoustics.Medium{Longitudinal: 5750, Transverse: 3100}}
	part := ray.Part{Radius: si.Length(radius), Strata: []ray.Stratum{base}}
	if clad > 0 {
		part.Strata = append(part.Strata, lining)
	}
	course := func(legs string) ray.Course {
		return ray.Course{Wedge: 2330, Coating: ray.Layer{Thickness: si.Length(coating), Speed: 2400}, Part: part, Legs: waves(legs)}
	}
	im := &Image{
		Out: course(out), Back: course(back), Pulse: Pulse{4e6, 0.6},
		From: Point{-40e-3, 0}, To: Point{40e-3, 16e-3}, Array: Array{Tilt: tilt, Width: 0.55e-3, Level: level},
	}
	for i := range 24 {
		along := 0.6e-3 * (float64(i) - 11.5)
		// The middle stands so high over the level that its ray square to the array
		// enters where the level touches.
		u, v := -12e-3*math.Tan(float64(tilt))+along*tilt.Cos(), 12e-3+along*tilt.Sin()
		e := ray.Element{X: si.Length(level + u), Height: si.Length(v)}
		if radius != 0 {
			e.X = si.Length(level + radius*math.Atan(u/(radius+v)))
			e.Height = si.Length(math.Copysign(math.Hypot(u, radius+v), radius) - radius)
		}
		e.Height -= si.Length(coating)
		im.Array.Elements = append(im.Array.Elements, e)
	}
	return im
}

// least is the time from an element to a place of the part over all places at
// which the surfaces may be crossed, and the first of these: whatever takes the
// least time is the ray. Nothing but the order of the media comes from the program.
func least(im *Image, e ray.Element, c *ray.Course, x, z float64) (time float64, entry spot) {
	radius := float64(c.Part.Radius)
	type surface struct{ depth, before float64 } // before is the speed on the way there
	coat := float64(c.Coating.Thickness)
	surfaces := []surface{{-coat, 2330}}
	if coat > 0 {
		surfaces = append(surfaces, surface{0, 2400})
	}
	bond := float64(c.Part.Strata[0].Thickness)
	speed := func(wave acoustics.Wave, depth float64) float64 {
		switch {
		case wave == acoustics.Longitudinal && depth < bond:
			return 5920
		case wave == acoustics.Longitudinal:
			return 5750
		case depth < bond:
			return 3240
		}
		return 3100
	}
	last := 0.0
	for i, wave := range c.Legs {
		at, end := 16e-3*float64(i%2), 16e-3*float64((i+1)%2)
		if i == len(c.Legs)-1 {
			end = z
		}
		if bond < 16e-3 && (at-bond)*(end-bond) < 0 {
			surfaces = append(surfaces, surface{bond, speed(wave, at)})
			at = end
		}
		last = speed(wave, end)
		if at == end {
			last = speed(wave, end+1e-9*(bond-end))
		}
		if i < len(c.Legs)-1 {
			surfaces = append(surfaces, surface{end, speed(wave, end-1e-6*(end-8e-3))})
		}
	}
	from, to := laid(radius, float64(e.X), -coat-float64(e.Height)), laid(radius, x, z)
	crossed := make([]float64, len(surfaces))
	for i := range crossed {
		crossed[i] = float64(e.X) + (x-float64(e.X))*float64(i+1)/float64(len(surfaces)+1)
	}
	at := func(i int) spot {
		switch {
		case i < 0:
			return from
		case i == len(surfaces):
			return to
		}
		return laid(radius, crossed[i], surfaces[i].depth)
	}
	before := func(i int) float64 {
		if i == len(surfaces) {
			return last
		}
		return surfaces[i].before
	}
	// One crossing after the other is moved to where the two pieces that meet there
	// take least time together, until none moves.
	for span := 30e-3; ; {
		moved := 0.0
		for i := range crossed {
			old := crossed[i]
			pieces := func(x float64) float64 {
				p := laid(radius, x, surfaces[i].depth)
				return between(at(i-1), p)/before(i) + between(p, at(i+1))/before(i+1)
			}
			a, b := old-span, old+span
			for b-a > 1e-10 {
				p, q := a+(b-a)*0.381966, a+(b-a)*0.618034
				if pieces(p) < pieces(q) {
					b = q
				} else {
					a = p
				}
			}
			crossed[i] = (a + b) / 2
			moved = math.Max(moved, math.Abs(crossed[i]-old))
		}
		// Golden section tells times apart to 1e-15 or so of a second, which is a
		// tenth of a micrometre in place.
		if moved < 3e-7 {
			break
		}
		span = 2 * moved
	}
	for i := range len(surfaces) + 1 {
		time += between(at(i-1), at(i)) / before(i)
	}
	return time, at(0)
}

// The response must be the sum over all pairs whose times are found as the least
// over all crossings in the plane, in round parts from both sides, and in clad and
// coated ones.
func TestResponseInShellsIsTheSumOverPairs(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	for _, c := range []path{
		{"outside, T-T", shell(0.12, 0, 0, "T", "T"), Point{-17e-3, 10e-3}},
		{"outside, TT-T", shell(0.254, 0, 0, "TT", "T"), Point{-12e-3, 11e-3}},
		{"outside, TT-TT", shell(0.254, 0, 0, "TT", "TT"), Point{2e-3, 6e-3}},
		{"inside, T-T", shell(-0.1, 0, 0, "T", "T"), Point{-20e-3, 9e-3}},
		{"inside, TT-TT", shell(-0.2, 0, 0, "TT", "TT"), Point{-2e-3, 6e-3}},
		{"clad, T-T", shell(0, 0, 3e-3, "T", "T"), Point{-14e-3, 11e-3}},
		{"clad, TT-TT", shell(0, 0.3e-3, 3e-3, "TT", "TT"), Point{6e-3, 8e-3}},
		{"clad, round, TT-T", shell(0.254, 0.3e-3, 3e-3, "TT", "T"), Point{-12e-3, 9e-3}},
		{"clad, inside, TT-TT", shell(-0.2, 0.3e-3, 3e-3, "TT", "TT"), Point{0, 6e-3}},
	} {
		im := c.im
		radius := float64(im.Out.Part.Radius)
		q := [2]float64{float64(c.at.X), float64(c.at.Z)}
		coat := float64(im.Out.Coating.Thickness)
		place := func(e ray.Element) spot { return laid(radius, float64(e.X), -coat-float64(e.Height)) }
		first, last := place(im.Array.Elements[0]), place(im.Array.Elements[23])
		way := between(first, last)
		normal := spot{(last.y - first.y) / -way, (last.x - first.x) / way} // into the part
		own := func(c *ray.Course) (times, weights []float64) {
			for _, e := range im.Array.Elements {
				time, entry := least(im, e, c, q[0], q[1])
				from := place(e)
				d := between(from, entry)
				cosine := ((entry.x-from.x)*normal.x + (entry.y-from.y)*normal.y) / d
				u := math.Pi * 0.55e-3 * 4e6 / 2330 * math.Sqrt(1-cosine*cosine)
				times, weights = append(times, time), append(weights, math.Sin(u)/u)
			}
			return times, weights
		}
		out, w := own(&im.Out)
		back, v := own(&im.Back)
		// A spectrum of 60 % between its −6 dB points.
		deviation := 0.6 * 4e6 / (2 * math.Sqrt(2*math.Log(2)))
		pairs := func(r [2]float64, every int) float64 {
			var a, b [24]float64
			for i, e := range im.Array.Elements {
				a[i], b[i] = math.Inf(1), math.Inf(1)
				if _, ray := im.Out.To(e, si.Length(r[0]), si.Length(r[1])); si.Known(ray) {
					a[i], _ = least(im, e, &im.Out, r[0], r[1])
				}
				if _, ray := im.Back.To(e, si.Length(r[0]), si.Length(r[1])); si.Known(ray) {
					b[i], _ = least(im, e, &im.Back, r[0], r[1])
				}
			}
			var sum complex128
			peak := 0.0
			for i := 0; i < 24; i += every {
				for j := range b {
					late := a[i] - out[i] + b[j] - back[j]
					x := 2 * math.Pi * deviation * late
					if !math.IsInf(late, 0) { // both rays exist
						sum += cmplx.Rect(w[i]*v[j]*math.Exp(-x*x/2), 2*math.Pi*4e6*late)
					}
					peak += w[i] * v[j]
				}
			}
			return cmplx.Abs(sum) / peak
		}
		f := im.around(c.at, outlineBox)
		far := im.search(c.at, &outline{}).field
		for n := range 12 {
			// Half of the places as near as the main lobe, in the plane of the section.
			turn, r := 2*math.Pi*random.Float64(), 0.4e-3*math.Sqrt(random.Float64())
			seen := f
			if n%2 == 1 {
				seen, r = far, 5e-3*math.Sqrt(random.Float64())
			}
			x, z := seen.place(r*math.Cos(turn), r*math.Sin(turn))
			if !seen.back.covers(x, z) {
				continue
			}
			if d := between(laid(radius, x, z), laid(radius, q[0], q[1])); math.Abs(d-r) > 1e-9 {
				t.Errorf("%s: %g m away, meant %g", c.name, d, r)
			}
			every := 1 + n%3
			got, want := seen.envelope(x, z, Every(every, 24)), pairs([2]float64{x, z}, every)
			if !(math.Abs(got-want) < 1e-3+0.02*want) {
				t.Errorf("%s at (%.2f, %.2f) mm, every %d: %.5f, by pairs %.5f", c.name, x*1e3, z*1e3, every, got, want)
			}
		}
	}
}

// In a very large pipe the image of a point is that in a plate, from both sides of
// the wall.
func TestShellOfLargeRadiusIsAPlate(t *testing.T) {
	for _, legs := range [][2]string{{"T", "T"}, {"TT", "T"}, {"TT", "TT"}, {"TL", "T"}} {
		at := Point{-12e-3, 9e-3}
		if legs[0] == "TL" {
			at = Point{-32e-3, 9e-3}
		}
		flat := shell(0, 0, 0, legs[0], legs[1])
		sent := []Transmission{Every(2, 24), plane(5, 40*si.Degree, 60*si.Degree)}
		if legs[0] == "TL" {
			sent[1] = plane(5, 15*si.Degree, 30*si.Degree)
		}
		for _, radius := range []float64{2000, -2000} {
			round := shell(radius, 0, 0, legs[0], legs[1])
			for _, tr := range sent {
				a, b := flat.Spread(at, tr), round.Spread(at, tr)
				for what, d := range map[string]float64{
					"along": float64(a.Along/b.Along) - 1, "across": float64(a.Across/b.Across) - 1, "area": float64(a.Area/b.Area) - 1,
					"loss between points": float64(flat.GridLoss(at, tr, 0.1e-3, false)-round.GridLoss(at, tr, 0.1e-3, false)) / 10,
				} {
					// 16 mm of 2 m is a change of the path by less than 1e-2 of itself, and of
					// what follows from differences of paths by no more.
					if !(math.Abs(d) < 5e-3) {
						t.Errorf("%s-%s, radius %g: %s differs by %g", legs[0], legs[1], radius, what, d)
					}
				}
			}
			a, b := flat.Artefacts(at, sent), round.Artefacts(at, sent)
			for i := range a {
				if d := float64(a[i].Beside - b[i].Beside); !(math.Abs(d) < 0.3) {
					t.Errorf("%s-%s, radius %g: %.2f dB beside, in the plate %.2f", legs[0], legs[1], radius, b[i].Beside, a[i].Beside)
				}
			}
		}
	}
}

// A plane wave passes along a round surface as fast as along a flat one, and comes
// from there to a place by the way that takes least time.
func TestPlaneWavesInShells(t *testing.T) {
	for _, radius := range []float64{0.12, 0.254, -0.1} {
		im := shell(radius, 0, 0, "T", "T")
		at := Point{-17e-3, 9e-3}
		f := im.around(at, outlineBox)
		for _, angle := range []si.Angle{42 * si.Degree, 50 * si.Degree, 58 * si.Degree} {
			arrives := func(x, z float64) float64 {
				to := laid(radius, x, z)
				over := func(entry float64) float64 {
					return entry*angle.Sin()/3240 + between(laid(radius, entry, 0), to)/3240
				}
				a, b := x-40e-3, x
				for b-a > 1e-9 {
					if p, q := a+(b-a)*0.381966, a+(b-a)*0.618034; over(p) < over(q) {
						b = q
					} else {
						a = p
					}
				}
				return over(a)
			}
			for _, to := range [][2]float64{{1e-3, 0}, {0, 1.5e-3}, {-1e-3, -1.5e-3}, {1.2e-3, 0.7e-3}} {
				x, z := f.place(to[0], to[1])
				f.goTo(z)
				got, want := f.wave(angle, x), arrives(x, z)-arrives(float64(at.X), float64(at.Z))
				if !(math.Abs(got-want) < 1e-12) {
					t.Errorf("radius %g, %.0f°, %v away: %.6g s later, in the plane %.6g", radius, angle/si.Degree, to, got, want)
				}
			}
		}
	}
}
