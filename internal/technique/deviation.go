package technique

import (
	"fmt"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/schema"
)

// deviate marks the findings that an agreed deviation of the job answers. Any
// deviation that cannot be read as a concession somebody gave, for something
// that is not met here, is a finding itself: the document would print it.
func (s *sheet) deviate() {
	// With errors in the job, rules may be unanswered that would be otherwise.
	broken := s.Job.Partial || slices.ContainsFunc(s.Findings, func(f diag.Finding) bool { return f.Level == diag.Error })
	for i := range s.Job.Deviations {
		d := &s.Job.Deviations[i]
		if d.Rule == "" {
			continue // reported when the job was read
		}
		path := fmt.Sprintf("deviations.%d", i)
		if d.Measure == "" {
			s.advise(path, "deviation-measure", diag.Shall, "the deviation names no measure that takes the requirement's place", d.Rule,
				"measure: what is done instead, to reach the same safety", "write measure under the deviation, and have it agreed")
		}
		used := false
		for j := range s.Findings {
			f := &s.Findings[j]
			if f.Rule == d.Rule && (d.Subject == "" || d.Subject == f.Subject) && (f.Level == diag.Shall || f.Level == diag.Should) {
				f.Deviation = fmt.Sprintf("%s; agreed by %s, %s", strings.TrimSuffix(strings.TrimSpace(d.Reason), "."), d.AgreedBy, d.Date)
				used = true
			}
		}
		if !used && !broken {
			s.idle(path, d)
		}
	}
}

// idle says why a deviation answers nothing.
func (s *sheet) idle(path string, d *schema.Deviation) {
	var ids, subjects, verdicts []string
	for _, r := range s.Rules {
		id := r.Book + "/" + r.Rule
		ids = append(ids, id)
		if id != d.Rule {
			continue
		}
		subjects = append(subjects, r.Subject)
		if verdict := verdictText(r); !slices.Contains(verdicts, verdict) && (d.Subject == "" || d.Subject == r.Subject) {
			verdicts = append(verdicts, verdict)
		}
	}
	switch {
	case subjects == nil:
		s.advise(path+".rule", "deviation-unknown-rule", diag.Shall, "no rule of the books that this job names has this id", d.Rule,
			"the id of a rule that is not met, as check prints it in brackets", suggestion(d.Rule, ids, "remove the deviation, or correct the id"))
	case d.Subject != "" && !slices.Contains(subjects, d.Subject):
		limit := "no subject: the rule is asked once"
		if subjects = slices.DeleteFunc(subjects, func(name string) bool { return name == "" }); len(subjects) > 0 {
			limit = "one of " + strings.Join(subjects, ", ")
		}
		s.advise(path+".subject", "deviation-unknown-subject", diag.Shall, "the rule is not asked of what the deviation names", d.Subject,
			limit, suggestion(d.Subject, subjects, "correct or remove subject"))
	default:
		s.advise(path+".rule", "idle-deviation", diag.Should, "this deviation answers no open requirement", d.Rule+": "+strings.Join(verdicts, ", "),
			"the id of a rule that is not met, as check prints it in brackets", "remove the deviation, or correct the id")
	}
}

func verdictText(r rules.Result) string {
	if r.Verdict == rules.Confirm {
		return "a point to confirm"
	}
	return string(r.Verdict)
}

func suggestion(word string, names []string, otherwise string) string {
	if near := diag.Nearest(word, names); near != "" {
		return "did you mean " + near + "?"
	}
	return otherwise
}

// advise adds a finding that does not keep the job from being computed with.
func (s *sheet) advise(path, rule string, level diag.Level, message, actual, limit, remedy string) {
	s.Findings = append(s.Findings, diag.Finding{
		Rule: rule, Level: level, At: s.Job.At(path), Path: path, Message: message, Actual: actual, Limit: limit, Remedy: remedy,
	})
}
