package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// indicationFlags describe an indication that explain judges.
type indicationFlags struct {
	Length    string `placeholder:"LENGTH" help:"With the id acceptance: length of an indication to judge, such as 12mm."`
	Height    string `placeholder:"LENGTH" help:"Its height through the wall."`
	Depth     string `placeholder:"LENGTH" help:"Depth of its upper edge below the surface scanned."`
	Ligament  string `placeholder:"LENGTH" help:"Wall between it and the nearest surface, instead of --depth."`
	Amplitude string `placeholder:"DB" help:"Its amplitude relative to reference, such as 3dB, or with the sign attached: --amplitude=-4dB."`
	Planar    string `enum:"yes,no,unknown" default:"unknown" help:"Whether it is planar: a crack, lack of fusion or of penetration. ${enum}."`
	Class     string `enum:"A,B,C,D,unknown" default:"unknown" help:"Its class, by a code that sorts indications into classes. ${enum}."`
}

func (f *indicationFlags) given() bool {
	return f.Length+f.Height+f.Depth+f.Ligament+f.Amplitude != "" || f.Planar != "unknown" || f.Class != "unknown"
}

// indication reads the flags. What is not given stays unknown.
func (f *indicationFlags) indication(t *technique.Technique) (rules.Indication, error) {
	var n rules.Indication
	if f.Planar != "unknown" {
		n.Planar = f.Planar
	}
	if f.Class != "unknown" {
		n.Class = f.Class
	}
	var errs []error
	read := func(flag, text string, kind si.Kind) float64 {
		if text == "" {
			return math.NaN()
		}
		x, err := si.Parse(text, kind)
		if err != nil || kind == si.KindLength && x < 0 {
			errs = append(errs, &refusal{fmt.Sprintf("--%s %s is no %s", flag, text, kind), "write a number with its unit, such as " + si.Example(kind)})
		}
		return x
	}
	n.Length = si.Length(read("length", f.Length, si.KindLength))
	n.Height = si.Length(read("height", f.Height, si.KindLength))
	n.Depth = si.Length(read("depth", f.Depth, si.KindLength))
	n.Clear = si.Length(read("ligament", f.Ligament, si.KindLength))
	if f.Ligament != "" && f.Depth != "" {
		errs = append(errs, &refusal{"the place in the wall is given twice, by --depth and by --ligament", "give the one that was measured"})
	}
	n.Amplitude = si.Decibel(read("amplitude", f.Amplitude, si.KindDecibel))
	if wall := t.Job.Part.Thickness; len(errs) == 0 && (over(n.Depth, wall) || over(n.Height, wall) || over(n.Depth+n.Height, wall) || over(2*n.Clear+n.Height, wall)) {
		thickness, _ := t.Value("part.thickness")
		errs = append(errs, &refusal{fmt.Sprintf("the indication reaches out of the wall, which is %s thick", thickness.Text()), "check --depth, which is that of its upper edge, or --ligament, which is to the nearest surface, and --height"})
	}
	return n, errors.Join(errs...)
}

func over(a, b si.Length) bool { return float64(a-b) > 1e-9*math.Abs(float64(b)) }

// acceptance prints the verdict of each acceptance code of the job.
func (v *explainVerb) acceptance(s *streams, t *technique.Technique) error {
	n, err := v.indication(t)
	if err != nil {
		return err
	}
	judged := t.Judge(n)
	if len(judged) == 0 {
		return &refusal{"the job names no acceptance code", "name one under codes.acceptance"}
	}
	if v.Format == "json" {
		err = judgedJSON(s.out, judged)
	} else {
		_, err = io.WriteString(s.out, judgedText(judged))
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	return nil
}

func judgedText(judged []technique.Judged) string {
	var b strings.Builder
	row := func(label, text string) {
		if text != "" {
			fmt.Fprintf(&b, "    %-8s  %s\n", label, text)
		}
	}
	for _, j := range judged {
		b.WriteString(j.Code)
		if j.Level != "" {
			b.WriteString(", level " + j.Level)
		}
		b.WriteByte('\n')
		row("verdict", verdictOf(j))
		for _, r := range j.Rows {
			row("class", r.Class+": "+r.Verdict)
			row("limits", limitsOf(r))
			row("clause", diag.Finding{Code: j.Code, Clause: r.Clause, Sure: r.Sure}.Reference())
		}
		row("note", j.Note)
	}
	b.WriteString("The rows restate codes in our own words: the licensed text governs, and the responsible level 3 decides.\n")
	return b.String()
}

func verdictOf(j technique.Judged) string {
	switch {
	case j.Verdict != "":
		return j.Verdict
	case j.Needs != nil:
		return "cannot be decided: needs " + strings.Join(j.Needs, ", ")
	}
	return "cannot be decided"
}

func limitsOf(r rules.AcceptanceRow) string {
	var parts []string
	for _, l := range [][2]string{{"length ", r.Text.Length}, {"height ", r.Text.Height}, {"amplitude ", r.Text.Amplitude}} {
		if l[1] != "" {
			parts = append(parts, l[0]+"up to "+l[1])
		}
	}
	return strings.Join(parts, ", ")
}

// judgedJSON writes verdicts for programs; names and meaning are a promise. An
// undecided verdict is empty.
func judgedJSON(w io.Writer, judged []technique.Judged) error {
	type row struct {
		Class     string `json:"class"`
		Says      string `json:"says"`
		Limits    string `json:"limits"`
		Clause    string `json:"clause"`
		Certainty string `json:"certainty"`
	}
	type verdict struct {
		Code    string   `json:"code"`
		Level   string   `json:"level"`
		Verdict string   `json:"verdict"`
		Needs   []string `json:"needs"`
		Rows    []row    `json:"rows"`
		Note    string   `json:"note"`
	}
	out := struct {
		Acceptance []verdict `json:"acceptance"`
	}{Acceptance: []verdict{}}
	for _, j := range judged {
		rows := []row{}
		for _, r := range j.Rows {
			rows = append(rows, row{r.Class, r.Verdict, limitsOf(r), r.Clause, r.Sure})
		}
		out.Acceptance = append(out.Acceptance, verdict{j.Code, j.Level, j.Verdict, append([]string{}, j.Needs...), rows, j.Note})
	}
	return writeJSON(w, out)
}
