package acoustics_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// A row of testdata/published/physics_cases.csv is one value from outside the
// program, with its source. Each is computed here, or stands in later with the
// reason why it is not.
type row struct {
	id, inputs, expected, unit, tolerance, source string
}

func readRows(t *testing.T) []row {
	t.Helper()
	file, err := os.Open("../../testdata/published/physics_cases.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, r := range records[1:] {
		rows = append(rows, row{id: r[0], inputs: r[2], expected: r[3], unit: r[4], tolerance: r[5], source: r[6]})
	}
	return rows
}

func TestPublishedValues(t *testing.T) {
	computed, reasons := computations(), later()
	seen := map[string]bool{}
	for _, r := range readRows(t) {
		compute, isComputed := computed[r.id]
		reason, isLater := reasons[r.id]
		switch {
		case seen[r.id]:
			t.Errorf("%s stands twice in the file", r.id)
		case isComputed && isLater:
			t.Errorf("%s is computed, and put off: %s", r.id, reason)
		case isLater && reason == "":
			t.Errorf("%s is put off without a reason", r.id)
		case isComputed:
			r.check(t, compute())
		case !isLater:
			t.Errorf("%s (%s) is neither computed nor put off", r.id, r.inputs)
		}
		seen[r.id] = true
	}
	for id := range computed {
		if !seen[id] {
			t.Errorf("%s is computed, but not in the file", id)
		}
	}
	for id := range reasons {
		if !seen[id] {
			t.Errorf("%s is put off, but not in the file", id)
		}
	}
}

// check compares values in SI with the text of the row.
func (r row) check(t *testing.T, got []float64) {
	t.Helper()
	want := r.values(t)
	if len(got) != len(want) {
		t.Errorf("%s: %d values computed, %d printed: %q", r.id, len(got), len(want), r.expected)
		return
	}
	for i, w := range want {
		g := got[i] / w.factor
		if math.IsNaN(g) && math.IsNaN(w.number) {
			continue // "none" is printed, and none was found
		}
		if !(math.Abs(g-w.number) <= w.tolerance) {
			t.Errorf("%s: %s\n  computed %.6g, printed %g ± %g (%s)\n  source: %s",
				r.id, r.inputs, g, w.number, w.tolerance, r.expected, r.source)
		}
	}
}

// factors are the units of the file, in SI.
var factors = map[string]float64{
	"1": 1, "D": 1, "lam": 1, "R": 1, "lines": 1, "dB": 1, "m/s": 1, "counts/mm": 1e3, "none": 1,
	"mm": 1e-3, "mm/s": 1e-3, "dB/mm": 1e3, "dB/in": 1 / 25.4e-3, "us": 1e-6, "ns": 1e-9, "deg": math.Pi / 180, "MB": 1e6,
}

type printed struct{ number, factor, tolerance float64 }

// values reads what the row prints: numbers parted by semicolons, each with its
// own unit, or that of the next which has one, or that of the column. The
// tolerance is the column's, in the unit of each number; without one it is half
// of the last digit printed. None is an unknown value. A tolerance of 0 is for
// counts and definitions, and leaves room for float noise only.
func (r row) values(t *testing.T) []printed {
	t.Helper()
	parts := strings.Split(r.expected, ";")
	values := make([]printed, len(parts))
	unit := r.unit
	for i := len(parts) - 1; i >= 0; i-- {
		fields := strings.Fields(parts[i])
		if len(fields) == 2 {
			unit = fields[1]
		}
		factor, ok := factors[unit]
		if !ok || len(fields) == 0 || len(fields) > 2 {
			t.Fatalf("%s: cannot read %q in %q", r.id, parts[i], unit)
		}
		if fields[0] == "none" {
			values[i] = printed{math.NaN(), 1, 0}
			continue
		}
		number, err := strconv.ParseFloat(fields[0], 64)
		if err != nil {
			t.Fatalf("%s: %v", r.id, err)
		}
		_, decimals, _ := strings.Cut(fields[0], ".")
		tolerance := 0.5 * math.Pow(10, -float64(len(decimals)))
		if r.tolerance != "" {
			if tolerance, err = strconv.ParseFloat(r.tolerance, 64); err != nil {
				t.Fatalf("%s: %v", r.id, err)
			}
		}
		values[i] = printed{number, factor, tolerance + 1e-9*math.Abs(number)}
	}
	return values
}
