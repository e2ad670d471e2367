package sheets

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"soundwrit/internal/si"
)

// Index writes where each weld stands, as a table for programs and as a page for
// people. name is what the files of the sheets begin with.
func Index(name string, inch bool, sheets []Sheet, left []Left) (table, page []byte, err error) {
	var csvText, b bytes.Buffer
	w := csv.NewWriter(&csvText)
	size := func(l si.Length) string { return length(l, inch) }
	row := func(fields ...string) {
		if e := w.Write(fields); e != nil && err == nil {
			err = e
		}
	}
	row("weld", "line", "sheet", "diameter", "thickness", "drawing", "reason")
	var time si.Time
	var data si.Bytes
	covered := 0
	fmt.Fprintf(&b, "# Technique sheets of %s\n\n| Sheet | Welds | Thickness | Diameter | Volume reached, at least | Speed not to exceed | Time of scanning | Data |\n| --- | ---: | --- | --- | ---: | ---: | ---: | ---: |\n", md(name))
	for i := range sheets {
		s := &sheets[i]
		t := s.Takes()
		time, data, covered = time+t.Time, data+t.Data, covered+len(s.Welds)
		file := name + "-" + s.Name
		fmt.Fprintf(&b, "| [%s](<%s.pdf>) | %d | %s | %s | %s | %s | %s | %s |\n", md(s.Name), file, len(s.Welds),
			span(s.Welds, inch, func(w Weld) si.Length { return w.Thickness }), span(s.Welds, inch, func(w Weld) si.Length { return w.Diameter }),
			s.value("range.coverage", "coverage.share"), s.value("scan.speed", ""), hours(t.Time), gigabytes(t.Data))
		for _, w := range s.Welds {
			row(w.Number, w.Line, file, size(w.Diameter), size(w.Thickness), w.Drawing, "")
		}
	}
	fmt.Fprintf(&b, "\nWelds covered: %d, in sheets: %d; %s of scanning at the working speeds, without setting up, and %s of data.\n", covered, len(sheets), hours(time), gigabytes(data))
	if len(left) > 0 {
		fmt.Fprintf(&b, "\n## Welds that no sheet covers\n\n| Weld | Line | Diameter | Thickness | Why |\n| --- | --- | ---: | ---: | --- |\n")
		for _, w := range left {
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", md(w.Number), md(w.Line), or(size(w.Diameter)), size(w.Thickness), md(w.Why))
			row(w.Number, w.Line, "", size(w.Diameter), size(w.Thickness), w.Drawing, w.Why)
		}
	}
	w.Flush()
	return csvText.Bytes(), b.Bytes(), err
}

// value prints the first of two quantities that the sheet has.
func (s *Sheet) value(id, otherwise string) string {
	for _, id := range []string{id, otherwise} {
		if v, ok := s.Technique.Value(id); ok {
			return v.Text()
		}
	}
	return "–"
}

// span prints the smallest and the largest of a length.
func span(welds []Weld, inch bool, of func(Weld) si.Length) string {
	least, most := of(welds[0]), of(welds[0])
	for _, w := range welds {
		least, most = min(least, of(w)), max(most, of(w))
	}
	if least == most || !si.Known(least) {
		return or(length(least, inch))
	}
	return length(least, inch) + " to " + length(most, inch)
}

// length prints a length of the list, nothing where it is not known.
func length(l si.Length, inch bool) string {
	if !si.Known(l) {
		return ""
	}
	q := si.Quantity{SI: float64(l), Kind: si.KindLength}
	if inch {
		return q.Text("in", 3, si.Nearest)
	}
	return strings.TrimRight(strings.TrimRight(q.Digits("mm", 2, si.Nearest), "0"), ".") + " mm"
}

func or(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

func hours(t si.Time) string {
	return (si.Quantity{SI: float64(t), Kind: si.KindTime}).Text("h", 1, si.Up)
}

func gigabytes(n si.Bytes) string {
	return (si.Quantity{SI: float64(n), Kind: si.KindBytes}).Text("GB", 1, si.Up)
}

// md keeps a text of the list from being read as Markdown.
func md(s string) string {
	return strings.NewReplacer("\\", "\\\\", "|", "\\|", "*", "\\*", "_", "\\_", "`", "\\`", "<", "&lt;", "[", "\\[", "\n", " ").Replace(s)
}
