package render

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

const zeroWidthSpace = '\u200B' // a place where a word may be broken

// textLine is one line of set text: runs of one style each, left to right.
type textLine struct {
	runs  []run
	width float64
	on    bool // the text goes on in the next line, with another word
}

// text is what the line says, without its styles.
func (l textLine) text() string {
	var b strings.Builder
	for _, r := range l.runs {
		b.WriteString(r.text)
	}
	return b.String()
}

// run is text of one style at a distance from the start of its line.
type run struct {
	text  string
	style style
	x     float64
	width float64
	link  string

	lowered bool
}

// glyph is one character on its way into a line.
type glyph struct {
	r     rune
	style style
	link  int32 // index of the span it comes from
	width float64
}

// setting is text that was measured and may be broken into lines of any width.
type setting struct {
	glyphs []glyph
	spans  []span
	size   float64 // points
}

// measure prepares spans for breaking.
func (t *typeface) measure(spans []span, size float64) setting {
	count := 0
	for _, sp := range spans {
		count += utf8.RuneCountInString(sp.text)
	}
	s := setting{glyphs: t.room(count), spans: spans, size: size}
	scale := size * point / 1000
	for i, sp := range spans {
		st := sp.style()
		for _, r := range sp.text {
			g := glyph{r: r, style: st, link: int32(i)}
			if !t.has(r, st) && t.has(r, regular) {
				g.style = regular // better the right sign in another face than none
			}
			switch r {
			case '\n', zeroWidthSpace:
				s.glyphs = append(s.glyphs, g)
				continue
			}
			if g.r = t.printable(r, g.style); g.r < 0 {
				continue
			}
			g.width = t.faces[g.style].advance(g.r) * scale
			if g.style == mono {
				g.width *= monoScale
			}
			if sp.lowered {
				g.width *= indexScale
			}
			s.glyphs = append(s.glyphs, g)
		}
	}
	return s
}

// monoScale brings the fixed-width face to the look of the text around it,
// beside which it is wide.
const monoScale = 0.86

// indexScale is the size of a symbol's index beside its letter, indexDrop how
// far it is lowered, in sizes of the type.
const indexScale, indexDrop = 0.74, 0.16

// mayBreakAfter reports whether a line may end after glyph i. A no-break space
// never breaks; a hyphen or slash only between long enough parts of a word, so
// that "mm/s" and "T-T" stay whole.
func (s setting) mayBreakAfter(i int) bool {
	if i+1 >= len(s.glyphs) {
		return false
	}
	r, next := s.glyphs[i].r, s.glyphs[i+1].r
	switch r {
	case ' ':
		return next != ' ' && !s.unitAfter(i)
	case '\u2002', '\u2003', '\u2009':
		return next != ' '
	case zeroWidthSpace:
		return true
	case '—':
		return next != ' '
	case '-', '/', '–':
		return s.letters(i, -1) >= 3 && s.letters(i, 1) >= 3
	case '.', '_', ':':
		return s.glyphs[i].style == mono && s.letters(i, -1) >= 2 && s.letters(i, 1) >= 2
	}
	return false
}

// unitAfter reports whether the space at i stands between a number and its unit,
// which belong on one line, or before a sign that would begin a line alone, as
// in the head of a column.
func (s setting) unitAfter(i int) bool {
	if r := s.glyphs[i+1].r; (r == '°' || r == '%') && (i+2 == len(s.glyphs) || s.glyphs[i+2].r == ' ' || s.glyphs[i+2].r == '\n') {
		return true
	}
	if i == 0 || !unicode.IsDigit(s.glyphs[i-1].r) {
		return false
	}
	var word []rune
	for j := i + 1; j < len(s.glyphs) && len(word) < 6; j++ {
		r := s.glyphs[j].r
		if r == ' ' || r == '\n' || r == ',' || r == ';' || r == ')' {
			break
		}
		word = append(word, r)
	}
	switch strings.TrimSuffix(string(word), ".") {
	case "mm", "cm", "m", "µm", "in", "mm²", "in²", "°", "°C", "°F", "K", "%", "dB", "Hz", "kHz", "MHz", "m/s", "mm/s", "in/s",
		"s", "ms", "µs", "ns", "min", "h", "B", "kB", "MB", "GB", "MB/s", "1/s":
		return true
	}
	return false
}

// letters counts letters and digits from glyph i outwards, four at most.
func (s setting) letters(i, step int) int {
	n := 0
	for j := i + step; j >= 0 && j < len(s.glyphs) && n < 4; j += step {
		if r := s.glyphs[j].r; !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			break
		}
		n++
	}
	return n
}

// lines breaks the text into lines no wider than width. A word that is wider is
// broken where the line is full.
func (s setting) lines(width float64) []textLine {
	const slack = 1e-6 // float noise must not break a line that was measured to fit
	var out []textLine
	start := 0
	for start < len(s.glyphs) {
		x, end, chance := 0.0, start, -1
		next := -1
		for ; end < len(s.glyphs); end++ {
			g := s.glyphs[end]
			if g.r == '\n' {
				next = end + 1
				break
			}
			if x += g.width; x > width+slack && g.r != ' ' {
				break
			}
			if s.mayBreakAfter(end) {
				chance = end + 1
			}
		}
		switch {
		case next >= 0:
		case end == len(s.glyphs):
			next = end
		case chance > start:
			end, next = chance, chance
		case end == start:
			end, next = start+1, start+1 // not even one character fits
		default:
			next = end
		}
		line := s.line(start, end)
		line.on = next < len(s.glyphs) && (s.glyphs[next-1].r == '\n' || s.glyphs[next-1].r == ' ' || s.glyphs[next].r == ' ')
		out = append(out, line)
		start = next
		for start < len(s.glyphs) && s.glyphs[start].r == ' ' {
			start++
		}
	}
	return out
}

// line makes a line of glyphs from start to end, without the space at its end.
func (s setting) line(start, end int) textLine {
	for end > start && (s.glyphs[end-1].r == ' ' || s.glyphs[end-1].r == zeroWidthSpace) {
		end--
	}
	var l textLine
	for i := start; i < end; {
		first := s.glyphs[i]
		from := s.spans[first.link]
		r := run{style: first.style, x: l.width, link: from.link, lowered: from.lowered}
		var letters strings.Builder
		letters.Grow(end - i) // of most texts each character is a byte
		for ; i < end; i++ {
			g := s.glyphs[i]
			if g.style != first.style || s.spans[g.link].link != r.link || s.spans[g.link].lowered != r.lowered {
				break
			}
			if g.r != zeroWidthSpace {
				letters.WriteRune(g.r)
				r.width += g.width
			}
		}
		r.text = letters.String()
		l.width += r.width
		l.runs = append(l.runs, r)
	}
	return l
}

// narrowest is the width of the widest piece that is not broken willingly.
func (s setting) narrowest() float64 {
	widest, x := 0.0, 0.0
	for i, g := range s.glyphs {
		if g.r == '\n' {
			x = 0
			continue
		}
		if g.r != ' ' {
			x += g.width
			widest = max(widest, x)
		} else {
			x += g.width
		}
		if s.mayBreakAfter(i) {
			x = 0
		}
	}
	return widest
}

// widest is the width of the text where only the author's breaks are kept.
func (s setting) widest() float64 {
	widest, x := 0.0, 0.0
	for _, g := range s.glyphs {
		if x += g.width; g.r == '\n' {
			x = 0
		} else if g.r != ' ' {
			widest = max(widest, x)
		}
	}
	return widest
}
