package render

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// The edges fit the page whatever their form and size, every face is named, and
// no text covers another.
func TestJointIsLegible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := func(name string, from, to float64) si.Length {
			return si.Length(rapid.Float64Range(from, to).Draw(t, name)) * mm
		}
		angle := func(name string) si.Angle { return si.Angle(rapid.Float64Range(0, 50).Draw(t, name)) * si.Degree }
		job := &schema.Job{}
		job.Document.Units = rapid.SampledFrom([]string{"mm", "in", "both"}).Draw(t, "units")
		p := &job.Part
		p.Kind = rapid.SampledFrom([]string{"plate", "pipe"}).Draw(t, "kind")
		p.Thickness = length("thickness", 3, 300)
		p.Zone = schema.Zone{Width: 5 * mm, Boundary: "straight"}
		land := p.Thickness / 10
		p.Weld = schema.Weld{
			Seam: "girth",
			Preparation: rapid.SampledFrom([]string{"square", "single-V", "double-V", "single-bevel", "double-bevel", "single-U", "double-U",
				"single-J", "double-J", "compound-bevel", "narrow-gap"}).Draw(t, "preparation"),
			Opens:        rapid.SampledFrom([]string{"top", "bottom"}).Draw(t, "opens"),
			BevelledSide: rapid.SampledFrom([]string{"A", "B"}).Draw(t, "side"),
			BevelAngle:   angle("bevel"), LowerAngle: angle("lower"), OuterAngle: angle("outer"),
			UpperDepth: p.Thickness / 2, BreakHeight: p.Thickness / 2, RootRadius: p.Thickness / 5,
			RootFace: land, RootGap: length("gap", 0, 20),
			Cap: schema.Reinforcement{Condition: "flush"}, Root: schema.Reinforcement{Condition: "flush"},
		}
		tech := &technique.Technique{Job: job, Section: geometry.New(p)}
		if !tech.Section.Known() {
			t.Fatal("section is not known")
		}
		f, ok := artist{Technique: tech, letters: newTypeface(), units: job.Document.Units}.joint()
		if !ok || f.Drawing.check() != nil {
			t.Fatal("not drawn")
		}
		d := f.Drawing
		if d.width > figureWidth || d.height > jointHeight {
			t.Fatalf("%.1f mm by %.1f mm", d.width, d.height)
		}
		for i, x := range d.labels {
			for _, y := range d.labels[i+1:] {
				if x.bounds().overlaps(y.bounds()) {
					t.Fatalf("%q and %q overlap", x.text, y.text)
				}
			}
		}
		for _, face := range tech.Section.Faces {
			named := 0
			for _, l := range d.labels {
				if l.text == face.Name || strings.HasPrefix(l.text, face.Name+", ") {
					named++
				}
			}
			if named != 1 {
				t.Fatalf("%s is named %d times", face.Name, named)
			}
		}
	})
}

// What is written beside the faces of a U: 28 mm of depth, worked out in
// internal/geometry.
func TestJointSaysSizes(t *testing.T) {
	job := plateTechnique().Job
	job.Part.Thickness = 30 * mm
	w := &job.Part.Weld
	w.Preparation, w.BevelAngle, w.RootRadius, w.RootFace, w.RootGap = "single-U", 10*si.Degree, 6*mm, 2*mm, 2*mm
	f, _ := artist{Technique: &technique.Technique{Job: job, Section: geometry.New(&job.Part)}, letters: newTypeface(), units: "mm"}.joint()
	var texts []string
	for _, l := range f.Drawing.labels {
		texts = append(texts, l.text)
	}
	for want, times := range map[string]int{"A": 1, "10°": 2, "B radius": 1, "R 6 mm": 1, "B root face": 1, "root gap 2 mm": 1,
		"21.9 mm": 1, "2 mm": 1, "30 mm": 1, "top": 1, "bottom": 1} {
		found := 0
		for _, text := range texts {
			if text == want {
				found++
			}
		}
		if found != times {
			t.Errorf("%q stands %d times among %q, want %d", want, found, texts, times)
		}
	}
}

// The arc of a bevel's angle is to scale: about the inner end of the face, from
// the direction of the centreline to the face, so that its chord is twice its
// radius times the sine of half the angle.
func TestBevelAngleIsAnArcOfThatAngle(t *testing.T) {
	a := artist{Technique: plateTechnique(), letters: newTypeface(), units: "mm"} // 30° in 25 mm
	f, _ := a.joint()
	arcs := 0
	for _, s := range f.Drawing.shapes {
		if s.closed || len(s.points) < 20 || s.pen.width != narrow().width || near(s.points[0].x, s.points[len(s.points)-1].x) {
			continue
		}
		from, to := s.points[0], s.points[len(s.points)-1]
		top := math.Inf(1) // a freehand line is higher than it is wide
		for _, p := range s.points {
			top = min(top, p.y)
		}
		if math.Abs(from.y-to.y) > math.Abs(from.x-to.x) {
			continue
		}
		arcs++
		// The end on the face's side is lower; the other is straight over the
		// inner end, where the arc is level.
		upright, face := from, to
		if from.y > to.y {
			upright, face = to, from
		}
		if !near(upright.y, top) {
			t.Errorf("the arc is not level where it leaves the direction of the centreline")
		}
		// Of a circle through both, level at the first: R = (dx² + dy²) / (2 dy).
		dx, dy := math.Abs(face.x-upright.x), face.y-upright.y
		if got := 180 / math.Pi * math.Asin(dx*2*dy/(dx*dx+dy*dy)); math.Abs(got-30) > 1e-6 {
			t.Errorf("the arc spans %.3f°, want 30°", got)
		}
	}
	if arcs != 2 {
		t.Errorf("%d arcs, want one for each side", arcs)
	}
}
