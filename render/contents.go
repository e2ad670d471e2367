package render

import (
	"regexp"
	"strconv"
	"strings"
)

// sectionNumber is the number that a heading begins with.
var sectionNumber = regexp.MustCompile(`^((?:\d+|[A-Z])(?:\.\d+)*)\.?\s+(.+)$`)

// Lines of the contents, and the gap between their two columns, in millimetres.
const contentsLead, contentsGutter = 4.9, 8.0

func (contents) start(*layout) float64 { return 3 * contentsLead }

// place sets the table of contents: the sections and subsections, but not the
// document's title, nor the heading over the contents itself. It stands in two
// columns, so that it is seen at a glance.
func (contents) place(l *layout) {
	own := 0 // headings placed so far: the last of them is the one over the contents
	for _, p := range l.pages {
		own += len(p.marks)
	}
	var entries []heading
	for _, h := range l.headings {
		if (h.level == 2 || h.level == 3) && h.index != own-1 {
			entries = append(entries, h)
		}
	}
	defer l.begin("TOC")()
	left, right := l.left, l.right
	column := (right - left - contentsGutter) / 2
	for len(entries) > 0 {
		l.require(2 * contentsLead)
		take := min(len(entries), 2*int(l.room()/contentsLead))
		half := (take + 1) / 2
		if half < take && entries[half-1].level == 2 && entries[half].level == 3 {
			half-- // a chapter does not stand apart from its first section
			take = min(take, half+int(l.room()/contentsLead))
		}
		top := l.y
		for i, h := range entries[:take] {
			if i == half {
				l.y, l.left = top, left+column+contentsGutter
			}
			l.right = l.left + column
			l.entry(h)
		}
		l.y, l.left, l.right = top+float64(max(half, take-half))*contentsLead, left, right
		if entries = entries[take:]; len(entries) > 0 {
			l.newPage()
		}
	}
	l.y += bodyGap
}

// entry sets one line of the contents, with dots that lead to the page number.
func (l *layout) entry(h heading) {
	defer l.begin("TOCI")()
	defer l.begin("Reference")()
	defer l.begin("Link")()
	const numberWidth, size = 8.0, 8.5
	x, s := l.left, bold
	if h.level == 3 {
		x, s = x+numberWidth, regular
	}
	y := l.y + baseline(size, contentsLead)
	p := l.page()
	begin := x
	title := plain(h.spans)
	if m := sectionNumber.FindStringSubmatch(title); m != nil {
		w := l.text(p, m[1], x, y, s, size, alignLeft)
		x += max(numberWidth, w+2)
		title = m[2]
	}
	number := strconv.Itoa(l.known[h.anchor])
	end := l.right - l.typeface.width(number, regular, size)
	x += l.text(p, l.shorten(title, s, size, end-x-2), x, y, s, size, alignLeft)
	l.text(p, number, l.right, y, regular, size, alignRight)

	const pitch = 1.7
	from, to := x+1.5, l.right-8
	if first := int(from/pitch) + 1; float64(first)*pitch < to {
		// Dots stand on one grid, so that they line up from entry to entry.
		dots := strings.Repeat(".", int((to-float64(first)*pitch)/pitch)+1)
		for i := range dots {
			at := float64(first+i) * pitch
			p.rects = append(p.rects, placedRect{at, y - 0.25, 0.25, 0.25, grey(0x70)})
		}
	}
	p.links = append(p.links, placedLink{begin, l.y, l.right - begin, contentsLead, "#" + h.anchor, plain(h.spans), l.part})
	l.y += contentsLead
}

// shorten cuts text that is wider than width, and shows that it did.
func (l *layout) shorten(text string, s style, size, width float64) string {
	text = l.clean(text, s)
	if l.typeface.width(text, s, size) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && l.typeface.width(string(runes)+"…", s, size) > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + "…"
}

// furnish adds what stands on every page: the running header and the footer.
func (l *layout) furnish() {
	const size, ruleWidth = 8.0, 0.2
	left, right := l.sheet.left, l.sheet.width-l.sheet.right
	for i, p := range l.pages {
		body, y := len(p.texts), 16.0
		number := l.shorten(l.doc.Number, bold, size, 0.45*(right-left))
		if l.doc.Revision != "" {
			number += l.shorten(" · "+l.tongue.Say("revision")+" "+l.doc.Revision, bold, size, 0.2*(right-left))
		}
		nw := l.text(p, number, left, y, bold, size, alignLeft)
		status := l.tongue.Say(l.doc.Status)
		if l.doc.Draft {
			status = l.tongue.Say("DRAFT")
		}
		sw := l.text(p, status, right, y, bold, size, alignRight)
		title := l.shorten(l.doc.Title, regular, size, right-left-nw-sw-12)
		l.text(p, title, left+nw+6, y, regular, size, alignLeft)
		p.repeats(body, "Header")
		p.rules = append(p.rules, placedRule{left, y + 2, right, y + 2, ruleWidth, black()})

		body, y = len(p.texts), l.sheet.height-13
		p.rules = append(p.rules, placedRule{left, y - 4, right, y - 4, ruleWidth, black()})
		l.text(p, l.doc.Date, left, y, regular, size, alignLeft)
		l.text(p, l.tongue.Say("page "+strconv.Itoa(i+1)+" of "+strconv.Itoa(len(l.pages))), right, y, regular, size, alignRight)
		p.repeats(body, "Footer")
	}
}

// repeats says of the texts from one on what they are on every page.
func (p *page) repeats(from int, what string) {
	for i := range p.texts[from:] {
		p.texts[from+i].every = what
	}
}
