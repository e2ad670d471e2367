package revision

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// Standing is what something found on site is to a technique.
type Standing string

// The standings, from the mildest.
const (
	Inside  Standing = "inside the technique"
	Allowed Standing = "allowed, with these changed values"
	Stop    Standing = "STOP and ask the level 3"
)

// Judgement is what one thing found on site, or all of them together, means.
type Judgement struct {
	Found      *schema.Found // nil: all together
	Standing   Standing
	Comparison *Comparison    // nil where the job cannot be computed with it
	Problems   []diag.Finding // why it cannot
}

// OnSite judges what a crew found, each thing alone and then all together: a
// value that moves an essential variable in a way that counts, makes a
// requirement fail or cannot be computed with stops the work; one from which
// other numbers follow is allowed with these; one from which nothing follows
// lies inside the technique. compute works out the job with some of them.
func OnSite(before *technique.Technique, items []schema.Found, compute func(...schema.Found) (*technique.Technique, []diag.Finding)) []Judgement {
	judge := func(found *schema.Found, some ...schema.Found) Judgement {
		after, problems := compute(some...)
		if after == nil {
			return Judgement{found, Stop, nil, problems}
		}
		c := Compare(before, after)
		j := Judgement{Found: found, Standing: Inside, Comparison: c}
		failing := func(f diag.Finding) bool { return f.Open() }
		switch {
		case c.Essential() || slices.ContainsFunc(c.New, failing):
			j.Standing = Stop
		case len(c.moved()) > 0:
			j.Standing = Allowed
		}
		return j
	}
	var all []Judgement
	for i := range items {
		all = append(all, judge(&items[i], items[i]))
	}
	if len(items) > 1 {
		all = append(all, judge(nil, items...))
	}
	return all
}

// moved lists the consequences that a crew can see: those whose printed value
// differs, without series.
func (c *Comparison) moved() []Consequence {
	list, _ := c.shown()
	return slices.DeleteFunc(list, func(x Consequence) bool { return text(x.Before) == text(x.After) })
}

// mostMoved is how many changed values are printed for one thing found.
const mostMoved = 15

// WriteOnSite writes judgements for people.
func WriteOnSite(w io.Writer, list []Judgement) error {
	var b strings.Builder
	for _, j := range list {
		if j.Found == nil {
			fmt.Fprintf(&b, "all together: %s\n", j.Standing)
		} else {
			fmt.Fprintf(&b, "%s: %s, found %s: %s\n", j.Found.Path, orNone(j.Found.Says), j.Found.Is, j.Standing)
		}
		for _, f := range j.Problems {
			fmt.Fprintf(&b, "    %s:%d:%d: %s\n", f.At.File, f.At.Line, f.At.Column, f.Message)
		}
		if j.Comparison == nil {
			continue
		}
		for _, v := range j.Comparison.Variables {
			if v.Counts {
				fmt.Fprintf(&b, "    essential: %s: %s → %s   %s\n", v.Title(), v.Before, v.After, v.CodeClause())
			}
		}
		for _, f := range j.Comparison.New {
			fmt.Fprintf(&b, "    %s: %s [%s]\n", verdicts[f.Level], f.Message, f.Rule)
		}
		moved := j.Comparison.moved()
		for i, x := range moved {
			if i == mostMoved {
				fmt.Fprintf(&b, "    and %d values more\n", len(moved)-i)
				break
			}
			fmt.Fprintf(&b, "    %s: %s → %s   %s\n", x.ID, text(x.Before), text(x.After), x.name())
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// OnSiteJSON returns judgements for programs.
func OnSiteJSON(list []Judgement) any {
	type value struct {
		ID     string   `json:"id"`
		Before *float64 `json:"before"`
		After  *float64 `json:"after"`
		Unit   string   `json:"unit"`
	}
	type judgement struct {
		Path     string   `json:"path"` // empty: all together
		Says     string   `json:"says"`
		Found    string   `json:"found"`
		Standing string   `json:"standing"` // inside, allowed, stop
		Reasons  []string `json:"reasons"`
		Values   []value  `json:"values"`
	}
	word := map[Standing]string{Inside: "inside", Allowed: "allowed", Stop: "stop"}
	out := []judgement{}
	for _, j := range list {
		o := judgement{Standing: word[j.Standing], Reasons: []string{}, Values: []value{}}
		if j.Found != nil {
			o.Path, o.Says, o.Found = j.Found.Path, j.Found.Says, j.Found.Is
		}
		for _, f := range j.Problems {
			o.Reasons = append(o.Reasons, f.Message)
		}
		if c := j.Comparison; c != nil {
			for _, v := range c.Variables {
				if v.Counts {
					o.Reasons = append(o.Reasons, fmt.Sprintf("%s: %s → %s (%s)", v.Title(), v.Before, v.After, v.CodeClause()))
				}
			}
			for _, f := range c.New {
				if f.Open() {
					o.Reasons = append(o.Reasons, f.Message)
				}
			}
			for _, x := range c.moved() {
				unit := ""
				if v := x.After; v != nil {
					unit = v.Unit
				} else if x.Before != nil {
					unit = x.Before.Unit
				}
				o.Values = append(o.Values, value{x.ID, number(x.Before), number(x.After), unit})
			}
		}
		out = append(out, o)
	}
	return struct {
		Found []judgement `json:"as_found"`
	}{out}
}
