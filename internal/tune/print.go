package tune

import (
	"fmt"
	"io"
	"strings"

	"soundwrit/internal/si"
)

// Text writes a result for people.
func (r *Result) Text(w io.Writer, written func(path string) string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "As it stands   %s\nProposed       %s\n", r.Job.Measure.line(), r.Best.Measure.line())
	if len(r.Best.Edits) == 0 {
		fmt.Fprintf(&b, "Nothing that was tried is better than the job as it stands.\n")
	} else {
		fmt.Fprintf(&b, "Change in the job (%d)\n", len(r.Best.Edits))
		for _, e := range r.Best.Edits {
			fmt.Fprintf(&b, "    %s: %s → %s\n", e.Path, orNone(written(e.Path)), e.Value)
		}
	}
	if len(r.Conflict) > 0 {
		fmt.Fprintf(&b, "No values that were tried meet every requirement. This is the nearest; what is still not met:\n")
		for _, c := range r.Conflict {
			switch {
			case c.Costs == nil:
				fmt.Fprintf(&b, "    %s: met by nothing that was tried\n", c.Rule)
			default:
				fmt.Fprintf(&b, "    %s: met only where this is not: %s\n", c.Rule, strings.Join(c.Costs, "; "))
			}
		}
	}
	if len(r.Binding) > 0 {
		fmt.Fprintf(&b, "Why not more, or less (%d)\n", len(r.Binding))
		for _, x := range r.Binding {
			fmt.Fprintf(&b, "    %s %s, not %s: %s\n", x.Path, x.Value, x.Neighbour, x.Why)
		}
	}
	if len(r.Bought) > 0 {
		fmt.Fprintf(&b, "What fixed values cost (%d)\n", len(r.Bought))
		for _, x := range r.Bought {
			fmt.Fprintf(&b, "    %s %s, were it %s: %s\n", x.Path, orNone(x.Value), x.Other, x.What)
		}
	}
	if len(r.Others) > 1 {
		fmt.Fprintf(&b, "Trade-offs, none worse than another in everything (%d)\n", len(r.Others))
		for _, t := range r.Others {
			fmt.Fprintf(&b, "    %s\n", t.Measure.line())
			for _, e := range t.Edits {
				fmt.Fprintf(&b, "        %s: %s\n", e.Path, e.Value)
			}
		}
	}
	fmt.Fprintf(&b, "%d set-ups were worked out and held against every rule.\n", r.Tried)
	_, err := io.WriteString(w, b.String())
	return err
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// line prints a measure in one line.
func (m Measure) line() string {
	if !m.Usable {
		return "cannot be computed"
	}
	parts := []string{"coverage " + percent(m.Coverage)}
	if si.Known(m.Square) {
		parts = append(parts, "least face met square "+percent(m.Square))
	}
	if si.Known(m.Speed) {
		parts = append(parts, "speed up to "+speedText(m.Speed))
	}
	if si.Known(m.Time) {
		parts = append(parts, (si.Quantity{SI: float64(m.Time), Kind: si.KindTime}).Text("min", 1, si.Up)+" a weld")
	}
	if si.Known(m.Data) {
		parts = append(parts, dataText(m.Data)+" a metre")
	}
	if si.Known(m.Artefact) {
		parts = append(parts, "artefacts "+(si.Quantity{SI: float64(m.Artefact), Kind: si.KindDecibel}).Text("dB", 0, si.Up))
	}
	if n := len(m.Unmet); n == 1 {
		parts = append(parts, "1 requirement not met")
	} else if n > 1 {
		parts = append(parts, fmt.Sprintf("%d requirements not met", n))
	}
	return strings.Join(parts, ", ")
}

// JSON returns a result for programs; names and meaning are a promise.
func (r *Result) JSON(written func(path string) string) any {
	type edit struct {
		Path   string `json:"path"`
		Before string `json:"before"`
		After  string `json:"after"`
	}
	type trial struct {
		Edits    []edit   `json:"edits"`
		Coverage *float64 `json:"coverage_percent"`
		Square   *float64 `json:"square_percent"`
		Speed    *float64 `json:"speed_mm_s"`
		Data     *float64 `json:"data_mb_m"`
		Minutes  *float64 `json:"minutes_weld"`
		Artefact *float64 `json:"artefact_db"`
		Unmet    []string `json:"unmet"`
	}
	number := func(x, unit float64) *float64 {
		if x != x {
			return nil
		}
		x /= unit
		return &x
	}
	of := func(t Trial) trial {
		m := t.Measure
		out := trial{Edits: []edit{}, Coverage: number(float64(m.Coverage), 0.01), Square: number(float64(m.Square), 0.01), Speed: number(float64(m.Speed), 1e-3),
			Data: number(float64(m.Data), 1e6), Minutes: number(float64(m.Time), 60), Artefact: number(float64(m.Artefact), 1), Unmet: append([]string{}, m.Unmet...)}
		for _, e := range t.Edits {
			out.Edits = append(out.Edits, edit{e.Path, written(e.Path), e.Value})
		}
		return out
	}
	type why struct {
		Path  string `json:"path"`
		Value string `json:"value"`
		Other string `json:"other"`
		Why   string `json:"why"`
	}
	type conflict struct {
		Rule  string   `json:"rule"`
		Costs []string `json:"costs"`
	}
	out := struct {
		Job      trial      `json:"job"`
		Proposal trial      `json:"proposal"`
		Others   []trial    `json:"trade_offs"`
		Binding  []why      `json:"binding"`
		Fixed    []why      `json:"fixed"`
		Conflict []conflict `json:"conflicts"`
		Tried    int        `json:"tried"`
	}{of(r.Job), of(r.Best), []trial{}, []why{}, []why{}, []conflict{}, r.Tried}
	for _, t := range r.Others {
		out.Others = append(out.Others, of(t))
	}
	for _, x := range r.Binding {
		out.Binding = append(out.Binding, why{x.Path, x.Value, x.Neighbour, x.Why})
	}
	for _, x := range r.Bought {
		out.Fixed = append(out.Fixed, why{x.Path, x.Value, x.Other, x.What})
	}
	for _, c := range r.Conflict {
		out.Conflict = append(out.Conflict, conflict{c.Rule, append([]string{}, c.Costs...)})
	}
	return out
}
