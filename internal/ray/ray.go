// Package ray finds the path of a ray between two points through wedge and part,
// and the delays that follow from it. It is the one place of the program that
// solves for a path: Between through flat layers, Course through the strata of a
// part over legs of any kind of wave, between flat walls or round ones.
//
// Between two points the ray takes the shortest time (Fermat), which is the
// same as Snell's law at each interface. A reflection at a flat wall is
// unfolded: the target is mirrored, and the ray goes straight on.
package ray

import (
	"math"

	"soundwrit/internal/si"
)

// Layer is one flat layer that a ray crosses.
type Layer struct {
	Thickness si.Length
	Speed     si.Speed // of the wave mode in this layer
}

// Path is the ray between two points. Time is one way.
type Path struct {
	Time si.Time

	// tan is the tangent of the ray's angle in the fastest layer, signed as dx.
	// Everything else follows from it without loss of digits near grazing.
	tan, fastest float64
}

// Between returns the ray from one point to another that lies dx further along
// the interfaces and on the other side of all layers.
//
//	Σ hⱼ tan θⱼ = dx, sin θⱼ / cⱼ the same in all layers; time Σ hⱼ / (cⱼ cos θⱼ)
//
// Valid: any number of layers, any sign of dx, thickness ≥ 0 with at least one
// above 0, speeds > 0, all finite; NaN otherwise. A layer of no thickness does
// not exist for the ray.
// Source: Fermat's principle; published cases P248 to P253 in package acoustics
// and brute-force minimisation in ray_test.go.
func Between(dx si.Length, layers []Layer) Path {
	fastest := crossable(layers)
	distance := math.Abs(float64(dx))
	if !(fastest > 0 && distance <= math.MaxFloat64) {
		return unknown()
	}

	u := tangent(distance, fastest, layers)
	time := 0.0
	for _, l := range layers {
		if l.Thickness > 0 {
			r := float64(l.Speed) / fastest
			time += float64(l.Thickness) / float64(l.Speed) * math.Sqrt((1+u*u)/(1+(1-r)*(1+r)*u*u))
		}
	}
	return Path{si.Time(time), math.Copysign(u, float64(dx)), fastest}
}

// crossable returns the speed of the fastest layer; NaN where a layer is none, or
// all are of no thickness.
func crossable(layers []Layer) float64 {
	fastest := 0.0
	for _, l := range layers {
		if !(l.Thickness >= 0 && l.Speed > 0) || math.IsInf(float64(l.Thickness), 1) || math.IsInf(float64(l.Speed), 1) {
			return math.NaN()
		}
		if c := float64(l.Speed); l.Thickness > 0 && c > fastest {
			fastest = c
		}
	}
	if fastest == 0 {
		return math.NaN()
	}
	return fastest
}

// tangent solves for u, the tangent of the angle in the fastest layer. With
// r = c / fastest the horizontal run is
//
//	X(u) = Σ h r u / √(1 + (1 − r²) u²)
//
// which rises and bends downwards for all u ≥ 0. Newton's step from below such
// a curve never passes the root, so it needs no bracket; started from the angle
// or the crossing it would (2330 over 5900 m/s is enough). Two bounds from below
// start it: X(u) is at most u Σ h r, and at most u times the fastest layers'
// thickness plus the farthest that the slower layers can ever carry.
func tangent(distance, fastest float64, layers []Layer) float64 {
	slope, reach, straight := 0.0, 0.0, 0.0
	for _, l := range layers {
		h, r := float64(l.Thickness), float64(l.Speed)/fastest
		switch {
		case h == 0:
		case r == 1:
			straight += h
		default:
			slope += h * r
			reach += h * r / math.Sqrt((1-r)*(1+r))
		}
	}
	u := math.Max(distance/(slope+straight), (distance-reach)/straight)
	// Each step multiplies u by 1.5 at least where it is far off, then doubles the
	// digits: some six steps are usual, and the bound is never met.
	for range 100 {
		run, slope := straight*u, straight
		for _, l := range layers {
			if r := float64(l.Speed) / fastest; l.Thickness > 0 && r != 1 {
				w := 1 / (1 + (1-r)*(1+r)*u*u)
				s := float64(l.Thickness) * r * math.Sqrt(w)
				run += s * u
				slope += s * w
			}
		}
		step := (distance - run) / slope
		u += step
		if !(step > 1e-9*u) {
			break
		}
	}
	return math.Max(u, 0)
}

// Angle returns the ray's angle from the normal in a layer of the given speed,
// signed as dx.
//
//	sin θ = c · (ray parameter)
//
// Valid: the speed of any layer crossed; NaN for a speed so high that the ray
// would not exist there.
// Source: Snell's law.
func (p Path) Angle(c si.Speed) si.Angle {
	return si.Angle(math.Atan(p.slope(c)))
}

// Across returns how far along the interfaces the ray moves within a layer,
// signed as dx. The sum over the layers down to an interface is where it
// crosses that interface.
//
//	h tan θ
//
// Valid: as Angle; zero in a layer of no thickness.
// Source: geometry.
func (p Path) Across(l Layer) si.Length {
	if l.Thickness == 0 {
		return 0
	}
	return l.Thickness * si.Length(p.slope(l.Speed))
}

// slope returns tan θ in a layer of speed c.
func (p Path) slope(c si.Speed) float64 {
	if !(c > 0) {
		return math.NaN()
	}
	r := float64(c) / p.fastest
	return p.tan * r / math.Sqrt(1+(1-r)*(1+r)*p.tan*p.tan)
}

func unknown() Path {
	return Path{si.Unknown[si.Time](), math.NaN(), math.NaN()}
}

// Unfold returns the depth at which a point appears to a ray that reaches it on
// the given leg, when the ray is drawn straight through its reflections.
//
//	leg 1: z; leg 2: 2 t − z; leg 3: 2 t + z; leg 4: 4 t − z …
//
// Valid: leg ≥ 1, t > 0, 0 ≤ z ≤ t within float noise, else NaN.
// Source: method of images at flat parallel walls; published case P140.
func Unfold(leg int, depth, thickness si.Length) si.Length {
	noise := 1e-9 * thickness
	if !(leg >= 1 && thickness > 0 && depth >= -noise && depth <= thickness+noise) {
		return si.Unknown[si.Length]()
	}
	if leg%2 == 1 {
		return si.Length(leg-1)*thickness + depth
	}
	return si.Length(leg)*thickness - depth
}
