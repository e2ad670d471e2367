package ray

import (
	"math"

	"soundwrit/internal/si"
)

// ring is what rays cross between circular walls. They are known by the angle θ
// at the place that limits their slowness: the run X(θ) rises from 0 to 90°, where
// it ends, and no ray goes farther.
type ring struct {
	slabs    []slab
	bend     float64 // curvature of the scan surface
	limit    float64 // the largest slowness along it
	farthest float64 // run of the ray of that slowness; NaN where nothing can be crossed
}

func newRing(slabs []slab, bend float64) ring {
	g := ring{slabs: slabs, bend: bend, limit: tightest(slabs, bend), farthest: math.NaN()}
	if g.limit < math.Inf(1) {
		g.farthest = g.follow(math.Pi / 2).run
	}
	return g
}

// way is what a ray does on its whole way.
type way struct {
	pace
	run, slope   float64 // along the scan surface, and how much it grows with the slowness
	time, across float64 // Σ length / c, Σ length · c
}

// follow follows the ray of an angle.
func (g *ring) follow(angle float64) way {
	sin, cos := math.Sincos(angle)
	w := way{pace: pace{sine: g.limit * sin, cosine: g.limit * cos, limit: g.limit}}
	for i := range g.slabs {
		s := &g.slabs[i]
		o := w.over(*s, g.bend)
		w.run += o.run
		w.slope += o.slope
		w.time += o.length / s.speed
		w.across += o.length * s.speed
	}
	return w
}

// solve returns the angle, below a bound, of the ray that runs a distance, within a
// step of Newton's that is no longer than close; and the way of the ray before that
// step. The step is taken where it stays between the bounds that
// earlier ones have set, and these are halved where it does not.
func (g *ring) solve(distance, guess, close, bound float64) (angle float64, w way) {
	low, high := 0.0, bound
	if angle = guess; !(angle >= low && angle < high) {
		angle = 1
	}
	for range 200 {
		w = g.follow(angle)
		if w.run > distance {
			high = angle
		} else {
			low = angle
		}
		next := angle + (distance-w.run)/(w.slope*w.cosine)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		step := math.Abs(next - angle)
		if angle = next; !(step > close) {
			break
		}
	}
	return angle, w
}

// ray returns the tangent of the angle of the ray that runs so far, signed as the
// run. The ray between flat walls is the first guess.
func (g *ring) ray(dx float64, flat Path) float64 {
	guess := math.Asin(math.Min(1, flat.tan/math.Sqrt(1+flat.tan*flat.tan)/(flat.fastest*g.limit)))
	angle, _ := g.solve(math.Abs(dx), math.Abs(guess), 1e-14, math.Pi/2)
	return math.Copysign(math.Tan(angle), dx)
}

// past returns the time over a distance as a smooth function of it, on both sides
// of the farthest run, and the cosine of θ. Both run and time are smooth in θ at
// 90°, where w = ρ cos β is zero at the place that limits the slowness; beyond, w
// is negative there alone. So a line that ends there goes on past its lowest point.
//
//	length = Δz (ρ₁ + ρ₂) / (w₁ + w₂) = (w₁ − w₂) R
//
// Source: own derivation; the chord in the plane in ring_test.go.
func (g *ring) past(distance float64) (time, cosine float64) {
	const bound, close = 0.9 * math.Pi, 1e-6
	angle, w := g.solve(distance, 1, close, bound)
	if !(g.farthest > 0 && math.Abs(distance-w.run) < close && angle < bound-close) {
		return math.NaN(), math.NaN()
	}
	return w.time + w.sine*(distance-w.run), math.Cos(angle)
}

// roundRow is a Row between circular walls.
type roundRow struct {
	ring
	begins, ends    float64 // radius where a ray begins and ends, over that of the scan surface
	dx, angle, rise float64 // of the ray before, and dθ/dx there
	held            bool
}

// to returns the ray to a place that lies dx further along the scan surface. A
// time does not change with θ at the ray, so that it is good to the square of the
// last step.
//
//	time Σ length / c + p (dx − X)
//
// Source: Fermat's principle; the spread is that of Ray.Spread.
func (r *roundRow) to(dx float64) Passage {
	distance := math.Abs(dx)
	if !(distance <= r.farthest) {
		r.held = false
		return nowhere()
	}
	guess := 0.7
	if r.held {
		guess = math.Abs(r.angle + (dx-r.dx)*r.rise)
	}
	angle, w := r.solve(distance, guess, 1e-5, math.Pi/2)
	r.dx, r.angle, r.rise, r.held = dx, math.Copysign(angle, dx), 1/(w.slope*w.cosine), true
	first := r.slabs[0].speed
	leaves, arrives := w.cosineAt(r.begins, first), w.cosineAt(r.ends, r.slabs[len(r.slabs)-1].speed)
	return Passage{
		Time:     si.Time(w.time + w.sine*(distance-w.run)),
		Spread:   spread(leaves, arrives, w.slope, w.across, first),
		slowness: math.Copysign(r.limit*math.Sin(angle), dx),
	}
}

// ways adds up what is crossed of each medium.
func (r *roundRow) ways(slowness float64) (ways [media]float64) {
	p := pace{sine: slowness, cosine: math.Sqrt((r.limit - slowness) * (r.limit + slowness)), limit: r.limit}
	for i := range r.slabs {
		ways[r.slabs[i].in] += p.over(r.slabs[i], r.bend).length
	}
	return ways
}
