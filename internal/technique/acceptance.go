package technique

import (
	"soundwrit/internal/rules"
)

// AcceptanceTable is a table of an acceptance code, worked out for the part.
type AcceptanceTable struct {
	Title, Code, Clause, Sure string
	Head                      []string
	Rows                      [][]string
	Slender                   SlenderTable
	Notes                     []string
}

// SlenderTable is the limits by slenderness, where the code has such; else it
// has no rows.
type SlenderTable struct {
	Head []string
	Rows [][]string
}

// accept works out the acceptance table of a book for the part. A kind of limit
// that none of its rows has gets no column.
func (s *sheet) accept(book *rules.Book, level string) {
	rows, notes := book.Acceptance(s.Job.Part.Thickness, level, s.inch)
	t := AcceptanceTable{Title: book.Title, Code: book.Cite(), Slender: slender(rows), Notes: notes}
	columns := []struct {
		head string
		text func(rules.AcceptanceRow) string
	}{
		{"indication", func(r rules.AcceptanceRow) string { return r.Class }},
		{"longest accepted", func(r rules.AcceptanceRow) string { return r.Text.Length }},
		{"highest accepted", func(r rules.AcceptanceRow) string { return r.Text.Height }},
		{"echo accepted up to", func(r rules.AcceptanceRow) string { return r.Text.Amplitude }},
		{"recorded above", func(r rules.AcceptanceRow) string { return r.Text.Record }},
		{"verdict", func(r rules.AcceptanceRow) string { return r.Verdict }},
		{"clause", func(r rules.AcceptanceRow) string { return r.Clause }},
		{"how sure", func(r rules.AcceptanceRow) string { return r.Sure }},
	}
	t.Rows = make([][]string, len(rows))
	for _, c := range columns {
		used := false
		for _, r := range rows {
			used = used || c.text(r) != ""
		}
		if !used {
			continue
		}
		t.Head = append(t.Head, c.head)
		for i, r := range rows {
			t.Rows[i] = append(t.Rows[i], dash(c.text(r)))
		}
	}
	for _, r := range rows {
		t.Clause, t.Sure = r.Clause, r.Sure
	}
	s.Acceptance = append(s.Acceptance, t)
	s.judges = append(s.judges, judgeOf{book, level, s.inch})
}

func dash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}

// slender lays the limits by slenderness of all rows side by side. Rows of one
// book have the same steps of slenderness, or only the first has a table.
func slender(rows []rules.AcceptanceRow) SlenderTable {
	t := SlenderTable{Head: []string{"slenderness a/l"}}
	for _, r := range rows {
		if r.Aspects == nil || len(t.Rows) > 0 && len(t.Rows) != len(r.Aspects) {
			continue
		}
		t.Head = append(t.Head, r.Class+": a/t", "highest accepted", "at the length of")
		for i, l := range r.Aspects {
			if i == len(t.Rows) {
				t.Rows = append(t.Rows, []string{l.Text.Aspect})
			}
			t.Rows[i] = append(t.Rows[i], l.Text.Share, l.Text.Height, dash(l.Text.Length))
		}
	}
	return t
}
