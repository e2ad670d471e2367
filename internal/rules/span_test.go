package rules_test

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// The range of parts that one block serves, worked by hand from the limits of
// the study of the codes. ISO 13588, block of 45 mm with 3 mm holes: 45/1.5 = 30
// (and 45 - 20 = 25) to 45/0.8 = 56.25, but 3 mm holes end at 50 mm. ASME V, basic
// block of 38 mm with 3 mm holes: above 25 mm, to 50 mm; curved block of 8 in: 7.2
// to 12 in.
func TestSpanOfABlock(t *testing.T) {
	b := newBench(t)
	no := math.NaN()
	for _, c := range []struct {
		name, book string
		changes    []string
		varies     string
		unit       si.Length
		low, high  float64
	}{
		{"ISO 13588, thickness", "iso-13588-2019", []string{"part.thickness = 40 mm", "block.thickness = 45 mm", "block.hole_diameter = 3 mm", "block.hole_count = 5"}, "part.thickness", si.Millimetre, 30, 50},
		{"ISO 13588, wide holes", "iso-13588-2019", []string{"part.thickness = 55 mm", "block.thickness = 45 mm", "block.hole_diameter = 4.5 mm", "block.hole_count = 5"}, "part.thickness", si.Millimetre, 50, 56.25},
		{"ASME V, basic block", "asme-v-art4-2019", []string{"part.thickness = 40 mm", "block.thickness = 38 mm", "block.hole_diameter = 3 mm"}, "part.thickness", si.Millimetre, 25, 50},
		{"ASME V, thick", "asme-v-art4-2019", []string{"part.thickness = 120 mm", "block.thickness = 130 mm", "block.hole_diameter = 6.5 mm"}, "part.thickness", si.Millimetre, 105, 150},
		{"ASME V, inches", "asme-v-art4-2019", []string{"inch", "part.thickness = 1.4 in", "block.thickness = 1.5 in", "block.hole_diameter = 0.125 in"}, "part.thickness", si.Inch, 1, 2},
		{"ASME V, curved", "asme-v-art4-2019", []string{"inch", "part.kind = pipe", "part.outside_diameter = 8 in", "block.curved = yes", "block.diameter = 8 in"}, "part.outside_diameter", si.Inch, 7.2, 12},
		{"ASME V, flat block for a large pipe", "asme-v-art4-2019", []string{"part.kind = pipe", "part.outside_diameter = 600 mm"}, "part.outside_diameter", si.Millimetre, 500, no},
		{"a block that does not suit has no range", "asme-v-art4-2019", []string{"part.thickness = 40 mm", "block.thickness = 45 mm"}, "part.thickness", si.Millimetre, no, no},
		{"a plate has no diameter", "iso-13588-2019", nil, "part.outside_diameter", si.Millimetre, no, no},
	} {
		low, high := load(t, c.book).Span(b.input(t, c.book, c.changes), "block", c.varies)
		for _, end := range []struct {
			name      string
			got, want float64
		}{{"low", low.SI / float64(c.unit), c.low}, {"high", high.SI / float64(c.unit), c.high}} {
			// 1e-6: what is left of the last step after the halvings.
			if math.IsNaN(end.got) != math.IsNaN(end.want) || math.Abs(end.got-end.want) > 1e-6*end.want {
				t.Errorf("%s: %s end %v, want %v", c.name, end.name, end.got, end.want)
			}
		}
	}
}
