package rules_test

import (
	"slices"
	"testing"
)

// The limits, from the study of the codes: ISO 13588 1 mm up to and including
// 10 mm, 2 mm up to 150 mm, 3 mm beyond; ASME V 1 mm (0.04 in) below 75 mm (3 in).
func TestBoundaries(t *testing.T) {
	for _, c := range []struct {
		book, rule string
		want       []string
	}{
		{"iso-13588-2019", "scan-increment", []string{
			"part.thickness of exactly 10 mm: 1 mm; just over it: 2 mm", "part.thickness of exactly 150 mm: 2 mm; just over it: 3 mm", "exactly the limit is met, above it is not"}},
		{"asme-v-art4-2019", "scan-increment", []string{
			"part.thickness just under 75 mm (3 in): 1 mm (0.04 in); of exactly that: 2 mm (0.08 in)", "exactly the limit is met, above it is not"}},
		{"iso-13588-2019", "thickness-scope", []string{"exactly 6 mm is met, below it is not"}},
		{"iso-17640-2018", "frequency", []string{"exactly 2 MHz is met, below it is not", "exactly 5 MHz is met, above it is not"}},
		{"iso-13588-2019", "level-named", nil},
	} {
		r, ok := load(t, c.book).Find(c.rule)
		if !ok {
			t.Fatalf("no rule %s/%s", c.book, c.rule)
		}
		if got := r.Boundaries(); !slices.Equal(got, c.want) {
			t.Errorf("%s/%s: %q, want %q", c.book, c.rule, got, c.want)
		}
	}
}
