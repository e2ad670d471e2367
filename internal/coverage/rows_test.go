package coverage_test

import (
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/coverage"
	"soundwrit/internal/si"
)

// What at least so many reach is counted anew at points between whole numbers,
// at which the drawn stretches end.
func TestAtLeastCountsAtEachPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const wide = 12
		views := make([]coverage.Rows, rapid.IntRange(0, 5).Draw(t, "views"))
		for i := range views {
			rows := coverage.Rows{Height: 1 * mm, Row: make([][]coverage.Interval, 2)}
			for j := range rows.Row {
				at := 0
				for range rapid.IntRange(0, 3).Draw(t, "stretches") {
					from := rapid.IntRange(at, wide).Draw(t, "from")
					to := rapid.IntRange(from, wide).Draw(t, "to")
					if at = to + 1; from < to {
						rows.Row[j] = append(rows.Row[j], coverage.Interval{From: si.Length(from), To: si.Length(to)})
					}
					if at > wide {
						break
					}
				}
			}
			views[i] = rows
		}
		holds := func(r coverage.Rows, j int, x si.Length) bool {
			if j >= len(r.Row) {
				return false
			}
			for _, s := range r.Row[j] {
				if s.From < x && x < s.To {
					return true
				}
			}
			return false
		}
		for number := 1; number <= 6; number++ {
			got := coverage.AtLeast(number, views...)
			for j := range 2 {
				for k := range wide {
					x, n := si.Length(k)+0.5, 0
					for _, v := range views {
						if holds(v, j, x) {
							n++
						}
					}
					if holds(got, j, x) != (n >= number) {
						t.Fatalf("at %v of row %d, reached %d times: %v for at least %d", x, j, n, holds(got, j, x), number)
					}
				}
			}
		}
	})
}
