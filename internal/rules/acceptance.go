package rules

import (
	"maps"
	"math"
	"reflect"
	"slices"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/si"
)

// AcceptanceRow is one line of an acceptance table, worked out for a
// thickness. A limit that the row does not have is NaN.
type AcceptanceRow struct {
	Class     string     // of indications: "embedded, up to the length limit"
	Verdict   string     // what the row says: "rejected at any length"
	Length    si.Length  // longest accepted
	Height    si.Length  // highest accepted
	Amplitude si.Decibel // highest accepted, relative to reference
	Record    si.Decibel // above which an accepted one is recorded, relative to reference
	Aspects   []AspectLimit
	Clause    string
	Sure      string
	Source    string
	Text      struct{ Length, Height, Amplitude, Record string } // printed, rounded down; empty where there is none
}

// acceptance is the table of an acceptance book.
type acceptance struct {
	notes  []string
	scope  *expression // thicknesses for which there are rows; nil: any
	beyond string      // note where the thickness is outside the scope
	levels []string    // of which a job must name one; empty: the book has no levels
	within *expression // clear wall up to which an indication counts as open to the surface; nil: not said
	rows   []acceptanceRow

	language *language // of the book, with the facts of an indication
}

type acceptanceRow struct {
	AcceptanceRow
	level                             string
	applies                           *expression // thicknesses for which it is there; nil: any
	length, height, amplitude, record *bound
	aspects                           *aspects    // limit of the height that depends on the slenderness
	surface                           bool        // its height is taken from the surface on
	when                              *expression // of which indications it speaks; nil: of any
	covers                            string      // "length": only of those up to its length limit; "beyond": only of longer ones
	rejects                           bool        // whatever their size
	several                           bool        // it limits several together, not one
}

// any reports whether the row speaks of every single indication.
func (r *acceptanceRow) any() bool { return r.when == nil && r.covers == "" && !r.several }

// Levels returns the acceptance levels the book knows, if it has any.
func (b *Book) Levels() []string { return slices.Clone(b.acceptance.levels) }

// Acceptance returns the lines of the book's acceptance table for a thickness
// and a level, with the notes that belong to them. Where the book has no lines
// for the case there are none, and a note says why.
func (b *Book) Acceptance(thickness si.Length, level string, inch bool) (rows []AcceptanceRow, notes []string) {
	a := &b.acceptance
	notes = slices.Clone(a.notes)
	f := newFacts(map[string]any{"part.thickness": si.Quantity{SI: float64(thickness), Kind: si.KindLength}}, inch)
	if len(a.levels) > 0 && !slices.Contains(a.levels, level) {
		named := "no acceptance level is named"
		if level != "" {
			named = "acceptance level " + level + " is not in this book"
		}
		return nil, append(notes, named+": it holds "+oneOfText(a.levels))
	}
	if !si.Known(thickness) {
		return nil, append(notes, "no limits: the thickness is not known")
	}
	if a.scope != nil {
		inside, missing := a.scope.run(f, b.language)
		if missing != nil || !inside.(bool) {
			return nil, append(notes, a.beyond)
		}
	}
	m := lengthMeasure(inch)
	gain := measure{kind: si.KindDecibel, unit: "dB", decimals: 1}
	for _, r := range a.rowsFor(f, level) {
		row := r.AcceptanceRow
		work := func(bd *bound, m measure, text *string) float64 {
			if bd == nil {
				return math.NaN()
			}
			x, _ := bd.resolve(f, b.language, inch)
			if !math.IsNaN(x) {
				*text = m.text(x, si.Down, inch)
			}
			return x
		}
		row.Length = si.Unknown[si.Length]()
		if r.covers != "beyond" {
			row.Length = si.Length(work(r.length, m, &row.Text.Length))
		}
		row.Height = si.Length(work(r.height, m, &row.Text.Height))
		row.Amplitude = si.Decibel(work(r.amplitude, gain, &row.Text.Amplitude))
		row.Record = si.Decibel(work(r.record, gain, &row.Text.Record))
		if r.aspects != nil {
			row.Aspects = r.aspects.worked(thickness, inch)
			row.Text.Height = "by its slenderness"
		}
		rows = append(rows, row)
	}
	return rows, notes
}

// rowsFor are the rows of a level that are there for the thickness of f.
func (a *acceptance) rowsFor(f *facts, level string) []*acceptanceRow {
	var rows []*acceptanceRow
	for i := range a.rows {
		r := &a.rows[i]
		if r.level != "" && r.level != level {
			continue
		}
		if r.applies != nil {
			if v, missing := r.applies.run(f, a.language); missing != nil || !v.(bool) {
				continue
			}
		}
		rows = append(rows, r)
	}
	return rows
}

// lengthMeasure is how lengths of acceptance tables are printed.
func lengthMeasure(inch bool) measure {
	m := measure{kind: si.KindLength, unit: "mm", inch: "in", decimals: 3}
	if !inch {
		m.decimals = 2
	}
	return m
}

func (r *reader) acceptance(node *yaml.Node) acceptance {
	f := r.fields(node, "acceptance", "notes", "levels", "applies", "beyond", "surface_within", "rows")
	a := acceptance{notes: f.list("notes"), levels: f.list("levels"), beyond: f.text("beyond", f.has("applies"))}
	if f.has("applies") {
		a.scope = r.acceptanceOnly(f.of["applies"], r.expression(f.of["applies"], reflect.Bool, ""))
	}
	// Only a row may ask of an indication, so only it knows the words.
	plain := r.language
	a.language = newLanguage(append(slices.Collect(maps.Values(plain.facts)), indicationFacts()...))
	asksIndication := func(n *yaml.Node, want reflect.Kind) *expression {
		r.language = a.language
		defer func() { r.language = plain }()
		return r.expression(n, want, "")
	}
	if f.has("surface_within") {
		a.within = asksIndication(f.of["surface_within"], reflect.Float64)
	}
	for _, n := range f.nodes("rows") {
		g := r.fields(n, "an acceptance row", "level", "applies", "class", "verdict", "when", "covers", "rejects", "several",
			"length", "height", "aspects", "from_surface", "amplitude", "record", "clause", "sure", "source")
		row := acceptanceRow{level: g.text("level", len(a.levels) > 0)}
		if row.level != "" && !slices.Contains(a.levels, row.level) {
			r.fail(g.of["level"], "book-wrong-level", "an acceptance row has a level that the book does not list", row.level, oneOfText(a.levels))
		}
		row.Class, row.Verdict, row.Clause = g.text("class", true), g.text("verdict", true), g.text("clause", true)
		row.Sure, row.Source = g.choice("sure", true, "seen", "from memory", "common practice"), g.text("source", true)
		limit := func(key string, kind si.Kind) *bound {
			if !g.has(key) {
				return nil
			}
			b := r.bound(g.of[key], kind, "", "an acceptance row")
			for _, name := range b.facts() {
				r.onlyThickness(g.of[key], name)
			}
			return b
		}
		row.length, row.height = limit("length", si.KindLength), limit("height", si.KindLength)
		row.amplitude, row.record = limit("amplitude", si.KindDecibel), limit("record", si.KindDecibel)
		if g.has("applies") {
			row.applies = r.acceptanceOnly(g.of["applies"], r.expression(g.of["applies"], reflect.Bool, ""))
		}
		if g.has("aspects") {
			row.aspects = r.aspects(g.of["aspects"])
		}
		row.surface = g.flag("from_surface")
		row.covers, row.rejects, row.several = g.choice("covers", false, "length", "beyond"), g.flag("rejects"), g.flag("several")
		if row.covers != "" && row.length == nil {
			r.fail(n, "book-missing-length", "an acceptance row covers a length that it does not limit", "", "length, a limit")
		}
		if g.has("when") {
			row.when = asksIndication(g.of["when"], reflect.Bool)
		}
		for _, before := range a.rows {
			if before.level == row.level && before.any() && before.applies == nil && !row.several {
				r.fail(n, "book-acceptance-order", "an acceptance row never decides, since one before it speaks of any indication", row.Class, "when or covers, in the row before")
				break
			}
		}
		a.rows = append(a.rows, row)
	}
	return a
}

func (r *reader) acceptanceOnly(node *yaml.Node, e *expression) *expression {
	for _, name := range e.facts {
		r.onlyThickness(node, name)
	}
	return e
}

func (r *reader) onlyThickness(node *yaml.Node, name string) {
	if name != "part.thickness" {
		r.fail(node, "book-scope", "an acceptance table depends on the thickness only, not on "+name, name, "part.thickness")
	}
}
