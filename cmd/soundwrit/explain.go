package main

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

type explainVerb struct {
	jobArg
	ID              []string `arg:"" optional:"" help:"Quantities to explain: an id such as scan.speed_limit, or the beginning of some, such as groups.upper. All where none is given. The id acceptance judges an indication described by the flags below."`
	Format          string   `enum:"text,json" default:"text" help:"text for people, json for programs."`
	indicationFlags `embed:""`
}

// Run prints the quantities asked for with formula, inputs and source.
func (v *explainVerb) Run(s *streams) error {
	t, findings, err := v.technique(s)
	if err != nil {
		return err
	}
	if t == nil {
		s.show(findings, "Nothing can be explained until the errors are put right.")
		return outcome(unusable)
	}
	switch asked := slices.Equal(v.ID, []string{"acceptance"}); {
	case asked:
		return v.acceptance(s, t)
	case v.given():
		return &refusal{"an indication is judged by itself, and not with other ids", "write: soundwrit explain " + v.Job + " acceptance, and the flags"}
	}
	values, err := v.chosen(t)
	if err != nil {
		return err
	}
	if v.Format == "json" {
		err = explainJSON(s.out, values)
	} else {
		hidden := 0
		if len(v.ID) == 0 {
			values, hidden = withoutSeries(values)
		}
		err = explainText(s.out, t.Job, values)
		if hidden > 0 && err == nil {
			_, err = fmt.Fprintf(s.out, "and %d delays and times of single elements: ask for them by id, such as groups.%s\n", hidden, t.Job.Groups[0].Name)
		}
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	return nil
}

// withoutSeries leaves out the delays and times of single elements, thousands
// of lines that nobody reads unasked, and counts them.
func withoutSeries(values []technique.Value) (kept []technique.Value, hidden int) {
	for _, v := range values {
		if strings.Contains(v.ID, ".delays.") || strings.Contains(v.ID, ".times.") {
			hidden++
			continue
		}
		kept = append(kept, v)
	}
	return kept, hidden
}

// chosen selects the values by id or by the beginning of their ids.
func (v *explainVerb) chosen(t *technique.Technique) ([]technique.Value, error) {
	if len(v.ID) == 0 {
		return t.Values, nil
	}
	var values []technique.Value
	for _, id := range v.ID {
		found := false
		prefix := strings.TrimSuffix(id, ".") + "."
		for _, value := range t.Values {
			if value.ID == id || strings.HasPrefix(value.ID, prefix) {
				values = append(values, value)
				found = true
			}
		}
		if !found {
			return nil, unknownQuantity(t, id)
		}
	}
	return values, nil
}

func unknownQuantity(t *technique.Technique, id string) error {
	if o, ok := t.OmittedValue(id); ok {
		if t.Section.Radius() == 0 {
			return &refusal{fmt.Sprintf("%s (%s) is left out: %s", id, o.Name, o.Why), "choose a set-up with which it can be stated, or prove it on the demonstration block"}
		}
		return &refusal{fmt.Sprintf("%s (%s) is left out around a pipe: %s", id, o.Name, o.Why),
			"prove it on the curved block and on the demonstration block; what holds in a plate does not hold here"}
	}
	ids := make([]string, len(t.Values))
	for i, v := range t.Values {
		ids[i] = v.ID
	}
	do := "soundwrit explain with the job alone lists all of them"
	if near := diag.Nearest(id, ids); near != "" {
		do = "did you mean " + near + "?"
	}
	return &refusal{fmt.Sprintf("this job has no quantity %q", id), do}
}

func explainText(w io.Writer, job *schema.Job, values []technique.Value) error {
	var b strings.Builder
	for _, v := range values {
		fmt.Fprintf(&b, "%s\n    %s", v.ID, v.Title())
		if v.Symbol != "" {
			fmt.Fprintf(&b, ", %s", v.Symbol)
		}
		fmt.Fprintf(&b, " = %s\n", v.Text())
		if v.Formula != "" {
			fmt.Fprintf(&b, "    formula   %s\n", v.Formula)
		}
		for i, in := range v.Inputs {
			label := "with"
			if i > 0 {
				label = ""
			}
			fmt.Fprintf(&b, "    %-8s  %s = %s   (%s)\n", label, in.Symbol, inputText(in), in.ID)
		}
		if v.Source == "job" {
			fmt.Fprintf(&b, "    source    %s\n", filepath.Base(job.File))
		} else if v.Source != "" {
			fmt.Fprintf(&b, "    source    %s\n", v.Source)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// inputText prints an input with more digits than a document would, so that
// the sum can be done again by hand.
func inputText(in technique.Input) string {
	if in.Q.Kind == si.Number {
		return strings.TrimSuffix(strings.TrimRight(in.Q.Text("", 4, si.Nearest), "0"), ".")
	}
	return in.Q.Text(in.Unit, 4, si.Nearest)
}

// explainJSON writes values for programs; names and meaning are a promise. A
// value that is not known is null.
func explainJSON(w io.Writer, values []technique.Value) error {
	type input struct {
		Value *float64 `json:"value"`
		Unit  string   `json:"unit"`
	}
	type quantity struct {
		ID      string           `json:"id"`
		Symbol  string           `json:"symbol"`
		Name    string           `json:"name"`
		Value   *float64         `json:"value"`
		Unit    string           `json:"unit"`
		Formula string           `json:"formula"`
		Inputs  map[string]input `json:"inputs"`
		Source  string           `json:"source"`
	}
	number := func(q si.Quantity, unit string) *float64 {
		u, ok := si.UnitNamed(unit, q.Kind)
		if !ok || !q.Known() {
			return nil
		}
		x := q.In(u)
		return &x
	}
	out := struct {
		Quantities []quantity `json:"quantities"`
	}{Quantities: []quantity{}}
	for _, v := range values {
		q := quantity{v.ID, v.Symbol, v.Title(), number(v.Q, v.Unit), v.Unit, v.Formula, map[string]input{}, v.Source}
		for _, in := range v.Inputs {
			q.Inputs[in.ID] = input{number(in.Q, in.Unit), in.Unit}
		}
		out.Quantities = append(out.Quantities, q)
	}
	return writeJSON(w, out)
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
