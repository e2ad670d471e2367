package revision

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// Verdict says in one sentence what the changes ask for.
func (c *Comparison) Verdict() string {
	switch {
	case c.Empty():
		return "Nothing differs but the writing."
	case c.Essential():
		return "Essential variables changed: qualify again, or have the client approve, as the code named with each of them asks."
	case len(c.Changes) == 0:
		return "The job says the same; what follows differs, so that program or rule books are not the same."
	}
	return "No essential variable of a named code changed in a way that counts: the next revision, approved by a level 3, is enough."
}

// series reports the delays and times of single elements and the values of
// single beams, hundreds of lines that nobody reads unasked.
func series(id string) bool {
	return strings.Contains(id, ".delays.") || strings.Contains(id, ".times.") || strings.Contains(id, ".laws.")
}

// step prints what was and what is. Where rounding hides the difference, more
// digits are printed.
func (x Consequence) step() (before, after string) {
	before, after = text(x.Before), text(x.After)
	if x.Before == nil || x.After == nil || before != after {
		return before, after
	}
	for more := 1; more <= 9 && before == after; more++ {
		a, b := *x.Before, *x.After
		a.Decimals, b.Decimals = a.Decimals+more, b.Decimals+more
		a.Side, b.Side = si.Nearest, si.Nearest
		before, after = a.Text(), b.Text()
	}
	return before, after
}

func text(v *technique.Value) string {
	if v == nil {
		return "none"
	}
	return v.Text()
}

// name is what the quantity is called.
func (x Consequence) name() string {
	v := x.After
	if v == nil {
		v = x.Before
	}
	if v.Symbol == "" {
		return v.Title()
	}
	return v.Title() + ", " + v.Symbol
}

// shown leaves out what stands under the changes already, and series, which it counts.
func (c *Comparison) shown() (list []Consequence, hidden int) {
	for _, x := range c.Consequences {
		switch v := cmp.Or(x.After, x.Before); {
		case series(x.ID):
			hidden++
		case v.Source == "job" && v.Formula == "" && x.Before != nil && x.After != nil:
		default:
			list = append(list, x)
		}
	}
	return list, hidden
}

// isHeadline reports the quantities that a client asks for first.
func isHeadline(id string) bool {
	return id == "coverage.share" || id == "scan.speed_limit" || id == "scan.fastest_mean" || id == "scan.time" || id == "scan.data_weld"
}

// headline is what was gained and lost in coverage, speed and data.
func (c *Comparison) headline() (list []Consequence) {
	for _, x := range c.Consequences {
		if isHeadline(x.ID) {
			list = append(list, x)
		}
	}
	return list
}

func orNone(s string) string { return cmp.Or(s, "none") }

// Text writes the comparison for people.
func (c *Comparison) Text(w io.Writer) error {
	var b strings.Builder
	part := func(title string, n int) {
		if n > 0 {
			fmt.Fprintf(&b, "%s (%d)\n", title, n)
		}
	}
	fmt.Fprintf(&b, "%s\n", c.Verdict())
	for _, t := range c.Takes() {
		fmt.Fprintf(&b, "    %s\n", t)
	}
	part("Changed in the job", len(c.Changes))
	for _, x := range c.Changes {
		mark := ""
		if x.Essential {
			mark = "   essential"
		}
		fmt.Fprintf(&b, "    %s: %s → %s%s\n", x.Path, orNone(x.Before), orNone(x.After), mark)
	}
	part("Essential variables that moved", len(c.Variables))
	for _, v := range c.Variables {
		fmt.Fprintf(&b, "    %s: %s → %s   %s%s\n", v.Title(), v.Before, v.After, v.CodeClause(), v.counts())
	}
	step := func(x Consequence) {
		before, after := x.step()
		fmt.Fprintf(&b, "    %s: %s → %s   %s\n", x.ID, before, after, x.name())
	}
	list, hidden := c.shown()
	first := c.headline()
	part("Coverage, speed and data", len(first))
	for _, x := range first {
		step(x)
	}
	part("What else follows", len(list)+hidden-len(first))
	for _, x := range list {
		if !isHeadline(x.ID) {
			step(x)
		}
	}
	if hidden > 0 {
		fmt.Fprintf(&b, "    and %d values of single beams and elements; --format json has them\n", hidden)
	}
	part("Findings that appeared", len(c.New))
	findings(&b, c.New)
	part("Findings that went", len(c.Gone))
	findings(&b, c.Gone)
	part("Sections of the document that read differently", len(c.Sections))
	for _, s := range c.Sections {
		fmt.Fprintf(&b, "    %s\n", s)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Title is what is judged, and of what.
func (v Variable) Title() string {
	if v.Subject == "" {
		return v.Name
	}
	return v.Name + " (" + v.Subject + ")"
}

// CodeClause is where the code asks for it.
func (v Variable) CodeClause() string { return strings.TrimSuffix(v.Code+", "+v.Clause, ", ") }

func (v Variable) counts() string {
	if v.Counts {
		return "; counts"
	}
	return "; in the direction that does not count"
}

// Takes lists what the changes that count take, a line a code.
func (c *Comparison) Takes() []string {
	var list []string
	seen := map[string]bool{}
	for _, v := range c.Variables {
		line := v.Code + ": " + v.Takes
		if v.Counts && v.Takes != "" && !seen[line] {
			seen[line] = true
			list = append(list, line)
		}
	}
	return list
}

var verdicts = map[diag.Level]string{diag.Error: "error", diag.Shall: "not met", diag.Should: "advice", diag.Note: "confirm"}

func findings(b *strings.Builder, list []diag.Finding) {
	for _, f := range list {
		fmt.Fprintf(b, "    %s: %s: %s [%s]\n", f.Path, verdicts[f.Level], f.Message, f.Rule)
	}
}

// Markdown writes the comparison as a comment on a change, with the verdict first.
func (c *Comparison) Markdown(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "**%s**\n", c.Verdict())
	for _, t := range c.Takes() {
		fmt.Fprintf(&b, "\n- %s", cell(t))
	}
	table := func(title string, n int, head ...string) {
		fmt.Fprintf(&b, "\n\n#### %s (%d)\n\n| %s |\n|%s\n", title, n, strings.Join(head, " | "), strings.Repeat(" --- |", len(head)))
	}
	row := func(cells ...string) {
		for i := range cells {
			cells[i] = cell(cells[i])
		}
		fmt.Fprintf(&b, "| %s |\n", strings.Join(cells, " | "))
	}
	if len(c.Variables) > 0 {
		table("Essential variables that moved", len(c.Variables), "Variable", "Before", "After", "Counts", "Code, clause")
		for _, v := range c.Variables {
			counts := "no"
			if v.Counts {
				counts = "**yes**"
			}
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", cell(v.Title()), cell(v.Before), cell(v.After), counts, cell(v.CodeClause()))
		}
	}
	if len(c.Changes) > 0 {
		table("Changed in the job", len(c.Changes), "Place", "Before", "After", "Essential")
		for _, x := range c.Changes {
			essential := ""
			if x.Essential {
				essential = "yes"
			}
			row(x.Path, orNone(x.Before), orNone(x.After), essential)
		}
	}
	quantities := func(title string, list []Consequence) {
		if len(list) == 0 {
			return
		}
		table(title, len(list), "Quantity", "Before", "After", "Id")
		for _, x := range list {
			before, after := x.step()
			row(x.name(), before, after, x.ID)
		}
	}
	quantities("Coverage, speed and data", c.headline())
	if list, hidden := c.shown(); len(list)+hidden > 0 {
		quantities("What else follows", slices.DeleteFunc(list, func(x Consequence) bool { return isHeadline(x.ID) }))
		if hidden > 0 {
			fmt.Fprintf(&b, "\nAnd %d values of single beams and elements.\n", hidden)
		}
	}
	for _, part := range []struct {
		title string
		list  []diag.Finding
	}{{"Findings that appeared", c.New}, {"Findings that went", c.Gone}} {
		if len(part.list) > 0 {
			table(part.title, len(part.list), "Place", "Verdict", "Finding", "Rule")
			for _, f := range part.list {
				row(f.Path, verdicts[f.Level], f.Message, f.Rule)
			}
		}
	}
	if len(c.Sections) > 0 {
		fmt.Fprintf(&b, "\n\n#### Sections of the document that read differently (%d)\n\n", len(c.Sections))
		for _, s := range c.Sections {
			fmt.Fprintf(&b, "- %s\n", cell(s))
		}
	}
	_, err := io.WriteString(w, strings.TrimRight(b.String(), "\n")+"\n")
	return err
}

// cell keeps a value of the job from being read as Markdown.
func cell(s string) string {
	return strings.NewReplacer("\\", "\\\\", "|", "\\|", "*", "\\*", "_", "\\_", "`", "\\`", "<", "&lt;", "[", "\\[", "#", "\\#", "\n", " ").Replace(s)
}

// JSON returns the comparison for programs; names and meaning are a promise.
// Numbers are in the unit beside them; a value that only one side has is null.
func (c *Comparison) JSON() any {
	type change struct {
		Path      string `json:"path"`
		Before    string `json:"before"`
		After     string `json:"after"`
		Essential bool   `json:"essential"`
	}
	type consequence struct {
		ID     string   `json:"id"`
		Before *float64 `json:"before"`
		After  *float64 `json:"after"`
		Unit   string   `json:"unit"`
	}
	type finding struct {
		Rule    string `json:"rule"`
		Level   string `json:"level"`
		Path    string `json:"path"`
		Message string `json:"message"`
	}
	type variable struct {
		Rule     string `json:"rule"`
		Code     string `json:"code"`
		Clause   string `json:"clause"`
		Subject  string `json:"subject"`
		Variable string `json:"variable"`
		Before   string `json:"before"`
		After    string `json:"after"`
		Counts   bool   `json:"counts"`
	}
	listed := func(list []diag.Finding) []finding {
		out := []finding{}
		for _, f := range list {
			out = append(out, finding{f.Rule, string(f.Level), f.Path, f.Message})
		}
		return out
	}
	out := struct {
		Changes      []change             `json:"changes"`
		Consequences []consequence        `json:"consequences"`
		Findings     map[string][]finding `json:"findings"`
		Variables    []variable           `json:"variables"`
		Sections     []string             `json:"sections"`
		Verdict      string               `json:"verdict"`
		Essential    bool                 `json:"essential"`
	}{
		Changes: []change{}, Consequences: []consequence{}, Variables: []variable{}, Sections: append([]string{}, c.Sections...),
		Findings: map[string][]finding{"new": listed(c.New), "gone": listed(c.Gone)},
		Verdict:  c.Verdict(), Essential: c.Essential(),
	}
	for _, x := range c.Changes {
		out.Changes = append(out.Changes, change{x.Path, x.Before, x.After, x.Essential})
	}
	for _, x := range c.Consequences {
		out.Consequences = append(out.Consequences, consequence{x.ID, number(x.Before), number(x.After), cmp.Or(x.After, x.Before).Unit})
	}
	for _, v := range c.Variables {
		out.Variables = append(out.Variables, variable{v.Rule, v.Code, v.Clause, v.Subject, v.Name, v.Before, v.After, v.Counts})
	}
	return out
}

func number(v *technique.Value) *float64 {
	if v == nil || !v.Q.Known() {
		return nil
	}
	u, ok := si.UnitNamed(v.Unit, v.Q.Kind)
	if !ok {
		return nil
	}
	x := v.Q.In(u)
	return &x
}
