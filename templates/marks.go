package templates

import (
	"fmt"
	"regexp"
	"strings"
)

// Mark stands at the beginning of what reads differently from an earlier
// revision, or is new: of a paragraph, an item of a list, a caption, and of the
// first cell of a row. It is one sign for people and for the PDF, where a bar in
// the margin takes its place. A heading has none, since links are made from it;
// one within a caution has, since none lead there.
const Mark = "▌"

// piece is what is marked as one: a paragraph, an item, a row, a figure with its
// caption.
type piece struct {
	kind string // text, row or code
	says string // its words, without what only numbers it
	at   int    // line that a mark goes into
	gap  int    // bytes of that line before its words
}

// stretch is what stands between two headings.
type stretch struct {
	path    string // headings down to it, without their numbers
	heading string // numbered one it belongs to: of level 3 or less
	pieces  []piece
}

var (
	lead      = regexp.MustCompile(`^(?:> ?)?\s*(?:- |\d+\. |#+ )?`)
	figureRow = regexp.MustCompile(`^\*Figure \d+`)
	anyNumber = regexp.MustCompile(`^(?:Annex [A-Z]|[A-Z]\.[0-9]+|[0-9]+(?:\.[0-9]+)*) `)
)

// stretches reads the form that tidy leaves. drawn tells a figure's drawing from
// another by the name of its file.
func stretches(lines []string, drawn map[string]string) []stretch {
	all := []stretch{{path: "before the title"}}
	var above [5]string
	seen := map[string]int{}
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		own := &all[len(all)-1]
		switch {
		case line == "" || line == ">" || strings.HasPrefix(line, "<!--"):
		case strings.HasPrefix(line, "#"):
			level := min(len(line)-len(strings.TrimLeft(line, "#")), 4)
			title := strings.TrimSpace(line[level:])
			above[level] = anyNumber.ReplaceAllString(title, "")
			clear(above[level+1:])
			s := stretch{path: strings.Join(above[2:], "\x00"), heading: own.heading}
			if level == 1 {
				s.path = "" // the title may change, and what stands under it goes on
			}
			if level <= 3 {
				s.heading = title
			}
			if seen[s.path]++; seen[s.path] > 1 {
				s.path += fmt.Sprint("\x00", seen[s.path])
			}
			all = append(all, s)
		case strings.HasPrefix(line, "|"):
			if delimiter.MatchString(line) && len(own.pieces) > 0 && own.pieces[len(own.pieces)-1].at == i-1 {
				continue
			}
			own.pieces = append(own.pieces, piece{"row", strings.Join(splitCells(line), "|"), i, 2})
		case strings.HasPrefix(line, "```"):
			from := i
			for i++; i < len(lines) && !strings.HasPrefix(lines[i], "```"); i++ {
			}
			own.pieces = append(own.pieces, piece{kind: "code", says: strings.Join(lines[from:min(i, len(lines))], "\n")})
		default:
			p := piece{kind: "text", at: i, gap: len(lead.FindString(line))}
			words := []string{line[p.gap:]}
			for i+1 < len(lines) && goesOn(line, lines[i+1]) {
				i++
				words = append(words, strings.TrimSpace(strings.TrimPrefix(lines[i], ">")))
			}
			if strings.HasPrefix(line, "![") {
				if _, file, ok := strings.Cut(line, "]("); ok {
					words = append(words, drawn[strings.Trim(file, "<>)")])
				}
				if i+2 < len(lines) && figureRow.MatchString(lines[i+2]) {
					i += 2
					p.at = i
					words = append(words, figureRow.ReplaceAllString(lines[i], ""))
				} else {
					p.kind = "code" // nothing below it can be marked
				}
			}
			p.says = strings.Join(words, "\n")
			own.pieces = append(own.pieces, p)
		}
	}
	return all
}

// goesOn reports whether a line belongs to the piece of the one before.
func goesOn(line, next string) bool {
	if next == "" || next == ">" || strings.HasPrefix(next, "#") || strings.HasPrefix(next, "|") || strings.HasPrefix(next, "<!--") || strings.HasPrefix(next, "```") {
		return false
	}
	quoted := strings.HasPrefix(next, ">")
	if quoted && (strings.Contains(lead.FindString(line), "#") || strings.Contains(lead.FindString(next), "#")) {
		return false
	}
	return quoted == strings.HasPrefix(line, ">") && !startsItem(strings.TrimLeft(strings.TrimPrefix(next, ">"), " "))
}

// touched is a section that reads differently.
type touched struct {
	heading         string
	marked, removed int  // pieces that are new or read differently; that are no longer there
	gone            bool // the whole section
}

// marked marks what reads differently from an earlier text, or is new, and lists
// the sections in which something does. Sections belong together by their
// headings, whatever their numbers; pieces of one by the longest sequence that
// both texts have. What stands under the heading left out is not looked at.
func marked(before, after string, drawnBefore, drawnAfter map[string]string, except string) (string, []touched) {
	lines := strings.Split(after, "\n")
	old := map[string]stretch{}
	oldOnes := stretches(strings.Split(before, "\n"), drawnBefore)
	for _, s := range oldOnes {
		old[s.path] = s
	}
	var list []touched
	note := func(heading string, marked, removed int, gone bool) {
		if marked+removed == 0 && !gone {
			return
		}
		for i := range list {
			if list[i].heading == heading && list[i].gone == gone {
				list[i].marked += marked
				list[i].removed += removed
				return
			}
		}
		list = append(list, touched{heading, marked, removed, gone})
	}
	kept := map[string]bool{}
	headings := map[string]bool{}
	for _, s := range stretches(lines, drawnAfter) {
		kept[s.path], headings[anyNumber.ReplaceAllString(s.heading, "")] = true, true
		if except != "" && s.heading == except {
			continue
		}
		fresh, removed := unlike(old[s.path].pieces, s.pieces)
		for _, i := range fresh {
			p := s.pieces[i]
			if p.kind != "code" {
				lines[p.at] = lines[p.at][:p.gap] + Mark + " " + lines[p.at][p.gap:]
			}
		}
		note(s.heading, len(fresh), removed, false)
	}
	for _, s := range oldOnes {
		if !kept[s.path] {
			note(s.heading, 0, len(s.pieces), !headings[anyNumber.ReplaceAllString(s.heading, "")])
		}
	}
	return realigned(lines), list
}

// mostCompared bounds the room that comparing two stretches takes. Where they are
// longer, and begin differently, all is marked: too much rather than too little.
const mostCompared = 1 << 23

// unlike lists the pieces of the later list that are not in the longest
// sequence common to both, and counts those of the earlier one that nothing took
// the place of.
func unlike(before, after []piece) (fresh []int, removed int) {
	same := func(i, j int) bool { return before[i].kind == after[j].kind && before[i].says == after[j].says }
	first := 0
	for first < min(len(before), len(after)) && same(first, first) {
		first++
	}
	if first > 0 {
		fresh, removed = unlike(before[first:], after[first:])
		for i := range fresh {
			fresh[i] += first
		}
		return fresh, removed
	}
	if len(before)*len(after) > mostCompared {
		for j := range after {
			fresh = append(fresh, j)
		}
		return fresh, max(len(before)-len(after), 0)
	}
	length := make([][]int, len(before)+1) // of the sequence common to the rest of both
	for i := range length {
		length[i] = make([]int, len(after)+1)
	}
	for i := len(before) - 1; i >= 0; i-- {
		for j := len(after) - 1; j >= 0; j-- {
			if same(i, j) {
				length[i][j] = length[i+1][j+1] + 1
			} else {
				length[i][j] = max(length[i+1][j], length[i][j+1])
			}
		}
	}
	i, j, lost, found := 0, 0, 0, 0
	settle := func() {
		removed += max(lost-found, 0)
		lost, found = 0, 0
	}
	for i < len(before) || j < len(after) {
		switch {
		case i < len(before) && j < len(after) && same(i, j):
			settle()
			i, j = i+1, j+1
		case j == len(after) || i < len(before) && length[i+1][j] >= length[i][j+1]:
			i, lost = i+1, lost+1
		default:
			fresh = append(fresh, j)
			j, found = j+1, found+1
		}
	}
	settle()
	return fresh, removed
}

// realigned puts the columns of tables in line again.
func realigned(lines []string) string {
	var out []string
	for i := 0; i < len(lines); {
		if !strings.HasPrefix(lines[i], "|") {
			out = append(out, lines[i])
			i++
			continue
		}
		end := i
		for end < len(lines) && strings.HasPrefix(lines[end], "|") {
			end++
		}
		rows, err := align(lines[i:end])
		if err != nil {
			rows = lines[i:end] // the text was in order before the marks
		}
		out = append(out, rows...)
		i = end
	}
	return strings.Join(out, "\n")
}
