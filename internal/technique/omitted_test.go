package technique

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// numbered are values of places of which a ring may have fewer: faces, points whose
// image is studied, and depths at which widths are stated. A grating lobe exists or
// not.
var numbered = regexp.MustCompile(`\.faces\.|\.grating_angle$|\.image\.[a-z-]+\.|\.widths\.[a-z]+\.[0-9]+\.`)

// What a group has in a plate and lacks around a pipe is named, with a reason; and
// nothing that is stated is said to be left out.
func TestEveryValueLeftOutAroundPipeIsNamed(t *testing.T) {
	depth := []string{"    focus: {none: true}\n    legs: [1, 2]", "    focus: {depth: 12 mm}\n    legs: [1, 2]"}
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside, "focused": depth} {
		ring, _ := read(t, "header-seam", changes...)
		flat, _ := read(t, "header-seam", append([]string{"kind: pipe", "kind: plate"}, changes...)...)
		for i := range ring.Groups {
			if len(ring.Groups[i].Placements) == 0 || len(ring.Groups[i].Omitted) == 0 {
				t.Fatalf("%s: group %s is not computed, or nothing is left out", name, ring.Groups[i].Set.Name)
			}
		}
		namesWhatIsLeftOut(t, name, ring, flat)
	}
}

// The same of images, of which the points studied are not all the same.
func TestEveryValueOfImagesLeftOutIsNamed(t *testing.T) {
	waves := []string{"scheme: full-matrix", "scheme: plane-wave, from: 45 deg, to: 65 deg, count: 9"}
	direct := []string{"path: TT-T", "path: T-T", "scheme: full-matrix", "scheme: every-nth, n: 2"}
	for name, changes := range map[string][]string{"matrix": nil, "waves": waves, "direct": direct} {
		ring := imaged(t, "20 mm", changes...)
		namesWhatIsLeftOut(t, name, ring, imaged(t, "20 mm", append(slices.Clone(changes), "kind: pipe", "kind: plate")...))
		if ring.Groups[0].Study == nil {
			t.Errorf("%s: nothing is said of the image of a point", name)
		}
	}
}

// The same of single-element probes, set by holes and by discs.
func TestEveryValueOfSinglesLeftOutIsNamed(t *testing.T) {
	disc := []string{"    legs: [1, 2]\n  flat:", "    legs: [1, 2]\n    reflector: disc\n    disc: 2 mm\n  flat:", "reflector: back-wall\n", "reflector: disc\n    disc: 2 mm\n"}
	for name, changes := range map[string][]string{"outside": seamByHand, "inside": inTheBore, "discs": append(slices.Clone(seamByHand), disc...)} {
		ring, _ := read(t, "girder-manual", changes...)
		flat, _ := read(t, "girder-manual", append(slices.Clone(changes), "kind: pipe", "kind: plate")...)
		for i := range ring.Groups {
			if len(ring.Groups[i].Placements) == 0 || len(ring.Groups[i].Omitted) == 0 {
				t.Fatalf("%s: group %s is not computed, or nothing is left out", name, ring.Groups[i].Set.Name)
			}
		}
		namesWhatIsLeftOut(t, name, ring, flat)
	}
}

func namesWhatIsLeftOut(t *testing.T, name string, ring, flat *Technique) {
	t.Helper()
	for _, v := range flat.Values {
		_, stated := ring.Value(v.ID)
		if o, said := ring.OmittedValue(v.ID); strings.HasPrefix(v.ID, "groups.") && !stated && !said && !numbered.MatchString(v.ID) {
			t.Errorf("%s: %s is left out and not named", name, v.ID)
		} else if stated && said {
			t.Errorf("%s: %s is stated, and named as left out: %s", name, v.ID, o.Name)
		}
	}
}
