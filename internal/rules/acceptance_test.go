package rules_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// acceptanceCase is one row of an acceptance table for one thickness, worked
// out by hand. Lengths in mm, or in inches for an inch job; NaN: no limit.
type acceptanceCase struct {
	book      string
	level     string
	thickness float64
	inch      bool
	row       int // -1: the book has no rows for the case
	length    float64
	height    float64
	amplitude float64
}

// aspectCase is a limit by the slenderness: the largest a over thickness for a
// thickness in mm, or in inches for an inch job, at each a over length.
type aspectCase struct {
	thickness       float64
	inch            bool
	surface, inside []float64
}

// aspectCases: the two outer columns stand in the study of the codes, from a
// worked sheet to B31 Case 181-1; its column between them is their mean, which
// is the interpolation at 82 mm (3.25 in).
func aspectCases() []aspectCase {
	thin := [2][]float64{
		{0.031, 0.033, 0.036, 0.041, 0.047, 0.055, 0.064, 0.074, 0.083, 0.085, 0.087},
		{0.034, 0.038, 0.043, 0.049, 0.057, 0.066, 0.078, 0.090, 0.105, 0.125, 0.143},
	}
	thick := [2][]float64{
		{0.019, 0.020, 0.022, 0.025, 0.028, 0.033, 0.038, 0.044, 0.050, 0.051, 0.052},
		{0.020, 0.022, 0.025, 0.029, 0.033, 0.038, 0.044, 0.051, 0.058, 0.067, 0.076},
	}
	var middle [2][]float64
	for k := range middle {
		for i := range thin[k] {
			middle[k] = append(middle[k], (thin[k][i]+thick[k][i])/2)
		}
	}
	var cases []aspectCase
	for _, t := range []float64{25, 30, 64} {
		cases = append(cases, aspectCase{t, false, thin[0], thin[1]})
	}
	for _, t := range []float64{100, 200, 300} {
		cases = append(cases, aspectCase{t, false, thick[0], thick[1]})
	}
	return append(cases, aspectCase{82, false, middle[0], middle[1]}, aspectCase{3.25, true, middle[0], middle[1]},
		aspectCase{1, true, thin[0], thin[1]}, aspectCase{2.5, true, thin[0], thin[1]}, aspectCase{4, true, thick[0], thick[1]}, aspectCase{12, true, thick[0], thick[1]})
}

// aspectFaults holds the limits by slenderness of a book against the cases.
func aspectFaults(book *rules.Book) []string {
	if !strings.Contains(book.ID, "case-") {
		return nil
	}
	slender := []float64{0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) } // float noise only
	var faults []string
	if book.ID == "asme-case-2235-10" {
		for inch, t := range map[bool]si.Length{false: 24.9 * si.Millimetre, true: 0.99 * si.Inch} {
			if rows, _ := book.Acceptance(t, "", inch); len(rows) != 2 || rows[0].Aspects != nil || rows[1].Aspects != nil {
				faults = append(faults, fmt.Sprintf("t = %v: rows %+v, want the two for less than 25 mm", t, rows))
			}
		}
	}
	for _, c := range aspectCases() {
		unit := si.Millimetre
		if c.inch {
			unit = si.Inch
		}
		rows, _ := book.Acceptance(si.Length(c.thickness)*unit, "", c.inch)
		if len(rows) != 2 {
			faults = append(faults, fmt.Sprintf("t = %v: %d rows", c.thickness, len(rows)))
			continue
		}
		for k, want := range [][]float64{c.surface, c.inside} {
			got := rows[k].Aspects
			if len(got) != len(slender) {
				faults = append(faults, fmt.Sprintf("t = %v, row %d: %d limits", c.thickness, k, len(got)))
				continue
			}
			for i, l := range got {
				height := want[i] * c.thickness * float64(k+1) // inside, a is half the height
				length := want[i] * c.thickness / slender[i]
				if !near(float64(l.Aspect), slender[i]) || !near(float64(l.Share), want[i]) || !near(float64(l.Height/unit), height) || slender[i] > 0 && !near(float64(l.Length/unit), length) {
					faults = append(faults, fmt.Sprintf("t = %v, row %d, a/l = %v: %+v, want a/t %v", c.thickness, k, slender[i], l, want[i]))
				}
			}
		}
	}
	return faults
}

// acceptanceCases: the ASME rows are seen in a third-party copy of the 2019
// edition (12-3); those of ISO 19285, ISO 15626 and ISO 11666 are recalled, as the books
// say, and are held here against slips of the hand only.
func acceptanceCases() []acceptanceCase {
	none := math.NaN()
	asme := func(t, length float64, inch bool) acceptanceCase {
		return acceptanceCase{"asme-viii-1-app12-2019", "", t, inch, 1, length, none, none}
	}
	app12 := []acceptanceCase{
		asme(10, 6, false), asme(19, 6, false), asme(19.1, 19.1/3, false), asme(30, 10, false), asme(55, 55.0/3, false), asme(57, 19, false), asme(57.1, 19, false), asme(60, 19, false),
		asme(0.5, 0.25, true), asme(0.7, 0.25, true), asme(0.75, 0.25, true), asme(0.78, 0.26, true), asme(1.5, 0.5, true), asme(2.1, 0.7, true), asme(2.25, 0.75, true), asme(2.28, 0.75, true), asme(3, 0.75, true),
	}
	cases := []acceptanceCase{
		{"asme-viii-1-app12-2019", "", 12, false, 0, none, none, none},
		{"iso-19285-2017", "1", 5.9, false, -1, none, none, none}, {"iso-15626-2018", "1", 5.9, false, -1, none, none, none}, {"iso-11666-2018", "2", 7.9, false, -1, none, none, none},
		{"iso-11666-2018", "2", 100.1, false, -1, none, none, none},
		// The table by slenderness is worked out in aspectCases; below 25 mm the case
		// has one share of the thickness, and one length.
		{"asme-case-2235-10", "", 12.9, false, -1, none, none, none}, {"asme-case-2235-10", "", 300.1, false, -1, none, none, none},
		{"asme-case-2235-10", "", 0.49, true, -1, none, none, none}, {"asme-case-2235-10", "", 12.01, true, -1, none, none, none},
		{"asme-case-2235-10", "", 13, false, 0, 6.4, 1.131, none}, {"asme-case-2235-10", "", 13, false, 1, 6.4, 3.718, none},
		{"asme-case-2235-10", "", 24.9, false, 0, 6.4, 2.1663, none}, {"asme-case-2235-10", "", 0.5, true, 0, 0.25, 0.0435, none}, {"asme-case-2235-10", "", 0.5, true, 1, 0.25, 0.143, none},
		{"asme-case-2235-10", "", 0.99, true, 0, 0.25, 0.08613, none},
		{"asme-case-2235-10", "", 25, false, 1, 100, none, none}, {"asme-case-2235-10", "", 1, true, 1, 4, none, none},
		{"asme-b31-case-181-2", "", 24.9, false, -1, none, none, none}, {"asme-b31-case-181-2", "", 300.1, false, -1, none, none, none},
		{"asme-b31-case-181-2", "", 0.99, true, -1, none, none, none}, {"asme-b31-case-181-2", "", 12.01, true, -1, none, none, none},
		{"asme-b31-case-181-2", "", 25, false, 1, 100, none, none}, {"asme-b31-case-181-2", "", 12, true, 1, 48, none, none},
	}
	// B31.1 and B31.3 are recalled to have the lengths of VIII-1 App. 12.
	for book, row := range map[string]int{"asme-viii-1-app12-2019": 1, "asme-b31.1-2022": 1, "asme-b31.3-2022": 0} {
		for _, c := range app12 {
			c.book, c.row = book, row
			cases = append(cases, c)
		}
	}
	// level, thickness, length limit, surface height, embedded height, height beyond the limit, total length in 12 t
	for _, r := range []struct {
		level                                  string
		t, length, surface, inside, beyond, of float64
	}{
		{"1", 6, 4.5, 1.5, 2, 1, 21}, {"1", 15, 11.25, 1.5, 2, 1, 52.5}, {"1", 15.1, 11.325, 2, 3, 1, 52.85}, {"1", 40, 30, 2, 3, 1, 140},
		{"1", 50, 37.5, 2, 3, 1, 150}, {"1", 50.1, 40, 2.5, 4, 2, 150}, {"1", 100, 40, 2.5, 4, 2, 150}, {"1", 100.1, 50, 3, 5, 2, 150},
		{"2", 6, 6, 2, 2, 1, 24}, {"2", 15, 15, 2, 2, 1, 60}, {"2", 15.1, 15.1, 2, 4, 1, 60.4}, {"2", 45, 45, 2, 4, 1, 180},
		{"2", 47, 47, 2, 4, 1, 188}, {"2", 50, 50, 2, 4, 1, 200}, {"2", 50.1, 50, 3, 5, 2, 200}, {"2", 60, 50, 3, 5, 2, 200}, {"2", 100, 50, 3, 5, 2, 200}, {"2", 100.1, 60, 4, 6, 2, 200},
	} {
		row := func(i int, length, height float64) {
			for _, book := range []string{"iso-19285-2017", "iso-15626-2018"} { // the same limits, as recalled
				cases = append(cases, acceptanceCase{book, r.level, r.t, false, i, length, height, none})
			}
		}
		row(0, r.length, r.surface)
		row(1, r.length, r.inside)
		row(2, none, r.beyond)
		row(3, r.of, none)
	}
	// level, thickness, amplitudes up to t/2, up to t, longer
	for _, r := range []struct {
		level              string
		t, half, one, more float64
	}{
		{"2", 8, -4, -4, -10}, {"2", 14.9, -4, -4, -10}, {"2", 15, 0, -6, -10}, {"2", 100, 0, -6, -10},
		{"3", 8, 0, 0, -6}, {"3", 14.9, 0, 0, -6}, {"3", 15, 4, -2, -6}, {"3", 100, 4, -2, -6},
	} {
		row := func(i int, length, amplitude float64) {
			cases = append(cases, acceptanceCase{"iso-11666-2018", r.level, r.t, false, i, length, none, amplitude})
		}
		row(0, r.t/2, r.half)
		row(1, r.t, r.one)
		row(2, none, r.more)
	}
	return cases
}

// acceptanceFaults holds the table of a book against the cases for it.
func acceptanceFaults(book *rules.Book) []string {
	faults := slices.Concat(judgeFaults(book), aspectFaults(book), recordFaults(book), classFaults(book))
	for _, c := range acceptanceCases() {
		if c.book != book.ID {
			continue
		}
		unit := si.Millimetre
		if c.inch {
			unit = si.Inch
		}
		rows, _ := book.Acceptance(si.Length(c.thickness)*unit, c.level, c.inch)
		if c.row < 0 {
			if len(rows) > 0 {
				faults = append(faults, fmt.Sprintf("%s level %s, t = %v: there are rows", c.book, c.level, c.thickness))
			}
			continue
		}
		if c.row >= len(rows) {
			faults = append(faults, fmt.Sprintf("%s level %s, t = %v: there is no row %d", c.book, c.level, c.thickness, c.row))
			continue
		}
		got := rows[c.row]
		for _, x := range []struct {
			what      string
			got, want float64
		}{
			{"length", float64(got.Length / unit), c.length}, {"height", float64(got.Height / unit), c.height}, {"amplitude", float64(got.Amplitude), c.amplitude},
		} {
			// 1e-9: float noise of unit conversion only.
			if math.IsNaN(x.got) != math.IsNaN(x.want) || math.Abs(x.got-x.want) > 1e-9*math.Abs(x.want) {
				faults = append(faults, fmt.Sprintf("%s level %s, t = %v, row %d (%s): %s %v, want %v", c.book, c.level, c.thickness, c.row, got.Class, x.what, x.got, x.want))
			}
		}
	}
	return faults
}

// withAcceptance are the books that hold an acceptance table.
func withAcceptance(t *testing.T) []*rules.Book {
	shelf, _ := rules.Open(shipped(), technique.Vocabulary())
	var books []*rules.Book
	for _, h := range shelf.Heads {
		if h.Kind == "acceptance" {
			books = append(books, load(t, h.ID))
		}
	}
	if len(books) < 8 {
		t.Fatalf("only %d books of acceptance", len(books))
	}
	return books
}

func TestAcceptanceRows(t *testing.T) {
	for _, book := range withAcceptance(t) {
		for _, fault := range acceptanceFaults(book) {
			t.Error(fault)
		}
	}
}

func TestAcceptanceOutsideTheBook(t *testing.T) {
	for _, c := range []struct {
		book, level string
		thickness   si.Length
		note        string
	}{
		{"iso-19285-2017", "3", 20 * si.Millimetre, "level 3 is not in this book"},
		{"iso-19285-2017", "", 20 * si.Millimetre, "no acceptance level is named"},
		{"iso-19285-2017", "2", 5.99 * si.Millimetre, "below 6 mm"},
		{"iso-11666-2018", "2", 7.9 * si.Millimetre, "8 mm to 100 mm"},
		{"iso-11666-2018", "2", 100.1 * si.Millimetre, "8 mm to 100 mm"},
		{"iso-19285-2017", "2", si.Unknown[si.Length](), "not known"},
		{"asme-viii-1-app12-2019", "", si.Unknown[si.Length](), "not known"},
	} {
		rows, notes := load(t, c.book).Acceptance(c.thickness, c.level, false)
		if len(rows) != 0 || !strings.Contains(strings.Join(notes, "\n"), c.note) {
			t.Errorf("%s level %q: %d rows, notes %q; want none and a note with %q", c.book, c.level, len(rows), notes, c.note)
		}
	}
}

// A printed limit of acceptance is never longer than the computed one.
func TestAcceptanceIsPrintedDown(t *testing.T) {
	rows, _ := load(t, "asme-viii-1-app12-2019").Acceptance(20*si.Millimetre, "", false)
	if got := rows[1].Text.Length; got != "6.66 mm" {
		t.Errorf("20 mm / 3 prints as %q, want 6.66 mm", got)
	}
	if rows[0].Verdict != "rejected at any length" || rows[0].Text.Length != "" {
		t.Errorf("planar indications: %+v", rows[0])
	}
	rows, _ = load(t, "asme-viii-1-app12-2019").Acceptance(1*si.Inch, "", true)
	if got := rows[1].Text.Length; got != "0.333 in" {
		t.Errorf("1 in / 3 prints as %q, want 0.333 in", got)
	}
	for _, id := range []string{"iso-19285-2017", "iso-11666-2018"} {
		b := load(t, id)
		for _, level := range b.Levels() {
			rows, notes := b.Acceptance(20*si.Millimetre, level, false)
			for _, r := range rows {
				if r.Sure != "from memory" || !strings.Contains(strings.ToLower(b.Caution+strings.Join(notes, "")), "confirm") {
					t.Errorf("%s hides that its rows are recalled", id)
				}
			}
		}
	}
}
