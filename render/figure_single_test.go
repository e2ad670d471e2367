package render

import (
	"testing"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// seamByHand is the shipped girder rolled to a pipe with a seam along it, scanned
// from one of its surfaces.
func seamByHand(t testing.TB, surface string) *technique.Technique {
	return computed(t, "girder-manual", func(j *schema.Job) {
		j.Part.Kind, j.Part.OutsideDiameter, j.Part.Weld.Seam, j.Part.Thickness = "pipe", 406.4*si.Millimetre, "longitudinal", 16*si.Millimetre
		j.Part.Surfaces = []string{surface}
		for i := range j.Groups {
			j.Groups[i].Surface = surface
		}
		for i := range j.Equipment.SingleProbes {
			p := &j.Equipment.SingleProbes[i]
			p.Width = 12 * si.Millimetre
			if p.Angle > 65*si.Degree {
				p.Angle = 65 * si.Degree
			}
		}
	})
}

func TestFiguresOfSinglesFit(t *testing.T) {
	figuresFit(t, "girder-manual", computed(t, "girder-manual"))
	for _, surface := range []string{"top", "bottom"} {
		tech := seamByHand(t, surface)
		for _, g := range tech.Groups {
			if len(g.Placements) != 2 {
				t.Fatalf("%s: group %s is not computed: %v", surface, g.Set.Name, tech.Findings)
			}
		}
		figuresFit(t, surface, tech)
	}
}
