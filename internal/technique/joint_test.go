package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// The seam of 40 mm with root face and gap of 2 mm, in every preparation. The
// widths are worked out by hand: 19 mm is half of what the root face leaves.
func TestPreparations(t *testing.T) {
	const vee = "preparation: double-V\n    bevel_angle: 30 deg\n    root_face: 2 mm"
	for name, c := range map[string]struct {
		text        string
		top, bottom float64 // mm
		faces       int
	}{
		"double-V":     {vee, 23.939, 23.939, 6},                                                                                                           // 2 + 2 · 19 tan 30°
		"single-V":     {"preparation: single-V\n    bevel_angle: 30 deg\n    root_face: 2 mm", 45.879, 2, 4},                                              // 2 + 2 · 38 tan 30°
		"from bottom":  {"preparation: single-V\n    opens: bottom\n    bevel_angle: 30 deg\n    root_face: 2 mm", 2, 45.879, 4},                           // the same
		"square":       {"preparation: square", 2, 2, 2},                                                                                                   // the gap
		"double-bevel": {"preparation: double-bevel\n    bevelled_side: B\n    bevel_angle: 45 deg\n    root_face: 2 mm", 21, 21, 4},                       // 2 + 19
		"single-U":     {"preparation: single-U\n    root_radius: 6 mm\n    bevel_angle: 10 deg\n    root_face: 2 mm", 25.470, 2, 6},                       // 2 + 2 (6 cos 10° + (38 − 6 (1 − sin 10°)) tan 10°)
		"double-U":     {"preparation: double-U\n    root_radius: 6 mm\n    bevel_angle: 10 deg\n    root_face: 2 mm", 18.770, 18.770, 10},                 // the same with 19 for 38
		"single-J":     {"preparation: single-J\n    bevelled_side: A\n    root_radius: 8 mm\n    bevel_angle: 15 deg\n    root_face: 2 mm", 18.321, 2, 4}, // 2 + 8 cos 15° + (38 − 8 (1 − sin 15°)) tan 15°
		"double-J": {"preparation: double-J\n    bevelled_side: A\n    root_radius: 8 mm\n    bevel_angle: 15 deg\n    lower_angle: 20 deg\n    root_face: 2 mm",
			13.230, 14.517, 6}, // the same with 19 for 38, and with 20° below
		"compound-bevel": {"preparation: compound-bevel\n    bevel_angle: 30 deg\n    outer_angle: 10 deg\n    break_height: 20 mm\n    root_face: 2 mm", 29.838, 2, 6}, // 2 + 2 (18 tan 30° + 20 tan 10°)
		"narrow-gap":     {"preparation: narrow-gap\n    bevel_angle: 2 deg\n    root_radius: 4 mm\n    root_face: 2 mm", 12.379, 2, 6},                                 // 2 + 2 (4 cos 2° + (38 − 4 (1 − sin 2°)) tan 2°)
	} {
		tech, found := read(t, "plate-seam", vee, c.text)
		for _, f := range append(found, tech.Findings...) {
			if f.Open() {
				t.Errorf("%s: %s [%s]", name, f.Message, f.Rule)
			}
		}
		for id, want := range map[string]float64{"weld.width_top": c.top, "weld.width_bottom": c.bottom} {
			v, ok := tech.Value(id)
			if mm := v.Q.SI * 1e3; !ok || math.Abs(mm-want) > 0.001 { // worked out to three decimals
				t.Errorf("%s: %s is %.4f mm, by hand %.3f", name, id, mm, want)
			}
		}
		if a, ok := tech.Value("weld.area"); !ok || !si.Known(si.Area(a.Q.SI)) {
			t.Errorf("%s: area %v", name, a.Q)
		}
		if len(tech.Faces) != c.faces || !si.Known(tech.Coverage.Share) {
			t.Errorf("%s: %d faces, coverage %v", name, len(tech.Faces), tech.Coverage.Share)
		}
	}
}
