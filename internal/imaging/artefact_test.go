package imaging

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Wherever one looks in a zone, the sum over all pairs finds nothing larger
// than what was stated, and where it was found the sum gives that value.
func TestNoArtefactIsLarger(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for _, p := range paths() {
		sent := []Transmission{Every(1, 64), Every(8, 64)}
		found := p.im.Artefacts(p.at, sent)
		main := p.im.around(p.at, outlineBox).outline(sent[0])
		s := p.im.search(p.at, &main)
		for i, tr := range sent {
			if got, want := float64(found[i].Away), 20*math.Log10(p.im.byPairs(p.at, found[i].At, tr)); math.Abs(got-want) > 0.2 {
				t.Errorf("%s, %d fire: %.2f dB at %v, by pairs %.2f", p.name, len(tr.Elements), got, found[i].At, want)
			}
			for range 1500 {
				turn, r := 2*math.Pi*random.Float64(), artefactBox*p.im.wavelength()*math.Sqrt(random.Float64())
				along, across := r*math.Cos(turn), r*math.Sin(turn)
				inside, far := s.zone(along, across)
				if !inside {
					continue
				}
				x, z := s.place(along, across)
				stated := found[i].Beside
				if far {
					stated = found[i].Away
				}
				// A response of 1e-3 of the peak is known to a tenth of itself or so.
				if got := p.im.byPairs(p.at, Point{si.Length(x), si.Length(z)}, tr); 20*math.Log10(got) > float64(stated)+0.2 && got > 2e-3 {
					t.Errorf("%s, %d fire: %.2f dB at (%g, %g), stated %.2f", p.name, len(tr.Elements), 20*math.Log10(got), x, z, stated)
				}
			}
		}
	}
}

// upright is an array on a wedge of 17° over a clad plate, on path LT-L: one kind of
// wave meets the point, and the other is heard. Its main lobe is so wide that the
// zone beside it ends in two narrow points.
func upright() *Image {
	const tilt = 17 * si.Degree
	part := ray.Part{Strata: []ray.Stratum{{Thickness: 25e-3, Medium: acoustics.Medium{Longitudinal: 5920, Transverse: 3240}}, {Thickness: 3e-3, Medium: acoustics.Medium{Longitudinal: 5750, Transverse: 3100}}}}
	im := &Image{
		Out: ray.Course{Wedge: 2330, Part: part, Legs: waves("LT")}, Back: ray.Course{Wedge: 2330, Part: part, Legs: waves("L")},
		Pulse: Pulse{5e6, 0.65},
		From:  Point{-14e-3, 8e-3}, To: Point{6e-3, 25e-3}, Array: Array{Tilt: tilt, Width: 0.45e-3},
	}
	for i := range 64 {
		along := si.Length(i) * 0.5e-3
		im.Array.Elements = append(im.Array.Elements, ray.Element{X: -58e-3 + along*si.Length(tilt.Cos()), Height: 6e-3 + along*si.Length(tilt.Sin())})
	}
	return im
}

// A raster of an eighth of a wavelength, which was never looked at, holds nothing
// larger than what was found by climbing from a few places: in flat parts, round
// ones and clad ones.
func TestClimbFindsTheLargest(t *testing.T) {
	for _, p := range append(paths(),
		path{"outside", shell(0.254, 0, 0, "TT", "T"), Point{-12e-3, 11e-3}},
		path{"inside", shell(-0.1, 0, 0, "T", "T"), Point{-20e-3, 9e-3}},
		path{"clad", shell(0, 0.3e-3, 3e-3, "TT", "TT"), Point{6e-3, 8e-3}},
		path{"LT-L", upright(), Point{-4e-3, 19.2e-3}},
	) {
		n := len(p.im.Array.Elements)
		sent := []Transmission{Every(1, n), Every(3, n), Every(8, n)}
		stated := p.im.Artefacts(p.at, sent)
		main := p.im.around(p.at, outlineBox).outline(sent[0])
		s := p.im.search(p.at, &main)
		step := p.im.wavelength() / 8
		beside, afar := make([]float64, len(sent)), make([]float64, len(sent))
		values := make([]complex128, len(sent))
		for i := -8 * artefactBox; i <= 8*artefactBox; i++ {
			for k := -8 * artefactBox; k <= 8*artefactBox; k++ {
				inside, far := s.zone(i*step, k*step)
				if !inside {
					continue
				}
				x, z := s.place(i*step, k*step)
				s.goTo(z)
				s.show(values, x, sent)
				zone := beside
				if far {
					zone = afar
				}
				for i, v := range values {
					if !cmplx.IsNaN(v) {
						zone[i] = max(zone[i], cmplx.Abs(v))
					}
				}
			}
		}
		for i := range sent {
			for what, d := range map[string]float64{
				"beside": 20*math.Log10(beside[i]) - float64(stated[i].Beside), "away": 20*math.Log10(afar[i]) - float64(stated[i].Away),
			} {
				if !(d < 0.3) {
					t.Errorf("%s, transmission %d: %.2f dB more %s than stated", p.name, i, d, what)
				}
			}
		}
	}
}

// Of fewer elements the gaps between them show far from the point, never in the
// width, which all elements' receiving decides.
func TestThinningShowsFarAway(t *testing.T) {
	p := paths()[3]
	found := p.im.Artefacts(p.at, []Transmission{Every(1, 64), Every(3, 64), Every(16, 64)})
	if !(found[2].Away > found[0].Away+3) {
		t.Errorf("every 16th element: %.1f dB away, all of them %.1f", found[2].Away, found[0].Away)
	}
	if math.Abs(float64(found[1].Across/found[0].Across)-1) > 0.05 {
		t.Errorf("every 3rd element: %g wide, all of them %g", found[1].Across, found[0].Across)
	}
}

// A point at the edge of what the array sees has no closed outline; what is far
// away is stated all the same.
func TestOpenOutline(t *testing.T) {
	im := wedge("T", "T")
	at := Point{8e-3, 4e-3}
	if s := im.Spread(at, Every(1, 64)); si.Known(s.Area) || si.Known(s.Across) {
		t.Errorf("seen at 80° and more, and yet %+v", s)
	}
	if a := im.Artefacts(at, []Transmission{Every(1, 64)})[0]; si.Known(a.Beside) || !si.Known(a.Away) {
		t.Errorf("beside %v, away %v", a.Beside, a.Away)
	}
}
