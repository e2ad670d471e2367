// Package imaging computes how a total-focusing image shows a point: how wide,
// with which artefacts around it, and how much of its amplitude is lost between
// the points of the image.
//
// The image adds, at each of its points, the A-scans of all pairs of a
// transmission and a receiving element, each at the time that the sound needs
// over that point. What it shows of a reflector at q is therefore, at a point r,
//
//	E(r) = Σᵢ Σⱼ wᵢ vⱼ g(aᵢ + bⱼ)
//
// with aᵢ the time of transmission i to r less that to q, bⱼ the same of
// receiver j, and g the pulse. In phase they are only at q, so that nothing
// exceeds the peak Σw Σv there.
//
// The pulse has a Gaussian envelope, and the envelope of the image is the
// modulus of its analytic signal. Elements may send less to the side (the sine
// cardinal of a strip); the interfaces, the way and the grain are taken to treat
// all pairs alike. On its way a wave may change its kind at a wall; echoes on other
// paths than the image's are not computed. A reflector is taken to send back alike
// in all directions, of the kind of wave that the path asks for.
//
// Around a pipe an element without a ray to the reflector counts for nothing, and
// one without a ray to r adds nothing there; widths and distances are those in the
// plane of the section.
package imaging

import (
	"math"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Point is a place in the part, as in ray.Part: X along the surface in the
// direction in which the probe looks, Z the depth.
type Point struct{ X, Z si.Length }

// Pulse is an echo of Gaussian envelope.
type Pulse struct {
	Frequency si.Frequency // at its centre
	Bandwidth si.Ratio     // of the spectrum between its −6 dB points, over Frequency
}

// Array is the elements through which an image is taken.
type Array struct {
	Elements []ray.Element
	Tilt     si.Angle  // between array and surface: it rises towards growing X
	Level    si.Length // where the tilt is meant, along a surface that is round
	Width    si.Length // of an element, from which it sends to the side; zero where all directions count alike
}

// Transmission is what is sent for one record: each of the elements named by
// its index, or plane waves of the given refracted angles where there are any.
type Transmission struct {
	Elements []int
	Waves    []si.Angle
}

// Every returns the transmission of every n-th of so many elements, the first
// included; nothing for n under 1.
func Every(n, elements int) Transmission {
	var t Transmission
	for i := 0; n > 0 && i < elements; i += n {
		t.Elements = append(t.Elements, i)
	}
	return t
}

// Image is how an image is taken: on which course the sound goes out and comes
// back, both from the probe on, with which pulse. All elements receive.
type Image struct {
	Array     Array
	Out, Back ray.Course
	Pulse     Pulse
	From, To  Point // the region imaged: smallest and largest X and Z
}

// known reports whether the image can be computed at all.
func (im *Image) known() bool {
	b := float64(im.Pulse.Bandwidth)
	ok := len(im.Array.Elements) > 0 && im.wavelength() > 0 &&
		im.Pulse.Frequency > 0 && b > 0 && b <= 1.5 && im.Array.Width >= 0 &&
		im.From.X < im.To.X && im.From.Z >= 0 && im.From.Z < im.To.Z && im.To.Z <= im.Out.Part.Thickness()*(1+1e-9)
	for _, e := range im.Array.Elements {
		ok = ok && e.Height >= 0 && (e.Height == 0 || im.Out.Wedge > 0) && si.Known(e.X)
	}
	return ok
}

// wavelength is that of the centre frequency in the base metal, in metres: of the
// slower of the two waves that meet at the point.
func (im *Image) wavelength() float64 {
	slower := min(im.Out.Speed(len(im.Out.Legs)), im.Back.Speed(len(im.Back.Legs)))
	return float64(slower) / float64(im.Pulse.Frequency)
}

// weight is what an element sends to a place on the last of its legs, against
// straight ahead; nothing where no ray of it comes there.
//
//	w = |sin(u) / u|, u = π e sin θ / λ
//
// λ is that of the medium in which the element works, θ the angle from the
// normal of the array, which leans by (X − Level) / R against the radius.
// Source: directivity of a strip; J. and H. Krautkramer, Ultrasonic Testing of
// Materials (from memory).
func (im *Image) weight(e ray.Element, c *ray.Course, p Point) float64 {
	r, time := c.To(e, p.X, p.Z)
	if !si.Known(time) {
		return 0
	}
	side := r.AtElement() - im.Array.Tilt
	if radius := c.Part.Radius; radius != 0 {
		side -= si.Angle((e.X - im.Array.Level) / radius)
	}
	u := math.Pi * float64(im.Array.Width) * float64(im.Pulse.Frequency) / float64(c.AtElement(e)) * side.Sin()
	if math.Abs(u) < 1e-6 {
		return 1
	}
	return math.Abs(math.Sin(u) / u)
}
