package rules

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Check answers every rule of the book for a job. Each rule gives at least one
// result, also where it does not apply; a rule with `each` gives one for each
// subject. A rule that is not met gives a finding of its level, one that a
// person must confirm gives a note, and one that could not be checked for want
// of a fact gives none, unless the book says that the job owes the fact.
func (b *Book) Check(in Input) ([]Result, []diag.Finding) {
	once := make(map[string]any, len(in.Facts)+1)
	for name, value := range in.Facts {
		once[name] = value
	}
	once["code.level"] = in.Levels[b.ID]
	c := check{book: b, in: in}
	base := newFacts(once, in.Inch)
	for i := range b.Rules {
		r := &b.Rules[i]
		if r.each == "" {
			c.answer(r, base, Subject{})
			continue
		}
		subjects := in.Subjects[r.each]
		if len(subjects) == 0 {
			res := c.result(r, Subject{})
			res.Verdict, res.Why = NotApplicable, "the job has no "+r.each
			c.results = append(c.results, res)
		}
		for _, s := range subjects {
			c.answer(r, base.with(s.Facts), s)
		}
	}
	return c.results, c.findings
}

// check is one run of a book over a job.
type check struct {
	book     *Book
	in       Input
	results  []Result
	findings []diag.Finding
}

func (c *check) result(r *Rule, s Subject) Result {
	nan := si.Quantity{SI: math.NaN(), Kind: r.measure.kind}
	value := ""
	if r.value != nil {
		value = r.value.text
	}
	return Result{
		Judges: value,
		Book:   c.book.ID, Rule: r.ID, Code: c.book.Cite(), Clause: r.Clause, Asks: r.Asks, Level: r.Level,
		Sure: r.Sure, Subject: s.Name, AnsweredIn: r.AnsweredIn, Essential: r.Essential, Variable: r.Variable, Change: r.Change, OnChange: c.book.OnChange,
		Limit: r.expected, Low: nan, High: nan, Paths: c.judged(r, s),
	}
}

// judged lists the places in the job of what a rule judges.
func (c *check) judged(r *Rule, s Subject) []string {
	paths := []string{c.path(r.at, s)}
	if r.value == nil {
		return paths
	}
	for _, name := range r.value.facts {
		if p := c.path(name, s); !slices.Contains(paths, p) {
			paths = append(paths, p)
		}
	}
	return paths
}

// answer judges one rule for one subject and keeps what follows.
func (c *check) answer(r *Rule, f *facts, s Subject) {
	res := c.result(r, s)
	message := c.judge(r, f, &res)
	c.results = append(c.results, res)
	level := r.Level
	switch res.Verdict {
	case Confirm:
		level = diag.Note
	case NotMet:
	default:
		return
	}
	path := c.path(r.at, s)
	finding := diag.Finding{
		Rule: c.book.ID + "/" + r.ID, Level: level, Path: path, At: c.position(path), Subject: s.Name,
		Message: c.fill(r, message, res), Actual: res.Actual, Limit: res.Limit,
		Code: c.book.Cite(), Clause: r.Clause, Sure: r.Sure, Remedy: c.fill(r, r.remedy, res),
	}
	if res.Verdict == NotMet {
		finding.Also = c.others(r, f, s)
	}
	c.findings = append(c.findings, finding)
}

// judge sets the verdict and what was compared, and returns the message of a
// finding.
func (c *check) judge(r *Rule, f *facts, res *Result) string {
	l := c.book.language
	unchecked := func(names []string) string {
		res.Verdict, res.Why = Unchecked, c.notKnown(names)
		return ""
	}
	for _, e := range r.applies {
		v, missing := e.run(f, l)
		if missing != nil {
			return unchecked(missing)
		}
		if !v.(bool) {
			res.Verdict, res.Why, res.Limit = NotApplicable, r.unless, ""
			return ""
		}
	}
	if r.confirm != "" {
		res.Verdict = Confirm
		if res.Limit == "" {
			res.Limit = "confirmed by a person"
		}
		return r.confirm
	}
	if r.Written != "" {
		res.Verdict, res.Actual, res.Limit = Met, "written there", "written in the document"
		return ""
	}
	verdict := func(ok bool) string {
		res.Verdict = NotMet
		if ok {
			res.Verdict = Met
		}
		return r.message
	}

	var value any
	if r.value != nil {
		lacking := c.lacking(f, r.value.facts)
		switch {
		case lacking == nil || r.isTrue != nil:
		case c.in.Partial:
			return unchecked(lacking) // perhaps given, and refused when the job was read
		case r.present || r.missing != "":
			if missing, _ := c.describe(r, f, res); missing != nil {
				return unchecked(missing) // no limit to name, so no remedy to offer
			}
			return c.notStated(r, res)
		default:
			return unchecked(lacking)
		}
		v, missing := r.value.run(f, l)
		if missing != nil && r.isTrue == nil {
			return unchecked(missing)
		}
		value, res.Value = v, v
		// A share is what something reaches: 99.96 % must not read as all of it.
		side := si.Nearest
		if r.measure.kind == si.KindRatio {
			side = si.Down
		}
		res.Actual = actualText(v, r.measure, side, c.in.Inch)
	}

	switch {
	case r.present:
		c.describe(r, f, res)
		return verdict(true)
	case r.isTrue != nil:
		var unknown []string
		for _, e := range r.isTrue {
			v, missing := e.run(f, l)
			if missing == nil && v.(bool) {
				return verdict(true)
			}
			unknown = append(unknown, missing...)
		}
		switch {
		case unknown == nil:
			return verdict(false)
		case r.missing != "" && !c.in.Partial:
			return c.notStated(r, res)
		}
		return unchecked(unknown)
	case r.texts != nil:
		c.describe(r, f, res)
		return verdict(slices.Contains(r.texts, value.(string)))
	}

	missing, ok := c.describe(r, f, res)
	if missing != nil {
		return unchecked(missing)
	}
	if !ok {
		res.Verdict, res.Why = Unchecked, "the book gives no limit for this case"
		return ""
	}
	return verdict(c.compare(r, value.(float64), f, res))
}

// lacking returns the facts that the job does not give.
func (c *check) lacking(f *facts, names []string) []string {
	var lacking []string
	for _, name := range names {
		if f.state(c.book.language.facts[name]) != given {
			lacking = append(lacking, name)
		}
	}
	return lacking
}

// notStated answers a rule whose value the job owes.
func (c *check) notStated(r *Rule, res *Result) string {
	res.Verdict, res.Actual = NotMet, "not stated"
	return cmp.Or(r.missing, r.message)
}

// compare holds the value against the limits. The value is printed as elsewhere
// in the document, to the nearest, or a share that is to reach something down; but
// always on the same side of the printed limit as the true one.
func (c *check) compare(r *Rule, x float64, f *facts, res *Result) bool {
	for _, b := range r.oneOf {
		if y, _ := b.resolve(f, c.book.language, c.in.Inch); same(x, y) {
			return true
		}
	}
	if r.oneOf != nil {
		return false
	}
	aboveLow := r.atLeast == nil || atMost(res.Low.SI, x)
	belowHigh := r.atMost == nil || atMost(x, res.High.SI)
	side := si.Nearest
	if r.measure.kind == si.KindRatio && r.atLeast != nil && r.atMost == nil {
		side = si.Down
	}
	printed := func(x float64, side si.Side) float64 { return r.measure.printed(x, side, c.in.Inch) }
	switch {
	case r.atLeast != nil && printed(x, side) >= printed(res.Low.SI, si.Up) != aboveLow:
		if side = si.Down; aboveLow {
			side = si.Up
		}
	case r.atMost != nil && printed(x, side) <= printed(res.High.SI, si.Down) != belowHigh:
		if side = si.Up; belowHigh {
			side = si.Down
		}
	}
	res.Actual = r.measure.text(x, side, c.in.Inch)
	return aboveLow && belowHigh
}

// describe writes the limit into the result. It returns the facts that are
// missing for it, and whether there is a limit at all.
func (c *check) describe(r *Rule, f *facts, res *Result) (missing []string, ok bool) {
	resolve := func(b *bound) float64 {
		x, m := b.resolve(f, c.book.language, c.in.Inch)
		missing = append(missing, m...)
		return x
	}
	text := func(x float64, side si.Side) string { return r.measure.text(x, side, c.in.Inch) }
	var limit string
	switch {
	case r.present:
		limit = "stated"
	case r.texts != nil:
		limit = oneOfText(r.texts)
	case r.oneOf != nil:
		var sizes []string
		for _, b := range r.oneOf {
			if x := resolve(b); !math.IsNaN(x) && !slices.Contains(sizes, text(x, si.Nearest)) {
				sizes = append(sizes, text(x, si.Nearest))
			}
		}
		if sizes == nil {
			return missing, false
		}
		limit = oneOfText(sizes)
	default:
		if r.atLeast != nil {
			res.Low.SI = resolve(r.atLeast)
			limit = "at least " + text(res.Low.SI, si.Up)
		}
		if r.atMost != nil {
			res.High.SI = resolve(r.atMost)
			limit = "at most " + text(res.High.SI, si.Down)
		}
		if r.atLeast != nil && r.atMost != nil {
			limit = text(res.Low.SI, si.Up) + " to " + text(res.High.SI, si.Down)
			if res.Low.SI == res.High.SI {
				limit = text(res.Low.SI, si.Nearest)
			}
		}
		if r.atLeast != nil && !res.Low.Known() || r.atMost != nil && !res.High.Known() {
			return missing, false
		}
	}
	if res.Limit == "" {
		res.Limit = limit
	}
	return missing, true
}

func oneOfText(texts []string) string {
	if len(texts) == 1 {
		return texts[0]
	}
	return "one of " + strings.Join(texts, ", ")
}

func actualText(v any, m measure, side si.Side, inch bool) string {
	switch v := v.(type) {
	case float64:
		return m.text(v, side, inch)
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case []string:
		return strings.Join(v, ", ")
	case string:
		return v
	}
	return ""
}

// fill puts numbers into a message or remedy.
func (c *check) fill(r *Rule, text string, res Result) string {
	if !strings.Contains(text, "{") {
		return text
	}
	low := r.measure.text(res.Low.SI, si.Up, c.in.Inch)
	high := r.measure.text(res.High.SI, si.Down, c.in.Inch)
	limit := high
	switch {
	case r.atMost == nil && r.atLeast != nil:
		limit = low
	case r.atMost == nil:
		limit = res.Limit
	}
	return strings.NewReplacer("{limit}", limit, "{low}", low, "{high}", high,
		"{actual}", res.Actual, "{subject}", res.Subject).Replace(text)
}

// path is the place in the job of a fact.
func (c *check) path(fact string, s Subject) string {
	f := c.book.language.facts[fact]
	scope, _, _ := strings.Cut(fact, ".")
	if !repeating(scope) {
		return f.Path
	}
	return strings.TrimSuffix(s.Path+"."+f.Path, ".")
}

func (c *check) position(path string) diag.Position {
	if c.in.At == nil {
		return diag.Position{}
	}
	return c.in.At(path)
}

// others lists the facts that set the limit, so that a reader sees why it is
// what it is.
func (c *check) others(r *Rule, f *facts, s Subject) []diag.Also {
	var names []string
	for _, b := range append([]*bound{r.atMost, r.atLeast}, r.oneOf...) {
		if b != nil {
			names = append(names, b.facts()...)
		}
	}
	slices.Sort(names)
	var also []diag.Also
	for _, name := range slices.Compact(names) {
		fact := c.book.language.facts[name]
		if name == r.at || f.state(fact) != given {
			continue
		}
		value, ok := f.subject[name]
		if !ok {
			value = f.once[name]
		}
		path := c.path(name, s)
		if path == c.path(r.at, s) {
			continue // a computed limit that stands at the same place in the job
		}
		also = append(also, diag.Also{
			At:      c.position(path),
			Message: path + ": " + actualText(bare(value), measureOf(fact), si.Nearest, c.in.Inch) + " has a part in the limit",
		})
	}
	return also
}

// notKnown says which facts are missing, in words.
func (c *check) notKnown(names []string) string {
	var parts []string
	for _, name := range names {
		parts = append(parts, name+" ("+c.book.language.facts[name].Doc+")")
	}
	return "not known: " + strings.Join(parts, "; ")
}
