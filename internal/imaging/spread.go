package imaging

import (
	"math"
	"slices"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

const (
	outlineBox = 3.5 // how far from the point its −6 dB outline is looked for, in wavelengths
	directions = 16  // of the outline
)

// Spread is the main lobe with which an image shows a point, on the envelope.
type Spread struct {
	Along  si.Length // −6 dB width along the mean direction of the sound out and back
	Across si.Length // −6 dB width square to it
	Area   si.Ratio  // of what exceeds −6 dB around the point, over λ²
}

// Spread returns the main lobe with which the image shows a point.
//
//	Along, Across: between the two crossings of half the peak, through the point
//	Area: ½ ∮ r² dφ of the outline at half the peak, over λ²
//
// Valid: a bandwidth above 0 and at most 1.5; a point in the region imaged; all
// NaN otherwise, and where the outline is not closed within 3.5 λ or reaches the
// scanning surface, or the wall from which the last leg comes, unless this is of
// one kind of wave in a flat part of one metal.
// Source: C. Holmes, B. Drinkwater, P. Wilcox, NDT&E International 38 (2005) 701,
// for image and area; published cases P186 to P191 in published_test.go.
func (im *Image) Spread(q Point, t Transmission) Spread {
	if !im.shows(q, t) {
		x := math.NaN()
		return Spread{si.Length(x), si.Length(x), si.Ratio(x)}
	}
	o := im.around(q, outlineBox).outline(t)
	area := 0.0
	for _, r := range o.radius {
		area += r * r
	}
	return Spread{
		Along:  si.Length(o.along * (o.radius[0] + o.radius[directions/2])),
		Across: si.Length(o.across * (o.radius[directions/4] + o.radius[3*directions/4])),
		Area:   si.Ratio(area * o.along * o.across * math.Pi / directions / (im.wavelength() * im.wavelength())),
	}
}

// shows reports whether the image holds a point, and something is sent.
func (im *Image) shows(q Point, t Transmission) bool {
	for _, e := range t.Elements {
		if e < 0 || e >= len(im.Array.Elements) {
			return false
		}
	}
	return im.known() && len(t.Elements)+len(t.Waves) > 0 && q.X >= im.From.X && q.X <= im.To.X && q.Z >= im.From.Z && q.Z <= im.To.Z
}

// around is the field in a box that holds all places so many wavelengths from a
// point. Where the last leg of a course has no ray, beyond the surface at which it
// begins, the box ends at that surface.
func (im *Image) around(q Point, wavelengths float64) *field {
	from, to := im.box(q, wavelengths)
	for _, c := range []*ray.Course{&im.Out, &im.Back} {
		begin, edge := c.Wall(len(c.Legs)-1), &from.Z
		if len(c.Legs)%2 == 0 {
			edge = &to.Z
		}
		if !slices.ContainsFunc(im.Array.Elements, func(e ray.Element) bool {
			_, time := c.To(e, q.X, *edge)
			return si.Known(time)
		}) {
			*edge = begin
		}
	}
	return im.newField(q, from, to)
}

// box holds all places so many wavelengths from a point.
func (im *Image) box(q Point, wavelengths float64) (from, to Point) {
	r := si.Length(wavelengths * im.wavelength())
	wide := r
	if radius := im.Out.Part.Radius; radius != 0 {
		wide = radius * si.Length(math.Asin(float64(r/(radius-q.Z)))) // the way round to the tangent
	}
	return Point{q.X - wide, q.Z - r}, Point{q.X + wide, q.Z + r}
}

// outline is the −6 dB outline of the main lobe, by an ellipse that is close to
// it: radius is how often the ellipse's own goes into the outline's, in
// directions evenly spaced on the circle of which the ellipse is a picture.
// Narrow lobes need no more of them than round ones. NaN where it is open.
type outline struct {
	first         float64 // direction of the sound
	along, across float64 // half axes of the ellipse
	radius        [directions]float64
}

func (f *field) outline(t Transmission) outline {
	o := outline{first: f.direction(t)}
	var half [4]float64
	for i := range half {
		half[i] = f.crossing(t, o.first+math.Pi/2*float64(i), f.im.wavelength()/3)
	}
	o.along, o.across = (half[0]+half[2])/2, (half[1]+half[3])/2
	for i := range o.radius {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / directions)
		x, y := o.along*cos, o.across*sin
		own := math.Hypot(x, y)
		if i%(directions/4) == 0 {
			o.radius[i] = half[4*i/directions] / own
		} else if !math.IsNaN(own) {
			o.radius[i] = f.crossing(t, o.first+math.Atan2(y, x), own) / own
		} else {
			o.radius[i] = own
		}
	}
	return o
}

// crossing is how far from the point the envelope falls to half its peak in a
// direction, with a guess to begin at. NaN where it does not within the box.
func (f *field) crossing(t Transmission, direction, guess float64) float64 {
	sin, cos := math.Sincos(direction)
	for r, tries := guess, 0; r <= outlineBox*f.im.wavelength() && tries < 20; tries++ {
		x, z := f.place(r*cos, r*sin)
		v := f.envelope(x, z, t)
		// Where a bell of this value here would be at half its peak; the lobe is
		// close enough to one that the first step or two get there.
		next := r * math.Sqrt(math.Ln2/-math.Log(v))
		if math.Abs(v-0.5) < 3e-3 {
			return next
		}
		r = min(max(next, r/2), 1.5*r)
	}
	return math.NaN()
}
