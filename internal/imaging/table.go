package imaging

import (
	"math"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// A table gives the delays within one stratum. Times are smooth there, over the
// box and along the array, so that polynomials through a few exact ones stand for
// them.
type table struct {
	im     *Image
	course *ray.Course
	own    []float64 // time of each element to the reflector; NaN where no ray comes there

	order        int
	x0, z0, w, h float64   // middle and half width of the box
	few          []int     // the elements that are solved for
	late         surface   // their delays, followed on past the last ray that comes to a place
	open         surface   // around a pipe, whether a ray comes: where it is positive
	mixed        bool      // somewhere it is not
	values       []float64 // of the few
	share        []float64 // of each element: how much of each of the few
	depth        float64   // last gone to

	// Elements of which no polynomial holds. Each is solved for by itself.
	apart []int
}

// A surface is what polynomials give of a few elements over the box.
type surface struct {
	coefficient []float64 // of one element after the other: order × order, z outside, x inside
	row         []float64 // of the same: order, at the depth last gone to
}

// tolerance is how well a table must give the delays, in periods.
const tolerance = 0.01

// fits are the orders tried, one after the other, and of how many elements. The
// last, of all of them, is for elements that touch the part close to a large box;
// it may miss the tolerance by as much again.
var fits = [...]struct{ order, few int }{{5, 7}, {8, 12}, {lastOrder, math.MaxInt}}

const lastOrder = 14

// newTable fills a table over the given box for all elements on one course, of
// delays against their own times.
func (im *Image) newTable(course *ray.Course, own []float64, from, to Point) *table {
	t := &table{im: im, course: course, own: own}
	t.x0, t.w = middle(from.X, to.X)
	t.z0, t.h = middle(from.Z, to.Z)
	var smooth []int
	for i, time := range own {
		if !math.IsNaN(time) {
			smooth = append(smooth, i)
		}
	}
	allowed := tolerance / float64(im.Pulse.Frequency)
	for _, fit := range fits {
		t.fill(smooth, fit.order, fit.few)
		if t.missed(spread(smooth, 9)) < allowed {
			return t
		}
	}
	for _, i := range smooth {
		if !(t.missed([]int{i}) < 2*allowed) {
			t.apart = append(t.apart, i)
		}
	}
	return t
}

// solve is the time of an element to a place, and whether its ray comes there.
func (t *table) solve(element int, x, z float64) (time, open float64) {
	late, comes := t.course.Past(t.im.Array.Elements[element], si.Length(x), si.Length(z))
	return float64(late), float64(comes)
}

// missed is the largest error of a table for some elements, at places between its
// nodes.
func (t *table) missed(elements []int) float64 {
	worst := 0.0
	delay := make([]float64, len(t.own))
	for _, p := range [...][2]float64{{-0.99, -0.99}, {0.99, -0.99}, {-0.99, 0.99}, {0.99, 0.99}, {0, -0.99}, {0.1, 0.1}, {0.6, -0.7}, {-0.6, -0.7}} {
		x, z := t.x0+p[0]*t.w, t.z0+p[1]*t.h
		t.atDepth(z)
		t.read(&t.late, delay, x)
		for _, i := range elements {
			time, _ := t.solve(i, x, z)
			worst = max(worst, math.Abs(delay[i]-(time-t.own[i])))
		}
	}
	return worst
}

// spread picks so many of a list, the first and the last among them, closer to
// each other at both ends: through such values a polynomial does not swing.
func spread(list []int, count int) []int {
	if len(list) <= count {
		return list
	}
	var few []int
	last := float64(len(list) - 1)
	for k := range count {
		i := int(math.Round(last / 2 * (1 - math.Cos(math.Pi*float64(k)/float64(count-1)))))
		if n := len(few); n == 0 || few[n-1] != list[i] {
			few = append(few, list[i])
		}
	}
	return few
}

// fill makes a table of the given order through Chebyshev's nodes, of a few of
// the elements, and how the others follow from these.
func (t *table) fill(smooth []int, order, few int) {
	n := order
	t.order, t.few = n, spread(smooth, few)
	t.late, t.open, t.values = newSurface(n, len(t.few)), newSurface(n, len(t.few)), make([]float64, len(t.few))
	t.depth, t.mixed = math.NaN(), false
	// The nodes, and the cosines that turn values there into coefficients.
	node, turn := make([]float64, n), make([]float64, n*n)
	for k := range n {
		node[k] = math.Cos(math.Pi * (float64(k) + 0.5) / float64(n))
		for j := range n {
			turn[j*n+k] = 2 / float64(n) * math.Cos(math.Pi*float64(j)*(float64(k)+0.5)/float64(n))
		}
		turn[k] /= 2
	}
	late, open, half := make([]float64, n*n), make([]float64, n*n), make([]float64, n*n)
	for i, e := range t.few {
		for k := range late {
			time, comes := t.solve(e, t.x0+t.w*node[k%n], t.z0+t.h*node[k/n])
			late[k], open[k] = time-t.own[e], comes
			t.mixed = t.mixed || comes < 0.2 // low enough that it may be negative between the nodes
		}
		t.late.fit(i, n, turn, late, half)
		if t.course.Part.Radius != 0 {
			t.open.fit(i, n, turn, open, half)
		}
	}
	t.shares()
}

func newSurface(order, elements int) surface {
	return surface{make([]float64, elements*order*order), make([]float64, elements*order)}
}

// fit turns the values of one element at the nodes into coefficients.
func (s *surface) fit(element, n int, turn, value, half []float64) {
	c := s.coefficient[element*n*n : (element+1)*n*n]
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

// atDepth goes to the depth of which these are the polynomials.
func (s *surface) atDepth(u []float64) {
	n := len(u)
	clear(s.row)
	for i := range len(s.row) / n {
		c, row := s.coefficient[i*n*n:(i+1)*n*n], s.row[i*n:(i+1)*n]
		for j, uj := range u {
			for x, cx := range c[j*n : (j+1)*n] {
				row[x] += uj * cx
			}
		}
	}
}

// shares works out how the delay of each element follows from those of the few:
// by Lagrange's polynomial over the way along the array.
func (t *table) shares() {
	elements, m := t.im.Array.Elements, len(t.few)
	along := make([]float64, len(elements))
	for i, e := range elements {
		along[i] = math.Hypot(float64(e.X-elements[0].X), float64(e.Height-elements[0].Height))
	}
	t.share = make([]float64, len(elements)*m)
	for k, e := range t.few {
		scale := 1.0
		for _, other := range t.few {
			if other != e {
				scale *= along[e] - along[other]
			}
		}
		for i := range elements {
			share := 1 / scale
			for _, other := range t.few {
				if other != e {
					share *= along[i] - along[other]
				}
			}
			t.share[i*m+k] = share
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

// chebyshev fills a list with T₀(u), T₁(u), …
func chebyshev(list []float64, u float64) {
	list[0], list[1] = 1, u
	for k := 2; k < len(list); k++ {
		list[k] = 2*u*list[k-1] - list[k-2]
	}
}

// atDepth goes to a depth, where along is asked next.
func (t *table) atDepth(z float64) {
	if z == t.depth {
		return
	}
	t.depth = z
	var store [lastOrder]float64
	u := store[:t.order]
	chebyshev(u, (z-t.z0)/t.h)
	t.late.atDepth(u)
	if t.mixed {
		t.open.atDepth(u)
	}
}

// along writes the delays of all elements at x, at the depth last gone to: NaN where
// no ray comes. Those of elements that have no ray to the reflector are good for
// nothing. Open is room for as many numbers.
func (t *table) along(dst, open []float64, x float64) {
	t.read(&t.late, dst, x)
	if t.mixed {
		t.read(&t.open, open, x)
		for i, comes := range open {
			if comes < 0 {
				dst[i] = math.NaN()
			}
		}
	}
	for _, i := range t.apart {
		_, time := t.course.To(t.im.Array.Elements[i], si.Length(x), si.Length(t.depth))
		dst[i] = float64(time) - t.own[i]
	}
}

// read writes what a surface has of all elements at x, at the depth last gone to.
func (t *table) read(s *surface, dst []float64, x float64) {
	n, m := t.order, len(t.few)
	var store [lastOrder]float64
	u := store[:n]
	chebyshev(u, (x-t.x0)/t.w)
	for i := range t.few {
		t.values[i] = dot(u, s.row[i*n:(i+1)*n])
	}
	for i := range dst {
		dst[i] = dot(t.values, t.share[i*m:(i+1)*m])
	}
}
