package render

import (
	"math"
	"strconv"

	"soundwrit/internal/archive"
)

func (h heading) lines(l *layout) []textLine {
	spans := make([]span, len(h.spans))
	for i, s := range h.spans {
		s.bold = true
		spans[i] = s
	}
	return l.measure(spans, headingOf(h.level).size).lines(l.width())
}

func (h heading) start(l *layout) float64 {
	s := headingOf(h.level)
	return l.gap(s.before) + float64(len(h.lines(l)))*s.leading + l.gap(s.after)
}

func (h heading) place(l *layout) {
	s := headingOf(h.level)
	l.space(l.gap(s.before))
	if h.level == 1 && h.index == 0 {
		// The title of the document stands under a bar.
		l.page().rules = append(l.page().rules, placedRule{l.left, l.y + 0.6, l.right, l.y + 0.6, 1.2, accent()})
		l.y += 2 * l.gap(s.before)
	}
	l.page().marks = append(l.page().marks, mark{h.anchor, plain(h.spans), h.level, l.y})
	l.found[h.anchor] = len(l.pages)
	l.section = plain(h.spans)
	defer l.begin(l.headingRole(h.level))()
	bar := l.beside(h.changed)
	l.set(h.lines(l), format{s.size, s.leading, alignLeft, black()})
	bar()
	l.y += l.gap(s.after)
}

func (l *layout) bodyLines(p paragraph) []textLine {
	return l.measure(p.spans, l.at(bodySize)).lines(l.width())
}

func (p paragraph) start(l *layout) float64 {
	n := len(l.bodyLines(p))
	if n > 3 {
		n = 2 // three lines are not divided, since one would stand alone
	}
	return float64(n) * l.lead(bodyLeading)
}

func (p paragraph) place(l *layout) {
	defer l.begin("P")()
	bar := l.beside(p.changed)
	l.set(l.bodyLines(p), format{l.at(bodySize), l.lead(bodyLeading), alignLeft, black()})
	bar()
	l.y += l.after()
}

func (li list) start(l *layout) float64 {
	if len(li.items) == 0 || len(li.items[0]) == 0 {
		return l.lead(bodyLeading)
	}
	l.left += listIndent
	defer func() { l.left -= listIndent }()
	return li.items[0][0].start(l)
}

func (li list) place(l *layout) {
	outer := l.tight
	l.tight = li.tight
	defer l.begin("L")()
	indent := listIndent
	if li.ordered {
		last := strconv.Itoa(li.first+len(li.items)-1) + "."
		indent = max(indent, l.typeface.width(last, regular, l.at(bodySize))+2)
	}
	for i, item := range li.items {
		l.left += indent
		if len(item) > 0 {
			l.require(item[0].start(l))
		}
		leaveItem := l.begin("LI")
		leaveLabel := l.begin("Lbl")
		y := l.y + baseline(l.at(bodySize), l.lead(bodyLeading))
		if li.ordered {
			l.text(l.page(), strconv.Itoa(li.first+i)+".", l.left-indent, y, regular, l.at(bodySize), alignLeft)
		} else {
			l.text(l.page(), "•", l.left-indent+1.5, y, regular, l.at(bodySize), alignLeft)
		}
		leaveLabel()
		if len(item) == 0 {
			l.y += l.lead(bodyLeading)
		}
		leaveBody := l.begin("LBody")
		l.flow(item)
		leaveBody()
		leaveItem()
		l.left -= indent
	}
	l.tight = outer
	if li.tight {
		l.y += l.after() - l.gap(tightGap)
	}
}

func (q quote) start(l *layout) float64 {
	if len(q.blocks) == 0 {
		return 0
	}
	l.left += quoteIndent
	defer func() { l.left -= quoteIndent }()
	return q.blocks[0].start(l) + 1
}

// place sets a caution: indented, with a rule at its left on every page it
// covers.
func (q quote) place(l *layout) {
	defer l.begin("Div")()
	first, top := len(l.pages), l.y
	l.y += 0.8
	l.left += quoteIndent
	if len(q.blocks) > 0 && !l.atTop() {
		if h, ok := q.blocks[0].(heading); ok {
			l.y -= l.gap(headingOf(h.level).before) // the bar begins at its heading
		}
	}
	l.flow(q.blocks)
	l.left -= quoteIndent
	l.y -= l.gap(bodyGap) - 0.8
	for i := first; i <= len(l.pages); i++ {
		p := l.pages[i-1]
		from, to := p.begin, p.end
		if i == first {
			from = top
		}
		if i == len(l.pages) {
			to = l.y
		}
		p.rules = append(p.rules, placedRule{l.left + 1, from, l.left + 1, min(to, l.sheet.foot()), 0.9, accent()})
	}
	l.y += l.gap(bodyGap) + 0.8
}

func (c listing) broken(l *layout) []textLine {
	var out []textLine
	for _, text := range c.lines {
		lines := l.measure([]span{{text: text, code: true}}, listingSize).lines(l.width() - 4)
		if len(lines) == 0 {
			lines = []textLine{{}}
		}
		out = append(out, lines...)
	}
	return out
}

func (c listing) start(l *layout) float64 {
	return float64(min(len(c.lines), 3))*listingLead + 2
}

func (c listing) place(l *layout) {
	defer l.begin("P")()
	f := format{listingSize, listingLead, alignLeft, black()}
	for _, line := range c.broken(l) {
		l.require(f.leading)
		l.page().rects = append(l.page().rects, placedRect{l.left, l.y, l.width(), f.leading, grey(0xF2)})
		l.setLine(line, l.left+2, l.width()-4, l.y, f)
		l.y += f.leading
	}
	l.y += l.after()
}

func (pageBreak) start(*layout) float64 { return 0 }

func (pageBreak) place(l *layout) {
	l.breakPage()
}

func (p picture) size(l *layout) (figure Figure, caption []textLine, height float64) {
	figure, ok := l.figures[p.name]
	if !ok {
		l.fail("the document's Markdown, line %d: there is no figure named %q", p.line, p.name)
	}
	caption = l.measure(p.caption, captionSize).lines(l.width())
	height = figureMargin + figure.Drawing.height + figureMargin + float64(len(caption))*captionLead
	return figure, caption, height
}

func (p picture) start(l *layout) float64 {
	_, _, height := p.size(l)
	return height
}

// place sets a figure with its caption on one page. A figure is never scaled,
// since it states its scale.
func (p picture) place(l *layout) {
	l.require(p.start(l))
	p.set(l, l.part.Add("Div"))
}

// heldPicture is a figure that waits, and its place in the structure.
type heldPicture struct {
	picture
	part *archive.Element
}

// set sets the figure here. The caption stands beside it in the structure, since
// what a figure holds is not read where there is a text in its stead.
func (p picture) set(l *layout, part *archive.Element) {
	figure, caption, height := p.size(l)
	if w, most := figure.Drawing.width, l.width(); w > most+1e-6 {
		l.fail("figure %s is %.0f mm wide, and the page has %.0f mm", p.name, math.Ceil(w), math.Floor(most))
	}
	if most := l.sheet.foot() - l.sheet.top; height > most {
		l.fail("figure %s with its caption is %.0f mm high, and the page has %.0f mm", p.name, math.Ceil(height), math.Floor(most))
	}
	bar := l.beside(p.changed)
	l.y += figureMargin
	shown := part.Add("Figure")
	if shown.Alt = p.alt; shown.Alt == "" {
		shown.Alt = figure.Alt
	}
	l.page().figures = append(l.page().figures, placedFigure{l.markAlone(shown), l.left + (l.width()-figure.Drawing.width)/2, l.y, figure})
	l.y += figure.Drawing.height + figureMargin
	defer l.under(part.Add("Caption"))()
	for _, line := range caption {
		l.setLine(line, l.left, l.width(), l.y, format{captionSize, captionLead, alignLeft, black()})
		l.y += captionLead
	}
	bar()
	l.y += l.gap(bodyGap)
}
