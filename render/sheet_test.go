package render

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/technique"
	"soundwrit/schema"
	"soundwrit/templates"
)

// sheetDocument is the crew's sheet alone, for tests that look at the page.
func sheetDocument(t testing.TB, tech *technique.Technique, size string) Document {
	t.Helper()
	figures, d := Figures(tech), tech.Job.Document
	markdown, err := templates.Sheet(templates.Files(), tech, captions(figures))
	if err != nil {
		t.Fatal(err)
	}
	return Document{Markdown: markdown, Figures: figures, Number: d.Number, Title: d.Title, Revision: d.Revision,
		Date: d.Date, Status: d.Status, Language: d.Language, PageSize: size, Symbols: symbolTexts(tech)}
}

// labels are the texts that name others: the first cells of rows, and the cells of
// the form.
func labels(markdown []byte) (all []string) {
	for _, line := range strings.Split(string(markdown), "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if !strings.HasPrefix(line, "|") {
			continue
		}
		all = append(all, strings.TrimSpace(cells[0]))
		if len(cells) > 4 && strings.TrimSpace(cells[1]) == "" {
			all = append(all, cells...)
		}
	}
	return all
}

// The type of the crew's sheet, in points: of values, that are read at arm's
// length in a glove, on a sheet of one or two groups and of more; of what names
// them; and of the key numbers. Common practice, no source.
const leastValue, leastOfMany, leastLabel, leastKey = 12.0, 10.5, 9.0, 17.0

func TestSheetIsOneLegiblePage(t *testing.T) {
	for _, name := range shippedJobs(t) {
		for _, language := range []string{"en", "de"} {
			tech := computed(t, name, func(j *schema.Job) { j.Document.Language = language })
			least := leastValue
			if len(tech.Groups) > 2 {
				least = leastOfMany
			}
			for _, size := range []string{"A4", "Letter"} {
				doc := sheetDocument(t, tech, size)
				for _, fault := range sheetFaults(t, doc, least) {
					t.Errorf("%s, %s, %s: %s", name, language, size, fault)
				}
			}
		}
	}
}

// sheetFaults says where a sheet is not one page of legible type.
func sheetFaults(t *testing.T, doc Document, least float64) (faults []string) {
	t.Helper()
	pages, s := placed(t, doc)
	if len(pages) != 1 {
		return []string{fmt.Sprintf("%d pages", len(pages))}
	}
	names, values, largest := labels(doc.Markdown), 0, 0.0
	for _, x := range pages[0].texts {
		if x.part == nil || x.style == oblique {
			continue // on every page, or a caption
		}
		largest = max(largest, x.size)
		need := least
		if slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, x.text) }) {
			need = leastLabel
		} else {
			values++
		}
		if x.size < need-1e-9 {
			faults = append(faults, fmt.Sprintf("%q is set in %.2f pt", x.text, x.size))
		}
	}
	if values < 25 {
		faults = append(faults, fmt.Sprintf("only %d values were looked at", values))
	}
	if largest < leastKey {
		faults = append(faults, fmt.Sprintf("the key numbers are set in %.1f pt", largest))
	}
	if end := pages[0].end; end > s.foot()+1e-6 {
		faults = append(faults, "it is longer than the page")
	}
	return faults
}

// However long the texts of a job, its sheet is one page: what has no room is cut,
// and says where all of it stands.
func TestSheetOfLongTextsIsOnePage(t *testing.T) {
	for language, see := range map[string]string{"en": "… see\u00A0", "de": "… siehe\u00A0"} {
		tech := computedFrom(t, stressed, func(j *schema.Job) { j.Document.Language = language })
		for _, size := range []string{"A4", "Letter"} {
			doc := sheetDocument(t, tech, size)
			for _, fault := range sheetFaults(t, doc, leastLabel) {
				t.Errorf("%s, %s: %s", language, size, fault)
			}
			for row, section := range map[string]string{"C120-C-01": "7.2", "Courses of the column": "7.1", "Markdown: ": "11", "Unbroken:": "11", "occasion 1": "12"} {
				text := string(doc.Markdown)
				if _, after, found := strings.Cut(text, row); !found || !strings.Contains(strings.SplitN(after, "\n", 2)[0], see+section) {
					t.Errorf("%s: the text that begins with %q does not lead to %s", language, row, section)
				}
			}
		}
	}
}
