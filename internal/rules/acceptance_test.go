package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"soundwrit/internal/rules"
	"soundwrit/internal/si"
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

// acceptanceCases: the ASME rows are seen in a third-party copy of the 2019
// edition (12-3); those of ISO 19285, ISO 15626 and ISO 11666 are recalled, as the books
// say, and are held here against slips of the hand only.
func acceptanceCases() []acceptanceCase {
	none := math.NaN()
	asme := func(t, length float64, inch bool) acceptanceCase {
		return acceptanceCase{"asme-viii-1-app12-2019", "", t, inch, 1, length, none, none}
	}
	cases := []acceptanceCase{
		{"asme-viii-1-app12-2019", "", 12, false, 0, none, none, none},
		{"iso-19285-2017", "1", 5.9, false, -1, none, none, none}, {"iso-15626-2018", "1", 5.9, false, -1, none, none, none}, {"iso-11666-2018", "2", 7.9, false, -1, none, none, none},
		{"iso-11666-2018", "2", 100.1, false, -1, none, none, none},
		asme(10, 6, false), asme(19, 6, false), asme(19.1, 19.1/3, false), asme(30, 10, false), asme(55, 55.0/3, false), asme(57, 19, false), asme(57.1, 19, false), asme(60, 19, false),
		asme(0.5, 0.25, true), asme(0.7, 0.25, true), asme(0.75, 0.25, true), asme(0.78, 0.26, true), asme(1.5, 0.5, true), asme(2.1, 0.7, true), asme(2.25, 0.75, true), asme(2.28, 0.75, true), asme(3, 0.75, true),
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
	faults := judgeFaults(book)
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

func TestAcceptanceRows(t *testing.T) {
	for _, id := range []string{"asme-viii-1-app12-2019", "iso-19285-2017", "iso-11666-2018"} {
		for _, fault := range acceptanceFaults(load(t, id)) {
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
