package render

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// placed lays a document out.
func placed(t testing.TB, doc Document) ([]*page, sheet) {
	t.Helper()
	s, err := sheetNamed(doc.PageSize)
	if err != nil {
		t.Fatal(err)
	}
	blocks, err := parseMarkdown(doc.Markdown, symbolsOf(doc.Symbols))
	if err != nil {
		t.Fatal(err)
	}
	pages, _, err := layOut(blocks, doc, s, newTypeface())
	if err != nil {
		t.Fatal(err)
	}
	return pages, s
}

// area is the rectangle that a run of text covers: its letters without the
// white space of the line.
func (x placedText) area() box {
	h := x.size * point
	return box{x.x, x.y - 0.74*h, x.x + x.width, x.y + 0.2*h}
}

// faults lists what no page may have: anything outside the margins, text over
// text or figures, a heading with nothing below it.
func faults(pages []*page, s sheet) []string {
	var out []string
	const slack = 0.02
	for n, p := range pages {
		add := func(format string, args ...any) {
			out = append(out, fmt.Sprintf("page %d: ", n+1)+fmt.Sprintf(format, args...))
		}
		outside := func(b box, what string, furniture bool) {
			top, bottom := min(s.top, p.begin), s.foot()
			if furniture {
				top, bottom = 8, s.height-8
			}
			if b.left < s.left-slack || b.right > s.width-s.right+slack || b.top < top-slack || b.bottom > bottom+slack {
				add("%s is outside the margins: %.2f", what, b)
			}
		}
		for i, x := range p.texts {
			furniture := x.y < s.top-5 || x.y > s.foot()+2
			outside(x.area(), fmt.Sprintf("%q", x.text), furniture)
			for _, y := range p.texts[i+1:] {
				a, b := x.area(), y.area()
				a.left, a.right = a.left+slack, a.right-slack
				if a.overlaps(b) {
					add("%q and %q overlap", x.text, y.text)
				}
			}
			for _, f := range p.figures {
				if x.area().overlaps(box{f.x, f.y, f.x + f.figure.Drawing.width, f.y + f.figure.Drawing.height}) {
					add("%q lies over figure %s", x.text, f.figure.Name)
				}
			}
		}
		for _, f := range p.figures {
			outside(box{f.x, f.y, f.x + f.figure.Drawing.width, f.y + f.figure.Drawing.height}, "figure "+f.figure.Name, false)
		}
		for _, r := range p.rects {
			outside(box{r.x, r.y, r.x + r.width, r.y + r.height}, "a rectangle", false)
		}
		for _, r := range p.rules {
			furniture := r.y1 < s.top-5 || r.y1 > s.foot()+2
			outside(box{min(r.x1, r.x2), min(r.y1, r.y2), max(r.x1, r.x2), max(r.y1, r.y2)}, "a rule", furniture)
		}
		for _, m := range p.marks {
			size := headingOf(m.level)
			below := slices.ContainsFunc(p.texts, func(x placedText) bool {
				return x.y > m.y+size.leading && x.y < s.foot() && (x.style != bold || x.size != size.size || !strings.Contains(m.title, x.text))
			}) || len(p.figures) > 0 && p.figures[len(p.figures)-1].y > m.y
			if !below {
				add("heading %q stands alone at the foot", m.title)
			}
		}
		for _, r := range p.rects {
			// A title between the rows of a table is grey over its whole width.
			title := slices.IndexFunc(p.texts, func(x placedText) bool {
				return r.colour == grey(0xF2) && x.style == bold && x.y > r.y && x.y < r.y+r.height
			})
			if title >= 0 && !slices.ContainsFunc(p.texts, func(x placedText) bool { return x.y > r.y+r.height && x.y < s.foot() }) {
				add("the title %q of rows stands alone at the foot", p.texts[title].text)
			}
		}
	}
	return out
}

func TestSampleIsLaidOutWithoutFault(t *testing.T) {
	t.Parallel()
	for _, size := range []string{"A4", "Letter"} {
		doc := sampleDocument(t)
		doc.PageSize = size
		pages, s := placed(t, doc)
		if len(pages) < 10 {
			t.Errorf("%s: the sample has only %d pages; it is meant to fill ten", size, len(pages))
		}
		for _, fault := range faults(pages, s) {
			t.Errorf("%s: %s", size, fault)
		}
	}
}

// The same faults are looked for in documents made of random pieces, in which
// page breaks fall everywhere.
func TestRandomDocumentsAreLaidOutWithoutFault(t *testing.T) {
	t.Parallel()
	words := []string{"weld", "a", "reinforcement", "and", "12 mm", "**shall**", "*θ*", "`groups.upper.wavelength`", "mm/s", "non-destructive",
		"x", "inspection", "[there](#1-first)", "Donaudampfschifffahrtsgesellschaft"}
	rapid.Check(t, func(t *rapid.T) {
		sentence := func(most int) string {
			return strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 1, most).Draw(t, "words"), " ")
		}
		var b strings.Builder
		b.WriteString("# Title\n\n<!-- contents -->\n\n## 1 First\n\ntext\n\n")
		for range rapid.IntRange(1, 25).Draw(t, "blocks") {
			switch rapid.IntRange(0, 6).Draw(t, "kind") {
			case 0:
				level := rapid.IntRange(2, 4).Draw(t, "level")
				b.WriteString(strings.Repeat("#", level) + " Heading\n\n" + sentence(3) + "\n\n")
			case 1:
				b.WriteString(sentence(120) + "\n\n")
			case 2:
				for range rapid.IntRange(1, 12).Draw(t, "items") {
					b.WriteString("- " + sentence(30) + "\n")
				}
				b.WriteString("\n")
			case 3:
				b.WriteString("| a | b | c |\n| --- | :---: | ---: |\n")
				for range rapid.IntRange(1, 30).Draw(t, "rows") {
					if rapid.IntRange(0, 3).Draw(t, "title") == 0 {
						b.WriteString("| **Title** of rows | | |\n")
					}
					b.WriteString("| " + sentence(12) + " | " + sentence(4) + " | 1.5 |\n")
				}
				b.WriteString("\n")
			case 4:
				b.WriteString("> **Caution.** " + sentence(60) + "\n\n")
			case 5:
				b.WriteString("## Heading of a figure\n\n![x](block.svg)\n\n*Figure. " + sentence(10) + "*\n\n")
			case 6:
				b.WriteString("What follows:\n\n1. " + sentence(20) + "\n2. " + sentence(9) + "\n\n   " + sentence(30) + "\n\n")
			}
		}
		doc := Document{Markdown: []byte(b.String()), Figures: Figures(plateTechnique())}
		blocks, err := parseMarkdown(doc.Markdown, symbolsOf(doc.Symbols))
		if err != nil {
			t.Fatal(err)
		}
		s, _ := sheetNamed("A4")
		pages, _, err := layOut(blocks, doc, s, newTypeface())
		if err != nil {
			t.Fatal(err)
		}
		if list := faults(pages, s); len(list) > 0 {
			t.Fatalf("%s\n%s", strings.Join(list, "\n"), b.String())
		}
	})
}

func TestTableRowsStayWholeAndTheHeadIsRepeated(t *testing.T) {
	var b strings.Builder
	b.WriteString("| Head | Text |\n| --- | --- |\n")
	const rows = 90
	for i := range rows {
		fmt.Fprintf(&b, "| first%d | %s last%d |\n", i, strings.Repeat("words that fill some lines of the cell ", 6+i%5), i)
	}
	pages, _ := placed(t, Document{Markdown: []byte(b.String())})
	if len(pages) < 3 {
		t.Fatalf("%d pages do not test anything", len(pages))
	}
	pageOf := map[string]int{}
	for n, p := range pages {
		heads := 0
		for _, x := range p.texts {
			if x.text == "Head" {
				heads++
			}
			for _, word := range strings.Fields(x.text) {
				if strings.HasPrefix(word, "first") || strings.HasPrefix(word, "last") {
					pageOf[word] = n + 1
				}
			}
		}
		if heads != 1 {
			t.Errorf("page %d: %d heads of the table, want 1", n+1, heads)
		}
	}
	for i := range rows {
		a, z := pageOf[fmt.Sprint("first", i)], pageOf[fmt.Sprint("last", i)]
		if a == 0 || a != z {
			t.Errorf("row %d begins on page %d and ends on page %d", i, a, z)
		}
	}
}

// A row that is higher than a page has to be divided; nothing of it is lost.
func TestRowHigherThanAPage(t *testing.T) {
	var words []string
	for i := range 3000 {
		words = append(words, fmt.Sprintf("w%d", i))
	}
	doc := Document{Markdown: []byte("| a | b |\n| --- | --- |\n| x | " + strings.Join(words, " ") + " |\n")}
	pages, s := placed(t, doc)
	var got []string
	for _, p := range pages {
		for _, x := range p.texts {
			for _, w := range strings.Fields(x.text) {
				if strings.HasPrefix(w, "w") {
					got = append(got, w)
				}
			}
		}
	}
	if !slices.Equal(got, words) {
		t.Errorf("%d words of %d are on the pages, or in another order", len(got), len(words))
	}
	for _, fault := range faults(pages, s) {
		t.Error(fault)
	}
}

func TestCaptionStaysWithItsFigure(t *testing.T) {
	figures := Figures(plateTechnique())
	for fill := range 40 {
		doc := Document{
			Markdown: []byte(strings.Repeat("A line of text.\n\n", fill) + "![x](block.svg)\n\n*Figure 1. Its caption.*\n\nAfter it."),
			Figures:  figures,
		}
		pages, _ := placed(t, doc)
		for n, p := range pages {
			caption := slices.ContainsFunc(p.texts, func(x placedText) bool { return x.text == "Figure 1. Its caption." })
			if caption != (len(p.figures) == 1) {
				t.Errorf("%d lines before it: page %d has the figure or the caption, not both", fill, n+1)
			}
		}
	}
}

// The page numbers in the contents and after links in tables are those of the
// pages on which the headings stand.
func TestPageNumbersAreRight(t *testing.T) {
	doc := sampleDocument(t)
	pages, _ := placed(t, doc)
	at := map[string]int{}
	for n, p := range pages {
		for _, m := range p.marks {
			at[m.anchor] = n + 1
		}
	}
	checked := 0
	for _, p := range pages {
		for _, k := range p.links {
			name, internal := strings.CutPrefix(k.target, "#")
			if !internal {
				continue
			}
			// The number is the last text of the link's line, or begins behind it.
			for _, x := range p.texts {
				var n int
				inLine := x.y > k.y && x.y < k.y+k.height
				if _, err := fmt.Sscanf(x.text, ", p.\u00A0%d", &n); err == nil && inLine && math.Abs(x.x-k.x-k.width) < 0.1 {
					checked++
					if n != at[name] {
						t.Errorf("a link to %s says page %d, it is on page %d", name, n, at[name])
					}
				}
				if _, err := fmt.Sscanf(x.text, "%d", &n); err == nil && inLine && math.Abs(x.x+x.width-k.x-k.width) < 0.1 && k.width > 60 {
					checked++
					if n != at[name] {
						t.Errorf("the contents say page %d for %s, it is on page %d", n, name, at[name])
					}
				}
			}
		}
	}
	if checked < 25 {
		t.Errorf("only %d page numbers were found to check", checked)
	}
}

func TestPageBreakComment(t *testing.T) {
	pages, _ := placed(t, Document{Markdown: []byte("one\n\n<!-- page -->\n\ntwo\n\n<!-- page -->\n\n<!-- page -->\n\nthree\n")})
	if len(pages) != 3 {
		t.Errorf("%d pages, want 3: a break at the top of a page is no second break", len(pages))
	}
}

func TestColumnsShareTheWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "columns")
		f := columnFit{least: make([]float64, n), most: make([]float64, n), empty: make([]bool, n), right: make([]bool, n)}
		for c := range n {
			f.least[c] = rapid.Float64Range(5, 40).Draw(t, "least")
			f.most[c] = f.least[c]
			f.empty[c], f.right[c] = rapid.Bool().Draw(t, "empty"), rapid.Bool().Draw(t, "right")
		}
		for range rapid.IntRange(1, 20).Draw(t, "rows") {
			row := make([]float64, n)
			for c := range row {
				row[c] = rapid.Float64Range(0, 400).Draw(t, "text")
				f.most[c] = max(f.most[c], row[c]+2*cellPadX)
			}
			f.texts = append(f.texts, row)
		}
		got := f.widths(167)
		if total(got) > 167+1e-6 {
			t.Errorf("the columns are %.3f mm wide together", total(got))
		}
		if total(f.least) <= 167 {
			for c := range got {
				if got[c] < f.least[c]-1e-6 {
					t.Errorf("column %d gets %.3f mm, its longest word needs %.3f mm", c, got[c], f.least[c])
				}
			}
		}
	})
}

// The width goes to where it saves lines: a table of long texts beside short
// ones is not much higher than the area of its texts asks for.
func TestColumnsMakeTheTableLow(t *testing.T) {
	f := columnFit{least: []float64{15, 15, 15}, most: []float64{23, 303, 83}, empty: make([]bool, 3), right: make([]bool, 3)}
	for range 10 {
		f.texts = append(f.texts, []float64{20, 300, 80})
	}
	got := f.widths(167)
	deepest := 0.0
	for c, text := range f.texts[0] {
		deepest = max(deepest, text/(got[c]-2*cellPadX))
	}
	// 300 + 80 mm of text in 167 - 23 - 6 mm: 2.75 lines where both are equally
	// deep. One part in 60 of the width is the grain of the division.
	if deepest > 2.75*1.06 {
		t.Errorf("widths %.1f: the deepest cell has %.2f lines, want 2.75", got, deepest)
	}
}

// One word that no page could hold does not take the room of the other columns,
// nor make the type of the whole table small.
func TestEndlessWordLeavesTheOtherColumnsWhole(t *testing.T) {
	pages, _ := placed(t, Document{Markdown: []byte("| Number | Words | Answer |\n| --- | --- | --- |\n| No. 1 | " + strings.Repeat("endless", 60) + " | Answered. |\n")})
	whole := 0
	for _, x := range pages[0].texts {
		if slices.Contains([]string{"Number", "No. 1", "Answer", "Answered."}, x.text) && x.size > 8 {
			whole++
		}
	}
	if whole != 4 {
		t.Errorf("%d of the four other cells are whole, in the usual type", whole)
	}
}

// Decimal signs of a column of numbers stand one below the other.
func TestNumbersLineUp(t *testing.T) {
	pages, _ := placed(t, Document{Markdown: []byte("| a | b |\n| --- | ---: |\n| x | 1.25 |\n| y | 12.5 |\n| z | 100 |\n")})
	face := newTypeface()
	edge := map[string]float64{}
	for _, x := range pages[0].texts {
		whole, _, _ := strings.Cut(x.text, ".")
		edge[x.text] = x.x + face.width(whole, x.style, x.size)
	}
	for _, text := range []string{"12.5", "100"} {
		// Two widths of the same letters added in another order.
		if math.Abs(edge[text]-edge["1.25"]) > 1e-9 {
			t.Errorf("the units of %s end at %.4f mm, those of 1.25 at %.4f mm", text, edge[text], edge["1.25"])
		}
	}
}
