package technique

import "soundwrit/internal/rules"

// Judged is the verdict of one acceptance code of the job on an indication.
type Judged struct {
	Code  string // "ISO 19285:2017"
	Level string // acceptance level, where the code has them
	rules.Judgement
}

// judgeOf is an acceptance book with what it needs to judge an indication.
type judgeOf struct {
	book  *rules.Book
	level string
	inch  bool
}

// Judge holds an indication in this part against each acceptance code of the
// job. Each speaks for itself; where several are named, all must accept.
func (t *Technique) Judge(n rules.Indication) []Judged {
	var all []Judged
	for _, j := range t.judges {
		all = append(all, Judged{j.book.Cite(), j.level, j.book.Judge(n, t.Job.Part.Thickness, j.level, j.inch)})
	}
	return all
}
