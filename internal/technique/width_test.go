package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// By hand, of the beam of 55° at a depth of 40 mm, the point at 10.566 tan β + 40 tan 55°,
// and its neighbours, β by Snell's law of 2330 over 3240: the axis of 54° passes it
// by (0.1445 + 69.738 sin 55°) cos 54° − 40 sin 54° = 1.302 mm, that of 56° by 1.297 mm.
func TestWidthsByHand(t *testing.T) {
	tech, _ := read(t, "plate-seam")
	for _, c := range []struct {
		id           string
		want, within float64
	}{
		{"groups.direct.widths.middle.3.path", 69.738e-3, 1e-6}, // 40 / cos 55°
		{"groups.direct.widths.middle.3.apart", 1.302e-3, 0.0006e-3},
	} {
		if v, ok := tech.Value(c.id); !ok || math.Abs(v.Q.SI-c.want) > c.within {
			t.Errorf("%s is %v, by hand %v", c.id, v.Q.SI, c.want)
		}
	}
	// Far from an aperture the width grows by the far field's spread.
	near, _ := tech.Value("groups.skip.widths.middle.1.width")
	far, _ := tech.Value("groups.skip.widths.middle.3.width")
	from, _ := tech.Value("groups.skip.widths.middle.1.path")
	to, _ := tech.Value("groups.skip.widths.middle.3.path")
	g := &tech.Groups[1]
	spread := g.stand(g.Set.WedgeFront).beam(55 * si.Degree).Spread()
	if got := (far.Q.SI - near.Q.SI) / (to.Q.SI - from.Q.SI); math.Abs(got/(2*math.Tan(float64(spread)/2))-1) > 0.03 {
		t.Errorf("the width grows by %.4f a path, the spread of the far field is %.4f", got, 2*math.Tan(float64(spread)/2))
	}
}

// The overlap that a rule asks about is the smaller of that by the spread and that
// by the widths.
func TestOverlapOfFocusedBeams(t *testing.T) {
	tech, _ := read(t, "plate-seam", "focus: {none: true}\n    legs: [1]", "focus: {depth: 5 mm}\n    legs: [1]")
	spread, _ := tech.Value("groups.direct.beam_overlap")
	width, ok := tech.Value("groups.direct.width_overlap")
	if !ok || !(width.Q.SI < spread.Q.SI) {
		t.Fatalf("the widths of focused beams overlap by %v, their spread by %v", width.Q.SI, spread.Q.SI)
	}
	s := &sheet{Technique: tech}
	if got := s.factsOf(&tech.Groups[0])["group.beam_overlap"].(si.Quantity); got.SI != width.Q.SI {
		t.Errorf("the rules are told %v", got.SI)
	}
	for _, id := range []string{"focus_at", "focus_width", "focus_to", "focus_limit"} {
		if _, ok := tech.Value("groups.direct.widths.from." + id); !ok {
			t.Errorf("no %s", id)
		}
	}
}
