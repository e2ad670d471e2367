package render

import (
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"soundwrit/internal/diag"
)

// span is a stretch of text in one style. A line break that the author wrote
// is a newline in the text.
type span struct {
	text          string
	bold, oblique bool
	code          bool
	lowered       bool   // the index of a symbol: λ_w
	link          string // "#anchor" or an address
}

// style is the face the span is set in.
func (s span) style() style {
	switch {
	case s.code:
		return mono
	case s.bold && s.oblique:
		return boldOblique
	case s.bold:
		return bold
	case s.oblique:
		return oblique
	}
	return regular
}

// text reads the inline content of a node as spans, spans reads it for a heading
// or a name: there an index stays as it is written, since links spell it so.
func (p *parser) text(n ast.Node, base span) []span { return p.symbols.lower(p.spans(n, base)) }

// spans reads the inline content of a node; base holds what it inherits.
func (p *parser) spans(n ast.Node, base span) []span {
	var out []span
	add := func(text string) {
		if text == "" {
			return
		}
		if diag.Leftward(text) { // in a template: of jobs and books it is told before
			p.fail("%q is written from right to left, and cannot be put in order", firstWords(text))
		}
		s := base
		s.text = text
		out = append(out, s)
	}
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		inner := base
		switch c := c.(type) {
		case *ast.Text:
			value := c.Value(p.source)
			if !c.IsRaw() && !base.code {
				value = resolved(value)
			}
			add(string(value))
			if c.HardLineBreak() {
				add("\n")
			} else if c.SoftLineBreak() {
				add(" ")
			}
		case *ast.String:
			add(string(c.Value))
		case *ast.CodeSpan:
			inner.code = true
			out = append(out, p.spans(c, inner)...)
		case *ast.Emphasis:
			if c.Level == 1 {
				inner.oblique = true
			} else {
				inner.bold = true
			}
			out = append(out, p.spans(c, inner)...)
		case *ast.Link:
			inner.link = string(c.Destination)
			out = append(out, whole(p.spans(c, inner))...)
		case *ast.AutoLink:
			inner.link = string(c.URL(p.source))
			inner.text = string(c.Label(p.source))
			out = append(out, inner)
		case *ast.RawHTML:
			var raw strings.Builder
			for i := range c.Segments.Len() {
				segment := c.Segments.At(i)
				raw.Write(segment.Value(p.source))
			}
			switch html := raw.String(); {
			case strings.HasPrefix(html, "<!--"):
			case html == "<br>" || html == "<br/>" || html == "<br />":
				add("\n")
			default:
				p.fail("HTML (%s) cannot be set in the PDF; use Markdown", firstWords(html))
			}
		case *ast.Image:
			p.fail("an image must begin a paragraph of its own")
		default:
			p.fail("%s cannot be set in the PDF", strings.ToLower(c.Kind().String()))
		}
	}
	return out
}

// resolved is a text without its escapes and entities. What is escaped begins no
// entity.
func resolved(text []byte) []byte {
	var out []byte
	begin := 0
	for i := 0; i <= len(text); i++ {
		escape := i+1 < len(text) && text[i] == '\\' && util.IsPunct(text[i+1])
		if !escape && i < len(text) {
			continue
		}
		out = append(out, util.ResolveEntityNames(util.ResolveNumericReferences(text[begin:i]))...)
		if escape {
			out = append(out, text[i+1])
			begin = i + 2
			i++
		}
	}
	return out
}

// whole keeps a short link to a section, "section 9.1", on one line.
func whole(link []span) []span {
	if utf8.RuneCountInString(plain(link)) <= 14 {
		for i := range link {
			if strings.HasPrefix(link[i].link, "#") {
				link[i].text = strings.ReplaceAll(link[i].text, " ", "\u00A0")
			}
		}
	}
	return link
}

// plain is the text of spans without their styles.
func plain(spans []span) string {
	var b strings.Builder
	for _, s := range spans {
		b.WriteString(strings.ReplaceAll(s.text, "\n", " "))
	}
	return b.String()
}

// trim drops white space at both ends.
func trim(spans []span) []span {
	for len(spans) > 0 {
		if spans[0].text = strings.TrimLeft(spans[0].text, " \n"); spans[0].text != "" {
			break
		}
		spans = spans[1:]
	}
	for len(spans) > 0 {
		last := len(spans) - 1
		if spans[last].text = strings.TrimRight(spans[last].text, " \n"); spans[last].text != "" {
			break
		}
		spans = spans[:last]
	}
	return spans
}
