package ray

import (
	"math"
	"slices"

	"soundwrit/internal/si"
)

// Row is the rays from one point through the same layers to one place after
// another, all of one depth. A ray differs little from the one before, so that
// each starts where that one led: places in order, evenly spaced, take a third of
// the time.
type Row struct {
	dx, step float64 // where the ray before went, and how far that was from the one before it
	u        float64 // its tangent in the fastest layer
	rise     float64 // du/dx there
	bend     float64 // how much that was more than one step before

	slowest  float64 // 1 / fastest
	straight float64 // thickness of the fastest layers
	tube     float64 // what the spread has of the speeds: (fastest / first)²
	first    float64 // 1 − (speed over the fastest)², of the first layer
	last     float64 // of the last
	count    int
	slower   [6]slower
	fastest  float64
	layers   []Layer // for a ray that has to be solved from scratch
	held     bool    // there is a ray before

	crossed [media]Layer // of each medium, as a layer
	round   *roundRow    // between circular walls, which is all there is of it then
}

// slower is what the ray crosses at a speed below the fastest, in layers of any
// order.
type slower struct {
	run   float64 // thickness × speed over the fastest
	bend  float64 // 1 − (speed over the fastest)²
	delay float64 // thickness / speed
}

// Passage is one ray of a row.
type Passage struct {
	Time si.Time // one way
	// Spread is the distance over which the sound of a point would spread as much
	// in the first layer alone: the root of the section of a narrow tube of rays
	// over the solid angle in which it left.
	Spread si.Length

	slowness float64 // sin θ / c, signed as dx
}

// Sine returns the sine of the ray's angle in a layer of the given speed, signed
// as dx.
//
//	sin θ = c · (ray parameter)
//
// Valid: the speed of any layer crossed.
// On a cylinder it is the angle at the scan surface; elsewhere the sine is as much
// larger as the radius is smaller.
// Source: Snell's law.
func (p Passage) Sine(c si.Speed) si.Ratio { return si.Ratio(p.slowness * float64(c)) }

// Row prepares the rays from an element to places of a depth z on a leg, counted
// from 1. A place on the scan surface is taken a nanometre below it, as by To.
//
// Valid: legs of the course, 0 ≤ z ≤ the thickness, and no more than six speeds
// below the fastest; no ray is known otherwise.
func (c *Course) Row(from Element, leg int, z si.Length) Row {
	depth := sought(leg, z)
	var store [12]slab
	slabs := c.slabs(store[:0], from, leg, depth)
	if leg%2 == 0 { // upwards, so that what the ray ends in comes last
		slices.Reverse(slabs[len(slabs)-len(c.cut(nil, leg, depth)):])
	}
	if bend := c.Part.curvature(); bend != 0 {
		r := roundRow{ring: newRing(slices.Clone(slabs), bend), begins: 1 - bend*slabs[0].upper, ends: 1 - bend*depth}
		return Row{round: &r}
	}
	layers := make([]Layer, 0, len(slabs))
	var crossed [media]Layer
	for _, s := range slabs {
		l := Layer{si.Length(s.lower - s.upper), si.Speed(s.speed)}
		crossed[s.in] = Layer{crossed[s.in].Thickness + l.Thickness, l.Speed}
		layers = append(layers, l)
	}
	r := newRow(layers)
	r.crossed = crossed
	return r
}

// newRow prepares the rays through flat layers, the first of which begins at the
// point that they leave.
func newRow(layers []Layer) Row {
	r := Row{layers: layers, fastest: crossable(layers)}
	if math.IsNaN(r.fastest) {
		return r
	}
	first, last := float64(layers[0].Speed), float64(layers[len(layers)-1].Speed)
	below := func(c float64) float64 { return (1 - c/r.fastest) * (1 + c/r.fastest) }
	r.first, r.last, r.tube, r.slowest = below(first), below(last), r.fastest*r.fastest/(first*first), 1/r.fastest
	var speeds [6]float64
next:
	for _, l := range layers {
		h, c := float64(l.Thickness), float64(l.Speed)
		switch {
		case h == 0:
			continue
		case c == r.fastest:
			r.straight += h
			continue
		}
		for i, other := range speeds[:r.count] {
			if other == c {
				r.slower[i].run += h * c / r.fastest
				r.slower[i].delay += h / c
				continue next
			}
		}
		if r.count == len(speeds) {
			r.fastest = math.NaN()
			return r
		}
		speeds[r.count] = c
		r.slower[r.count] = slower{h * c / r.fastest, below(c), h / c}
		r.count++
	}
	return r
}

// To returns the ray to a place that lies dx further along the interfaces. Between
// flat walls, with u the tangent in the fastest layer, r = c / fastest,
// t = 1 + (1 − r²) u² and X(u) the run of Between:
//
//	time (u dx / fastest + Σ h √t / c) / √(1 + u²)
//	spread² = (fastest / c₁)² √(t₁ tₙ) (1 + u²) (X / u) dX/du
//
// and between circular ones as roundRow.to.
//
// Valid: as Between; NaN where no ray goes so far round. Time is good to 1e-9 of
// itself, sine to 1e-5, spread to 1e-4.
// Source: Fermat's principle: time does not change with u at the ray, so that an
// error of u counts with its square. Spread: neighbouring rays. Brute force in
// row_test.go.
func (r *Row) To(dx si.Length) Passage {
	x := float64(dx)
	if r.round != nil {
		return r.round.to(x)
	}
	if !(math.Abs(x) <= math.MaxFloat64 && r.fastest > 0) {
		r.held = false
		return nowhere()
	}
	if !r.held {
		r.start(x)
	}
	step := x - r.dx
	u := r.u + step*r.rise
	if math.Abs(step-r.step) <= 1e-6*math.Abs(step) {
		u += step * r.bend / 2
	}
	for tries := 0; ; tries++ {
		square := u * u
		run, slope, delay := r.straight, r.straight, 0.0
		for i := 0; i < r.count; i++ {
			l := &r.slower[i]
			root := math.Sqrt(1 + l.bend*square)
			w := 1 / root
			run += l.run * w
			slope += l.run * w * w * w
			delay += l.delay * root
		}
		rise := 1 / slope
		off := (x - run*u) * rise
		if !(off*off <= 1e-10*(1+square)) && tries < 5 {
			if u += off; tries == 3 { // far from the ray before: from scratch, which never fails
				u = math.Copysign(tangent(math.Abs(x), r.fastest, r.layers), x)
			}
			continue
		}
		r.dx, r.step, r.u, r.rise, r.bend = x, step, u+off, rise, rise-r.rise
		across := 1 + square
		cosine := 1 / math.Sqrt(across)
		ends := math.Sqrt((1 + r.first*square) * (1 + r.last*square))
		return Passage{
			Time:     si.Time(((u*x+r.straight)*r.slowest + delay) * cosine),
			Spread:   si.Length(math.Sqrt(r.tube * ends * across * run * slope)),
			slowness: u * cosine * r.slowest,
		}
	}
}

// start solves the first ray of a row.
func (r *Row) start(x float64) {
	r.held, r.dx, r.step, r.rise, r.bend = true, x, math.Inf(1), 0, 0
	r.u = math.Copysign(tangent(math.Abs(x), r.fastest, r.layers), x)
}

// nowhere is no ray.
func nowhere() Passage {
	return Passage{si.Unknown[si.Time](), si.Unknown[si.Length](), math.NaN()}
}

// Ways is how far a ray goes in the wedge, and in the base metal as each kind of
// wave.
type Ways struct{ Wedge, Longitudinal, Transverse si.Length }

// Ways returns those of a ray of the row.
//
//	Σ h / cos θ, or of the straight lines between circles
//
// Valid: rays that exist; rows of a course.
// Source: geometry.
func (r *Row) Ways(p Passage) Ways {
	var ways [media]float64
	if r.round != nil {
		ways = r.round.ways(p.slowness)
	} else {
		for i, l := range r.crossed[:inLayer] {
			if l.Thickness > 0 {
				sine := p.slowness * float64(l.Speed)
				ways[i] = float64(l.Thickness) / math.Sqrt(1-sine*sine)
			}
		}
	}
	return Ways{si.Length(ways[inWedge]), si.Length(ways[inBase]), si.Length(ways[inBase+1])}
}
