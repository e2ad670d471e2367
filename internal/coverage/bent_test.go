package coverage_test

import (
	"math"
	"slices"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// The rays of these tests are traced in the plane of the ring, by vectors and the
// vector forms of Snell's law and of reflection: y is down, the axis lies at (0,
// R) and the weld's centreline on x = 0.

type vec struct{ x, y float64 }

func (a vec) plus(b vec, u float64) vec { return vec{a.x + u*b.x, a.y + u*b.y} }
func (a vec) dot(b vec) float64         { return a.x*b.x + a.y*b.y }

// ring is a pipe in the plane.
type ring struct {
	outer, inner float64
	inside       bool // the probe stands inside
}

func (r ring) axis() vec { return vec{0, r.outer} }

// scan and far are the radii of the surface scanned and of the other.
func (r ring) scan() float64 {
	if r.inside {
		return r.inner
	}
	return r.outer
}

func (r ring) far() float64 {
	if r.inside {
		return r.outer
	}
	return r.inner
}

// unrolled is a place as a probe on the scanned surface counts it.
func (r ring) unrolled(p vec) (x, z float64) {
	phi, rho := math.Atan2(p.x, r.outer-p.y), math.Hypot(p.x, r.outer-p.y)
	return phi * r.scan(), math.Abs(r.scan() - rho)
}

func (r ring) place(x, z float64) vec {
	rho := r.scan() - z
	if r.inside {
		rho = r.scan() + z
	}
	sin, cos := math.Sincos(x / r.scan())
	return vec{rho * sin, r.outer - rho*cos}
}

// meets is where a line first meets a circle about the axis, past its start.
func (r ring) meets(p, d vec, radius float64) (vec, bool) {
	c := p.plus(r.axis(), -1)
	b, q := c.dot(d), c.dot(c)-radius*radius
	root := b*b - q
	if root < 0 {
		return vec{}, false
	}
	for _, u := range []float64{-b - math.Sqrt(root), -b + math.Sqrt(root)} {
		if u > 1e-9 {
			return p.plus(d, u), true
		}
	}
	return vec{}, false
}

// normal is the unit vector from the axis to a place.
func (r ring) normal(p vec) vec {
	c := p.plus(r.axis(), -1)
	l := math.Hypot(c.x, c.y)
	return vec{c.x / l, c.y / l}
}

// trace sends a ray of an angle at the element, from the normal there, and
// returns where it enters and where it turns, with its direction after each. Each
// leg has its speed.
func (r ring) trace(e ray.Element, angle, wedge float64, speeds ...float64) (points, directions []vec, ok bool) {
	start := r.place(float64(e.X), -float64(e.Height))
	n := r.normal(start)
	down := vec{-n.x, -n.y}
	if r.inside {
		down = n
	}
	along := vec{-down.y, down.x}
	if along.x < 0 {
		along = vec{-along.x, -along.y}
	}
	d := vec{math.Cos(angle)*down.x + math.Sin(angle)*along.x, math.Cos(angle)*down.y + math.Sin(angle)*along.y}
	p, hit := r.meets(start, d, r.scan())
	if !hit {
		return nil, nil, false
	}
	// What lies along a surface grows with the speed.
	turn := func(k, across float64) bool {
		n := r.normal(p)
		t := vec{d.x - d.dot(n)*n.x, d.y - d.dot(n)*n.y}
		sine := k * math.Hypot(t.x, t.y)
		if sine >= 1 {
			return false
		}
		cosine := math.Copysign(math.Sqrt(1-sine*sine), across*d.dot(n))
		d = vec{k*t.x + cosine*n.x, k*t.y + cosine*n.y}
		points, directions = append(points, p), append(directions, d)
		return true
	}
	if !turn(speeds[0]/wedge, 1) {
		return nil, nil, false
	}
	for leg := 1; leg < len(speeds); leg++ {
		to := r.far()
		if leg%2 == 0 {
			to = r.scan()
		}
		p, hit = r.meets(p, d, to)
		if !hit {
			return nil, nil, false
		}
		if !turn(speeds[leg]/speeds[leg-1], -1) {
			return nil, nil, false
		}
	}
	return points, directions, true
}

func header(inside bool) (ring, *geometry.Section, ray.Part) {
	part := &schema.Part{
		Kind: "pipe", Thickness: 16 * si.Millimetre, OutsideDiameter: 300 * si.Millimetre,
		Weld: schema.Weld{
			Seam: "longitudinal", Preparation: "double-V", BevelAngle: 30 * si.Degree, LowerAngle: 30 * si.Degree,
			UpperDepth: 8 * si.Millimetre, RootFace: 3 * si.Millimetre, RootGap: 1 * si.Millimetre,
			Cap:  schema.Reinforcement{Condition: "as-welded", Width: 15 * si.Millimetre, Height: 1 * si.Millimetre},
			Root: schema.Reinforcement{Condition: "as-welded", Width: 8 * si.Millimetre, Height: 1 * si.Millimetre},
		},
		Zone: schema.Zone{Width: 10 * si.Millimetre, Boundary: "straight"},
	}
	section := geometry.New(part)
	if inside {
		section = section.Flip()
	}
	layers := ray.Plate(section.Thickness, acoustics.Medium{Longitudinal: 5920, Transverse: 3240})
	layers.Radius = section.Radius()
	return ring{0.150, 0.134, inside}, section, layers
}

// Points of rays that are traced in the plane are reached where their angle is
// used and they turn on plain wall, and else not; so it is where the bore turns the
// wave into a longitudinal one.
func TestReachInRing(t *testing.T) {
	const wedge, rows = 2330.0, 160
	for _, inside := range []bool{false, true} {
		r, section, layers := header(inside)
		for _, c := range []struct {
			legs     []acoustics.Wave
			from, to float64 // 63.3° is the most that comes to the bore, 29.3° that leaves it as a longitudinal wave
			at       si.Length
		}{
			{ray.Waves(acoustics.Transverse, 1), 45, 58, -32}, {ray.Waves(acoustics.Transverse, 2), 45, 58, -32}, {ray.Waves(acoustics.Transverse, 3), 45, 58, -32},
			{[]acoustics.Wave{acoustics.Transverse, acoustics.Longitudinal}, 15, 28.5, -24},
		} {
			legs, from, to := len(c.legs), c.from*math.Pi/180, c.to*math.Pi/180
			element := ray.Element{X: c.at * si.Millimetre, Height: 9 * si.Millimetre}
			var speeds []float64
			for _, wave := range c.legs {
				speeds = append(speeds, float64(layers.Speed(wave)))
			}
			way := coverage.Way{
				Course:   ray.Course{Wedge: wedge, Part: layers, Legs: c.legs},
				Emitters: []coverage.Emitter{element}, From: si.Angle(from), To: si.Angle(to),
			}
			reached := coverage.Reach(section, []coverage.View{{Transmit: way, Receive: way}}, rows)
			seen := map[bool]int{}
			for step := 0.0; step <= 600; step++ {
				launch := (5 + step/13) * math.Pi / 180
				points, directions, ok := r.trace(element, launch, wedge, speeds...)
				if !ok {
					continue
				}
				n := r.normal(points[0])
				refracted := math.Acos(math.Abs(directions[0].dot(n)))
				if math.Abs(refracted-from) < 1e-6 || math.Abs(refracted-to) < 1e-6 {
					continue
				}
				used, doubtful := refracted > from && refracted < to, false
				for bounce := 1; bounce < legs; bounce++ {
					x, _ := r.unrolled(points[bounce])
					for _, uneven := range section.Uneven(bounce%2 == 1) {
						used = used && !(x > float64(uneven[0]) && x < float64(uneven[1]))
						doubtful = doubtful || math.Abs(x-float64(uneven[0])) < 1e-7 || math.Abs(x-float64(uneven[1])) < 1e-7
					}
				}
				if doubtful {
					continue
				}
				for k := 3; k < rows; k += 13 {
					z := (float64(k) + 0.5) * float64(section.Thickness) / rows
					radius := r.scan() - z
					if inside {
						radius = r.scan() + z
					}
					at, hit := r.meets(points[legs-1], directions[legs-1], radius)
					if !hit {
						continue
					}
					x, depth := r.unrolled(at)
					if math.Abs(depth-z) > 1e-9 {
						t.Fatalf("the place lies at depth %v, sought at %v", depth, z)
					}
					left, right := section.VolumeRow(si.Length(z))
					if !(x > float64(left)+1e-7 && x < float64(right)-1e-7) {
						continue
					}
					in := false
					for _, i := range reached.Row[k] {
						in = in || x > float64(i.From)-1e-9 && x < float64(i.To)+1e-9
					}
					if in != used {
						t.Fatalf("inside %v, legs %v, %.2f°: the place %.4f mm across, %.4f mm deep: reached %v, by a traced ray %v",
							inside, c.legs, refracted*180/math.Pi, x*1e3, z*1e3, in, used)
					}
					seen[used]++
				}
			}
			if seen[true] < 50 || seen[false] < 50 {
				t.Errorf("inside %v, legs %v: %d places reached and %d not: the test looks at too few", inside, c.legs, seen[true], seen[false])
			}
		}
	}
}

// Rays of one angle all turn at one depth, R (1 − sin α): whether it is a beam that
// is moved along an array or a plane wave, nothing below is reached, and all that
// lies between the outermost rays above it is.
func TestParallelRaysReachNoDeeperThanTheyTurn(t *testing.T) {
	const angle, rows = 70 * si.Degree, 160
	r, section, layers := header(false)
	turns := r.outer * (1 - math.Sin(float64(angle)))
	way := coverage.Way{
		Course:   ray.Course{Wedge: 2330, Part: layers, Legs: ray.Waves(acoustics.Transverse, 1)},
		Emitters: []coverage.Emitter{{X: -70 * si.Millimetre, Height: 9 * si.Millimetre}, {X: -25 * si.Millimetre, Height: 9 * si.Millimetre}},
	}
	swept, waves := way, way
	swept.From, swept.To, swept.Swept = angle, angle, true
	waves.Waves = []si.Angle{angle}
	for name, way := range map[string]coverage.Way{"swept": swept, "plane wave": waves} {
		reached := coverage.Reach(section, []coverage.View{{Transmit: way, Receive: way}}, rows)
		above := 0
		for k, row := range reached.Row {
			z := float64(reached.Top) + (float64(k)+0.5)*float64(reached.Height)
			switch {
			case z < turns && len(row) > 0:
				above++
			case z > turns && len(row) > 0:
				t.Fatalf("%s: %.2f mm deep %v is reached, rays of %.0f° turn at %.2f mm", name, z*1e3, row, float64(angle/si.Degree), turns*1e3)
			}
		}
		if above < rows/3 {
			t.Errorf("%s: only %d rows are reached above", name, above)
		}
	}
}

// The angle between beam and fusion face is that in the plane, of the ray that is
// found there by halving.
func TestIncidenceInRing(t *testing.T) {
	const wedge, part = 2330.0, 3240.0
	for _, inside := range []bool{false, true} {
		r, section, layers := header(inside)
		element := ray.Element{X: -32 * si.Millimetre, Height: 9 * si.Millimetre}
		for legs := 1; legs <= 2; legs++ {
			way := coverage.Way{
				Course:   ray.Course{Wedge: wedge, Part: layers, Legs: ray.Waves(acoustics.Transverse, legs)},
				Emitters: []coverage.Emitter{element}, From: 35 * si.Degree, To: 62 * si.Degree,
			}
			speeds := slices.Repeat([]float64{part}, legs)
			compared := 0
			for _, face := range section.Faces {
				const samples = 40
				met := coverage.Incidence(section, face, []coverage.View{{Transmit: way, Receive: way}}, samples)
				ux, uz := face.Upper, face.Lower
				a, b := r.place(float64(ux.X), float64(ux.Z)), r.place(float64(uz.X), float64(uz.Z))
				long := math.Hypot(b.x-a.x, b.y-a.y)
				n := vec{(b.y - a.y) / long, -(b.x - a.x) / long}
				for i, p := range met.Points {
					if !p.Reached {
						continue
					}
					at := a.plus(vec{b.x - a.x, b.y - a.y}, (float64(i)+0.5)/samples)
					beside := func(launch float64) (float64, vec, bool) {
						points, directions, ok := r.trace(element, launch, wedge, speeds...)
						if !ok {
							return 0, vec{}, false
						}
						d := directions[legs-1]
						c := at.plus(points[legs-1], -1)
						return d.x*c.y - d.y*c.x, d, true
					}
					low, high := 15*math.Pi/180, 60*math.Pi/180
					for high > low {
						if _, _, ok := beside(high); ok {
							break
						}
						high -= 1e-4
					}
					first, _, _ := beside(low)
					for range 80 {
						if middle, _, _ := beside((low + high) / 2); middle*first > 0 {
							low = (low + high) / 2
						} else {
							high = (low + high) / 2
						}
					}
					off, d, ok := beside(low)
					if !ok || math.Abs(off) > 1e-9 {
						t.Fatalf("no traced ray comes to the face: off by %g", off)
					}
					want := math.Acos(math.Min(1, math.Abs(d.dot(n))))
					if math.Abs(float64(p.Angle)-want) > 1e-6 {
						t.Fatalf("inside %v, %d legs, face %s, point %d: %.5f° from its normal, traced %.5f°",
							inside, legs, face.Name, i, float64(p.Angle)*180/math.Pi, want*180/math.Pi)
					}
					compared++
				}
			}
			if compared < 10 {
				t.Errorf("inside %v, %d legs: only %d points were compared", inside, legs, compared)
			}
		}
	}
}
