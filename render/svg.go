package render

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
)

// SVG writes the figure as a picture of its own, in millimetres. A drawing that
// holds an unknown number is not drawn; the picture says so.
func (f Figure) SVG() []byte {
	d := f.Drawing
	if err := d.check(); err != nil {
		d = Drawing{width: 120, height: 10, labels: []label{{x: 2, y: 6, text: "not drawn: " + err.Error(), size: 8}}}
	}
	var b bytes.Buffer
	w, h := decimals(d.width), decimals(d.height)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img" font-family="sans-serif" font-stretch="condensed">`+"\n", w, h, w, h)
	fmt.Fprintf(&b, "<title>%s</title>\n<desc>%s</desc>\n", escape(f.Caption), escape(f.Alt))
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", w, h)
	for _, s := range d.shapes {
		s.svg(&b)
	}
	for _, t := range d.labels {
		t.svg(&b)
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func (s shape) svg(b *bytes.Buffer) {
	b.WriteString(`<path d="`)
	for i, p := range s.points {
		command := byte('L')
		if i == 0 {
			command = 'M'
		}
		b.WriteByte(command)
		b.WriteString(decimals(p.x))
		b.WriteByte(' ')
		b.WriteString(decimals(p.y))
	}
	if s.closed {
		b.WriteByte('Z')
	}
	fill := "none"
	if s.fill.set {
		fill = s.fill.colour.hex()
	}
	fmt.Fprintf(b, `" fill="%s"`, fill)
	if s.pen.width > 0 {
		fmt.Fprintf(b, ` stroke="%s" stroke-width="%s" stroke-linejoin="round"`, s.pen.colour.hex(), decimals(s.pen.width))
		if len(s.pen.dash) > 0 {
			b.WriteString(` stroke-dasharray="`)
			for i, x := range s.pen.dash {
				if i > 0 {
					b.WriteByte(' ')
				}
				b.WriteString(decimals(x))
			}
			b.WriteByte('"')
		}
	}
	b.WriteString("/>\n")
}

func (t label) svg(b *bytes.Buffer) {
	turn := ""
	if t.angle != 0 {
		turn = fmt.Sprintf(` transform="rotate(%s %s %s)"`, decimals(-t.angle), decimals(t.x), decimals(t.y))
	}
	if t.box {
		r := t.upright()
		fmt.Fprintf(b, `<rect x="%s" y="%s" width="%s" height="%s" fill="#ffffff"%s/>`+"\n",
			decimals(r.left-0.4), decimals(r.top), decimals(r.right-r.left+0.8), decimals(r.bottom-r.top), turn)
	}
	anchor := map[align]string{alignLeft: "start", alignCentre: "middle", alignRight: "end"}[t.anchor]
	weight := ""
	if t.style == bold {
		weight = ` font-weight="bold"`
	}
	// As wide as it was placed, whatever the viewer's typeface.
	length := ""
	if t.width > 0 {
		length = fmt.Sprintf(` textLength="%s" lengthAdjust="spacingAndGlyphs"`, decimals(t.width))
	}
	fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s"%s text-anchor="%s" fill="%s"%s%s>%s</text>`+"\n",
		decimals(t.x), decimals(t.y), decimals(t.size*point), length, anchor, t.colour.hex(), weight, turn, escape(t.text))
}

// decimals prints a length with three decimals at most, and never a negative zero.
func decimals(x float64) string {
	x = math.Round(x*1000)/1000 + 0
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func (c colour) hex() string { return fmt.Sprintf("#%02x%02x%02x", c[0], c[1], c[2]) }

func escape(text string) string {
	var b bytes.Buffer
	// Writing to a buffer cannot fail.
	_ = xml.EscapeText(&b, []byte(text))
	return b.String()
}
