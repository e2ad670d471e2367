package revision

import (
	"regexp"
	"strings"
)

var heading = regexp.MustCompile(`^(#{1,4}) (.+)$`)

// Sections lists the headings of a document, in its order, under which two
// versions of it read differently, then those that are gone. A heading speaks
// for what stands directly under it, down to the next heading of any rank.
func Sections(before, after string) []string {
	old, oldOrder := split(before)
	now, order := split(after)
	var list []string
	for _, h := range order {
		if text, ok := old[h]; !ok || text != now[h] {
			list = append(list, h)
		}
	}
	for _, h := range oldOrder {
		if _, ok := now[h]; !ok {
			list = append(list, h+" (gone)")
		}
	}
	return list
}

// split cuts a Markdown document at its headings. Headings that repeat, as those
// within groups do, are told apart by the numbered one above them.
func split(text string) (under map[string]string, order []string) {
	under = map[string]string{}
	var body strings.Builder
	name, above := "", ""
	end := func() {
		if name != "" {
			if _, ok := under[name]; !ok {
				order = append(order, name)
			}
			under[name] += body.String()
		}
		body.Reset()
	}
	for line := range strings.Lines(text) {
		m := heading.FindStringSubmatch(strings.TrimRight(line, "\r\n"))
		if m == nil {
			body.WriteString(line)
			continue
		}
		end()
		if len(m[1]) <= 3 {
			above, name = m[2], m[2]
		} else {
			name = above + ": " + m[2]
		}
	}
	end()
	return under, order
}
