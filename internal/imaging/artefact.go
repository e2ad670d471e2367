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
	// wavelengths; coarse is the distance along the sound of the places looked at
	// first, and candidates how many of the largest are followed up to their
	// maximum. With these, a raster of an eighth of a wavelength finds nothing that
	// is 0.3 dB larger.
	artefactBox = 12.0
	coarse      = 0.45
	candidates  = 3
	// hidden is by how much a maximum may exceed the largest place of the grid
	// beside it.
	hidden = 1.4
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
// Both only in the region imaged; where none of it lies so far away, Away is NaN,
// and so is either where the pulse is too short for anything to be shown.
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

// search looks for artefacts around a point, at places counted along and across the
// sound from it, in the plane of the section.
type search struct {
	*field
	main           *outline
	x0, x1, z0, z1 float64
	sin, cos       float64 // of the direction of the sound
	along, across  float64 // from one place looked at first to the next
	rows, columns  int     // of these, on each side of the point
}

// found is a place with what is shown there.
type found struct{ along, across, value float64 }

func (im *Image) search(q Point, main *outline) search {
	from, to := im.box(q, artefactBox)
	from, to = Point{max(from.X, im.From.X), max(from.Z, im.From.Z)}, Point{min(to.X, im.To.X), min(to.Z, im.To.Z)}
	s := search{
		field: im.newField(q, from, to), main: main,
		x0: float64(from.X), x1: float64(to.X), z0: float64(from.Z), z1: float64(to.Z),
	}
	s.sin, s.cos = math.Sincos(main.first)
	s.along, s.across = coarse*im.wavelength(), coarse*im.wavelength()
	// Artefacts are as narrow across the sound as the main lobe, or nearly so where
	// the array seems larger; of that a place of the grid misses as little as along it.
	if wide := 0.7 * main.across; wide > s.across {
		s.across = wide
	}
	reach := artefactBox * im.wavelength()
	s.rows, s.columns = int(reach/s.across), int(reach/s.along)
	return s
}

// place is where so far from the point along and across the sound.
func (s *search) place(along, across float64) (x, z float64) {
	return s.field.place(along*s.cos-across*s.sin, along*s.sin+across*s.cos)
}

// zone tells whether a place is looked at, and whether it is far away.
func (s *search) zone(along, across float64) (inside, far bool) {
	r := math.Hypot(along, across) / s.im.wavelength()
	x, z := s.place(along, across)
	if !(x >= s.x0 && x <= s.x1 && z >= s.z0 && z <= s.z1 && r <= artefactBox) {
		return false, false
	}
	return r > away || !s.main.holds(along, across), r > away
}

// sheet is what one transmission shows on the grid of places, row by row, and along
// the inner edges of both zones; −1 where a place is not looked at.
type sheet struct {
	far   []bool
	shown []float64
	edge  [2][]found
}

// look fills a sheet for each transmission.
func (s *search) look(sent []Transmission) []sheet {
	sheets := make([]sheet, len(sent))
	places := (2*s.rows + 1) * (2*s.columns + 1)
	far := make([]bool, places)
	edges := s.edges()
	for i := range sheets {
		sheets[i] = sheet{far: far, shown: make([]float64, places)}
		for zone, edge := range edges {
			sheets[i].edge[zone] = slices.Clone(edge)
		}
	}
	values := make([]complex128, len(sent))
	show := func(along, across float64, dst func(sheet) *float64) (far bool) {
		inside, far := s.zone(along, across)
		if inside {
			x, z := s.place(along, across)
			s.goTo(z)
			s.show(values, x, sent)
		}
		for i, v := range values {
			at := dst(sheets[i])
			if *at = -1; inside && !cmplx.IsNaN(v) {
				*at = cmplx.Abs(v)
			}
		}
		return far
	}
	for k := range places {
		along, across := s.node(k)
		far[k] = show(along, across, func(sh sheet) *float64 { return &sh.shown[k] })
	}
	for zone, edge := range edges {
		for k, e := range edge {
			show(e.along, e.across, func(sh sheet) *float64 { return &sh.edge[zone][k].value })
		}
	}
	return sheets
}

// node is where the k-th place of the grid lies.
func (s *search) node(k int) (along, across float64) {
	columns := 2*s.columns + 1
	return s.along * float64(k%columns-s.columns), s.across * float64(k/columns-s.rows)
}

// edges are places on the inner edges of both zones, at which a response may be
// largest that comes from within.
func (s *search) edges() (list [2][]found) {
	const near, far = 120, 200
	add := func(zone int, along, across float64) {
		if inside, isFar := s.zone(along, across); inside && isFar == (zone == 1) {
			list[zone] = append(list[zone], found{along: along, across: across})
		}
	}
	for k := range near {
		turn := float64(k) / near
		sin, cos := math.Sincos(2 * math.Pi * turn)
		r := lobe * s.main.at(turn) * (1 + 1e-9)
		add(0, r*s.main.along*cos, r*s.main.across*sin)
	}
	for k := range far {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / far)
		r := away * s.im.wavelength() * (1 + 1e-9)
		add(1, r*cos, r*sin)
	}
	return list
}

// peaks returns the places of a zone that no neighbour in it exceeds, where they
// promise most, the most promising first: the top of a quadratic form through the
// place and its neighbours where the zone holds them all.
func (s *search) peaks(sh sheet, far bool) []found {
	var list []found
	rows, columns := 2*s.rows+1, 2*s.columns+1
	for k, v := range sh.shown {
		if v < 0 || sh.far[k] != far || len(list) == candidates && v*hidden <= list[candidates-1].value {
			continue
		}
		var around [3][3]float64
		for i := range around {
			for n := range around[i] {
				r, c := k/columns+n-1, k%columns+i-1
				if around[i][n] = math.NaN(); r >= 0 && r < rows && c >= 0 && c < columns {
					if m := r*columns + c; sh.far[m] == far && sh.shown[m] >= 0 {
						around[i][n] = sh.shown[m]
					}
				}
			}
		}
		if highest(&around) {
			along, across := s.node(k)
			f := found{along, across, v * hidden}
			if right, up, value := top(&around); !math.IsNaN(value) {
				g := found{along + right*s.along, across + up*s.across, value}
				if inside, isFar := s.zone(g.along, g.across); inside && isFar == far {
					f = g
				}
			}
			list = keep(list, f)
		}
	}
	zone := 0
	if far {
		zone = 1
	}
	edge := sh.edge[zone]
	for k, f := range edge {
		if n := len(edge); f.value >= 0 && f.value >= edge[(k+1)%n].value && f.value >= edge[(k+n-1)%n].value {
			list = keep(list, f)
		}
	}
	return list
}

// highest reports whether the middle one of nine values is exceeded by none.
func highest(around *[3][3]float64) bool {
	for _, row := range around {
		for _, v := range row {
			if v > around[1][1] {
				return false
			}
		}
	}
	return true
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

// climb goes from places of the grid up to their maxima within their zone.
func (s *search) climb(t Transmission, from []found, far bool) (si.Decibel, Point) {
	best := found{math.NaN(), math.NaN(), math.NaN()}
	for _, f := range from {
		if f.value < 0.95*best.value {
			continue // it promises less
		}
		if f = s.up(t, f, far); f.value > best.value || math.IsNaN(best.value) {
			best = f
		}
	}
	if best.value == 0 {
		best = found{math.NaN(), math.NaN(), math.NaN()} // of nothing there is no level
	}
	x, z := s.place(best.along, best.across)
	return si.Decibel(20 * math.Log10(best.value)), Point{si.Length(x), si.Length(z)}
}

// up goes to the best of eight neighbours as long as one is better. Where all of
// them lie in the zone, a quadratic form tells how far the maximum is; at the edge
// of the zone smaller steps lead along it.
func (s *search) up(t Transmission, f found, far bool) found {
	try := func(along, across float64) found {
		g := found{along, across, math.NaN()}
		if inside, isFar := s.zone(along, across); inside && isFar == far {
			x, z := s.place(along, across)
			g.value = s.envelope(x, z, t)
		}
		return g
	}
	f = try(f.along, f.across)
	for share := 0.5; share > 0.03; share /= 3 {
		var around [3][3]float64
		for better := true; better; {
			better = false
			centre := f
			around[1][1] = centre.value
			for k := range 9 {
				if k == 4 {
					continue
				}
				g := try(centre.along+share*s.along*float64(k/3-1), centre.across+share*s.across*float64(k%3-1))
				if around[k/3][k%3] = g.value; g.value > f.value {
					f, better = g, true
				}
			}
		}
		if along, across, value := top(&around); !math.IsNaN(value) {
			if g := try(f.along+share*s.along*along, f.across+share*s.across*across); g.value > f.value {
				f = g
			}
			break
		}
	}
	return f
}

// top is where a quadratic form through the logarithms of nine values, fitted as
// their differences, is largest, counted in steps from the middle one, and how
// large it is there; NaN where one of the values is not known, or there is no
// maximum nearer than the neighbours.
func top(around *[3][3]float64) (along, across, value float64) {
	var v [3][3]float64
	for i, row := range around {
		for k, a := range row {
			v[i][k] = math.Log(a)
		}
	}
	x, z := (v[2][1]-v[0][1])/2, (v[1][2]-v[1][0])/2
	xx, zz := v[2][1]+v[0][1]-2*v[1][1], v[1][2]+v[1][0]-2*v[1][1]
	xz := (v[2][2] + v[0][0] - v[2][0] - v[0][2]) / 4
	bend := xx*zz - xz*xz
	along, across = (xz*z-zz*x)/bend, (xz*x-xx*z)/bend
	if !(bend > 0 && math.Abs(along) < 1 && math.Abs(across) < 1) {
		return math.NaN(), math.NaN(), math.NaN()
	}
	return along, across, math.Exp(v[1][1] + x*along + z*across + xx*along*along/2 + zz*across*across/2 + xz*along*across)
}

// holds reports whether a place so far along and across the sound lies within the
// outline enlarged lobe times; every place where the outline is open.
func (o *outline) holds(along, across float64) bool {
	if math.IsNaN(o.along + o.across) {
		return true
	}
	x, y := along/o.along, across/o.across
	return !(math.Hypot(x, y) > lobe*o.at(math.Atan2(y, x)/(2*math.Pi)))
}

// at is how often the ellipse's radius goes into the outline's, at a share of a
// whole turn.
func (o *outline) at(turn float64) float64 {
	place := (turn - math.Floor(turn)) * directions
	i := int(place)
	share := place - float64(i)
	return o.radius[i%directions]*(1-share) + o.radius[(i+1)%directions]*share
}
