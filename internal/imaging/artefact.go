package imaging

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"soundwrit/internal/si"
)

const (
	// artefactBox is how far from the point artefacts are looked for, in
	// wavelengths; coarse is the distance of the places looked at first, and
	// candidates how many of the largest are followed up to their maximum.
	artefactBox = 12.0
	coarse      = 0.5
	candidates  = 2
	// lobe is by how much the −6 dB outline is enlarged to hold the main lobe:
	// at 2.26 times lies the first zero of an unweighted aperture used both ways.
	lobe = 2.5
	// away is where artefacts begin that are no side lobes of the aperture beside
	// the main lobe but stand by themselves.
	away = 8.0
)

// Artefact is what an image shows of a point where there is none.
type Artefact struct {
	Beside si.Decibel // largest response near the main lobe: side lobes of the aperture
	Away   si.Decibel // largest response farther away
	Across si.Length  // −6 dB width square to the sound, for comparison
	At     Point      // of Away
}

// Artefacts returns the largest responses outside the main lobe, against the
// peak at the point, for each of the transmissions.
//
//	Beside: outside the −6 dB outline of the first transmission, enlarged 2.5
//	times, and within 8 λ of the point; Away: from 8 λ to 12 λ
//
// Both only in the region imaged; where none of it lies so far away, Away is NaN.
// Valid: as Spread; where the outline is open, Beside is NaN.
// Source: own computation; sums over all pairs in artefact_test.go. The borders
// are this program's own convention: beside the main lobe the aperture decides,
// farther away the gaps between transmissions.
func (im *Image) Artefacts(q Point, sent []Transmission) []Artefact {
	list := make([]Artefact, len(sent))
	x := math.NaN()
	for i := range list {
		list[i] = Artefact{si.Decibel(x), si.Decibel(x), si.Length(x), Point{si.Length(x), si.Length(x)}}
	}
	for _, t := range sent {
		if !im.shows(q, t) {
			return list
		}
	}
	near := im.around(q, outlineBox)
	main := near.outline(sent[0])
	for i, t := range sent {
		direction := near.direction(t)
		list[i].Across = si.Length(near.crossing(t, direction+math.Pi/2, main.across) + near.crossing(t, direction-math.Pi/2, main.across))
	}
	s := im.search(q, &main)
	sheets := s.look(sent)
	for i, t := range sent {
		if !slices.ContainsFunc(main.radius[:], math.IsNaN) {
			list[i].Beside, _ = s.climb(t, s.peaks(sheets[i], false), false)
		}
		list[i].Away, list[i].At = s.climb(t, s.peaks(sheets[i], true), true)
	}
	return list
}

// search looks for artefacts around a point.
type search struct {
	*field
	main           *outline
	x0, x1, z0, z1 float64
	step, stepX    float64 // of the places looked at first: by depth, and along the scan surface
}

// found is a place with what is shown there.
type found struct{ x, z, value float64 }

func (im *Image) search(q Point, main *outline) search {
	from, to := im.box(q, artefactBox)
	from, to = Point{max(from.X, im.From.X), max(from.Z, im.From.Z)}, Point{min(to.X, im.To.X), min(to.Z, im.To.Z)}
	s := search{
		field: im.newField(q, from, to), main: main,
		x0: float64(from.X), x1: float64(to.X), z0: float64(from.Z), z1: float64(to.Z), step: coarse * im.wavelength(),
	}
	s.stepX = s.step / max(s.scale(s.z0), s.scale(s.z1))
	return s
}

// scale is the way along the surface at depth z that belongs to one of X.
func (s *search) scale(z float64) float64 {
	if radius := float64(s.im.Out.Part.Radius); radius != 0 {
		return 1 - z/radius
	}
	return 1
}

// zone tells whether a place is looked at, and whether it is far away.
func (s *search) zone(x, z float64) (inside, far bool) {
	along, deeper := s.offset(x, z)
	r := math.Hypot(along, deeper) / s.im.wavelength()
	if x < s.x0 || x > s.x1 || z < s.z0 || z > s.z1 || !(r <= artefactBox) {
		return false, false
	}
	return r > away || !s.main.holds(along, deeper), r > away
}

// sheet is what one transmission shows on the grid of places, row by row; −1
// where a place is not looked at.
type sheet struct {
	columns int
	far     []bool
	shown   []float64
}

// look fills a sheet for each transmission.
func (s *search) look(sent []Transmission) []sheet {
	sheets := make([]sheet, len(sent))
	columns := int((s.x1-s.x0)/s.stepX) + 1
	rows := int((s.z1-s.z0)/s.step) + 1
	far := make([]bool, rows*columns)
	for i := range sheets {
		sheets[i] = sheet{columns, far, make([]float64, rows*columns)}
	}
	values := make([]complex128, len(sent))
	for k := range rows * columns {
		x, z := s.node(k, columns)
		var inside bool
		if inside, far[k] = s.zone(x, z); inside {
			s.goTo(z)
			s.show(values, x, sent)
		}
		for i, v := range values {
			sheets[i].shown[k] = -1
			if inside && !cmplx.IsNaN(v) {
				sheets[i].shown[k] = cmplx.Abs(v)
			}
		}
	}
	return sheets
}

// node is where the k-th place of the grid lies.
func (s *search) node(k, columns int) (x, z float64) {
	return s.x0 + s.stepX*float64(k%columns), s.z0 + s.step*float64(k/columns)
}

// peaks returns the largest places of a zone that no neighbour in it exceeds,
// the largest first.
func (s *search) peaks(sh sheet, far bool) []found {
	var list []found
	rows := len(sh.shown) / sh.columns
	for k, v := range sh.shown {
		if v < 0 || sh.far[k] != far || len(list) == candidates && v <= list[candidates-1].value {
			continue
		}
		peak := true
		for dr := -1; dr <= 1; dr++ {
			for dc := -1; dc <= 1; dc++ {
				r, c := k/sh.columns+dr, k%sh.columns+dc
				if r < 0 || r >= rows || c < 0 || c >= sh.columns {
					continue
				}
				if n := r*sh.columns + c; sh.far[n] == far && sh.shown[n] > v {
					peak = false
				}
			}
		}
		if peak {
			x, z := s.node(k, sh.columns)
			list = keep(list, found{x, z, v})
		}
	}
	return list
}

// keep holds the largest few, largest first.
func keep(list []found, f found) []found {
	if len(list) == candidates && !(f.value > list[candidates-1].value) {
		return list
	}
	if len(list) == candidates {
		list = list[:candidates-1]
	}
	i, _ := slices.BinarySearchFunc(list, f, func(a, b found) int { return cmp.Compare(b.value, a.value) })
	return slices.Insert(list, i, f)
}

// climb goes from places of the grid up to their maxima within their zone: to
// the best of eight neighbours as long as one is better, then by smaller steps.
func (s *search) climb(t Transmission, from []found, far bool) (si.Decibel, Point) {
	best := found{math.NaN(), math.NaN(), math.NaN()}
	for _, f := range from {
		// A place of the grid lies at most 3 dB below the maximum it belongs to.
		if f.value < 0.7*best.value {
			continue
		}
		for step := s.step / 2; step > s.step/6; step /= 2 {
			for centre, better := f, true; better; centre = f {
				better = false
				for k := range 8 {
					sin, cos := math.Sincos(math.Pi / 4 * float64(k))
					x, z := centre.x+step*cos/s.scale(centre.z), centre.z+step*sin
					if inside, isFar := s.zone(x, z); !inside || isFar != far {
						continue
					}
					if v := s.envelope(x, z, t); v > f.value {
						f, better = found{x, z, v}, true
					}
				}
			}
		}
		if !(f.value <= best.value) {
			best = f
		}
	}
	return si.Decibel(20 * math.Log10(best.value)), Point{si.Length(best.x), si.Length(best.z)}
}

// holds reports whether a place lies within the outline enlarged lobe times;
// every place where the outline is open.
func (o *outline) holds(dx, dz float64) bool {
	if math.IsNaN(o.along + o.across) {
		return true
	}
	sin, cos := math.Sincos(o.first)
	x, y := (dx*cos+dz*sin)/o.along, (dz*cos-dx*sin)/o.across
	turn := math.Atan2(y, x) / (2 * math.Pi)
	place := (turn - math.Floor(turn)) * directions
	i := int(place)
	share := place - float64(i)
	r := o.radius[i%directions]*(1-share) + o.radius[(i+1)%directions]*share
	return !(math.Hypot(x, y) > lobe*r)
}
