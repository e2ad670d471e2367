package ray

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// Rays in space, for the brute force: straight lines that cylinders and planes
// refract and reflect as vectors. X is to the right, y along the pipe, z down; the
// axis lies at z = R.
type vector [3]float64

func (a vector) plus(b vector, u float64) vector {
	return vector{a[0] + u*b[0], a[1] + u*b[1], a[2] + u*b[2]}
}
func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vector) cross(b vector) vector {
	return vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
func (a vector) unit() vector { return vector{}.plus(a, 1/math.Sqrt(a.dot(a))) }

// face is met at a depth, and the ray goes on at another speed.
type face struct {
	depth, speed float64
	reflects     bool
}

// at is a place of the section in space.
func at(radius, x, z float64) vector {
	if radius == 0 {
		return vector{x, 0, z}
	}
	return vector{(radius - z) * math.Sin(x/radius), 0, radius - (radius-z)*math.Cos(x/radius)}
}

// meets returns where a line meets the face at a depth, and the normal there.
func meets(radius, depth float64, from, d vector) (hit, normal vector) {
	if radius == 0 {
		return from.plus(d, (depth-from[2])/d[2]), vector{0, 0, 1}
	}
	x, z, r := from[0], from[2]-radius, radius-depth
	a, b, c := d[0]*d[0]+d[2]*d[2], x*d[0]+z*d[2], x*x+z*z-r*r
	root := math.Sqrt(b*b - a*c)
	u := (-b - root) / a
	if u < 1e-9 {
		u = (-b + root) / a
	}
	hit = from.plus(d, u)
	return hit, vector{hit[0], 0, hit[2] - radius}.unit()
}

// trace follows a direction through faces, and returns the last line.
func trace(radius float64, from, d vector, speed float64, faces []face) (vector, vector) {
	for _, f := range faces {
		hit, n := meets(radius, f.depth, from, d)
		inward := d.dot(n)
		along := vector{}.plus(d.plus(n, -inward), f.speed/speed)
		out := math.Copysign(math.Sqrt(1-along.dot(along)), inward)
		if f.reflects {
			out = -out
		}
		from, d, speed = hit, along.plus(n, out), f.speed
	}
	return from, d
}

// The section of a tube between four neighbours in space, traced as vectors, over
// the solid angle in which they left. Tolerance: directions 2e-5 apart, whose
// error goes with their square.
func TestSpreadAgainstTracedRays(t *testing.T) {
	const thickness, bond = 0.012, 0.009
	clad := acoustics.Medium{Longitudinal: 5700, Transverse: 3000}
	for _, radius := range []float64{0, 0.06, 0.3, -0.06, -0.3} {
		for _, legs := range [][]acoustics.Wave{{trans}, {long}, {trans, trans}, {long, trans}, {trans, long}, {long, trans, long}} {
			for _, z := range []float64{0.003, 0.0115} {
				c := Course{Wedge: 2330, Part: Part{Radius: si.Length(radius), Strata: []Stratum{{bond, steel()}, {thickness - bond, clad}}}, Legs: legs}
				r := c.Leave(Element{-0.03, 0.006}, 25*si.Degree)
				if !si.Known(r.X(len(legs), si.Length(z))) {
					t.Fatalf("radius %g, %v: the ray does not come to %g", radius, legs, z)
				}
				speed := func(leg, stratum int) float64 { return float64(c.Part.Strata[stratum].Speed(legs[leg])) }
				faces := []face{{0, speed(0, 0), false}}
				for leg := range legs {
					last, down := leg == len(legs)-1, leg%2 == 0
					if down && (!last || z > bond) {
						faces = append(faces, face{bond, speed(leg, 1), false})
					}
					if !down && (!last || z < bond) {
						faces = append(faces, face{bond, speed(leg, 0), false})
					}
					if !last && down {
						faces = append(faces, face{thickness, speed(leg+1, 1), true})
					} else if !last {
						faces = append(faces, face{0, speed(leg+1, 0), true})
					}
				}
				start := at(radius, -0.03, -0.006)
				lean := float64(r.AtElement())
				if radius != 0 {
					lean += 0.03 / radius
				}
				direction := func(inPlane, across float64) vector {
					sin, cos := math.Sincos(lean + inPlane)
					return vector{sin, math.Tan(across), cos}.unit()
				}
				from, axis := trace(radius, start, direction(0, 0), 2330, faces)
				end, _ := meets(radius, z, from, axis)
				if want := at(radius, float64(r.X(len(legs), si.Length(z))), z); math.Sqrt(end.plus(want, -1).dot(end.plus(want, -1))) > 1e-9 {
					t.Fatalf("radius %g, %v: the ray ends at %v, traced %v", radius, legs, want, end)
				}
				pierce := func(d vector) vector {
					from, d := trace(radius, start, d, 2330, faces)
					return from.plus(d, end.plus(from, -1).dot(axis)/d.dot(axis))
				}
				const e = 1e-5
				size := func(of func(vector) vector) float64 {
					section := of(direction(e, 0)).plus(of(direction(-e, 0)), -1).cross(of(direction(0, e)).plus(of(direction(0, -e)), -1))
					return math.Sqrt(section.dot(section))
				}
				want := math.Sqrt(size(pierce) / size(func(d vector) vector { return d }))
				isClose(t, "spread", float64(r.Spread(len(legs), si.Length(z))), want, 1e-6*want)
			}
		}
	}
}

// The same ray back spreads as much, but for the speeds at both ends: the spread
// times the speed where it leaves is the same.
func TestSpreadIsReciprocal(t *testing.T) {
	base, clad := Stratum{0.02, steel()}, Stratum{0.004, acoustics.Medium{Longitudinal: 5700, Transverse: 3100}}
	for _, radius := range []si.Length{0, 0.1, 0.5, -0.1} {
		there := Course{Part: Part{Radius: radius, Strata: []Stratum{base, clad}}, Legs: []acoustics.Wave{trans, long, trans}}
		back := Course{Part: Part{Strata: []Stratum{clad, base}, Base: 1}, Legs: []acoustics.Wave{trans, long, trans}}
		scale := si.Length(1)
		if radius != 0 {
			back.Part.Radius, scale = -(radius - 0.024), 1-0.024/radius
		}
		r, _ := there.To(Element{}, 0.025, 0.024)
		s, _ := back.To(Element{X: 0.025 * scale}, 0, 0.024)
		one, other := float64(r.Spread(3, 0.024))*3240, float64(s.Spread(3, 0.024))*3100
		isClose(t, "spread back", other, one, 1e-9*one)
	}
}

// A ray that turns before the bore spreads there by a finite amount, that of the
// straight line that it is: with no wedge, its length.
func TestSpreadWhereARayTurns(t *testing.T) {
	c := Course{Part: Part{Radius: 0.1, Strata: []Stratum{{0.03, steel()}}}, Legs: Waves(trans, 1)}
	turn := 0.1 * (1 - math.Sin(60*math.Pi/180))
	for _, before := range []float64{1e-3, 1e-6, 1e-9} {
		got := float64(c.Leave(Element{}, 60*si.Degree).Spread(1, si.Length(turn*(1-before))))
		isClose(t, "spread", got, float64(c.Leave(Element{}, 60*si.Degree).Path(1, si.Length(turn*(1-before)))), 1e-9)
	}
	if got := c.Leave(Element{}, 60*si.Degree).Spread(1, si.Length(turn*1.001)); si.Known(got) {
		t.Errorf("past the turn it spreads by %v", got)
	}
}

// The pieces of a ray are those that straight lines in space have between one face
// and the next, and meet the faces at the angles that they have there.
func TestPiecesAgainstTracedRays(t *testing.T) {
	const thickness, bond = 0.012, 0.009
	clad := acoustics.Medium{Longitudinal: 5700, Transverse: 3000}
	for _, radius := range []float64{0, 0.08, -0.08} {
		c := Course{Wedge: 2330, Part: Part{Radius: si.Length(radius), Strata: []Stratum{{bond, steel()}, {thickness - bond, clad}}}, Legs: []acoustics.Wave{long, trans, trans}}
		r := c.Leave(Element{-0.03, 0.006}, 25*si.Degree)
		from, d := at(radius, float64(r.Entry()), 0), vector{}
		lean := float64(25 * si.Degree)
		if radius != 0 {
			lean -= float64(r.Entry()) / radius
		}
		d = vector{math.Sin(lean), 0, math.Cos(lean)}
		faces := []face{{bond, 5700, false}, {thickness, 3000, true}, {bond, 3240, false}, {0, 3240, true}, {0.005, 3240, false}}
		where := []Piece{{Leg: 1, Stratum: 0}, {Leg: 1, Stratum: 1}, {Leg: 2, Stratum: 1}, {Leg: 2, Stratum: 0}, {Leg: 3, Stratum: 0}}
		pieces, speed := r.Pieces(3, 0.005), 5920.0
		if len(pieces) != len(faces) {
			t.Fatalf("radius %g: %d pieces, traced %d", radius, len(pieces), len(faces))
		}
		for i, f := range faces {
			hit, normal := meets(radius, f.depth, from, d)
			way := hit.plus(from, -1)
			p := pieces[i]
			isClose(t, "length", float64(p.Length), math.Sqrt(way.dot(way)), 1e-9)
			isClose(t, "angle", math.Abs(float64(p.Meets)), math.Acos(math.Abs(d.dot(normal))), 1e-7)
			if p.Leg != where[i].Leg || p.Stratum != where[i].Stratum {
				t.Errorf("radius %g: piece %d lies on leg %d in stratum %d", radius, i, p.Leg, p.Stratum)
			}
			from, d = trace(radius, from, d, speed, []face{f})
			speed = f.speed
		}
	}
	c := Course{Part: Plate(0.02, steel()), Legs: Waves(trans, 2)}
	if list := c.Leave(Element{}, 0.5).Pieces(3, 0.01); list != nil {
		t.Errorf("%d pieces on a leg that is not there", len(list))
	}
	// To a place on the bond, nothing of the stratum behind it is crossed.
	clad2 := Course{Part: Part{Strata: []Stratum{{bond, steel()}, {0.003, clad}}}, Legs: Waves(trans, 1)}
	if list := clad2.Leave(Element{}, 0.5).Pieces(1, bond); len(list) != 1 {
		t.Errorf("%d pieces to the bond", len(list))
	}
}
