package render

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func broken(t *typeface, text string, width float64) []string {
	var out []string
	for _, l := range t.measure([]span{{text: text}}, bodySize).lines(width) {
		out = append(out, l.text())
	}
	return out
}

// Breaking loses no letter, keeps the order, and fills no line beyond its width
// unless a single letter is wider.
func TestLinesKeepEveryLetter(t *testing.T) {
	face := newTypeface()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("abcdefg hij -/.,—θλ≤°\u00A0\n"))).Draw(t, "text")
		width := rapid.Float64Range(1, 60).Draw(t, "width")
		lines := face.measure([]span{{text: text}}, bodySize).lines(width)
		var got strings.Builder
		for _, l := range lines {
			got.WriteString(l.text())
			if l.width > width+1e-6 && len([]rune(l.text())) > 1 {
				t.Fatalf("a line of %.3f mm in %.3f mm: %q", l.width, width, l.text())
			}
		}
		squeeze := strings.NewReplacer(" ", "", "\n", "")
		if a, b := squeeze.Replace(text), squeeze.Replace(got.String()); a != b {
			t.Fatalf("%q became %q", a, b)
		}
	})
}

func TestWhereLinesMayBreak(t *testing.T) {
	face := newTypeface()
	for _, c := range []struct{ text, want string }{
		{"wave\u00A0length stays", "wave\u00A0length|stays"},
		{"set to 12 mm now", "set to|12 mm|now"},
		{"speed of 40 mm/s", "speed of|40 mm/s"},
		{"one\ntwo", "one|two"},
		{"ultra-sonic", "ultra-|sonic"},
		{"a T-T-L-T-T", "a|T-T-L-T-T"},
		{"wide\u200Bopen", "wide|open"},
	} {
		// Room for the widest piece that must stay whole, and no more.
		pieces := strings.Split(c.want, "|")
		width := 0.0
		for _, p := range pieces {
			width = max(width, face.width(p, regular, bodySize))
		}
		if got := strings.Join(broken(face, c.text, width+0.01), "|"); got != c.want {
			t.Errorf("%q in %.1f mm breaks as %q, want %q", c.text, width, got, c.want)
		}
	}
}

// What is measured is what the PDF library prints.
func TestWidthsAgreeWithThePDF(t *testing.T) {
	face := newTypeface()
	w := &pdfWriter{Fpdf: newTestPDF(), fonts: face}
	w.AddPage()
	for s := range styles {
		w.face(s, 10)
		const text = "Sound path 12.5 mm, θ ≤ 70°, λ/2 — Ångström"
		// The PDF holds widths in whole thousandths of the type size: half of
		// one for each letter at most.
		tolerance := 0.0005 * 10 * point * float64(len([]rune(text)))
		if got, want := face.width(text, s, 10), w.GetStringWidth(text); got < want-tolerance || got > want+tolerance {
			t.Errorf("face %d: measured %.4f mm, the PDF has %.4f mm", s, got, want)
		}
	}
}

func TestUnprintableIsShown(t *testing.T) {
	face := newTypeface()
	if got := face.clean("a\U0001F600b\u3042c\u00ADd\te", regular); got != "a\uFFFDb\uFFFDcd e" {
		t.Errorf("got %q", got)
	}
}
