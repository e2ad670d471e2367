package templates

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// book is the requirements of one rule book, answered.
type book struct {
	Number       int
	Code         md
	Requirements []requirement
	Others       []requirement // that do not apply here
	Spared       []spared      // the same, by the reason
	Counts       md
	NotCovered   []md // of the code, by this book
	Caution      md
}

// requirement is a rule's answer as a row of annex A. One that holds for
// several groups or persons alike names them together.
type requirement struct {
	Code, Clause, Asks, Subject, Where, Here, Limit, Verdict, Sure, Why md
	Essential, Should                                                   bool
}

// spared is what does not apply here for one reason.
type spared struct {
	Why          md
	Requirements []requirement
}

// spare adds a requirement that does not apply to those of the same reason.
func (b *book) spare(q requirement) {
	b.Others = append(b.Others, q)
	i := slices.IndexFunc(b.Spared, func(s spared) bool { return s.Why == q.Why })
	if i < 0 {
		i = len(b.Spared)
		b.Spared = append(b.Spared, spared{Why: q.Why})
	}
	b.Spared[i].Requirements = append(b.Spared[i].Requirements, q)
}

func books(t *technique.Technique) []book {
	var all []book
	results := map[string][]rules.Result{}
	for _, r := range t.Rules {
		if len(results[r.Book]) == 0 {
			all = append(all, book{Code: or(esc(r.Code), esc(r.Book))})
		}
		results[r.Book] = append(results[r.Book], r)
	}
	i := 0
	for _, r := range t.Rules {
		if of := results[r.Book]; of != nil {
			all[i].Number, all[i].Counts = i+1, count(of)
			for _, h := range t.Books {
				if h.ID == r.Book {
					all[i].NotCovered, all[i].Caution = listed(h.NotCovered), esc(h.Caution)
				}
			}
			for _, q := range answers(t, of) {
				if q.Verdict == md(rules.NotApplicable) {
					all[i].spare(q)
				} else {
					all[i].Requirements = append(all[i].Requirements, q)
				}
			}
			results[r.Book] = nil
			i++
		}
	}
	return all
}

// answers gives the rows of some results, equal ones of one rule as one row.
func answers(t *technique.Technique, results []rules.Result) []requirement {
	var all []requirement
	type key struct {
		rule string
		same requirement
	}
	at := map[key]int{}
	for _, r := range results {
		q := answer(t, r)
		k := key{r.Book + "/" + r.Rule, q}
		k.same.Subject, k.same.Where = "", ""
		i, ok := at[k]
		if !ok {
			at[k] = len(all)
			all = append(all, q)
			continue
		}
		if q.Subject != "" {
			all[i].Subject += ", " + q.Subject
			all[i].Where = where(t, rules.Result{AnsweredIn: r.AnsweredIn})
		}
	}
	return all
}

func answer(t *technique.Technique, r rules.Result) requirement {
	q := requirement{
		Code: esc(r.Code), Clause: or(esc(r.Clause), "–"), Asks: esc(r.Asks), Subject: esc(r.Subject),
		Where: where(t, r), Here: here(r), Limit: printed(r.Limit),
		Verdict: md(r.Verdict), Sure: sure(r.Sure), Why: why(r.Why),
		Essential: r.Essential, Should: r.Level == diag.Should,
	}
	switch {
	case q.Here == "as stated there" && r.Limit == "stated":
		q.Here, q.Limit = "stated", "–"
	case r.Limit == "written in the document":
		q.Here, q.Limit = "written", "–"
	case r.Limit == "confirmed by a person":
		q.Limit = "–" // the verdict says it
	}
	if r.Verdict == rules.NotMet {
		q.Verdict = "**not met**"
		if d, ok := deviation(t, r); ok {
			q.Verdict = "**agreed deviation**"
			q.Why = why(strings.TrimSuffix(d.Reason, ".") + "; instead: " + cmp.Or(d.Measure, string(notStated)))
		}
	}
	return q
}

// fact is how the rule engine names what it lacks: the name in the rule book,
// and in brackets what it is, which may hold brackets. The document says the latter.
var fact = regexp.MustCompile(`\b[a-z_]+\.[a-z_0-9]+ \(((?:[^()]|\([^()]*\))*)\)`)

// why is the reason for a verdict, as a sentence without its stop.
func why(text string) md {
	return esc(capital(strings.TrimSuffix(fact.ReplaceAllString(text, "$1"), ".")))
}

// sure is the short word of annex A for how sure a requirement is.
func sure(long string) md {
	switch long {
	case "from memory":
		return "memory"
	case "common practice":
		return "practice"
	}
	return esc(long)
}

// here is the value that answers a requirement. A long text of the job is not
// repeated: it stands in the section named beside it.
func here(r rules.Result) md {
	if utf8.RuneCountInString(r.Actual) > 32 {
		return "as stated there"
	}
	return printed(r.Actual)
}

// printed is a value or limit as the rule engine printed it; a dash where the
// rule has none.
func printed(text string) md {
	if text == "" || text == "unknown" {
		return "–"
	}
	return esc(minus(text))
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

// count is a sentence part such as "5 met, 1 not met". Advice that is not
// followed is no requirement that fails, and counted apart.
func count(results []rules.Result) md {
	number := verdicts(results)
	advice := 0
	for _, r := range results {
		if r.Verdict == rules.NotMet && r.Level == diag.Should {
			advice++
		}
	}
	number[rules.NotMet] -= advice
	var parts []string
	for _, part := range []struct {
		n    int
		word string
	}{
		{number[rules.Met], "met"}, {number[rules.NotMet], "not met"}, {advice, "advised and not met"},
		{number[rules.Confirm], "to confirm"}, {number[rules.Unchecked], "not checked"}, {number[rules.NotApplicable], "not applicable"},
	} {
		if part.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", part.n, part.word))
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

// finding is a finding in one line.
type finding struct {
	Message, Here, Limit, Clause, Remedy md
}

// lacking is in a message that tells by itself that something is not there.
var lacking = regexp.MustCompile(`(?i)\b(not|no|nobody|nothing)\b`)

// once takes from the findings what their messages say already: before they are
// put into another language.
func once(t *technique.Technique) *technique.Technique {
	other := *t
	other.Findings = slices.Clone(t.Findings)
	for i := range other.Findings {
		f := &other.Findings[i]
		absent := f.Actual == string(notStated) && lacking.MatchString(f.Message)
		if absent && f.Limit == "stated" {
			f.Limit = ""
		}
		if absent || strings.Contains(f.Message, f.Actual) {
			f.Actual = ""
		}
	}
	return &other
}

// findings lists those that stand in the way of an approval, or those that a
// person must confirm.
func findings(t *technique.Technique, want func(diag.Finding) bool) []finding {
	var all []finding
	for _, f := range t.Findings {
		if !want(f) {
			continue
		}
		message := strings.TrimSuffix(f.Message, ".")
		if f.Subject == "" || !strings.HasPrefix(message, f.Subject+" ") { // a name stays as it is
			message = capital(message)
		}
		one := finding{
			Message: esc(minus(message)), Here: esc(minus(f.Actual)), Limit: esc(minus(f.Limit)),
			Clause: esc(strings.Trim(f.Code+", "+f.Clause, ", ")), Remedy: esc(f.Remedy),
		}
		all = append(all, one)
	}
	return all
}

// agreed is an agreed deviation.
type agreed struct {
	Rule, Subject, Reason, Measure, AgreedBy, Date md
}

func deviations(t *technique.Technique) []agreed {
	var all []agreed
	for _, d := range t.Job.Deviations {
		all = append(all, agreed{
			Rule: esc(d.Rule), Subject: esc(d.Subject), Reason: esc(strings.TrimSuffix(d.Reason, ".")), Measure: or(esc(strings.TrimSuffix(d.Measure, ".")), notStated),
			AgreedBy: or(esc(d.AgreedBy), notStated), Date: or(esc(d.Date), notStated),
		})
	}
	return all
}

// deviation is the agreed deviation that answers a requirement.
func deviation(t *technique.Technique, r rules.Result) (schema.Deviation, bool) {
	i := slices.IndexFunc(t.Job.Deviations, func(d schema.Deviation) bool {
		return d.Rule == r.Book+"/"+r.Rule && (d.Subject == "" || d.Subject == r.Subject)
	})
	if i < 0 {
		return schema.Deviation{}, false
	}
	return t.Job.Deviations[i], true
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
