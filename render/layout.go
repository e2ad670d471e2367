package render

import (
	"fmt"
	"maps"
	"strings"

	"soundwrit/internal/archive"
	"soundwrit/templates"
)

// Measures of the text, in millimetres; sizes of type in points.
const (
	bodySize     = 9.4
	bodyLeading  = 4.5
	bodyGap      = 2.3 // after a paragraph
	tightGap     = 0.7 // after an item of a close list
	captionSize  = 8.5
	captionLead  = 4.2
	listIndent   = 6.0
	quoteIndent  = 5.0
	listingSize  = 9.0 // before monoScale
	listingLead  = 4.3
	introLimit   = 6 // a paragraph of more lines is not kept with what it introduces
	figureMargin = 2.0
)

// headingStyle is how a level of heading is set.
type headingStyle struct{ size, leading, before, after float64 }

func headingOf(level int) headingStyle {
	switch level {
	case 1:
		return headingStyle{17, 7.8, 3.4, 3}
	case 2:
		return headingStyle{13.5, 6.2, 6.5, 2.4}
	case 3:
		return headingStyle{11, 5.2, 4.5, 1.8}
	}
	return headingStyle{9.5, 4.75, 3.5, 1.2}
}

// layout places blocks on pages, from top to bottom.
type layout struct {
	*typeface
	doc     Document
	tongue  *templates.Tongue
	sheet   sheet
	figures map[string]Figure

	pages       []*page
	y           float64 // where the next thing begins
	left, right float64 // the column that is filled
	tight       bool    // inside a close list
	density     density
	held        *heldPicture // a figure that waits for the top of the next page
	fits        map[*table]*tableFit

	part    *archive.Element // that is filled; nil for what stands on every page
	level   int              // of the heading before, in the structure
	section string           // the heading before

	closeness closeness
	stretch   int // that is filled, counted from 0

	headings []heading
	found    map[string]int // page of each anchor, of this pass
	known    map[string]int // the same of the pass before
	err      error
}

// layOut places the blocks. Page numbers in the contents and in tables are known
// only after a pass, and may change the next, so it repeats until they agree.
//
// It returns the pages, and the structure that what is on them belongs to.
func layOut(blocks []block, doc Document, s sheet, t *typeface) ([]*page, *archive.Element, error) {
	figures := map[string]Figure{}
	for _, f := range doc.Figures {
		if err := f.Drawing.check(); err != nil {
			return nil, nil, fmt.Errorf("figure %s cannot be drawn: %w", f.Name, err)
		}
		figures[f.Name] = f
	}
	base := layout{typeface: t, doc: doc, tongue: templates.Language(doc.Language), sheet: s, figures: figures, headings: headingsIn(blocks),
		left: s.left, right: s.width - s.right, density: usual(), closeness: closeness{}, fits: map[*table]*tableFit{}}
	blocks = base.pairUp(blocks)
	l, structure := base.settled(blocks, nil)
	for l.err == nil && base.closeness.closer(l.pages, s) {
		l, structure = base.settled(blocks, l.found)
	}
	if l.err != nil {
		return nil, nil, l.err
	}
	l.part = nil
	l.furnish()
	return l.pages, structure, nil
}

// settled places the blocks until page numbers agree with those of the pass
// before, which begins with those given.
func (base layout) settled(blocks []block, known map[string]int) (*layout, *archive.Element) {
	for range 6 {
		l, structure := base, newStructure()
		l.known, l.found, l.fits, l.part = known, map[string]int{}, map[*table]*tableFit{}, structure
		l.newPage()
		l.flow(blocks)
		l.release()
		l.page().last, l.page().end = true, min(l.y, l.sheet.foot())
		l.checkLinks()
		if l.err != nil || maps.Equal(l.found, known) {
			return &l, structure
		}
		known = l.found
	}
	base.fail("page numbers do not settle: the page references in the tables push each other from page to page; shorten a table that refers to sections")
	return &base, nil
}

func headingsIn(blocks []block) []heading {
	var all []heading
	for _, b := range blocks {
		switch b := b.(type) {
		case heading:
			all = append(all, b)
		case sheetOfOne:
			all = append(all, headingsIn(b.blocks)...)
		}
	}
	return all
}

func (l *layout) fail(format string, args ...any) {
	if l.err == nil {
		l.err = fmt.Errorf(format, args...)
	}
}

func (l *layout) page() *page { return l.pages[len(l.pages)-1] }

func (l *layout) width() float64 { return l.right - l.left }

func (l *layout) newPage() {
	if len(l.pages) > 0 {
		l.page().end = min(l.y, l.sheet.foot())
	}
	l.pages = append(l.pages, &page{begin: l.sheet.top})
	l.y = l.sheet.top
	if figure := l.held; figure != nil {
		l.held = nil
		left := l.left
		l.left = l.sheet.left // the page may have been turned inside a list
		figure.set(l, figure.part)
		l.left = left
		l.page().begin = l.y
	}
}

// release places a figure that is held, before something that must not come
// before it.
func (l *layout) release() {
	if l.held != nil {
		l.newPage()
	}
}

func (l *layout) atTop() bool { return l.y <= l.sheet.top+1e-9 }

// room is the height left on the page.
func (l *layout) room() float64 { return l.sheet.foot() - l.y + 1e-6 }

// require begins a new page if the height is not left on this one.
func (l *layout) require(height float64) {
	if height > max(l.room(), 0) && !l.atTop() {
		l.newPage()
	}
}

// space leaves a gap, but none at the top of a page.
func (l *layout) space(height float64) {
	if !l.atTop() {
		l.y += height
	}
}

// flow places blocks one below the other. What leads on to the next block, a
// heading or an introducing paragraph, stays on the page of its beginning. A
// figure that does not fit leaves no gap: it goes to the top of the next page,
// and the text after it fills this one, as far as the chapter reaches.
func (l *layout) flow(blocks []block) {
	for i, b := range blocks {
		switch b := b.(type) {
		case picture:
			l.release()
			if _, _, height := b.size(l); height > l.room() && !l.atTop() && l.left == l.sheet.left {
				// To who hears the document read, it stands where it is
				// written.
				l.held = &heldPicture{b, l.part.Add("Div")}
				continue
			}
		case heading:
			if b.level <= 2 {
				l.release()
			}
		case pageBreak, contents, sheetOfOne:
			l.release()
		}
		need, j := 0.0, i
		for ; j < len(blocks)-1; j++ {
			height, keeps := l.keeps(blocks, j)
			if !keeps {
				break
			}
			need += height
		}
		if l.held != nil && !l.fitsBelow(need, blocks[j]) {
			l.release()
		}
		l.require(need + blocks[j].start(l))
		if t, ok := b.(*table); ok && l.held != nil && l.endsAbove(t, l.held.picture) {
			figure := l.held
			l.held = nil
			t.place(l)
			figure.set(l, figure.part)
			continue
		}
		b.place(l)
	}
}

// endsAbove reports whether a table ends on the next page with room below it for
// a figure, which then does not part its rows.
func (l *layout) endsAbove(t *table, figure picture) bool {
	end := l.try(t)
	_, _, height := figure.size(l)
	return len(end.pages) == 2 && height <= end.room()
}

// try is where a block would end, placed here.
func (l *layout) try(b block) *layout {
	trial := l.trial(l.page().begin)
	b.place(trial)
	return trial
}

// trial is a layout to place things on without a trace: at the same height, of a
// page whose text begins at one.
func (l *layout) trial(begin float64) *layout {
	trial := *l
	trial.pages, trial.found, trial.held, trial.part = []*page{{begin: begin}}, map[string]int{}, nil, newStructure()
	return &trial
}

// fitsBelow reports whether a list or caution fits on this page below a heading
// of some height: a figure does not come between its parts. Other blocks may go
// on below a figure.
func (l *layout) fitsBelow(height float64, b block) bool {
	switch b.(type) {
	case list, quote:
	default:
		return true
	}
	below := *l
	below.y += height
	return len(below.try(b).pages) == 1
}

// keeps reports whether block i must stay with the one that follows, and its
// full height.
func (l *layout) keeps(blocks []block, i int) (float64, bool) {
	next := blocks[i+1]
	switch b := blocks[i].(type) {
	case heading:
		return b.start(l), true
	case steer:
		return 0, true
	case paragraph:
		var introduces bool
		switch next.(type) {
		case *table, list, listing:
			text := strings.TrimSpace(plain(b.spans))
			introduces = strings.HasSuffix(text, ":") || strings.HasPrefix(text, "Table ") || isCaption(b.spans)
		}
		lines := len(l.bodyLines(b))
		if _, table := next.(*table); table && i > 0 && lines <= 2 {
			// A line between a heading and its table would stand there alone.
			_, headed := blocks[i-1].(heading)
			introduces = introduces || headed
		}
		if introduces && lines <= introLimit {
			return float64(lines)*l.lead(bodyLeading) + l.after(), true
		}
	}
	return 0, false
}

// after is the gap after a paragraph.
func (l *layout) after() float64 {
	if l.tight {
		return l.gap(tightGap)
	}
	return l.gap(bodyGap)
}

// format is how lines are set.
type format struct {
	size, leading float64
	align         align
	colour        colour
}

// set places lines one below the other, over as many pages as they need. A page
// never begins or ends with a single line of several.
func (l *layout) set(lines []textLine, f format) {
	for len(lines) > 0 {
		take := min(int(l.room()/f.leading), len(lines))
		if rest := len(lines) - take; rest > 0 {
			if rest == 1 {
				take--
			}
			if take < 2 {
				take = 0
			}
			if take == 0 && l.atTop() {
				take = 1
			}
		}
		for _, line := range lines[:take] {
			l.setLine(line, l.left, l.width(), l.y, f)
			l.y += f.leading
		}
		if lines = lines[take:]; len(lines) > 0 {
			l.newPage()
		}
	}
}

// The bar beside what is changed, in millimetres: how far from the text, and how
// wide. It stands in the outer margin, since the other is for the binding.
const (
	barGap   = 4.0
	barWidth = 0.9
)

// beside begins what a bar stands beside, if it is changed; the function that it
// returns ends it. Like all rules the bar is no part of what is read aloud.
func (l *layout) beside(changed bool) (end func()) {
	if !changed {
		return func() {}
	}
	first, top := len(l.pages), l.y
	return func() {
		for i := first; i <= len(l.pages); i++ {
			p := l.pages[i-1]
			from, to := p.begin, p.end
			if i == first {
				from = top
			}
			if i == len(l.pages) {
				to = l.y
			}
			if x := l.sheet.width - l.sheet.right + barGap; to > from+1e-6 {
				p.rules = append(p.rules, placedRule{x, from, x, to, barWidth, black()})
			}
		}
	}
}

// baseline is the distance from the top of a line to its baseline: capitals
// stand in the middle of the line.
func baseline(size, leading float64) float64 { return leading/2 + 0.365*size*point }

// setLine places one line, its top at y, aligned in the width from x.
func (l *layout) setLine(line textLine, x, width, y float64, f format) {
	switch f.align {
	case alignRight:
		x += width - line.width
	case alignCentre:
		x += (width - line.width) / 2
	}
	p := l.page()
	for i, r := range line.runs {
		size, c := f.size, f.colour
		base := y + baseline(f.size, f.leading)
		if r.style == mono {
			size *= monoScale
		}
		if r.lowered {
			base += indexDrop * size * point
			size *= indexScale
		}
		part := l.part
		if r.link != "" {
			c = accent()
			if part != nil {
				part = part.Add("Link")
			}
			p.links = append(p.links, placedLink{x + r.x, y, r.width, f.leading, r.link, r.text, part})
		}
		p.texts = append(p.texts, placedText{l.mark(part), x + r.x, base, r.width, r.text, r.style, size, c, line.on && i == len(line.runs)-1})
	}
}

// checkLinks refuses a link to a heading that is not there.
func (l *layout) checkLinks() {
	for _, p := range l.pages {
		for _, k := range p.links {
			if name, internal := strings.CutPrefix(k.target, "#"); internal && l.found[name] == 0 {
				l.fail("the document links to %q, but no heading of it has that anchor", k.target)
			}
		}
	}
}

// text places one line that has no markup, at a baseline.
func (l *layout) text(p *page, text string, x, y float64, s style, size float64, a align) float64 {
	text = l.clean(text, s)
	w := l.typeface.width(text, s, size)
	switch a {
	case alignRight:
		x -= w
	case alignCentre:
		x -= w / 2
	}
	p.texts = append(p.texts, placedText{l.mark(l.part), x, y, w, text, s, size, black(), true})
	return w
}
