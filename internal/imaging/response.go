package imaging

import "math"

// The sum over pairs is done in two steps, each linear in the elements. With
// the envelope h and the carrier ω of the pulse,
//
//	E = Σᵢ wᵢ e^{iωaᵢ} C(aᵢ),  C(t) = Σⱼ vⱼ e^{iωbⱼ} h(t + bⱼ)
//
// C is smooth, since the carrier is taken out of it: it is added up on a grid of
// times that is fine against the envelope, and read between its points by a
// polynomial. One C serves every transmission at once.
const (
	// fineness is how many points of time a standard deviation of the envelope
	// holds: a polynomial through six of them misses a Gaussian by 1e-4 of its peak.
	fineness = 3
	// wide is how far the envelope reaches, in points: at four standard deviations
	// it is 3e-4 of its peak.
	wide = 4 * fineness
	// margin is what the polynomial needs on each side.
	margin = 3
)

// deviation is the standard deviation of the envelope in time.
//
//	σ = 1 / (2π σ_f), σ_f = b f / (2 √(2 ln 2)), one half of the spectrum's peak at b f / 2
func (p Pulse) deviation() float64 {
	spread := float64(p.Bandwidth) * float64(p.Frequency) / 2 / math.Sqrt(2*math.Ln2)
	return 1 / (2 * math.Pi * spread)
}

// echoes is C on its grid of times.
type echoes struct {
	carrier float64 // angular frequency
	step    float64 // of the grid
	start   float64
	re, im  []float64
	bell    [wide + 1]float64 // the envelope at whole points from its middle
	circle  [turns]struct{ sin, cos float64 }
}

// turns is how many angles of the circle are known, from one of which any other is
// found by a short series.
const turns = 256

func newEchoes(p Pulse) *echoes {
	c := &echoes{carrier: 2 * math.Pi * float64(p.Frequency), step: p.deviation() / fineness}
	for m := range c.bell {
		c.bell[m] = math.Exp(-float64(m*m) / (2 * fineness * fineness))
	}
	for k := range c.circle {
		c.circle[k].sin, c.circle[k].cos = math.Sincos(2 * math.Pi * float64(k) / turns)
	}
	return c
}

// phase returns sine and cosine of that of the carrier after a time, to 1e-8.
func (c *echoes) phase(time float64) (sin, cos float64) {
	const step = 2 * math.Pi / turns
	angle := c.carrier * time
	whole := math.Floor(angle/step + 0.5)
	x := angle - whole*step // at most π / 256
	at := &c.circle[int(whole)&(turns-1)]
	s, k := x*(1-x*x/6), 1-x*x/2
	return at.sin*k + at.cos*s, at.cos*k - at.sin*s
}

// collect adds up C for receivers of the given weights and delays, as far as
// transmissions with delays from least to most can ask for it. Receivers whose
// delay is not known add nothing. It reports whether the span is one.
func (c *echoes) collect(weights, delays []float64, least, most float64) bool {
	// A bell counts whose middle lies up to its width outside, and has its own
	// width of room beyond.
	const room = 2 * (wide + margin)
	span := (most - least) / c.step
	if !(span >= 0 && span < 1e5) {
		return false
	}
	c.start = least - room*c.step
	points := int(span) + 2*room + 2
	if cap(c.re) < points {
		c.re, c.im = make([]float64, 2*points), make([]float64, 2*points)
	}
	c.re, c.im = c.re[:points], c.im[:points]
	clear(c.re)
	clear(c.im)
	for j, b := range delays {
		if place := (-b - c.start) / c.step; place >= wide && place < float64(points-wide-1) && weights[j] > 0 {
			c.add(weights[j], b)
		}
	}
	return true
}

// add adds one receiver. With x the distance of its middle from the nearest
// point, the envelope m points further is
//
//	exp(−(m − x)² / 2s²) = exp(−x² / 2s²) · exp(x / s²)^m · exp(−m² / 2s²)
//
// so that powers of one number, taken step by step, stand for the exponentials
// (L. Greengard, J.-Y. Lee, SIAM Review 46 (2004) 443, from memory).
func (c *echoes) add(weight, b float64) {
	sin, cos := c.phase(b)
	place := (-b - c.start) / c.step
	middle := int(place + 0.5)
	x := (place - float64(middle)) / fineness // at most 1/6, so that short series do for both exponentials
	h := x * x / 2
	top := weight * (1 - h*(1-h*(0.5-h/6)))
	y := x / fineness
	even, odd := 1+y*y*(0.5+y*y/24), y*(1+y*y/6)
	up, down := even+odd, even-odd // e^y and e^−y
	right, left := top, top
	re, im := c.re[middle-wide:middle+wide+1], c.im[middle-wide:middle+wide+1]
	re[wide] += top * cos
	im[wide] += top * sin
	for m := 1; m <= wide; m++ {
		right, left = right*up, left*down
		r, l := right*c.bell[m], left*c.bell[m]
		re[wide+m] += r * cos
		im[wide+m] += r * sin
		re[wide-m] += l * cos
		im[wide-m] += l * sin
	}
}

// answer is what one transmission of delay a adds to the image, all receivers
// together.
func (c *echoes) answer(a float64) complex128 {
	place := (a - c.start) / c.step
	if !(place >= margin && place < float64(len(c.re)-margin)) {
		return 0 // no echo of the point lasts till here, or no ray comes
	}
	i := int(place)
	f := place - float64(i)
	f1, f4, g := f*f-1, f*f-4, f-3
	// Lagrange's polynomial through the points −2 to 3.
	w := [6]float64{
		-f * f1 * (f - 2) * g / 120, f * (f - 1) * f4 * g / 24, -f1 * f4 * g / 12,
		f * (f + 1) * f4 * g / 12, -f * f1 * (f + 2) * g / 24, f * f1 * f4 / 120,
	}
	var re, im float64
	for k, x := range c.re[i-2 : i+4] {
		re += w[k] * x
		im += w[k] * c.im[i-2+k]
	}
	sin, cos := c.phase(a)
	return complex(re*cos-im*sin, re*sin+im*cos)
}
