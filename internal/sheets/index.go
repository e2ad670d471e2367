package sheets

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"soundwrit/internal/si"
)

// Words are those of the language that the sheets are written in.
type Words interface {
	Say(english string) string
	Decimal(text string) string // with the decimal sign of the language
}

// Index writes where each weld stands, as a table for programs and as a page for
// people, who read it in the language of the sheets. name is what the files of the
// sheets begin with.
func Index(name string, inch bool, words Words, sheets []Sheet, left []Left) (table, page []byte, err error) {
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
	line := func(format string, texts ...any) {
		fmt.Fprintf(&b, words.Say(format)+"\n", texts...)
	}
	say := func(text string) string { return words.Decimal(words.Say(text)) }
	line("# Technique sheets of %s", md(name))
	line("")
	line("| Sheet | Welds | Thickness | Diameter | Volume reached, at least | Speed not to exceed | Time of scanning | Data |")
	line("| --- | ---: | --- | --- | ---: | ---: | ---: | ---: |")
	for i := range sheets {
		s := &sheets[i]
		t := s.Takes()
		time, data, covered = time+t.Time, data+t.Data, covered+len(s.Welds)
		file := name + "-" + s.Name
		fmt.Fprintf(&b, "| [%s](<%s.pdf>) | %d | %s | %s | %s | %s | %s | %s |\n", md(s.Name), file, len(s.Welds),
			say(span(s.Welds, inch, func(w Weld) si.Length { return w.Thickness })), say(span(s.Welds, inch, func(w Weld) si.Length { return w.Diameter })),
			say(s.value("range.coverage", "coverage.share")), say(s.value("scan.speed", "")), say(hours(t.Time)), say(gigabytes(t.Data)))
		for _, w := range s.Welds {
			row(w.Number, w.Line, file, size(w.Diameter), size(w.Thickness), w.Drawing, "")
		}
	}
	line("")
	line("Welds covered: %d, in sheets: %d; %s of scanning at the working speeds, without setting up, and %s of data.", covered, len(sheets), say(hours(time)), say(gigabytes(data)))
	if len(left) > 0 {
		line("")
		line("## Welds that no sheet covers")
		line("")
		line("| Weld | Line | Diameter | Thickness | Why |")
		line("| --- | --- | ---: | ---: | --- |")
		for _, w := range left {
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", md(w.Number), md(w.Line), say(or(size(w.Diameter))), say(size(w.Thickness)), md(say(w.Why)))
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
