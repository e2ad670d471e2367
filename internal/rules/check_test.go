package rules_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

func mm(x float64) si.Quantity { return si.Quantity{SI: x / 1000, Kind: si.KindLength} }

// only returns the results and findings of one rule.
func only(id string, results []rules.Result, findings []diag.Finding) (r []rules.Result, f []diag.Finding) {
	for _, x := range results {
		if x.Rule == id {
			r = append(r, x)
		}
	}
	for _, x := range findings {
		if strings.HasSuffix(x.Rule, "/"+id) {
			f = append(f, x)
		}
	}
	return r, f
}

func TestFindingSaysEverything(t *testing.T) {
	b := newBench(t)
	book := load(t, "iso-13588-2019")
	r, f := book.Check(b.input(t, book.ID, []string{"level = B", "part.thickness = 8 mm", "scan.increment = 1.2 mm"}))
	results, findings := only("scan-increment", r, f)
	want := diag.Finding{
		Rule: "iso-13588-2019/scan-increment", Level: diag.Shall, Path: "scan.increment",
		At:      diag.Position{File: "job.yaml", Line: len("scan.increment"), Column: 1},
		Message: "scan lines are too far apart", Actual: "1.2 mm", Limit: "at most 1 mm",
		Code: "ISO 13588:2019", Clause: "7.3", Sure: "from memory",
		Also: []diag.Also{{At: diag.Position{File: "job.yaml", Line: len("part.thickness"), Column: 1},
			Message: "part.thickness: 8 mm has a part in the limit"}},
		Remedy: "set scan.increment to 1 mm or less",
	}
	if diff := cmp.Diff([]diag.Finding{want}, findings); diff != "" {
		t.Errorf("finding (-want +got):\n%s", diff)
	}
	if len(results) != 1 {
		t.Fatalf("%d results", len(results))
	}
	got := results[0]
	if got.Verdict != rules.NotMet || got.Book != "iso-13588-2019" || got.High.SI != 0.001 || got.Low.Known() || got.AnsweredIn != "11.1" || !got.Essential {
		t.Errorf("result %+v", got)
	}
}

func TestInchJobReadsAndPrintsInches(t *testing.T) {
	b := newBench(t)
	book := load(t, "asme-v-art4-2019")
	_, f := book.Check(b.input(t, book.ID, []string{"inch", "part.thickness = 2.5 in", "scan.increment = 0.05 in"}))
	_, findings := only("scan-increment", nil, f)
	if len(findings) != 1 || findings[0].Actual != "0.05 in" || findings[0].Limit != "at most 0.04 in" || findings[0].Remedy != "set scan.increment to 0.04 in or less" {
		t.Errorf("%+v", findings)
	}
	// The codes' metric and inch sets differ: 1 mm is inside 0.04 in, and 0.04 in is beyond 1 mm.
	_, f = book.Check(b.input(t, book.ID, []string{"part.thickness = 63 mm", "scan.increment = 0.04 in"}))
	if _, findings = only("scan-increment", nil, f); len(findings) != 1 || findings[0].Actual != "1.016 mm" {
		t.Errorf("0.04 in. in a metric job: %+v", findings)
	}
}

func TestEachGroupIsAnswered(t *testing.T) {
	b := newBench(t)
	book := load(t, "good-practice")
	in := b.input(t, book.ID, nil)
	lower := map[string]any{}
	for name, value := range in.Subjects["group"][0].Facts {
		lower[name] = value
	}
	lower["group.toe_clearance"] = mm(0.5)
	in.Subjects["group"] = append(in.Subjects["group"], rules.Subject{Name: "lower", Path: "groups.lower", Facts: lower})
	results, findings := only2(book, in, "toe-clearance")
	if len(results) != 2 || results[0].Verdict != rules.Met || results[1].Verdict != rules.NotMet || results[1].Subject != "lower" {
		t.Errorf("results %+v", results)
	}
	if len(findings) != 1 || findings[0].Path != "groups.lower.wedge_front" || findings[0].Message != "the wedge of lower comes too close to the reinforcement" {
		t.Errorf("findings %+v", findings)
	}
	// A finding about the whole job keeps its place also in a rule asked for each group.
	lower["group.sampling_ratio"] = si.Quantity{SI: 3}
	if _, findings = only2(book, in, "sampling"); len(findings) != 1 || findings[0].Path != "equipment.instrument.sampling" {
		t.Errorf("findings %+v", findings)
	}
	in.Subjects = nil
	if results, _ = only2(book, in, "toe-clearance"); len(results) != 1 || results[0].Verdict != rules.NotApplicable || results[0].Why == "" {
		t.Errorf("without groups: %+v", results)
	}
}

func only2(book *rules.Book, in rules.Input, id string) ([]rules.Result, []diag.Finding) {
	r, f := book.Check(in)
	return only(id, r, f)
}

// A job of which nothing is known: every rule is answered, none is met, and
// only what the job owes is found missing.
func TestNothingKnown(t *testing.T) {
	shelf, _ := rules.Open(shipped(), technique.Vocabulary())
	for _, h := range shelf.Heads {
		book := load(t, h.ID)
		empty := []rules.Subject{{Name: "upper", Path: "groups.upper"}}
		results, findings := book.Check(rules.Input{Subjects: map[string][]rules.Subject{"group": empty}})
		if len(results) != len(book.Rules) {
			t.Errorf("%s: %d results for %d rules", h.ID, len(results), len(book.Rules))
		}
		for _, r := range results {
			switch r.Verdict {
			case rules.Met:
				if rule, _ := book.Find(r.Rule); rule.Written != "" {
					continue // the document says it whatever the job
				}
				t.Errorf("%s/%s is met by a job of which nothing is known", h.ID, r.Rule)
			case rules.Unchecked, rules.NotApplicable:
				if r.Why == "" {
					t.Errorf("%s/%s: %s, but not why", h.ID, r.Rule, r.Verdict)
				}
			case rules.NotMet:
				if r.Actual != "not stated" {
					t.Errorf("%s/%s: not met at %q", h.ID, r.Rule, r.Actual)
				}
			}
		}
		for _, f := range findings {
			if f.Level != diag.Note && f.Actual != "not stated" {
				t.Errorf("%+v", f)
			}
		}
	}
}

// A fact of a wrong type, or not finite, is no reason to break.
func TestStrangeFacts(t *testing.T) {
	b := newBench(t)
	shelf, _ := rules.Open(shipped(), technique.Vocabulary())
	for _, h := range shelf.Heads {
		book := load(t, h.ID)
		for _, strange := range []any{nil, 3, "x", true, []string{"x"}, mm(math.Inf(1)), mm(math.Inf(-1)), mm(-1), mm(0), mm(math.NaN()), struct{}{}} {
			in := b.input(t, book.ID, nil)
			for name := range in.Facts {
				in.Facts[name] = strange
			}
			for name := range in.Subjects["group"][0].Facts {
				in.Subjects["group"][0].Facts[name] = strange
			}
			if results, _ := book.Check(in); len(results) < len(book.Rules) {
				t.Errorf("%s with %v: %d results", h.ID, strange, len(results))
			}
		}
	}
}

const limits = `book: small
code: house
title: limits
kind: practice
rules:
  - {id: most, level: should, asks: a, why: w, sure: common practice, source: s, answered_in: "1", value: scan.increment, at_most: scan.overlap, message: m, remedy: "{limit}"}
  - {id: least, level: should, asks: a, why: w, sure: common practice, source: s, answered_in: "1", value: scan.increment, at_least: scan.overlap, message: m, remedy: "{limit}"}
`

// The printed value stands on the same side of the printed limit as the true
// value does of the true limit, and a printed limit is never looser than it is.
func TestPrintedNumbersAgreeWithTheVerdict(t *testing.T) {
	book, findings := rules.Load(fstest.MapFS{"small.yaml": {Data: []byte(limits)}}, "small.yaml", technique.Vocabulary())
	if book == nil {
		t.Fatal(findings)
	}
	number := func(t *rapid.T, text string) float64 {
		fields := strings.Fields(text)
		x, err := strconv.ParseFloat(fields[len(fields)-2], 64)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		return x
	}
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Float64Range(0.01, 200).Draw(t, "limit")
		value := limit
		if !rapid.Bool().Draw(t, "equal") {
			value = limit * (1 + rapid.Float64Range(-0.01, 0.01).Draw(t, "off"))
		}
		inch := rapid.Bool().Draw(t, "inch")
		results, _ := book.Check(rules.Input{Inch: inch, Facts: map[string]any{"scan.increment": mm(value), "scan.overlap": mm(limit)}})
		unit := 1.0
		if inch {
			unit = 25.4
		}
		for _, r := range results {
			actual, bound := number(t, r.Actual), number(t, r.Limit)
			met, reads, loose := value <= limit, actual <= bound, bound > limit/unit
			if r.Rule == "least" {
				met, reads, loose = value >= limit, actual >= bound, bound < limit/unit
			}
			// 1e-8: the allowance of a comparison is 1e-9, and there is noise of unit conversion.
			if math.Abs(value-limit) > 1e-8*limit && met != (r.Verdict == rules.Met) {
				t.Fatalf("%s: %v against %v is %s", r.Rule, value, limit, r.Verdict)
			}
			if reads != (r.Verdict == rules.Met) {
				t.Fatalf("%s: %s is %s against %s", r.Rule, r.Actual, r.Verdict, r.Limit)
			}
			if loose && math.Abs(bound-limit/unit) > 1e-8*bound {
				t.Fatalf("%s: the limit %v is printed as %s", r.Rule, limit/unit, r.Limit)
			}
		}
	})
}

// A value is printed as elsewhere in the document, to the nearest, where that tells
// no other verdict.
func TestPrintedToTheNearest(t *testing.T) {
	book, _ := rules.Load(fstest.MapFS{"small.yaml": {Data: []byte(limits)}}, "small.yaml", technique.Vocabulary())
	for _, c := range []struct {
		value, limit float64
		most, least  string
	}{
		{0.98766, 2, "0.988 mm", "0.988 mm"},
		{1.2344, 1, "1.234 mm", "1.234 mm"},
		{0.99966, 0.99968, "0.999 mm", "0.999 mm"}, // the first limit is printed as 0.999 mm, the second as 1 mm
	} {
		for _, r := range first(book.Check(rules.Input{Facts: map[string]any{"scan.increment": mm(c.value), "scan.overlap": mm(c.limit)}})) {
			if want := map[string]string{"most": c.most, "least": c.least}[r.Rule]; r.Actual != want {
				t.Errorf("%s of %v against %v is printed as %s, want %s", r.Rule, c.value, c.limit, r.Actual, want)
			}
		}
	}
}

// Float noise does not turn a value at its limit into a broken rule: 0.1 + 0.2
// is not 0.3 in floats, but is for an examiner.
func TestNoise(t *testing.T) {
	book, _ := rules.Load(fstest.MapFS{"small.yaml": {Data: []byte(limits)}}, "small.yaml", technique.Vocabulary())
	tenth, fifth := 0.1, 0.2
	for _, r := range first(book.Check(rules.Input{Facts: map[string]any{
		"scan.increment": si.Quantity{SI: tenth + fifth, Kind: si.KindLength}, "scan.overlap": si.Quantity{SI: 0.3, Kind: si.KindLength}}})) {
		if r.Verdict != rules.Met {
			t.Errorf("%s: 0.1 + 0.2 against 0.3 is %s", r.Rule, r.Verdict)
		}
	}
	for _, r := range first(book.Check(rules.Input{Facts: map[string]any{"scan.increment": mm(1.00000001), "scan.overlap": mm(1)}})) {
		if (r.Rule == "most") != (r.Verdict == rules.NotMet) {
			t.Errorf("%s: a real difference of 1e-8 is %s", r.Rule, r.Verdict)
		}
	}
}

func first(r []rules.Result, _ []diag.Finding) []rules.Result { return r }

// The functions of the language against values worked out by hand.
func TestFunctions(t *testing.T) {
	for text, want := range map[string]float64{
		"mm(12.5)": 0.0125, "inch(0.5)": 0.0127, "deg(180)": math.Pi, "MHz(5)": 5e6, "dB(-6)": -6, "mps(3240)": 3240, "mmps(50)": 0.05,
		"degC(20)": 20, "K(14)": 14, "percent(20)": 0.2, "hours(4)": 14400, "dB_of(0.5)": -6.0206, "smaller(2, 3)": 2, "larger(2, 3)": 3,
		"begun(51, 50)": 2, "begun(50, 50)": 1, "begun(0, 50)": 0, "begun(-1, 50)": 0, "7 / 2": 3.5, "by_units(1, 2)": 1,
	} {
		book, findings := rules.Load(fstest.MapFS{"small.yaml": {Data: []byte(strings.Replace(limits, "at_most: scan.overlap", "at_most: \""+text+"\"", 1))}}, "small.yaml", technique.Vocabulary())
		if book == nil {
			t.Errorf("%s: %+v", text, findings)
			continue
		}
		results, _ := only2(book, rules.Input{Facts: map[string]any{"scan.increment": mm(1)}}, "most")
		// 1e-5: dB_of(0.5) is written to four decimals above.
		if got := results[0].High.SI; math.Abs(got-want) > 1e-5*math.Max(1, math.Abs(want)) {
			t.Errorf("%s is %v, want %v", text, got, want)
		}
	}
}
