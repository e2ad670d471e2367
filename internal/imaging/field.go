package imaging

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// field is the response to a reflector at one place, within a box around it.
type field struct {
	im        *Image
	at        Point
	out, back *delays   // the same table where both ways are the same course
	sends     []float64 // what each element sends to the place
	hears     []float64 // what it receives of it
	heard     float64   // all of that together
	a, b      []float64 // delays of the place last asked for
	echoes    *echoes
	answers   []complex128 // of each element's transmission
	depth     float64
}

func (im *Image) newField(q, from, to Point) *field {
	n := len(im.Array.Elements)
	f := &field{im: im, at: q, b: make([]float64, n), echoes: newEchoes(im.Pulse), answers: make([]complex128, n), depth: math.NaN()}
	f.back, f.hears = im.newDelays(&im.Back, q, from, to), im.weights(&im.Back, q)
	f.out, f.sends, f.a = f.back, f.hears, f.b
	if !im.Out.Equal(&im.Back) {
		f.out, f.sends, f.a = im.newDelays(&im.Out, q, from, to), im.weights(&im.Out, q), make([]float64, n)
	}
	for _, v := range f.hears {
		f.heard += v
	}
	return f
}

// weights is what each element sends to a place.
func (im *Image) weights(course *ray.Course, q Point) []float64 {
	w := make([]float64, len(im.Array.Elements))
	for i, e := range im.Array.Elements {
		w[i] = im.weight(e, course, q)
	}
	return w
}

// place is where so far from the reflector, in the plane of the section.
func (f *field) place(along, deeper float64) (x, z float64) {
	px, pz := f.im.Out.Part.Beside(f.at.X, f.at.Z, si.Length(along), si.Length(deeper))
	return float64(px), float64(pz)
}

// goTo goes to a depth, for the places asked for next.
func (f *field) goTo(z float64) {
	f.depth = z
	f.back.atDepth(z)
	if f.out != f.back {
		f.out.atDepth(z)
	}
}

// delays looks up the delays at x and the depth last gone to.
func (f *field) delays(x float64) {
	f.back.along(f.b, x)
	if f.out != f.back {
		f.out.along(f.a, x)
	}
}

// wave is the delay of a plane wave at x and the depth last gone to, against
// the reflector.
func (f *field) wave(angle si.Angle, x float64) float64 {
	c := &f.im.Out
	r := c.Leave(ray.Element{}, angle)
	return float64(r.Front(len(c.Legs), si.Length(x), si.Length(f.depth)) - r.Front(len(c.Legs), f.at.X, f.at.Z))
}

// show writes the analytic response of each transmission, over its peak, at x
// and the depth last gone to.
func (f *field) show(dst []complex128, x float64, sent []Transmission) {
	f.delays(x)
	least, most := math.Inf(1), math.Inf(-1)
	for _, t := range sent {
		for _, e := range t.Elements {
			if f.sends[e] > 0 && !math.IsNaN(f.a[e]) {
				least, most = min(least, f.a[e]), max(most, f.a[e])
			}
		}
		for _, angle := range t.Waves {
			a := f.wave(angle, x)
			least, most = min(least, a), max(most, a)
		}
	}
	if !f.echoes.collect(f.hears, f.b, least, most) {
		for i := range dst {
			dst[i] = cmplx.NaN()
		}
		return
	}
	known := false
	for i, t := range sent {
		var total complex128
		peak := 0.0
		if len(t.Elements) > 0 && !known && i+1 < len(sent) {
			for e, a := range f.a {
				f.answers[e] = f.echoes.answer(a)
			}
			known = true
		}
		for _, e := range t.Elements {
			answer := f.answers[e]
			if !known {
				answer = f.echoes.answer(f.a[e])
			}
			total += complex(f.sends[e], 0) * answer
			peak += f.sends[e]
		}
		for _, angle := range t.Waves {
			total += f.echoes.answer(f.wave(angle, x))
			peak++
		}
		dst[i] = total / complex(peak*f.heard, 0)
	}
}

// envelope is what one transmission shows at a place; NaN outside the box.
func (f *field) envelope(x, z float64, t Transmission) float64 {
	if !f.back.covers(x, z) {
		return math.NaN()
	}
	var value [1]complex128
	f.goTo(z)
	f.show(value[:], x, []Transmission{t})
	return cmplx.Abs(value[0])
}

// direction is that in which the time out and back grows fastest, in the plane of
// the section, from along the surface to square to it.
func (f *field) direction(t Transmission) float64 {
	mean := func(along, deeper float64) float64 {
		x, z := f.place(along, deeper)
		f.goTo(z)
		f.delays(x)
		back, out, sent := 0.0, 0.0, 0.0
		for j, b := range f.b {
			back += f.hears[j] * b
		}
		for _, e := range t.Elements {
			out += f.sends[e] * f.a[e]
			sent += f.sends[e]
		}
		for _, angle := range t.Waves {
			out += f.wave(angle, x)
			sent++
		}
		return back/f.heard + out/sent
	}
	const h = 1e-6
	return math.Atan2(mean(0, h)-mean(0, -h), mean(h, 0)-mean(-h, 0))
}
