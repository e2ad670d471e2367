package templates

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// tidy puts what the templates wrote into the form in which the document is
// kept: no trailing blanks, one empty line between blocks, none between the
// items of a list, tables in aligned columns. A template may therefore use
// conditions and loops in a table or list without care for the lines they
// leave empty.
func tidy(text string) (string, error) {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = strings.TrimRightFunc(lines[i], unicode.IsSpace)
	}
	var out []string
	blank := func() {
		if len(out) > 0 && out[len(out)-1] != "" {
			out = append(out, "")
		}
	}
	heading, apart := "", false
	var shared []string // rows that wait for the table below
	for i := 0; i < len(lines); {
		line := lines[i]
		switch {
		case strings.HasPrefix(line, "|"):
			var rows []string
			rows, i = tableRows(lines, i)
			if apart {
				rows, shared = sharedApart(rows)
				apart = false
			} else if len(rows) > 1 {
				rows = slices.Concat(rows[:2], shared, rows[2:])
				shared = nil
			}
			aligned, err := align(rows)
			if err != nil {
				return "", fmt.Errorf("table under %q: %w", heading, err)
			}
			blank()
			out = append(out, aligned...)
			out = append(out, "")
			continue
		case line == sharedNext:
			apart = true
		case line == "":
			if !(len(out) > 0 && inItem(out[len(out)-1]) && startsItem(next(lines, i))) {
				blank()
			}
		case strings.HasPrefix(line, "#"):
			heading = line
			blank()
			out = append(out, line, "")
		default:
			out = append(out, line)
		}
		i++
	}
	if len(shared) > 0 {
		return "", fmt.Errorf("under %q: no table follows for what the columns of a table share", heading)
	}
	return strings.Trim(strings.Join(out, "\n"), "\n") + "\n", nil
}

var item = regexp.MustCompile(`^(- |\d+\. )`)

func startsItem(line string) bool { return item.MatchString(line) }

func inItem(line string) bool { return startsItem(line) || strings.HasPrefix(line, "  ") }

// next returns the first line from i on that is not empty.
func next(lines []string, i int) string {
	for ; i < len(lines); i++ {
		if lines[i] != "" {
			return lines[i]
		}
	}
	return ""
}

// tableRows gathers the rows of the table that begins at line i, over empty
// lines, up to the head of another table.
func tableRows(lines []string, i int) (rows []string, end int) {
	for i < len(lines) {
		if strings.HasPrefix(lines[i], "|") {
			rows = append(rows, lines[i])
			i++
			continue
		}
		j := i
		for j < len(lines) && lines[j] == "" {
			j++
		}
		another := j+1 < len(lines) && delimiter.MatchString(lines[j+1])
		if j == i || j == len(lines) || !strings.HasPrefix(lines[j], "|") || another {
			break
		}
		i = j
	}
	return rows, i
}

// sharedNext is the comment before a table whose columns are compared: what they
// all say alike goes into the table of items and values that follows.
const sharedNext = "<!-- shared -->"

// sharedApart takes the rows that say the same in each of several columns out of
// a table, so that what differs is seen. Bold ones stay, since these are looked
// for by column.
func sharedApart(rows []string) (own, shared []string) {
	own = rows[:min(2, len(rows)):2]
	for _, row := range rows[len(own):] {
		cells := splitCells(row)
		alike := len(cells) > 2 && !strings.HasPrefix(cells[1], "**")
		for _, c := range cells[min(2, len(cells)):] {
			alike = alike && c == cells[1]
		}
		if alike {
			shared = append(shared, "| "+cells[0]+" | "+cells[1]+" |")
		} else {
			own = append(own, row)
		}
	}
	return own, shared
}

var delimiter = regexp.MustCompile(`^\|( *:?-+:? *\|)+$`)

// widest is the width up to which a column is padded. A wider one is left
// ragged, since a changed cell would change every line of the table.
const widest = 28

// align pads the columns of a table. It refuses a table whose rows differ in
// their number of cells, or that has none.
func align(rows []string) ([]string, error) {
	if len(rows) < 2 || !delimiter.MatchString(rows[1]) {
		return nil, fmt.Errorf("the second line is no row of dashes")
	}
	if len(rows) == 2 {
		return nil, fmt.Errorf("it has a head and no rows")
	}
	cells := make([][]string, len(rows))
	for i, row := range rows {
		cells[i] = splitCells(row)
		if len(cells[i]) != len(cells[0]) {
			return nil, fmt.Errorf("the head has %d cells, this row has %d: %s", len(cells[0]), len(cells[i]), row)
		}
	}
	for j := range cells[0] {
		unitInHead(cells, j)
	}
	var width []int
	for i := range cells {
		for j, c := range cells[i] {
			if i == 0 {
				width = append(width, 3)
			}
			if n := utf8.RuneCountInString(c); i != 1 && n <= widest {
				width[j] = max(width[j], n)
			}
		}
	}
	out := make([]string, len(rows))
	for i := range cells {
		var b strings.Builder
		for j, c := range cells[i] {
			pad := max(0, width[j]-utf8.RuneCountInString(c))
			right := strings.HasSuffix(cells[1][j], ":")
			switch {
			case i == 1 && right:
				c = strings.Repeat("-", width[j]-1) + ":"
			case i == 1:
				c = strings.Repeat("-", width[j])
			case right:
				c = strings.Repeat(" ", pad) + c
			default:
				c += strings.Repeat(" ", pad)
			}
			b.WriteString("| " + c + " ")
		}
		out[i] = b.String() + "|"
	}
	return out, nil
}

// measure is a number with its unit, and nothing else.
var measure = regexp.MustCompile(`^([−+-]?[0-9]+(?:[.,][0-9]+)?) ?(°|%|[a-zA-Zµ²/]+)$`)

// unitInHead moves the unit of a column of numbers into its head, where all rows
// have the same. A dash has none.
func unitInHead(cells [][]string, column int) {
	if !strings.HasSuffix(cells[1][column], ":") || cells[0][column] == "" {
		return
	}
	unit, numbers := "", 0
	for _, row := range cells[2:] {
		m := measure.FindStringSubmatch(row[column])
		switch {
		case m == nil && row[column] == "–":
		case m == nil || unit != "" && m[2] != unit:
			return
		default:
			unit, numbers = m[2], numbers+1
		}
	}
	if numbers < 2 {
		return
	}
	cells[0][column] += ", " + unit
	for _, row := range cells[2:] {
		if m := measure.FindStringSubmatch(row[column]); m != nil {
			row[column] = m[1]
		}
	}
}

// splitCells cuts a row at the bars that are not escaped.
func splitCells(row string) []string {
	row = strings.TrimSuffix(strings.TrimPrefix(row, "|"), "|")
	var cells []string
	from, escaped := 0, false
	for i := 0; i < len(row); i++ {
		switch {
		case escaped:
			escaped = false
		case row[i] == '\\':
			escaped = true
		case row[i] == '|':
			cells = append(cells, strings.TrimSpace(row[from:i]))
			from = i + 1
		}
	}
	return append(cells, strings.TrimSpace(row[from:]))
}

var (
	headingLine = regexp.MustCompile(`(?m)^#{1,4} (.+)$`)
	numbered    = regexp.MustCompile(`^(?:([0-9]+(?:\.[0-9]+)*)|(?:Annex|Anhang) ([A-Z])|([A-Z]\.[0-9]+)) `)
	sectionLink = regexp.MustCompile(`\[([^\]]*)\]\(#section:([0-9A-Z.]+)(\??)\)`)
)

// link turns references to a section's number into links to its heading. A
// reference with a question mark falls back to the section above, and to plain
// text: it comes from a rule book, which may name a section this document does
// not have. In a part of the document a reference to the rest says so.
func link(text string, part bool, tongue *Tongue) (string, error) {
	anchors, seen := map[string]string{}, map[string]int{}
	for _, m := range headingLine.FindAllStringSubmatch(text, -1) {
		a := anchor(strings.TrimSpace(m[1]))
		n := seen[a]
		seen[a]++
		if n > 0 {
			a = fmt.Sprintf("%s-%d", a, n)
		}
		if id := numbered.FindStringSubmatch(m[1]); id != nil {
			anchors[id[1]+id[2]+id[3]] = a
		}
	}
	var missing error
	text = sectionLink.ReplaceAllStringFunc(text, func(s string) string {
		m := sectionLink.FindStringSubmatch(s)
		for id := m[2]; ; {
			if a, ok := anchors[id]; ok {
				if m[3] != "" {
					return fmt.Sprintf("[%s](#%s)", id, a)
				}
				return fmt.Sprintf("[%s](#%s)", m[1], a)
			}
			i := strings.LastIndexByte(id, '.')
			if m[3] == "" && part {
				return tongue.Say(m[1] + " of the technique")
			}
			if m[3] == "" {
				missing = fmt.Errorf("the text refers to %s, which the document does not have", sectionName(id))
				return m[1]
			}
			if i < 0 {
				return m[1]
			}
			id = id[:i]
		}
	})
	return text, missing
}

// sectionName is how the text calls a section: "section 9.1", "annex A".
func sectionName(id string) string {
	if id != "" && id[0] >= 'A' {
		return "annex " + id
	}
	return "section " + id
}

// anchor is the name by which a heading is linked: its text in small letters,
// hyphens for spaces, without punctuation.
func anchor(heading string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.ReplaceAll(heading, `\`, "")) {
		switch {
		case r == ' ':
			b.WriteByte('-')
		case r == '-' || r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r):
			b.WriteRune(r)
		}
	}
	return b.String()
}
