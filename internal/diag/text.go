package diag

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Options is how Text writes.
type Options struct {
	Colour bool   // only for a terminal, and not where NO_COLOR is set
	After  string // sentences added to the summary line: what was written, what was not checked
}

// shown is the most findings that one run prints; nobody reads more.
const shown = 50

// Text writes findings for people. Each begins with a line that editors and
// terminals understand,
//
//	file:line:column: verdict: sentence [id]
//
// followed by labelled rows, always in this order and only those that apply:
// written, expected, clause, also, agreed, do. The last line counts. Text
// prints nothing for a run without findings and without Options.After.
func Text(w io.Writer, findings []Finding, o Options) error {
	var b bytes.Buffer
	printed := weightiest(findings)
	for _, f := range printed {
		writeFinding(&b, f, o.Colour)
	}
	if rest := len(findings) - len(printed); rest > 0 {
		fmt.Fprintf(&b, "and %d more\n", rest)
	}
	last := summary(findings)
	if o.After != "" {
		last = strings.TrimSpace(last + " " + o.After)
	}
	if last != "" {
		fmt.Fprintln(&b, last)
	}
	_, err := w.Write(b.Bytes())
	return err
}

// weightiest keeps as many findings as one run prints, in their order. Where
// there are more, it is points to confirm and advice that give way, so that no
// error hides behind them.
func weightiest(findings []Finding) []Finding {
	if len(findings) <= shown {
		return findings
	}
	kept := slices.Clone(findings)
	for _, level := range []Level{Note, Should, Shall, Error} {
		for i := len(kept) - 1; i >= 0 && len(kept) > shown; i-- {
			if kept[i].Level == level {
				kept = slices.Delete(kept, i, i+1)
			}
		}
	}
	return kept
}

func writeFinding(b *bytes.Buffer, f Finding, colour bool) {
	verdict := verdictOf(f)
	if colour {
		// Bold alone: it reads on any background and in grey print.
		verdict = "\x1b[1m" + verdict + "\x1b[0m"
	}
	id := ""
	if f.Rule != "" {
		id = " [" + f.Rule + "]"
	}
	fmt.Fprintf(b, "%s: %s: %s%s\n", f.At, verdict, oneLine(f.Message), id)
	row := func(label, text string) {
		if text != "" {
			fmt.Fprintf(b, "    %-8s  %s\n", label, oneLine(text))
		}
	}
	switch {
	case f.Path != "" && f.Actual != "":
		row("written", f.Path+": "+f.Actual)
	case f.Path != "":
		row("written", f.Path)
	default:
		row("written", f.Actual)
	}
	row("expected", f.Limit)
	row("clause", f.Reference())
	for _, a := range f.Also {
		row("also", a.At.String()+"  "+a.Message)
	}
	row("agreed", f.Deviation)
	row("do", f.Remedy)
}

// Reference names code and clause, and says so where they were not checked
// against the code's own text. It is empty for a finding without a code.
func (f Finding) Reference() string {
	text := f.Code
	if f.Clause != "" {
		text = strings.TrimPrefix(text+", "+f.Clause, ", ")
	}
	if text != "" && f.Sure == "from memory" {
		text += " (from memory: confirm before use)"
	}
	return text
}

// String returns "file:line:column", or less where less is known.
func (p Position) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

func verdictOf(f Finding) string {
	switch {
	case f.Level == Error:
		return "error"
	case f.Deviation != "":
		return "agreed deviation"
	case f.Level == Shall:
		return "not met"
	case f.Level == Should:
		return "advice"
	}
	return "confirm"
}

// summary counts in the words of the verdicts: "2 problems in plate.yaml: 1
// error, 1 requirement not met." It is empty where there is nothing to count.
func summary(findings []Finding) string {
	var errors, unmet, agreed, advice, confirm int
	files := map[string]bool{}
	for _, f := range findings {
		files[f.At.File] = true
		switch verdictOf(f) {
		case "error":
			errors++
		case "not met":
			unmet++
		case "agreed deviation":
			agreed++
		case "advice":
			advice++
		default:
			confirm++
		}
	}
	var parts []string
	add := func(n int, one, many string) {
		if n == 1 {
			parts = append(parts, "1 "+one)
		} else if n > 1 {
			parts = append(parts, fmt.Sprint(n)+" "+many)
		}
	}
	add(errors, "error", "errors")
	add(unmet, "requirement not met", "requirements not met")
	add(agreed, "agreed deviation", "agreed deviations")
	add(advice, "piece of advice", "pieces of advice")
	add(confirm, "point to confirm", "points to confirm")
	if len(parts) == 0 {
		return ""
	}
	where := fmt.Sprintf("%d files", len(files))
	if len(files) == 1 {
		where = findings[0].At.File
	}
	noun := "problems"
	switch n := errors + unmet; {
	case n == 1:
		noun = "1 problem"
	case n == 0:
		noun = "no problem"
	default:
		noun = fmt.Sprint(n, " ", noun)
	}
	return fmt.Sprintf("%s in %s: %s.", noun, where, strings.Join(parts, ", "))
}

// oneLine keeps a finding's rows on one line each and free of control
// characters, which a job file could otherwise send to a terminal.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case r < ' ' || r >= 0x7f && r < 0xa0:
			return '?'
		}
		return r
	}, s)
}
