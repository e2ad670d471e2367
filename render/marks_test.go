package render

import (
	"math"
	"slices"
	"strings"
	"testing"

	"soundwrit/schema"
	"soundwrit/templates"
)

// bars lists the bars of a page, upper end and lower end.
func bars(p *page, s sheet) (list [][2]float64) {
	for _, r := range p.rules {
		if r.x1 == r.x2 && math.Abs(r.x1-(s.width-s.right+barGap)) < 1e-9 {
			list = append(list, [2]float64{r.y1, r.y2})
		}
	}
	return list
}

// Each line of the text says itself whether a bar should stand beside it.
func TestBarsStandBesideWhatIsMarked(t *testing.T) {
	long := strings.TrimSpace(strings.Repeat("new ", 1700))
	d := Document{Title: "T", Date: "2026-03-02", Figures: Figures(plateTechnique()), Markdown: []byte(`# Title

▌ new

same

- same
- ▌ new

> ### ▌ new
> same
>
> ▌ new

| A    | B    |
| ---- | ---- |
| same | same |
| ▌ new | new |
| ▌ **new** | |

![alt](block.svg)

▌ *new*

![alt](plan.svg)

*same*

| ▌ new | new  |
| ---- | ---- |
| same | same |

▌ ` + long + `

same
`)}
	pages, s := placed(t, d)
	if len(pages) < 3 {
		t.Fatalf("%d pages: the long paragraph should run over more", len(pages))
	}
	found := 0
	for n, p := range pages {
		list := bars(p, s)
		found += len(list)
		for _, x := range p.texts {
			word := strings.Fields(x.text + " -")[0]
			if word != "new" && word != "same" {
				continue
			}
			mid := x.y - 0.3*x.size*point
			beside := slices.ContainsFunc(list, func(b [2]float64) bool { return b[0] <= mid && mid <= b[1] })
			if beside != (word == "new") {
				t.Errorf("page %d, %q at %.1f mm: bar %v", n+1, x.text, x.y, beside)
			}
			if strings.Contains(x.text, templates.Mark) {
				t.Errorf("the mark itself is printed: %q", x.text)
			}
		}
		for _, f := range p.figures {
			mid := f.y + f.figure.Drawing.height/2
			beside := slices.ContainsFunc(list, func(b [2]float64) bool { return b[0] <= mid && mid <= b[1] })
			if beside != (f.figure.Name == "block") {
				t.Errorf("figure %s: bar %v", f.figure.Name, beside)
			}
		}
	}
	if found < 8 {
		t.Errorf("%d bars in all", found)
	}
}

// A change of one value, from the job to the page.
func TestChangedValueHasItsBar(t *testing.T) {
	before := computed(t, "plate-seam", func(j *schema.Job) { j.Scan.Storage = "Kept before" })
	after := computed(t, "plate-seam", func(j *schema.Job) { j.Scan.Storage = "Kept since" })
	s := Set{Technique: after, Wording: templates.Files(), Name: "x", Program: "test", Earlier: &Earlier{Technique: before, Since: templates.Since{Revision: "A", Verdict: "None."}}}
	all, err := s.Files()
	if err != nil {
		t.Fatal(err)
	}
	var marked []string
	for line := range strings.Lines(string(all[1].Data)) {
		if strings.Contains(line, "▌ in the Markdown") {
			continue
		}
		if strings.Contains(line, templates.Mark) {
			marked = append(marked, line)
			if !strings.Contains(line, "Kept since") {
				t.Errorf("marked, and it says nothing of the change: %s", line)
			}
		} else if strings.Contains(line, "Kept since") {
			t.Errorf("it says the change, and is not marked: %s", line)
		}
	}
	if len(marked) == 0 {
		t.Error("nothing is marked")
	}
}
