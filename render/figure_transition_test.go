package render

import (
	"math"
	"testing"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// thickerTechnique has a slope on side A and a step on side B.
func thickerTechnique() *technique.Technique {
	t := plateTechnique()
	t.Job.Part.TransitionA = &schema.Transition{Begins: 40 * mm, Slope: 14 * si.Degree, Thickness: 32 * mm}
	t.Job.Part.TransitionB = &schema.Transition{Begins: 30 * mm, Slope: 90 * si.Degree, Thickness: 30 * mm}
	t.Section = geometry.New(&t.Job.Part)
	return t
}

// The lower surface is drawn along the slope: 7 mm down over 7 / tan 14° =
// 28.0755 mm on side A, and 5 mm straight down on side B.
func TestTransitionIsDrawn(t *testing.T) {
	tech := thickerTechnique()
	f, ok := artist{Technique: tech, letters: newTypeface(), units: "mm"}.groupSection(&tech.Groups[0])
	if !ok {
		t.Fatal("no figure")
	}
	var slope, step float64 // how far down they go, on the paper
	for _, s := range f.Drawing.shapes {
		for i := 1; i < len(s.points) && s.pen.width == outline().width; i++ {
			dx, dy := s.points[i].x-s.points[i-1].x, s.points[i].y-s.points[i-1].y
			if dy < 0 && math.Abs(dx*7+dy*28.0755) < 1e-3 {
				slope = -dy
			}
			if math.Abs(dx) < 1e-9 && dy > 0 && math.Abs(dy/slope-5.0/7) < 1e-9 {
				step = dy
			}
		}
	}
	if !(slope > 0 && step > 0) {
		t.Errorf("slope %v mm, step %v mm on the paper", slope, step)
	}
}
