package imaging

import (
	"math"
	"math/rand/v2"
	"testing"

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
				x, z := s.x0+(s.x1-s.x0)*random.Float64(), s.z0+(s.z1-s.z0)*random.Float64()
				inside, far := s.zone(x, z)
				if !inside {
					continue
				}
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
