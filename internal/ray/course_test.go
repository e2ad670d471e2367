package ray

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

const long, trans = acoustics.Longitudinal, acoustics.Transverse

func steel() acoustics.Medium {
	return acoustics.Medium{Longitudinal: 5920, Transverse: 3240}
}

// tip is an element on a wedge, some way back.
var tip = Element{X: -0.03, Height: 0.009}

func isClose(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// A ray of 60° transverse that comes up longitudinal from the far wall, worked out
// by hand: sin 20° = 0.342020, times 5920 / 3240 is 0.624926, an angle of
// 38.6762°, tangent 0.800488. In the wedge, 2330 / 3240 × 0.342020 = 0.245959,
// 14.2384°, tangent 0.253754.
func TestConvertedLegByHand(t *testing.T) {
	c := Course{Wedge: 2330, Part: Plate(0.025, steel()), Legs: []acoustics.Wave{trans, long}}
	r := c.Leave(tip, 20*si.Degree)
	entry := -0.03 + 0.009*0.253754
	isClose(t, "entry", float64(r.Entry()), entry, 1e-8)
	bounce := entry + 0.025*0.363970
	isClose(t, "bounce", float64(r.X(1, 0.025)), bounce, 1e-7)
	isClose(t, "15 mm below the surface again", float64(r.X(2, 0.015)), bounce+0.010*0.800488, 1e-7)
	isClose(t, "angle upwards", float64(r.Angle(2, 0.015)/si.Degree), 38.6762, 1e-3)
	time := 0.009/math.Cos(14.2384*math.Pi/180)/2330 + 0.025/math.Cos(20*math.Pi/180)/3240 + 0.010/math.Cos(38.6762*math.Pi/180)/5920
	isClose(t, "time", float64(r.Time(2, 0.015)), time, 5e-11)

	// Beyond asin(3240 / 5920) = 33.18° no longitudinal wave comes up.
	if got := c.Leave(tip, 34*si.Degree).X(2, 0.015); si.Known(got) {
		t.Errorf("a longitudinal wave comes up from 34° at %v", got)
	}
}

// place is a point of the section as it is, for the brute force.
type place struct{ x, y float64 }

// round puts what is unrolled on true circles: the scan surface has the radius R,
// and depth goes towards the axis where R is positive, away from it where not.
func round(radius, x, z float64) place {
	r, sense := radius-z, 1.0
	if radius < 0 {
		r, sense = -radius+z, -1
	}
	phi := x / math.Abs(radius)
	return place{r * math.Sin(phi), sense * r * math.Cos(phi)}
}

func gap(a, b place) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// descend minimises a smooth convex function of several variables by going round
// them one by one, golden section each time.
func descend(f func([]float64) float64, x []float64, span float64, rounds int) float64 {
	const golden = 0.6180339887498949
	for range rounds {
		for i := range x {
			at := x[i]
			try := func(v float64) float64 { x[i] = v; return f(x) }
			a, b := at-span, at+span
			for range 60 {
				if p, q := b-golden*(b-a), a+golden*(b-a); try(p) < try(q) {
					b = q
				} else {
					a = p
				}
			}
			x[i] = (a + b) / 2
		}
		span = math.Max(span*0.7, 1e-5)
	}
	return f(x)
}

// On true circles, with the crossings as unknowns, the time must be the least
// that straight pieces can have. Between them, the course says where.
func TestRoundCoursesAgainstMinimisation(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for _, radius := range []float64{0.06, 0.3, -0.06, -0.3, 50} {
		for n := range 6 {
			legs := [][]acoustics.Wave{{trans}, {long}, {trans, trans}, {trans, long}, {long, trans}, {long, long, long}}[n]
			c := Course{Wedge: 2330, Part: Part{Radius: si.Length(radius), Strata: []Stratum{{0.012, steel()}}}, Legs: legs}
			const x0, h, thickness = -0.004, 0.006, 0.012
			z := thickness * (0.1 + 0.8*random.Float64())
			x := 0.002 + 0.006*float64(len(legs))*random.Float64()
			r, time := c.To(Element{x0, h}, si.Length(x), si.Length(z))
			if !si.Known(time) {
				t.Errorf("radius %g, %v: no ray to %g, %g", radius, legs, x, z)
				continue
			}
			flight := func(crossings []float64) float64 {
				sum, from := 0.0, round(radius, x0, -h)
				to := round(radius, crossings[0], 0)
				sum, from = gap(from, to)/2330, to
				for i, leg := range legs {
					speed := 3240.0
					if leg == long {
						speed = 5920
					}
					if i == len(legs)-1 {
						return sum + gap(from, round(radius, x, z))/speed
					}
					to := round(radius, crossings[i+1], thickness*float64((i+1)%2))
					sum, from = sum+gap(from, to)/speed, to
				}
				return sum
			}
			crossings := []float64{float64(r.Entry())}
			for i := range len(legs) - 1 {
				crossings = append(crossings, float64(r.X(i+1, si.Length(thickness*float64((i+1)%2)))))
			}
			if got := flight(crossings); math.Abs(got-float64(time)) > 1e-15+1e-10*got {
				t.Errorf("radius %g, %v: pieces take %.12g, the ray %.12g", radius, legs, got, float64(time))
			}
			// From elsewhere, to the least there is near: the outward reflections of a
			// circle are least times too, or saddles that the descent leaves.
			start := make([]float64, len(crossings))
			for i, v := range crossings {
				start[i] = v + 0.0004*(random.Float64()-0.5)
			}
			least := descend(flight, start, 0.0008, 60)
			isClose(t, "least time", float64(time), least, 1e-10*least)
			isClose(t, "end", float64(r.X(len(legs), si.Length(z))), x, 1e-12)
			isClose(t, "time along the ray", float64(r.Time(len(legs), si.Length(z))), float64(time), 1e-17)
		}
	}
}

// Snell's law on true circles: at each crossing, the angles between the pieces
// and the radius there.
func TestRoundCourseRefracts(t *testing.T) {
	const radius = 0.0842
	c := Course{Wedge: 2330, Part: Part{Radius: radius, Base: 1, Strata: []Stratum{
		{0.0005, acoustics.Medium{Longitudinal: 2500, Transverse: 1200}}, {0.012, steel()}, {0.003, acoustics.Medium{Longitudinal: 5700, Transverse: 3100}},
	}}, Legs: []acoustics.Wave{trans, long}}
	r := c.Leave(tip, 18*si.Degree)
	points := []place{round(radius, float64(tip.X), -float64(tip.Height))}
	speeds := []float64{2330, 1200, 3240, 3100, 5700, 5920}
	for _, at := range []struct {
		leg int
		z   si.Length
	}{{1, 0}, {1, 0.0005}, {1, 0.0125}, {1, 0.0155}, {2, 0.0125}, {2, 0.0005}} {
		points = append(points, round(radius, float64(r.X(at.leg, at.z)), float64(at.z)))
	}
	sine := func(a, b, at place) float64 { // of the angle between a piece and the radius
		return math.Abs((b.x-a.x)*at.y-(b.y-a.y)*at.x) / gap(a, b) / math.Hypot(at.x, at.y)
	}
	for i := 1; i < len(points)-1; i++ {
		before, behind := sine(points[i-1], points[i], points[i]), sine(points[i], points[i+1], points[i])
		isClose(t, "sine over speed", behind/speeds[i], before/speeds[i-1], 1e-12)
	}
	isClose(t, "refracted angle", float64(r.Refracted()/si.Degree), 18, 1e-12)
	if _, time := c.To(tip, r.X(2, 0.004), 0.004); math.Abs(float64(time-r.Time(2, 0.004))) > 1e-16 {
		t.Errorf("the ray found takes %v, the ray sent %v", time, r.Time(2, 0.004))
	}
}

// A coat of paint 0.4 mm thick moves what comes in by 0.4 mm times the tangent of
// the angle in it, and takes its time: sin 45° × 2400 / 3240 = 0.523783, a cosine of
// 0.851852 and a tangent of 0.614875. Walls reflect below it, so that it is crossed once.
func TestCoatingByHand(t *testing.T) {
	bare := Course{Wedge: 2330, Part: Plate(0.025, steel()), Legs: []acoustics.Wave{trans, trans, trans}}
	coated := bare
	coated.Coating = Layer{0.0004, 2400}
	a, b := bare.Leave(tip, 45*si.Degree), coated.Leave(tip, 45*si.Degree)
	isClose(t, "shift", float64(b.X(3, 0.01)-a.X(3, 0.01)), 0.0004*0.614875, 2e-10)
	isClose(t, "delay", float64(b.Time(3, 0.01)-a.Time(3, 0.01)), 0.0004/0.851852/2400, 1e-13)
	isClose(t, "angle", float64(b.Angle(3, 0.01)), float64(a.Angle(3, 0.01)), 1e-12)
	isClose(t, "way in the wedge", float64(b.InWedge()), float64(a.InWedge()), 1e-15)
	if r, time := coated.To(tip, b.X(3, 0.01), 0.01); math.Abs(float64(r.Refracted())-math.Pi/4) > 1e-9 || math.Abs(float64(time-b.Time(3, 0.01))) > 1e-17 {
		t.Errorf("found again at %v after %v", r.Refracted()/si.Degree, time)
	}
}

// The front of a plane wave: along it, the time is the same; on the way of the
// ray it is the ray's.
func TestFrontByHand(t *testing.T) {
	c := Course{Part: Plate(0.025, steel()), Legs: []acoustics.Wave{trans, long}}
	r := c.Leave(Element{}, 20*si.Degree)
	sine := math.Sin(20 * math.Pi / 180)
	// To the wall and half-way up again, straight below the element.
	down, up := math.Cos(20*math.Pi/180)/3240, math.Sqrt(1-math.Pow(sine*5920/3240, 2))/5920
	isClose(t, "front", float64(r.Front(2, 0, 0.0125)), 0.025*down+0.0125*up, 1e-17)
	isClose(t, "front farther along", float64(r.Front(2, 0.01, 0.0125)), 0.025*down+0.0125*up+0.01*sine/3240, 1e-17)
}

// Published cases of pipes; the wall of the last is missed altogether.
func TestRoundCoursePublished(t *testing.T) {
	for _, p := range []struct {
		row                    string
		diameter, wall, angle  float64
		incidence, path, along float64
	}{
		{"P148", 219.1, 12.7, 45, 53.114, 19.332, 15.514},
		{"P149", 219.1, 12.7, 60, 78.404, 35.307, 35.188},
		{"P150", 168.3, 18.3, 50, 78.218, 40.645, 41.444},
	} {
		c := Course{Part: Part{Radius: si.Length(p.diameter / 2e3), Strata: []Stratum{{si.Length(p.wall / 1e3), steel()}}}, Legs: []acoustics.Wave{trans, trans}}
		r := c.Leave(Element{}, si.Angle(p.angle)*si.Degree)
		wall := si.Length(p.wall / 1e3)
		isClose(t, p.row+" incidence", float64(r.Angle(1, wall)/si.Degree), p.incidence, 0.002)
		isClose(t, p.row+" path", float64(r.Path(1, wall)*1e3), p.path, 0.002)
		isClose(t, p.row+" arc", float64(r.X(1, wall)*1e3), p.along, 0.002)
		isClose(t, p.row+" full skip", float64(r.X(2, 0)*1e3), 2*p.along, 0.004)
	}
	pipe := Course{Part: Part{Radius: 3 * si.Inch, Strata: []Stratum{{0.75 * si.Inch, steel()}}}, Legs: []acoustics.Wave{trans}}
	for _, c := range []struct {
		angle  si.Angle
		passes bool
	}{{48.59, true}, {48.6, false}} { // P142: 48.5904°
		if got := si.Known(pipe.Leave(Element{}, c.angle*si.Degree).X(1, 0.75*si.Inch)); got != c.passes {
			t.Errorf("P142: %v° reaches the bore: %v", float64(c.angle), got)
		}
	}
	// P151: OD 114.3 mm, 60°: 7.657 mm deep and no deeper.
	deep := Course{Part: Part{Radius: 57.15 * si.Millimetre, Strata: []Stratum{{8.56 * si.Millimetre, steel()}}}, Legs: []acoustics.Wave{trans}}
	r := deep.Leave(Element{}, 60*si.Degree)
	if !si.Known(r.X(1, 7.655*si.Millimetre)) || si.Known(r.X(1, 7.659*si.Millimetre)) {
		t.Error("P151: the ray must turn 7.657 mm deep")
	}
	// Farther round than the grazing ray no place is reached; a little less far, it is.
	end := r.X(1, 7.6566*si.Millimetre)
	if _, time := deep.To(Element{}, end*1.05, 7.6566*si.Millimetre); si.Known(time) {
		t.Error("a place behind the grazing ray is reached")
	}
	if _, time := deep.To(Element{}, end*0.999, 7.6566*si.Millimetre); !si.Known(time) {
		t.Error("a place before the grazing ray is not reached")
	}
}

// The larger the radius, the flatter: at 100 km the sag over 50 mm is 3 nm,
// 2 ps at the speeds here.
func TestRoundCourseBecomesFlat(t *testing.T) {
	for _, legs := range [][]acoustics.Wave{{trans}, {trans, long}, {long, trans, trans}} {
		flat := Course{Wedge: 2330, Part: Plate(0.02, steel()), Legs: legs}
		for _, radius := range []si.Length{1e5, -1e5, 1e9, 1e15} {
			bent := flat
			bent.Part.Radius = radius
			for _, x := range []si.Length{-0.05, -0.03, 0, 0.02} {
				a, timeA := flat.To(tip, x, 0.013)
				b, timeB := bent.To(tip, x, 0.013)
				isClose(t, "time", float64(timeB), float64(timeA), 2e-12)
				isClose(t, "entry", float64(b.Entry()), float64(a.Entry()), 1e-7)
				isClose(t, "angle", float64(b.Angle(len(legs), 0.013)), float64(a.Angle(len(legs), 0.013)), 1e-5)
			}
		}
	}
}

// The ray from the far side of the wall back is the same ray: scanned from the
// other surface, with the strata in the other order and the legs from there.
func TestCourseIsReciprocal(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	clad := Stratum{0.004, acoustics.Medium{Longitudinal: 5700, Transverse: 3100}}
	base := Stratum{0.02, steel()}
	for _, radius := range []si.Length{0, 0.1, 0.5, -0.1} {
		there := Course{Part: Part{Radius: radius, Strata: []Stratum{base, clad}}, Legs: []acoustics.Wave{trans, long, trans}}
		back := Course{Part: Part{Strata: []Stratum{clad, base}, Base: 1}, Legs: []acoustics.Wave{trans, long, trans}}
		scale := 1.0
		if radius != 0 {
			back.Part.Radius = -(radius - 0.024)
			scale = float64(1 - 0.024/radius)
		}
		for range 20 {
			x := 0.03 * (random.Float64() - 0.5)
			_, time := there.To(Element{}, si.Length(x), 0.024)
			_, again := back.To(Element{X: si.Length(x * scale)}, 0, 0.024)
			isClose(t, "time back", float64(again), float64(time), 1e-15)
		}
	}
}

// In a plate of one speed a course is what it was without one.
func TestCourseOfOneSpeed(t *testing.T) {
	for legs := 1; legs <= 4; legs++ {
		c := Course{Wedge: 2330, Part: Plate(0.025, steel())}
		for range legs {
			c.Legs = append(c.Legs, trans)
		}
		for _, x := range []si.Length{-0.1, -0.03, 0.01, 0.2} {
			r, time := c.To(tip, x, 0.007)
			plain := Between(x-tip.X, []Layer{{tip.Height, 2330}, {Unfold(legs, 0.007, 0.025), 3240}})
			isClose(t, "time", float64(time), float64(plain.Time), 1e-18)
			isClose(t, "angle", float64(r.Refracted()), float64(plain.Angle(3240)), 1e-13)
			isClose(t, "angle at the element", float64(r.AtElement()), float64(plain.Angle(2330)), 1e-13)
			isClose(t, "way in the wedge", float64(r.InWedge()), float64(tip.Height)/math.Cos(float64(plain.Angle(2330))), 1e-15)
		}
	}
}

// A metal whose density is not known is the same metal.
func TestCoursesAlike(t *testing.T) {
	metal := steel()
	metal.Density = si.Unknown[si.Density]()
	one := Course{Wedge: 2330, Part: Plate(0.02, metal), Legs: Waves(trans, 2)}
	other := Course{Wedge: 2330, Part: Plate(0.02, metal), Legs: Waves(trans, 2)}
	if !one.Equal(&other) {
		t.Error("a course is not equal to itself")
	}
	if other.Legs = Waves(long, 2); one.Equal(&other) {
		t.Error("courses of two kinds of wave are equal")
	}
}

func TestCourseUnknown(t *testing.T) {
	nan := si.Unknown[si.Length]()
	good := func() Course {
		return Course{Wedge: 2330, Part: Plate(0.025, steel()), Legs: []acoustics.Wave{trans}}
	}
	for name, change := range map[string]func(*Course){
		"no legs":               func(c *Course) { c.Legs = nil },
		"no strata":             func(c *Course) { c.Part.Strata = nil },
		"thickness unknown":     func(c *Course) { c.Part.Strata[0].Thickness = nan },
		"speed unknown":         func(c *Course) { c.Part.Strata[0].Transverse = si.Unknown[si.Speed]() },
		"wedge unknown":         func(c *Course) { c.Wedge = si.Unknown[si.Speed]() },
		"radius unknown":        func(c *Course) { c.Part.Radius = nan },
		"wall past the axis":    func(c *Course) { c.Part.Radius = 0.02 },
		"element past the axis": func(c *Course) { c.Part.Radius = -0.005 },
	} {
		c := good()
		change(&c)
		r, time := c.To(tip, 0.01, 0.024)
		if si.Known(time) || si.Known(r.X(1, 0.024)) {
			t.Errorf("%s: a ray is found", name)
		}
		if r := c.Leave(tip, 45*si.Degree); si.Known(r.X(1, 0.024)) || si.Known(r.Time(1, 0.024)) {
			t.Errorf("%s: a ray leaves", name)
		}
	}
	c := good()
	for _, p := range [][2]si.Length{{nan, 0.01}, {0.01, nan}, {0.01, -0.001}, {si.Length(math.Inf(1)), 0.01}} {
		if _, time := c.To(tip, p[0], p[1]); si.Known(time) {
			t.Errorf("a ray to %v", p)
		}
	}
	for _, angle := range []si.Angle{90 * si.Degree, -90 * si.Degree, si.Unknown[si.Angle]()} {
		if si.Known(c.Leave(tip, angle).X(1, 0.01)) {
			t.Errorf("a ray of %v", angle)
		}
	}
	if si.Known(c.Leave(tip, 45*si.Degree).X(2, 0.01)) || si.Known(c.Leave(tip, 45*si.Degree).X(0, 0.01)) {
		t.Error("a leg that the course has not")
	}
}

func BenchmarkCourse(b *testing.B) {
	for _, k := range []struct {
		name string
		c    Course
	}{
		{"plain", Course{Wedge: 2330, Part: Plate(0.025, steel()), Legs: []acoustics.Wave{trans, trans}}},
		{"converted", Course{Wedge: 2330, Part: Plate(0.025, steel()), Legs: []acoustics.Wave{trans, long}}},
		{"round", Course{Wedge: 2330, Part: Part{Radius: 0.3, Strata: []Stratum{{0.025, steel()}}}, Legs: []acoustics.Wave{trans, trans}}},
	} {
		b.Run(k.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := range b.N {
				k.c.To(tip, si.Length(0.0005*float64(i%64)), 0.01)
			}
		})
	}
}
