package sheets

import (
	"os"
	"slices"
	"testing"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

func master(t testing.TB) *Master {
	t.Helper()
	text, err := os.ReadFile("../../testdata/jobs/pipe-girth.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, _ := schema.Load("pipe-girth.yaml", text)
	if job.Partial {
		t.Fatal("the master cannot be read")
	}
	return &Master{Text: text, Job: job}
}

const inch = si.Inch

// The master is for pipe of 10.75 in; its block serves from 9.675 in (0.9 times)
// to 16.125 in (1.5 times), by its own words in the finding of the code.
func TestGroup(t *testing.T) {
	unknown := si.Unknown[si.Length]()
	welds := []Weld{
		{Number: "W1", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Row: 2},
		{Number: "W2", Diameter: 12.75 * inch, Thickness: 0.562 * inch, Row: 3, Access: "A, B"},
		{Number: "W3", Diameter: 8.625 * inch, Thickness: 0.594 * inch, Row: 4}, // block
		{Number: "W4", Diameter: unknown, Thickness: 0.594 * inch, Row: 5},
		{Number: "W5", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Joint: "double-V", Row: 6},
		{Number: "W6", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Material: "Alloy 625", Row: 7},
		{Number: "W7", Diameter: 10.75 * inch, Thickness: 6 * inch, Row: 8}, // no bore
		{Number: "W8", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Row: 9, Joint: "single-v", Material: "sa-106 grade b"},
		{Number: "W9", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Access: "A", Row: 10}, // one side, undeclared
	}
	steps := 0
	sheets, left := Group(master(t), welds, func(done, of int) { steps = done })
	var in, out []string
	for _, s := range sheets {
		for _, w := range s.Welds {
			in = append(in, w.Number)
		}
		if why := open(s.Technique); why != "" {
			t.Errorf("sheet %s does not meet %s", s.Name, why)
		}
		// Its job alone, read anew, is the same technique.
		job, _ := schema.Load("sheet.yaml", s.Text)
		if job.Partial || job.Document.Number != "HL7-PA-112-"+s.Name {
			t.Errorf("the job of sheet %s is number %s", s.Name, job.Document.Number)
		}
		for _, w := range s.Welds {
			r := job.Part.Range
			if !inRange(w.Thickness, r.ThicknessFrom, r.ThicknessTo, job.Part.Thickness) || !inRange(w.Diameter, r.DiameterFrom, r.DiameterTo, job.Part.OutsideDiameter) {
				t.Errorf("%s lies outside the range of its sheet", w.Number)
			}
		}
	}
	for _, l := range left {
		if out = append(out, l.Number); l.Why == "" {
			t.Errorf("%s is left without a reason", l.Number)
		}
	}
	if !slices.Equal(in, []string{"W1", "W2", "W8"}) || !slices.Equal(out, []string{"W3", "W4", "W5", "W6", "W7", "W9"}) {
		t.Errorf("in sheets %v, left %v: %v", in, out, left)
	}
	if steps != 4 { // 10.75 in, 12.75 in, 8.625 in, and one side
		t.Errorf("%d sizes were worked out", steps)
	}
}

func inRange(x, from, to, single si.Length) bool {
	if !si.Known(from) {
		return near(x, single)
	}
	return x >= from-1e-9 && x <= to+1e-9
}

// Two welds of 3.14159 × 10.75 in and an overlap of what the job says, by as many passes.
func TestTakes(t *testing.T) {
	m := master(t)
	sheets, _ := Group(m, []Weld{
		{Number: "W1", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Row: 2, Length: si.Unknown[si.Length]()},
		{Number: "W2", Diameter: 10.75 * inch, Thickness: 0.594 * inch, Row: 3, Length: si.Unknown[si.Length]()},
	}, func(int, int) {})
	if len(sheets) != 1 {
		t.Fatal("no sheet")
	}
	one, ok := sheets[0].Technique.Value("scan.time")
	if !ok {
		t.Fatal("the master states no time of scanning")
	}
	if got := sheets[0].Takes().Time; !(float64(got) > 1.98*one.Q.SI && float64(got) < 2.02*one.Q.SI) {
		t.Errorf("two welds take %v s, one takes %v s", got, one.Q.SI)
	}
}
