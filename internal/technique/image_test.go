package technique

import (
	"math"
	"testing"

	"soundwrit/internal/field"
	"soundwrit/internal/si"
)

// Of 64 elements 0.5 mm apart and 0.45 mm wide every tenth fires: 1, 11, … 61. They
// span 60 · 0.5 + 0.45 = 30.45 mm; of every third, 1 to 64, all of the aperture does.
// What is predicted is of the seven that fire, each a source of its own.
func TestElementsThatFire(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "scheme: every-nth, n: 3}\n    store: matrix\n  skip", "scheme: every-nth, n: 10}\n    store: matrix\n  skip")
	for id, want := range map[string]float64{
		"groups.direct.elements_firing": 7, "groups.direct.first_firing": 1, "groups.direct.last_firing": 61, "groups.direct.aperture_firing": 30.45,
		"groups.skip.elements_firing": 22, "groups.skip.first_firing": 1, "groups.skip.last_firing": 64,
	} {
		if got := value(t, tech, id); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s = %g, by hand %g", id, got, want)
		}
	}
	if _, ok := tech.Value("groups.skip.aperture_firing"); ok {
		t.Error("the whole aperture fires, and another is stated")
	}
	g := &tech.Groups[0]
	st, model := g.stand(g.Set.WedgeFront), field.New((&sheet{Technique: tech}).media(&tech.Groups[0]))
	out, back := g.ways()
	r := g.Set.Region
	want := model.Image(model.Sources(st.active(10), out.Legs...), model.Sources(st.sources(), back.Legs...), field.Span{
		Near: -r.Near, Far: r.Far, Out: field.Angles{From: g.Angles.From, To: g.Angles.To}, Back: field.Angles{From: g.Heard.From, To: g.Heard.To},
	})
	for _, p := range []field.Point{{X: -4 * si.Millimetre, Z: 12 * si.Millimetre}, {X: 0, Z: 10 * si.Millimetre}, {X: 6 * si.Millimetre, Z: 14 * si.Millimetre}} {
		if a, b := g.image(model, st).Hole(p), want.Hole(p); !(math.Abs(float64(a-b)) < 1e-6) {
			t.Errorf("%v: %.4f dB, of the elements that fire %.4f", p, a, b)
		}
	}
}
