package imaging

import (
	"math"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// A delays table gives the time of every element to any place of a box, less
// that to the reflector, without solving for a ray each time. Times are smooth,
// so that a polynomial through a few exact ones stands for them.
type delays struct {
	order        int
	x0, z0, w, h float64   // middle and half width of the box
	coefficient  []float64 // element by element: order × order, z outside, x inside
	row          []float64 // element by element: order, at the depth last gone to
	count        int
}

const (
	// tolerance is how well a table must give the delays, in periods.
	tolerance = 0.01
	// The orders tried, one after the other. The last is for elements that touch
	// the part close to a large box; it may miss the tolerance by as much again.
	firstOrder, secondOrder, lastOrder = 5, 8, 14
)

// newDelays fills a table over the given box for all elements on one course,
// of delays against the place q.
func (im *Image) newDelays(course *ray.Course, q, from, to Point) *delays {
	own := make([]float64, len(im.Array.Elements))
	for i, e := range im.Array.Elements {
		own[i], _ = im.time(e, course, q)
	}
	for _, order := range [...]int{firstOrder, secondOrder} {
		d := im.fill(course, own, from, to, order)
		if im.missed(d, course, own) < tolerance/float64(im.Pulse.Frequency) {
			return d
		}
	}
	return im.fill(course, own, from, to, lastOrder)
}

// missed is the largest error of a table at places between its nodes.
func (im *Image) missed(d *delays, course *ray.Course, own []float64) float64 {
	worst := 0.0
	delay := make([]float64, d.count)
	for _, p := range [...][2]float64{{-0.99, -0.99}, {0.99, -0.99}, {-0.99, 0.99}, {0.99, 0.99}, {0, -0.99}, {0.1, 0.1}, {0.6, -0.7}, {-0.6, -0.7}} {
		x, z := d.x0+p[0]*d.w, d.z0+p[1]*d.h
		d.atDepth(z)
		d.along(delay, x)
		for i, e := range im.Array.Elements {
			t, _ := im.time(e, course, Point{si.Length(x), si.Length(z)})
			worst = max(worst, math.Abs(delay[i]-(t-own[i])))
		}
	}
	return worst
}

// fill makes a table of the given order through Chebyshev's nodes.
func (im *Image) fill(course *ray.Course, own []float64, from, to Point, order int) *delays {
	d := &delays{
		order: order, count: len(own),
		x0: float64(from.X+to.X) / 2, w: math.Max(float64(to.X-from.X)/2, 1e-9),
		z0: float64(from.Z+to.Z) / 2, h: math.Max(float64(to.Z-from.Z)/2, 1e-9),
	}
	n := order
	d.coefficient, d.row = make([]float64, d.count*n*n), make([]float64, d.count*n)
	// The nodes, and the cosines that turn values there into coefficients.
	node, turn := make([]float64, n), make([]float64, n*n)
	for k := range n {
		node[k] = math.Cos(math.Pi * (float64(k) + 0.5) / float64(n))
		for j := range n {
			turn[j*n+k] = 2 / float64(n) * math.Cos(math.Pi*float64(j)*(float64(k)+0.5)/float64(n))
		}
		turn[k] /= 2
	}
	value, half := make([]float64, n*n), make([]float64, n*n)
	for i, e := range im.Array.Elements {
		for z := range n {
			for x := range n {
				t, _ := im.time(e, course, Point{si.Length(d.x0 + d.w*node[x]), si.Length(d.z0 + d.h*node[z])})
				value[z*n+x] = t - own[i]
			}
		}
		c := d.coefficient[i*n*n : (i+1)*n*n]
		for z := range n {
			for j := range n {
				half[z*n+j] = dot(turn[j*n:(j+1)*n], value[z*n:(z+1)*n])
			}
		}
		for j := range n {
			for z, weight := range turn[j*n : (j+1)*n] {
				for x, v := range half[z*n : (z+1)*n] {
					c[j*n+x] += weight * v
				}
			}
		}
	}
	return d
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

// covers reports whether a place lies in the box. Beyond it the polynomials are
// good for nothing.
func (d *delays) covers(x, z float64) bool {
	const noise = 1e-9
	return math.Abs(x-d.x0) <= d.w+noise && math.Abs(z-d.z0) <= d.h+noise
}

// chebyshev fills t with T₀(u), T₁(u), …
func chebyshev(t []float64, u float64) {
	t[0], t[1] = 1, u
	for k := 2; k < len(t); k++ {
		t[k] = 2*u*t[k-1] - t[k-2]
	}
}

// atDepth goes to a depth, where along is asked next.
func (d *delays) atDepth(z float64) {
	n := d.order
	var store [lastOrder]float64
	t := store[:n]
	chebyshev(t, (z-d.z0)/d.h)
	for i := range d.count {
		c, row := d.coefficient[i*n*n:(i+1)*n*n], d.row[i*n:(i+1)*n]
		clear(row)
		for j, tj := range t {
			for x, cx := range c[j*n : (j+1)*n] {
				row[x] += tj * cx
			}
		}
	}
}

// along writes the delays of all elements at x, at the depth last gone to.
func (d *delays) along(dst []float64, x float64) {
	n := d.order
	var store [lastOrder]float64
	t := store[:n]
	chebyshev(t, (x-d.x0)/d.w)
	for i := range dst {
		dst[i] = dot(t, d.row[i*n:(i+1)*n])
	}
}
