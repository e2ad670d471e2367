package rules

import (
	"math"
	"slices"

	"soundwrit/internal/si"
)

// Indication is one indication as it was evaluated. A quantity that is not
// known is NaN.
type Indication struct {
	Length    si.Length
	Height    si.Length  // through the wall
	Depth     si.Length  // of its upper edge, below the surface scanned
	Clear     si.Length  // wall between it and the nearest surface; NaN: follows from depth and height
	Amplitude si.Decibel // relative to reference
	Planar    string     // "yes", "no", empty: not known
	Class     string     // by the code's own classes: "A"; empty: not known
}

// Judgement is what the acceptance table of a book says of an indication.
type Judgement struct {
	Verdict string          // "accepted", "rejected"; empty: cannot be decided
	Needs   []string        // what must be known to decide, in words
	Rows    []AcceptanceRow // that decide; more than one where all that may be the one agree
	Note    string          // what else to know, or why nothing can be decided
}

// The verdicts on an indication.
const (
	accepted = "accepted"
	rejected = "rejected"
)

// indicationFacts are what a row of an acceptance table may ask of an
// indication, beside the thickness.
func indicationFacts() []Fact {
	length := func(name, doc string) Fact {
		return Fact{Name: "indication." + name, Kind: si.KindLength, Unit: "mm", Inch: "in", Decimals: 2, Doc: doc}
	}
	return []Fact{
		length("length", "its length"), length("height", "its height"),
		{Name: "indication.amplitude", Kind: si.KindDecibel, Unit: "dB", Decimals: 1, Doc: "its amplitude"},
		{Name: "indication.planar", Type: Flag, Doc: "whether it is planar"},
		{Name: "indication.class", Type: Text, Doc: "its class by the code"},
		{Name: "indication.at_surface", Type: Flag, Doc: "whether it reaches a surface"},
	}
}

// clear is the wall between the indication and the nearest surface.
func (n Indication) clear(thickness si.Length) float64 {
	switch top := float64(n.Depth); {
	case si.Known(n.Clear):
		return float64(n.Clear)
	case atMost(top, 0), atMost(float64(thickness), float64(n.Depth+n.Height)):
		return 0
	default:
		return math.Min(top, float64(thickness-n.Depth-n.Height))
	}
}

// facts are the indication as a row sees it. It is at the surface where the
// wall that is left between the two is no more than the book says; where the
// book says nothing, where it reaches the surface.
func (a *acceptance) facts(n Indication, thickness si.Length, inch bool) *facts {
	f := map[string]any{
		"part.thickness":       si.Quantity{SI: float64(thickness), Kind: si.KindLength},
		"indication.length":    si.Quantity{SI: float64(n.Length), Kind: si.KindLength},
		"indication.height":    si.Quantity{SI: float64(n.Height), Kind: si.KindLength},
		"indication.amplitude": si.Quantity{SI: float64(n.Amplitude), Kind: si.KindDecibel},
	}
	if n.Planar != "" {
		f["indication.planar"] = n.Planar == "yes"
	}
	if n.Class != "" {
		f["indication.class"] = n.Class
	}
	near := 0.0
	if a.within != nil {
		near = math.NaN()
		if v, missing := a.within.run(newFacts(f, inch), a.language); missing == nil {
			near = v.(float64)
		}
	}
	switch clear := n.clear(thickness); {
	case atMost(clear, 0), atMost(clear, near):
		f["indication.at_surface"] = true
	case !math.IsNaN(clear) && !math.IsNaN(near):
		f["indication.at_surface"] = false
	}
	return newFacts(f, inch)
}

// Judge holds an indication against the rows of the book's acceptance table.
// The first row that speaks of it decides. Where something is not known, every
// row that may be the one is asked; if they agree, that is the verdict.
func (b *Book) Judge(n Indication, thickness si.Length, level string, inch bool) Judgement {
	a := &b.acceptance
	worked, notes := b.Acceptance(thickness, level, inch)
	if len(worked) == 0 {
		return Judgement{Note: notes[len(notes)-1]}
	}
	f := a.facts(n, thickness, inch)
	var found []Judgement
	for i, r := range a.rowsFor(f, level) {
		if r.several {
			continue
		}
		covers, missing := r.speaksOf(f, a.language, inch)
		if missing == nil && !covers {
			continue
		}
		j := r.judge(n, worked[i], thickness, inch)
		for _, name := range missing {
			j.Needs = append(j.Needs, n.needs(name, a.language)...)
		}
		found = append(found, j)
		if missing == nil {
			break
		}
	}
	return b.together(found, n, thickness)
}

// needs says in words what of the indication is not known of a fact.
func (n Indication) needs(fact string, l *language) []string {
	if fact != "indication.at_surface" {
		return []string{l.facts[fact].Doc}
	}
	var needs []string
	if !si.Known(n.Depth) && !si.Known(n.Clear) {
		needs = append(needs, "its depth")
	}
	if !si.Known(n.Height) {
		needs = append(needs, "its height")
	}
	return needs
}

// together makes one judgement of those of all rows that may be the one.
func (b *Book) together(found []Judgement, n Indication, thickness si.Length) Judgement {
	if len(found) == 0 {
		return Judgement{Note: "the table has no row for such an indication"}
	}
	first := Judgement{Verdict: found[0].Verdict}
	var needs []string
	for _, j := range found {
		needs = append(needs, j.Needs...)
		first.Rows = append(first.Rows, j.Rows...)
		if j.Verdict == "" || j.Verdict != first.Verdict {
			first.Verdict = ""
		}
	}
	if first.Verdict == "" {
		if needs == nil {
			return Judgement{Note: "the table has no limit for such an indication"}
		}
		slices.Sort(needs)
		return Judgement{Needs: slices.Compact(needs)}
	}
	near := n.clear(thickness)
	asksPlace := slices.ContainsFunc(b.acceptance.rows, func(r acceptanceRow) bool {
		return r.when != nil && slices.Contains(r.when.facts, "indication.at_surface")
	})
	record := first.Rows[0].Record
	switch {
	case asksPlace && b.acceptance.within == nil && near > 0 && !atMost(float64(n.Height), near):
		first.Note = "it lies nearer to a surface than it is high: the licensed text says whether it counts as open to the surface"
	case first.Verdict == accepted && len(found) == 1 && si.Known(record) && si.Known(n.Amplitude):
		first.Note = "it need not be recorded"
		if !atMost(float64(n.Amplitude), float64(record)) {
			first.Note = "it is recorded"
		}
	}
	return first
}

// speaksOf reports whether the row is for such an indication.
func (r *acceptanceRow) speaksOf(f *facts, l *language, inch bool) (covers bool, missing []string) {
	if r.when != nil {
		v, m := r.when.run(f, l)
		if m == nil && !v.(bool) {
			return false, nil
		}
		missing = m
	}
	if r.covers == "" {
		return true, missing
	}
	limit, _ := r.length.resolve(f, l, inch)
	switch length := f.once["indication.length"].(si.Quantity); {
	case !length.Known():
		return true, append(missing, "indication.length")
	case atMost(length.SI, limit) != (r.covers == "length"):
		return false, nil
	}
	return true, missing
}

// judge compares the indication with the limits of the row.
func (r *acceptanceRow) judge(n Indication, row AcceptanceRow, thickness si.Length, inch bool) Judgement {
	height, heightLimit := float64(n.Height), float64(row.Height)
	var asksOf []string // what the limit of the height depends on and is not known
	if r.surface {
		height += n.clear(thickness)
	}
	if r.aspects != nil {
		size := r.aspects.size(height)
		heightLimit = r.aspects.height(r.aspects.share(size/float64(n.Length), float64(thickness), inch) * float64(thickness))
		if row.Text.Height = ""; !math.IsNaN(heightLimit) {
			row.Text.Height = lengthMeasure(inch).text(heightLimit, si.Down, inch) + ", being so slender"
		}
		if !si.Known(n.Length) {
			asksOf = append(asksOf, "its length")
		}
	}
	if r.surface && row.Text.Height != "" {
		row.Text.Height += ", from the surface on"
	}
	j := Judgement{Rows: []AcceptanceRow{row}, Verdict: accepted}
	if r.rejects {
		j.Verdict = rejected
		return j
	}
	for _, c := range []struct {
		has       bool
		is, limit float64
		name      string
	}{
		{r.length != nil && r.covers == "", float64(n.Length), float64(row.Length), "its length"},
		{r.height != nil || r.aspects != nil, height, heightLimit, "its height"},
		{r.amplitude != nil, float64(n.Amplitude), float64(row.Amplitude), "its amplitude"},
	} {
		switch {
		case !c.has:
		case math.IsNaN(c.is) && c.name == "its height" && si.Known(n.Height):
			j.Needs = append(j.Needs, "its depth") // from the surface on
		case math.IsNaN(c.is):
			j.Needs = append(j.Needs, c.name)
		case math.IsNaN(c.limit):
			j.Needs = append(j.Needs, asksOf...)
			if asksOf == nil {
				j.Verdict = ""
				return j // the table has no limit here
			}
		case !atMost(c.is, c.limit):
			j.Verdict, j.Needs = rejected, nil
			return j
		}
	}
	if j.Needs != nil {
		j.Verdict = ""
	}
	return j
}
