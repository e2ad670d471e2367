package templates

import (
	"fmt"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// book is the requirements of one rule book, answered.
type book struct {
	Number       int
	Code         md
	Requirements []requirement
	Counts       md
}

// requirement is one rule's answer as a row of annex A.
type requirement struct {
	Clause, Asks, Subject, Where, Here, Limit, Verdict, Sure, Why md
	Essential, Should                                             bool
}

func books(t *technique.Technique) []book {
	var all []book
	at := map[string]int{}
	answers := map[string][]rules.Result{}
	for _, r := range t.Rules {
		i, ok := at[r.Book]
		if !ok {
			i = len(all)
			at[r.Book] = i
			all = append(all, book{Number: i + 1, Code: or(esc(r.Code), esc(r.Book))})
		}
		all[i].Requirements = append(all[i].Requirements, answer(t, r))
		answers[r.Book] = append(answers[r.Book], r)
	}
	for _, r := range t.Rules {
		all[at[r.Book]].Counts = count(answers[r.Book])
	}
	return all
}

func answer(t *technique.Technique, r rules.Result) requirement {
	q := requirement{
		Clause: or(esc(r.Clause), "–"), Asks: esc(r.Asks), Subject: esc(r.Subject),
		Where: where(t, r), Here: printed(r.Actual), Limit: printed(r.Limit),
		Verdict: md(r.Verdict), Sure: esc(r.Sure), Why: esc(r.Why),
		Essential: r.Essential, Should: r.Level == diag.Should,
	}
	if deviation(t, r.Book+"/"+r.Rule) != nil && r.Verdict == rules.NotMet {
		q.Verdict = "not met, agreed"
	}
	return q
}

// printed is a value or limit as the rule engine printed it; a dash where the
// rule has none.
func printed(text string) md {
	if text == "" || text == "unknown" {
		return "–"
	}
	return esc(text)
}

// where links the section that answers a requirement: for a group, its own.
func where(t *technique.Technique, r rules.Result) md {
	if r.AnsweredIn == "" {
		return "–"
	}
	section := r.AnsweredIn
	if section == "9" {
		for i, g := range t.Groups {
			if g.Set.Name == r.Subject {
				section = fmt.Sprintf("9.%d", i+1)
			}
		}
	}
	if strings.Trim(section, "0123456789.") != "" {
		return esc(section)
	}
	return md(fmt.Sprintf("[%s](#section:%s?)", section, section))
}

// tally says how the requirements answered in the sections named stand.
func tally(t *technique.Technique, sections ...string) md {
	var some []rules.Result
	for _, r := range t.Rules {
		for _, s := range sections {
			if r.AnsweredIn == s || strings.HasPrefix(r.AnsweredIn, s+".") {
				some = append(some, r)
				break
			}
		}
	}
	return or(count(some), "none in the books used")
}

// count is a sentence part such as "5 met, 1 not met".
func count(results []rules.Result) md {
	number := verdicts(results)
	var parts []string
	for _, v := range []rules.Verdict{rules.Met, rules.NotMet, rules.Confirm, rules.Unchecked, rules.NotApplicable} {
		if number[v] > 0 {
			word := string(v)
			if v == rules.Confirm {
				word = "to confirm"
			}
			parts = append(parts, fmt.Sprintf("%d %s", number[v], word))
		}
	}
	return md(strings.Join(parts, ", "))
}

func verdicts(results []rules.Result) map[rules.Verdict]int {
	number := map[rules.Verdict]int{}
	for _, r := range results {
		number[r.Verdict]++
	}
	return number
}

// fromMemory counts the requirements that apply and whose text was not at hand
// when the rule book was written.
func fromMemory(t *technique.Technique) int {
	n := 0
	for _, r := range t.Rules {
		if r.Verdict != rules.NotApplicable && r.Sure == "from memory" {
			n++
		}
	}
	return n
}

// essential lists the essential variables, each once for each code and subject.
func essential(t *technique.Technique) []variable {
	var all []variable
	seen := map[variable]bool{}
	for _, r := range t.Rules {
		if !r.Essential || r.Verdict == rules.NotApplicable {
			continue
		}
		v := variable{answer(t, r), esc(r.Code)}
		if !seen[v] {
			seen[v] = true
			all = append(all, v)
		}
	}
	return all
}

// variable is an essential variable with the code that makes it one.
type variable struct {
	requirement
	Code md
}

// finding is a finding in one line.
type finding struct {
	Message, Here, Limit, Clause, Remedy md
}

// findings lists those that stand in the way of an approval, or those that a
// person must confirm.
func findings(t *technique.Technique, want func(diag.Finding) bool) []finding {
	var all []finding
	for _, f := range t.Findings {
		if want(f) {
			all = append(all, finding{
				Message: esc(capital(f.Message)), Here: esc(f.Actual), Limit: esc(f.Limit),
				Clause: esc(strings.Trim(f.Code+", "+f.Clause, ", ")), Remedy: esc(f.Remedy),
			})
		}
	}
	return all
}

// agreed is an agreed deviation.
type agreed struct {
	Rule, Reason, Measure, AgreedBy, Date md
}

func deviations(t *technique.Technique) []agreed {
	var all []agreed
	for _, d := range t.Job.Deviations {
		all = append(all, agreed{
			Rule: esc(d.Rule), Reason: esc(d.Reason), Measure: or(esc(d.Measure), "none"),
			AgreedBy: or(esc(d.AgreedBy), notStated), Date: or(esc(d.Date), notStated),
		})
	}
	return all
}

func deviation(t *technique.Technique, rule string) *agreed {
	for i, d := range t.Job.Deviations {
		if d.Rule == rule {
			return &deviations(t)[i]
		}
	}
	return nil
}

// uncovered lists the codes of the job for which no requirement was answered.
func uncovered(t *technique.Technique) []md {
	var all []md
	for _, c := range append(append([]string(nil), codeNames(t.Job.Codes.Procedure)...), codeNames(t.Job.Codes.Acceptance)...) {
		known := false
		for _, r := range t.Rules {
			known = known || strings.HasPrefix(r.Code, c)
		}
		for _, a := range t.Acceptance {
			known = known || strings.HasPrefix(a.Code, c)
		}
		if !known {
			all = append(all, esc(c))
		}
	}
	return all
}
