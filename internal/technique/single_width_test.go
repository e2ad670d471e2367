package technique

import (
	"math"
	"math/cmplx"
	"testing"

	"soundwrit/internal/si"
)

// wavefronts are a row of places in the plane with the waves that pass them.
type wavefronts struct {
	at    []vec
	waves []complex128
}

// onto is what a front sends to a place, by Huygens' principle: cylindrical waves
// of a wave number, each as strong as its direction is steep to the row. Towards
// the ends of the row they fade.
func (f wavefronts) onto(p vec, k float64) (sum complex128) {
	for i, q := range f.at {
		way := q.to(p)
		sum += f.waves[i] * cmplx.Rect(math.Abs(way.unit().dot(q.unit()))/math.Sqrt(way.length()), k*way.length())
	}
	return sum
}

// circle is a row of places on a circle about the axis, 60 mm to both sides of a
// direction, to which a front sends; the last 20 fade.
func circle(middle vec, radius, k float64, sent func(p vec) complex128) (f wavefronts) {
	turn := math.Atan2(middle.x, -middle.y)
	step := 2 * math.Pi / k / 8
	n := int(60e-3 / step)
	for i := -n; i <= n; i++ {
		sin, cos := math.Sincos(turn + float64(i)*step/radius)
		p := vec{radius * sin, -radius * cos}
		fade := math.Cos(math.Pi / 2 * math.Max(0, 3*math.Abs(float64(i))/float64(n+1)-2))
		f.at, f.waves = append(f.at, p), append(f.waves, sent(p)*complex(fade*fade, 0))
	}
	return f
}

// The width of a shaped 60° probe's beam in the section of a pipe: its element of 8
// mm sends into the wedge, what passes the surface sends on into the part, and what
// comes to the far wall sends back. The part of a wave that passes the surface
// keeps its energy; behind 33° walls keep all. The rays of the program are those of
// waves much shorter than all else, and here 20 go into the path: 3 %.
func TestWidthOfSingleBeamAroundPipe(t *testing.T) {
	const kWedge, kPart = 2 * math.Pi * 4e6 / 2730, 2 * math.Pi * 4e6 / 3240
	for name, changes := range map[string][]string{"outside": seamByHand, "inside": inTheBore} {
		tech, _ := read(t, "girder-manual", changes...)
		for _, g := range tech.Groups[1:] {
			if g.Set.Name != "main" {
				for _, w := range g.Single.Widths {
					if si.Known(w.Plane) {
						t.Errorf("%s: a width of %s is stated, whose face is flat", name, g.Set.Name)
					}
				}
				continue
			}
			p := &g.Placements[0]
			exit, front := about(tech.Section, p.Exit), about(tech.Section, p.Front)
			in, near, far := exit.unit(), pipeBore, pipeOutside
			if name == "outside" {
				in, near, far = vec{-in.x, -in.y}, pipeOutside, pipeBore
			}
			forward := vec{-in.y, in.x}
			if forward.dot(exit.to(front)) < 0 {
				forward = vec{in.y, -in.x}
			}
			sine := 2730.0 / 3240 * math.Sin(float64(g.Single.Probe.Angle))
			axis := vec{}.at(forward, sine).at(in, math.Sqrt(1-sine*sine))
			along := vec{}.at(forward, math.Sqrt(1-sine*sine)).at(in, -sine)
			middle := exit.at(axis, -2730*float64(g.Single.Probe.Delay))
			entered := circle(exit, near, kPart, func(q vec) (sum complex128) {
				for i := range 200 {
					way := middle.at(along, ((float64(i)+0.5)/200-0.5)*8e-3).to(q).length()
					sum += cmplx.Rect(1/math.Sqrt(way), kWedge*way)
				}
				cosine := math.Abs(middle.to(q).unit().dot(q.unit()))
				onwards := math.Sqrt(math.Max(0.04, 1-(1-cosine*cosine)*math.Pow(3240.0/2730, 2))) // not past the critical angle
				return sum * complex(math.Sqrt(cosine/onwards), 0)
			})
			sin, cos := math.Sincos(float64(g.Single.Probe.Angle))
			down := vec{}.at(forward, sin).at(in, cos)
			wall := onCircle(exit, down, far)
			turned := circle(wall, far, kPart, func(q vec) complex128 { return entered.onto(q, kPart) })
			n := wall.unit()
			up := down.at(n, -2*down.dot(n))
			half := exit.to(wall).length()
			for i, c := range []struct {
				from, way vec
				path      float64
				field     wavefronts
			}{{exit, down, half / 2, entered}, {}, {wall, up, half / 2, turned}} {
				if c.path == 0 {
					continue // at the wall both legs have a part in it
				}
				at, beside := c.from.at(c.way, c.path), vec{-c.way.y, c.way.x}
				level := func(off float64) float64 { return cmplx.Abs(c.field.onto(at.at(beside, off), kPart)) }
				most, top := 0.0, 0.0
				for off := -4e-3; off <= 4e-3; off += 0.05e-3 {
					if x := level(off); x > most {
						most, top = x, off
					}
				}
				edge := func(sign float64) float64 {
					off := 0.0
					for level(top+sign*off) > most/math.Sqrt2 {
						off += 0.01e-3
					}
					return off
				}
				want := edge(1) + edge(-1)
				if got := float64(g.Single.Widths[i].Plane); !(math.Abs(got/want-1) < 0.03) {
					t.Errorf("%s, %.1f mm: %.3f mm wide, by summed waves %.3f", name, float64(g.Single.Widths[i].Path)*1e3, got*1e3, want*1e3)
				}
			}
		}
	}
}

// Far away the sources of an element are down by 3 dB, the echo by 6, at the edges
// that tables have: sin γ = 0.51 λ / D of a disc, 0.44 λ / e of a rectangle.
func TestSourcesOfASingleElement(t *testing.T) {
	tech, _ := read(t, "girder-manual")
	g := tech.Groups[1]
	one := *g.Single.Probe
	g.Single.Probe = &one
	for _, c := range []struct {
		diameter si.Length
		factor   float64
	}{{si.Unknown[si.Length](), 0.442}, {8e-3, 0.514}} {
		one.Diameter = c.diameter
		list, _ := g.singleSources()
		var sum complex128
		for _, e := range list {
			off := math.Hypot(float64(e.X-list[0].X), float64(e.Height-list[0].Height))
			sum += cmplx.Rect(1/float64(len(list)), 2*math.Pi*off*c.factor/8e-3)
		}
		if got := cmplx.Abs(sum); math.Abs(got-math.Sqrt2/2) > 0.005 {
			t.Errorf("element of diameter %v: %.4f of the axis at the edge of −3 dB, 0.7071", c.diameter, got)
		}
	}
}
