package render

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

func TestJobsAreLaidOutWithoutFault(t *testing.T) {
	t.Parallel()
	for _, name := range shippedJobs(t) {
		for _, size := range []string{"A4", "Letter"} {
			pages, s := placed(t, document(t, computed(t, name), size))
			for _, fault := range faults(pages, s) {
				t.Errorf("%s, %s: %s", name, size, fault)
			}
			for _, fault := range slices.Concat(overleafFaults(pages), fullFaults(pages, s), cutFaults(pages, s)) {
				t.Errorf("%s, %s: %s", name, size, fault)
			}
		}
	}
}

// cutFaults names the lines of the contents that do not fit their column.
func cutFaults(pages []*page, s sheet) (faults []string) {
	for n, p := range pages {
		for _, x := range p.texts {
			if x.y > s.top-5 && strings.HasSuffix(x.text, "…") {
				faults = append(faults, fmt.Sprintf("%q on page %d is cut", x.text, n+1))
			}
		}
	}
	return faults
}

// fullFaults says where the client's page is not one, and where paper is wasted.
func fullFaults(pages []*page, s sheet) (faults []string) {
	if !pages[0].last {
		faults = append(faults, "the page for approval goes on overleaf")
	}
	for n, p := range pages {
		if !p.last && p.full(s) < 1.0/3 {
			faults = append(faults, fmt.Sprintf("page %d is less than a third full", n+1))
		}
	}
	return faults
}

// overleafFaults says whether the crew's sheet is one page of the document.
func overleafFaults(pages []*page) []string {
	for n, p := range pages {
		if len(p.marks) == 0 || !strings.HasPrefix(p.marks[0].title, "Annex C") && !strings.HasPrefix(p.marks[0].title, "Anhang C") {
			continue
		}
		if !p.last || n+1 < len(pages) && len(pages[n+1].marks) == 0 {
			return []string{"the crew's sheet goes on overleaf"}
		}
		return nil
	}
	return []string{"there is no sheet for the crew"}
}

// A job of long names and long lists is laid out as well as one of short ones.
func TestLongJobsAreLaidOutWithoutFault(t *testing.T) {
	t.Parallel()
	sentence := "The examination finds planar flaws on the fusion faces before the seam is coated, and " + strings.Repeat("describes a matter of some length and weight ", 4) + "for the record. "
	edits := map[string]func(*schema.Job){
		"long": func(j *schema.Job) {
			d := &j.Document
			d.Purpose = strings.Repeat(sentence, 5)
			d.Title = strings.Repeat("Ultrasonic examination of the girder seams ", 4)
			d.Number = strings.Repeat("ABCD-0123-", 6)
			d.Client = strings.Repeat("Fjellbru Crossing Authority and Partners ", 3)
			for i := range 12 {
				d.People = append(d.People, schema.Person{Task: []string{"approves", "scans", "evaluates"}[i%3], Name: fmt.Sprintf("Bartholomeus Cornelius Vandenbroucke-Holmqvist %d", i),
					Qualification: "Ultrasonic level 3, ISO 9712, welds, phased array and total focusing", Level: 3, Certificate: "CERT-0123456789-ABC", Training: "eighty hours of array training"})
			}
			for i := range 12 {
				d.History = append(d.History, schema.Revision{Revision: fmt.Sprint(i), Date: "2026-05-18", Change: sentence, By: "R. Ytterdal"})
			}
			d.Limitations = append(d.Limitations, sentence, sentence)
			block := &j.Equipment.Blocks[0]
			block.HoleDepths = nil
			for i := range 40 {
				block.HoleDepths = append(block.HoleDepths, si.Length(1+i)*si.Millimetre)
			}
			for i := range j.Groups {
				j.Groups[i].Name = fmt.Sprintf("lower-half-and-far-upper-fusion-face-%d", i)
				j.Groups[i].Purpose = sentence
			}
			j.Scan.Datum, j.Scan.Direction = sentence, sentence
			j.Equipment.Probes[0].Description = strings.Repeat("x", 120)
		},
		"sparse": func(j *schema.Job) {
			d := &j.Document
			d.Purpose, d.Client, d.Project, d.Contractor = "", "", "", ""
			d.People, d.History, d.Distribution, d.Limitations, d.Safety = nil, nil, nil, nil, nil
			j.Part.Description, j.Part.ParentMaterial, j.Part.Weld.Numbers, j.Part.Weld.Flaws = "", "", nil, nil
			j.Reference.Checks.Occasions, j.Reference.Transfer = nil, ""
			j.Scan.Datum, j.Scan.Direction, j.Scan.CouplingLoss, j.Scan.Storage = "", "", "", ""
			j.Qualification = schema.Qualification{}
		},
		"both units, one side": func(j *schema.Job) {
			j.Document.Units = "both"
			j.Part.Sides = j.Part.Sides[:1]
			for i := range j.Groups {
				j.Groups[i].Sides = j.Groups[i].Sides[:1]
			}
		},
	}
	for what, edit := range edits {
		for _, size := range []string{"A4", "Letter"} {
			pages, s := placed(t, document(t, computed(t, "plate-seam", edit), size))
			for _, fault := range faults(pages, s) {
				t.Errorf("%s, %s: %s", what, size, fault)
			}
		}
	}
}

// A short table stands on one page; of a longer one, three rows at least stand
// on each.
func TestTablesAreDividedWell(t *testing.T) {
	t.Parallel()
	for _, rows := range []int{2, 6, 7, 9, 30} {
		for fill := range 50 {
			var b strings.Builder
			b.WriteString(strings.Repeat("A line of text.\n\n", fill) + "| Head | Text |\n| --- | --- |\n")
			for i := range rows {
				fmt.Fprintf(&b, "| row%d | text |\n", i)
			}
			pages, _ := placed(t, Document{Markdown: []byte(b.String())})
			var counts []int
			for _, p := range pages {
				n := 0
				for _, x := range p.texts {
					if strings.HasPrefix(x.text, "row") {
						n++
					}
				}
				if n > 0 {
					counts = append(counts, n)
				}
			}
			if rows <= shortRows && len(counts) != 1 || slices.Min(counts) < min(keptRows, rows) {
				t.Errorf("%d lines before it: a table of %d rows is divided into %v", fill, rows, counts)
			}
		}
	}
}

// A figure that does not fit goes to the next page, and the text after it fills
// the page, but not with the next chapter.
func TestFigureThatDoesNotFitLeavesNoGap(t *testing.T) {
	doc := Document{
		Markdown: []byte("## 1 First\n\n" + strings.Repeat("A line of text.\n\n", 24) + "![x](block.svg)\n\n*Figure 1. Its caption.*\n\n" +
			strings.Repeat("After it.\n\n", 3) + "## 2 Second\n\nText.\n"),
		Figures: []Figure{{Name: "block", Drawing: Drawing{width: 100, height: 80}}},
	}
	pages, _ := placed(t, doc)
	if len(pages) != 2 {
		t.Fatalf("%d pages, want 2", len(pages))
	}
	on := func(p *page, text string) bool {
		return slices.ContainsFunc(p.texts, func(x placedText) bool { return strings.Contains(x.text, text) })
	}
	if len(pages[0].figures) != 0 || !on(pages[0], "After it.") {
		t.Error("the text after the figure does not fill the page that the figure leaves")
	}
	if len(pages[1].figures) != 1 || on(pages[0], "Second") || on(pages[1], "After it.") {
		t.Error("the figure does not stand before the next chapter")
	}
}

// A figure that waits does not come between the rows of a table, where it has
// room below them.
func TestFigureDoesNotPartTable(t *testing.T) {
	for _, height := range []float64{80, 200} {
		doc := Document{
			Markdown: []byte(strings.Repeat("A line of text.\n\n", 28) + "![x](block.svg)\n\n*Figure 1. Its caption.*\n\n" +
				"| Item | Value | More |\n| --- | --- | --- |\n" + strings.Repeat("| row | 1 mm | none |\n", 22)),
			Figures: []Figure{{Name: "block", Drawing: Drawing{width: 100, height: height}}},
		}
		pages, _ := placed(t, doc)
		rows := [][]float64{nil, nil} // where they stand, by page
		for i := range rows {
			for _, x := range pages[i].texts {
				if x.text == "row" {
					rows[i] = append(rows[i], x.y)
				}
			}
		}
		if len(rows[0]) < 2 || len(rows[1]) < 2 || len(pages[1].figures) != 1 {
			t.Fatalf("figure of %.0f mm: rows at %v, %d figures on the second page: this tries nothing", height, rows, len(pages[1].figures))
		}
		if below := pages[1].figures[0].y > slices.Max(rows[1]); below != (height == 80) {
			t.Errorf("figure of %.0f mm stands at %.0f mm, the rows from %.0f to %.0f mm", height, pages[1].figures[0].y, rows[1][0], slices.Max(rows[1]))
		}
	}
}

// The sheet is set in the largest type at which it is one page.
func TestSheetIsOnePageInTheLargestType(t *testing.T) {
	last := 100.0
	for _, lines := range []int{5, 40, 46, 52} {
		pages, _ := placed(t, Document{Markdown: []byte("before\n\n<!-- sheet -->\n\n" + strings.Repeat("- A line.\n", lines) + "\n<!-- page -->\n\nafter\n")})
		if len(pages) != 3 {
			t.Fatalf("%d lines: %d pages, want one before, the sheet and one after", lines, len(pages))
		}
		size := 0.0
		for _, x := range pages[1].texts {
			if x.text == "A line." {
				size = x.size
			}
		}
		if size > last || lines == 5 && size < 12 {
			t.Errorf("%d lines are set in %.1f pt, fewer were in %.1f pt", lines, size, last)
		}
		last = size
	}
	if last > 11.9 {
		t.Errorf("the longest sheet is set in %.1f pt as well: nothing was tested", last)
	}
}

func TestRowsToSignAreHigh(t *testing.T) {
	markdown := "| Name | Signature | Date |\n| --- | --- | --- |\n| A | | |\n| B | | |\n"
	gap := func(source string) float64 {
		pages, _ := placed(t, Document{Markdown: []byte(source)})
		y := map[string]float64{}
		for _, x := range pages[0].texts {
			y[x.text] = x.y
		}
		return y["B"] - y["A"]
	}
	if got := gap(markdown); got < 8-1e-9 {
		t.Errorf("rows of a form are %.2f mm high, want 8 mm to write in", got)
	}
	if got := gap("<!-- signatures -->\n\n" + markdown); got < 12-1e-9 {
		t.Errorf("rows to sign are %.2f mm high, want 12 mm", got)
	}
}

// An index is lowered where the symbol is one of the technique's, and nowhere
// else: not in a part of a word, not in a heading that is linked to.
func TestIndexesOfSymbolsAreLowered(t *testing.T) {
	doc := Document{
		Markdown: []byte("## Group λ_w\n\nλ_w and f_s/f, s\\_½; WPS_12, xλ_w, λ_w2, c_T_x, `λ_w`, γ_⊥\n\n| **v_max** | [to](#group-λ_w) |\n| --- | --- |\n| 2 v_0 | a |\n"),
		Symbols:  []string{"λ_w", "f_s/f", "s_½ = t tan α", "v_max", "v_0", "c_T", "sin γ_⊥ = 1"},
	}
	pages, _ := placed(t, doc)
	var got []string
	for _, x := range pages[0].texts {
		if x.y > 20 && x.y < 270 {
			got = append(got, x.text)
		}
	}
	want := []string{"Group λ_w", "λ", "w", " and f", "s", "/f, s", "½", "; WPS_12, xλ_w, λ_w2, c_T_x, ", "λ_w", ", γ", "⊥", "v", "max", "to", ",\u00A0p.\u00A01", "2 v", "0", "a"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	letter, index := pages[0].texts[1], pages[0].texts[2]
	if !(index.y > letter.y+0.3 && index.size < 0.8*letter.size) {
		t.Errorf("the index stands %.2f mm below its letter in %.1f pt beside %.1f pt", index.y-letter.y, index.size, letter.size)
	}
}
