package sheets

import (
	"fmt"
	"strings"
	"testing"

	"soundwrit/internal/si"
)

func TestRead(t *testing.T) {
	for _, c := range []struct{ why, text string }{
		{"commas, unit in the value", "number,diameter,thickness,access\nW1,219.1 mm,0.5 in,both\nW2,8.625 in,12.7 mm,A\n"},
		{"semicolons, decimal comma, unit in the head, a byte-order mark", "\ufeffWeld No.;OD (mm);Wall thickness [mm];Sides\r\nW1;219,1;12,7;A+B\r\nW2;219,075;12,7;a\r\n"},
		{"tabs, another order, an empty line, a quote", "Access\tThickness_in\tNumber\tOD\n\"A, B\"\t0.5\tW1\t219.1 mm\n\nA\t0.5\tW2\t8.625 in\n"},
	} {
		welds, findings := Read("w.csv", []byte(c.text))
		if len(findings) > 0 || len(welds) != 2 {
			t.Errorf("%s: %d welds, %v", c.why, len(welds), findings)
			continue
		}
		for i, want := range []struct {
			number, access string
			diameter       si.Length
		}{{"W1", "A, B", 219.1 * si.Millimetre}, {"W2", "A", 219.075 * si.Millimetre}} {
			w := welds[i]
			if w.Number != want.number || w.Access != want.access || !near(w.Diameter, want.diameter) || !near(w.Thickness, 12.7*si.Millimetre) {
				t.Errorf("%s: got %+v, want %+v", c.why, w, want)
			}
		}
	}
}

func near(a, b si.Length) bool { return a-b < 1e-9 && b-a < 1e-9 }

// A row that cannot be read is told with its place, in characters, and the others go on.
func TestReadTellsBadRows(t *testing.T) {
	text := "number,thickness,diameter,access\n" +
		"Näht-1,abc,60 mm,both\n" + // thickness in column 8, after six characters and a comma
		"W2,12,60 mm,both\n" + // no unit
		"W3,12 mm,60 mm,C\n" +
		",12 mm,60 mm,A\n" +
		"W5,-3 mm,60 mm,A\n" +
		"W6,,60 mm,A\n" +
		"W7,12 mm,60 mm,A\n" +
		"W7,12 mm,60 mm,A\n" +
		"W8,12 mm\n"
	welds, findings := Read("w.csv", []byte(text))
	var got []string
	for _, f := range findings {
		got = append(got, fmt.Sprintf("%d:%d %s", f.At.Line, f.At.Column, f.Rule))
	}
	want := "2:8 weld-length|3:4 weld-length|4:16 weld-access|5:1 weld-no-number|6:4 weld-length|7:4 weld-no-thickness|9:1 weld-twice"
	if strings.Join(got, "|") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, "|"), want)
	}
	if len(welds) != 2 || welds[0].Number != "W7" || welds[1].Number != "W8" || si.Known(welds[1].Diameter) {
		t.Errorf("welds: %+v", welds)
	}
}

func TestReadRefuses(t *testing.T) {
	for text, rule := range map[string]string{
		"":                               "empty-list",
		"number,wall,thickness\n1,2,3\n": "column-twice",
		"weld,size\nW1,12 mm\n":          "column-missing",
		"number,thickness\n\"W1,12 mm\n": "bad-row",
		"\"number,thickness\n":           "bad-row",
	} {
		welds, findings := Read("w.csv", []byte(text))
		if len(welds) != 0 || len(findings) != 1 || findings[0].Rule != rule {
			t.Errorf("%q: %v, %v, want %s", text, welds, findings, rule)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("number;thickness (mm)\nW1;12,7\n"))
	f.Add([]byte("number,thickness\n\"a\nb\",12 mm\n\"c"))
	f.Fuzz(func(t *testing.T, data []byte) {
		welds, findings := Read("w.csv", data)
		lines := strings.Count(string(data), "\n") + 1
		for _, x := range findings {
			if x.At.Line < 1 || x.At.Line > lines || x.At.Column < 1 {
				t.Errorf("%s at %v of %d lines", x.Rule, x.At, lines)
			}
		}
		for _, w := range welds {
			if w.Number == "" || !(w.Thickness > 0) {
				t.Errorf("a weld without number or thickness: %+v", w)
			}
		}
	})
}
