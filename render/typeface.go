package render

import (
	"strings"

	"github.com/go-fonts/dejavu/dejavusanscondensed"
	"github.com/go-fonts/dejavu/dejavusanscondensedbold"
	"github.com/go-fonts/dejavu/dejavusanscondensedboldoblique"
	"github.com/go-fonts/dejavu/dejavusanscondensedoblique"
	"github.com/go-fonts/dejavu/dejavusansmono"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// style is one of the faces a document is set in.
type style uint8

const (
	regular style = iota
	bold
	oblique
	boldOblique
	mono
	styles // their number
)

// fontBytes returns the font program of a style.
func fontBytes(s style) []byte {
	switch s {
	case bold:
		return dejavusanscondensedbold.TTF
	case oblique:
		return dejavusanscondensedoblique.TTF
	case boldOblique:
		return dejavusanscondensedboldoblique.TTF
	case mono:
		return dejavusansmono.TTF
	}
	return dejavusanscondensed.TTF
}

// typeface measures text. It is for one document: not for use
// by several goroutines.
type typeface struct {
	faces [styles]*face
	lends bool    // see borrowed
	spare []glyph // to be lent
}

// borrowed runs a function in which what is measured is not kept after it: its
// room is used again. Tables are measured several times over, cell by cell.
func (t *typeface) borrowed(f func()) {
	t.lends, t.spare = true, t.spare[:0]
	f()
	t.lends = false
}

// room is for n glyphs.
func (t *typeface) room(n int) []glyph {
	if !t.lends {
		return make([]glyph, 0, n)
	}
	from := len(t.spare)
	if from+n > cap(t.spare) {
		from, t.spare = 0, make([]glyph, 0, max(2*cap(t.spare), n, 1<<12))
	}
	t.spare = t.spare[:from+n]
	return t.spare[from : from : from+n]
}

// face holds the widths of one font, in thousandths of the type size as a PDF
// holds them, so that what is measured is what is printed.
type face struct {
	font  *sfnt.Font
	buf   sfnt.Buffer
	units fixed.Int26_6
	near  [0x250]float64 // widths of the letters most text is made of; 0 not yet known
	far   map[rune]float64
}

// newTypeface parses the faces. They are part of the program, so that one that
// cannot be read is a fault of the build.
func newTypeface() *typeface {
	t := &typeface{}
	for s := range styles {
		f, err := sfnt.Parse(fontBytes(s))
		if err != nil {
			panic("render: embedded font: " + err.Error())
		}
		t.faces[s] = &face{font: f, units: fixed.I(int(f.UnitsPerEm())), far: map[rune]float64{}}
	}
	return t
}

// advance is the width of r in thousandths of the type size; -1 where the face
// has no such character.
func (f *face) advance(r rune) float64 {
	if r >= 0 && int(r) < len(f.near) {
		if f.near[r] == 0 {
			f.near[r] = f.look(r)
		}
		return f.near[r]
	}
	w, ok := f.far[r]
	if !ok {
		w = f.look(r)
		f.far[r] = w
	}
	return w
}

func (f *face) look(r rune) float64 {
	g, err := f.font.GlyphIndex(&f.buf, r)
	if err != nil || g == 0 || r > 0xFFFF {
		return -1
	}
	w, err := f.font.GlyphAdvance(&f.buf, g, f.units, font.HintingNone)
	if err != nil {
		return -1
	}
	return float64(w) / float64(f.units) * 1000
}

// millimetres that a point has.
const point = 25.4 / 72

// width is the width of text in millimetres at a size in points.
func (t *typeface) width(text string, s style, size float64) float64 {
	w := 0.0
	f := t.faces[s]
	for _, r := range text {
		w += f.advance(r)
	}
	return w / 1000 * size * point
}

// has reports whether the face of s can print r.
func (t *typeface) has(r rune, s style) bool { return t.faces[s].advance(r) >= 0 }

// printable is r, or a visible sign where the face cannot print it, or -1 for
// what has no width of its own. The PDF library panics on characters above
// U+FFFF, so none may pass.
func (t *typeface) printable(r rune, s style) rune {
	switch {
	case r == '\t' || r == '\n' || r == '\u2028' || r == '\u2029':
		return ' '
	case r >= '\u200E' && r <= '\u200F' || r >= '\u202A' && r <= '\u202E' || r >= '\u2066' && r <= '\u2069':
		return -1 // would order what is read in another way than what is seen
	case r < ' ' || r >= 0x7F && r < 0xA0 || r == zeroWidthSpace || r == '\u00AD' || r == '\u2060' || r == '\uFEFF' || r >= '\uFE00' && r <= '\uFE0F':
		return -1
	case t.has(r, s):
		return r
	case t.has('\uFFFD', s):
		return '\uFFFD'
	}
	return '?'
}

// Lacking returns the first character of a text in the place of which the PDF
// shows the sign for what is missing; 0 where it can show all.
func Lacking(text string) rune {
	if !strings.ContainsFunc(text, func(r rune) bool { return r > 0xFF }) {
		return 0 // as nearly all texts
	}
	t := newTypeface()
	for _, r := range text {
		if t.printable(r, regular) == '\uFFFD' && r != '\uFFFD' {
			return r
		}
	}
	return 0
}

// clean makes a whole text printable.
func (t *typeface) clean(text string, s style) string {
	return strings.Map(func(r rune) rune { return t.printable(r, s) }, text)
}
