package render

import (
	"strings"
	"testing"

	"soundwrit/internal/technique"
	"soundwrit/templates"
)

// Every group with a prediction has a figure that fits, whose texts stand apart,
// and that names the allowance and shows where the smallest echo is.
func TestMapsOfShippedJobs(t *testing.T) {
	drawn := 0
	for _, name := range shippedJobs(t) {
		tech := computed(t, name)
		figures := map[string]Figure{}
		for _, f := range document(t, tech, "A4").Figures {
			figures[f.Name] = f
		}
		for i := range tech.Groups {
			g := &tech.Groups[i]
			f, ok := figures["map-"+g.Set.Name]
			if ok != (g.Map != nil) {
				t.Errorf("%s: group %s has a map: %v, a figure: %v", name, g.Set.Name, g.Map != nil, ok)
			}
			if !ok {
				continue
			}
			drawn++
			d := f.Drawing
			if d.width > figureWidth || d.height > figureHeight {
				t.Errorf("%s %s: %.1f mm by %.1f mm does not fit the page", name, f.Name, d.width, d.height)
			}
			var words []string
			for i, x := range d.labels {
				words = append(words, x.text)
				for _, y := range d.labels[i+1:] {
					if x.bounds().overlaps(y.bounds()) {
						t.Errorf("%s %s: %q and %q overlap", name, f.Name, x.text, y.text)
					}
				}
			}
			all := strings.Join(words, "\n")
			panels := 1
			if g.Map.Face != "" {
				panels = 2
			}
			if n := strings.Count(all, templates.Language(tech.Job.Document.Language).Say(marked(g.Map, g.Pair != nil))); n != panels {
				t.Errorf("%s %s: %d legends name the level that matters, want %d", name, f.Name, n, panels)
			}
			if strings.Count(all, templates.Language(tech.Job.Document.Language).Say("smallest echo")) != 1 {
				t.Errorf("%s %s: the smallest echo is not marked once", name, f.Name)
			}
		}
	}
	if drawn < 6 {
		t.Errorf("only %d maps drawn", drawn)
	}
}

// The steps of a map can be told apart in grey print: each is clearly darker
// than the one before, and a label's black stands out from all.
func TestStepsDarken(t *testing.T) {
	grey := func(c colour) float64 { return 0.299*float64(c[0]) + 0.587*float64(c[1]) + 0.114*float64(c[2]) }
	before := 255.0
	for i, c := range stepTints() {
		if g := grey(c); g > before-12 {
			t.Errorf("step %d has a grey of %.0f, the one before %.0f", i, g, before)
		} else {
			before = g
		}
	}
	if before < 80 {
		t.Errorf("the darkest step has a grey of %.0f: black lines vanish on it", before)
	}
}

// A level's contour is drawn where the values cross it: in the drawing of a map
// the area below the allowance has the share that the technique states.
func TestMapShowsTheShareStated(t *testing.T) {
	tech := computed(t, "vessel-seam")
	for i := range tech.Groups {
		m := tech.Groups[i].Map
		below, reached := 0.0, 0.0
		add := func(sum *float64, v *technique.MapValues, level bool) {
			rows := v.Reached
			if level {
				rows = v.Below(m.Allowance)
			}
			for _, row := range rows.Row {
				for _, r := range row {
					*sum += float64(r.To - r.From)
				}
			}
		}
		add(&below, &m.Hole, true)
		add(&reached, &m.Hole, false)
		v, _ := tech.Value("groups." + tech.Groups[i].Set.Name + ".map.above")
		// The places are some 300, those of the edges counted whole.
		if drawn := 1 - below/reached; drawn < v.Q.SI-0.03 || drawn > v.Q.SI+0.03 {
			t.Errorf("group %s: %.3f of the area drawn is not below the allowance, %.3f is stated", tech.Groups[i].Set.Name, drawn, v.Q.SI)
		}
	}
}
