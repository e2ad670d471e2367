package render

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"time"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"soundwrit/internal/archive"
	"soundwrit/templates"
)

// pdfWriter draws placed items. It keeps the state of the page's graphics, so
// that it writes a setting only when it changes.
type pdfWriter struct {
	*fpdf.Fpdf
	sheet  sheet
	fonts  *typeface
	loaded [styles]bool

	style     style
	size      float64
	text      colour
	stroke    colour
	filled    colour
	lineWidth float64
	dash      []float64
	within    string // marked content that is open: its tag
}

// writePDF draws the pages, and has them made into a file to be kept.
func writePDF(pages []*page, structure *archive.Element, doc Document, s sheet, t *typeface) ([]byte, error) {
	// The date is that of the day; a document whose date cannot be read gets
	// the beginning of the calendar rather than the clock's.
	date, err := time.Parse(time.DateOnly, doc.Date)
	if err != nil {
		date = time.Unix(0, 0).UTC()
	}
	w := &pdfWriter{
		Fpdf:  fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: s.width, Ht: s.height}}),
		sheet: s, fonts: t,
	}
	w.SetCompression(false) // the file is packed when it is finished
	w.SetCatalogSort(true)
	w.SetCreationDate(date)
	w.SetModificationDate(date)
	w.SetAutoPageBreak(false, 0)
	w.SetMargins(0, 0, 0)
	w.SetLineJoinStyle("round")
	mark := ""
	if doc.Draft {
		mark = templates.Language(doc.Language).Say("DRAFT")
	}
	for _, p := range pages {
		w.page(p, mark)
	}
	if slices.ContainsFunc(pages, func(p *page) bool { return len(p.fields) > 0 }) {
		w.typed()
	}
	var b bytes.Buffer
	if err := w.Output(&b); err != nil {
		return nil, fmt.Errorf("the PDF cannot be written: %w", err)
	}
	d := described(pages, doc, s, t)
	d.Structure, d.Date = structure, date
	return archive.Finish(b.Bytes(), d)
}

// page draws one page. Everything on it is marked: as a part of the document, or
// as what is not to be read.
func (w *pdfWriter) page(p *page, mark string) {
	w.AddPage()
	w.reset()
	if mark != "" {
		w.enter(content{every: "Watermark"})
		w.watermark(mark)
	}
	w.enter(content{})
	for _, r := range p.rects {
		w.fill(r.colour)
		w.Rect(r.x, r.y, r.width, r.height, "F")
	}
	for _, r := range p.rules {
		w.pen(pen{r.width, nil, r.colour})
		w.Line(r.x1, r.y1, r.x2, r.y2)
	}
	for _, f := range p.figures {
		w.enter(f.content)
		w.drawing(f.x, f.y, f.figure.Drawing)
		f.part.Box = w.sheet.box(f.x, f.y, f.figure.Drawing.width, f.figure.Drawing.height)
	}
	for _, x := range p.texts {
		w.enter(x.content)
		if x.spaced && x.part != nil {
			x.text += " "
		}
		w.string(x.x, x.y, x.text, x.style, x.size, x.colour)
	}
	w.RawWriteStr("EMC")
	w.within = ""
}

// typed has all that can be typed into a field embedded: the library embeds what
// it has drawn, even on what is shown nowhere.
func (w *pdfWriter) typed() {
	w.face(regular, bodySize)
	w.CreateTemplate(func(t *fpdf.Tpl) { t.Text(0, 0, string(archive.Typed())) })
}

// enter begins another piece of marked content, if it is another.
func (w *pdfWriter) enter(c content) {
	tag := "/Artifact BMC"
	switch {
	case c.every != "":
		tag = "/Artifact<</Type/Pagination/Subtype/" + c.every + ">>BDC"
	case c.part != nil:
		tag = "/" + c.part.Role + "<</MCID " + strconv.Itoa(c.id) + ">>BDC"
	}
	if tag == w.within {
		return
	}
	if w.within != "" {
		w.RawWriteStr("EMC")
	}
	w.RawWriteStr(tag)
	w.within = tag
}

// reset forgets the state, as a new page does, and loads the face that
// bookmarks need to be written in Unicode.
func (w *pdfWriter) reset() {
	w.size, w.lineWidth = -1, -1
	w.SetTextColor(0, 0, 0)
	w.SetDrawColor(0, 0, 0)
	w.SetFillColor(0, 0, 0)
	w.text, w.stroke, w.filled = black(), black(), black()
	w.SetDashPattern(nil, 0)
	w.dash = nil
	w.face(regular, bodySize)
}

func (w *pdfWriter) face(s style, size float64) {
	name := s.family()
	if !w.loaded[s] {
		// The library writes into the bytes it is given while it makes a
		// subset, so it gets a copy: else a second document would differ.
		w.AddUTF8FontFromBytes(name, "", bytes.Clone(fontBytes(s)))
		w.loaded[s] = true
	}
	if w.style != s || w.size != size {
		w.SetFont(name, "", size)
		w.style, w.size = s, size
	}
}

func (w *pdfWriter) string(x, y float64, text string, s style, size float64, c colour) {
	if text == "" {
		return
	}
	w.face(s, size)
	if w.text != c {
		w.SetTextColor(int(c[0]), int(c[1]), int(c[2]))
		w.text = c
	}
	w.Text(x, y, text)
}

func (w *pdfWriter) fill(c colour) {
	if w.filled != c {
		w.SetFillColor(int(c[0]), int(c[1]), int(c[2]))
		w.filled = c
	}
}

func (w *pdfWriter) pen(p pen) {
	if w.stroke != p.colour {
		w.SetDrawColor(int(p.colour[0]), int(p.colour[1]), int(p.colour[2]))
		w.stroke = p.colour
	}
	if w.lineWidth != p.width {
		w.SetLineWidth(p.width)
		w.lineWidth = p.width
	}
	if len(w.dash) != len(p.dash) || len(p.dash) > 0 && w.dash[0] != p.dash[0] {
		w.SetDashPattern(p.dash, 0)
		w.dash = p.dash
	}
}

// drawing draws a figure with its upper left corner at x, y.
func (w *pdfWriter) drawing(x, y float64, d Drawing) {
	for _, s := range d.shapes {
		operator := ""
		if s.fill.set {
			w.fill(s.fill.colour)
			operator = "F"
		}
		if s.pen.width > 0 {
			w.pen(s.pen)
			operator += "D"
		}
		if operator == "" || len(s.points) == 0 {
			continue
		}
		w.MoveTo(x+s.points[0].x, y+s.points[0].y)
		for _, p := range s.points[1:] {
			w.LineTo(x+p.x, y+p.y)
		}
		if s.closed {
			w.ClosePath()
		}
		w.DrawPath(operator)
	}
	for _, t := range d.labels {
		if t.angle != 0 {
			w.TransformBegin()
			w.TransformRotate(t.angle, x+t.x, y+t.y)
		}
		b := t.upright()
		if t.box {
			w.fill(grey(0xFF))
			w.Rect(x+b.left-0.4, y+b.top, b.right-b.left+0.8, b.bottom-b.top, "F")
		}
		w.string(x+b.left, y+t.y, t.text, t.style, t.size, t.colour)
		if t.angle != 0 {
			w.TransformEnd()
			// The end of a transform restores the graphics state of before.
			size, st := w.size, w.style
			w.size = -1
			w.face(st, size)
			w.filled = colour{1, 2, 3}
		}
	}
}

// watermark draws a word across the page, under everything. It is drawn as
// outlines and not as text, so that a search of the file or a copy of its text
// is not disturbed.
func (w *pdfWriter) watermark(word string) {
	const size = 56.0 // height of the type, millimetres
	const angle = 52
	f := w.fonts.faces[bold]
	ppem := fixed.I(int(size * 16))
	scale := 1.0 / (64 * 16)
	length := w.fonts.width(word, bold, size/point)
	w.TransformBegin()
	cx, cy := w.sheet.width/2, w.sheet.height/2
	w.TransformRotate(angle, cx, cy)
	x, y := cx-length/2, cy+0.365*size
	w.fill(grey(0xEA))
	for _, r := range word {
		at := func(p fixed.Point26_6) (float64, float64) { return x + float64(p.X)*scale, y + float64(p.Y)*scale }
		g, err := f.font.GlyphIndex(&f.buf, r)
		if err != nil {
			continue
		}
		segments, err := f.font.LoadGlyph(&f.buf, g, ppem, nil)
		if err != nil {
			continue
		}
		var px, py float64
		for i, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if i > 0 {
					w.ClosePath()
				}
				px, py = at(s.Args[0])
				w.MoveTo(px, py)
			case sfnt.SegmentOpLineTo:
				px, py = at(s.Args[0])
				w.LineTo(px, py)
			case sfnt.SegmentOpQuadTo:
				qx, qy := at(s.Args[0])
				ex, ey := at(s.Args[1])
				w.CurveBezierCubicTo(px+2*(qx-px)/3, py+2*(qy-py)/3, ex+2*(qx-ex)/3, ey+2*(qy-ey)/3, ex, ey)
				px, py = ex, ey
			}
		}
		w.ClosePath()
		w.DrawPath("F")
		advance, _ := f.font.GlyphAdvance(&f.buf, g, f.units, font.HintingNone)
		x += float64(advance) / float64(f.units) * size
	}
	w.TransformEnd()
	w.filled = colour{1, 2, 3}
}
