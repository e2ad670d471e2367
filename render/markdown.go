package render

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"soundwrit/templates"
)

// The blocks that a document is made of.
type (
	heading struct {
		level  int
		spans  []span
		anchor string
		index  int // among all headings

		changed bool
	}
	paragraph struct {
		spans   []span
		changed bool // since an earlier revision: a bar stands beside it
	}
	list struct {
		ordered bool
		first   int
		tight   bool
		items   [][]block
	}
	quote   struct{ blocks []block }
	listing struct{ lines []string } // preformatted
	picture struct {
		name, alt string
		caption   []span
		changed   bool
		line      int
	}
	pageBreak struct{}
	contents  struct{}
	table     struct {
		signed bool // its rows are signed by hand
		key    bool // its bold cells are large
		paired bool // two rows of two cells stand side by side in each
		align  []align
		head   [][]span // nil where every head cell is empty
		rows   [][][]span
		marks  []bool // rows that are changed; the head comes first, if there is one
	}
)

// block is one of the types above.
type block interface {
	// start is the least height that must be free for the block to begin on
	// the page.
	start(l *layout) float64
	place(l *layout)
}

type align uint8

const (
	alignLeft align = iota
	alignCentre
	alignRight
)

// parser turns goldmark's tree into blocks, and remembers the first thing that
// cannot be set.
type parser struct {
	source   []byte
	symbols  symbols
	anchors  map[string]int
	headings int
	line     int // of the block being read, from 1
	counted  int // bytes up to which lines were counted
	depth    int // of lists and cautions
	err      error
}

// deepest is how many lists and cautions may stand in each other: a page is not
// wide enough for more.
const deepest = 8

// parseMarkdown reads the subset of Markdown that a technique is written in.
func parseMarkdown(source []byte, symbols symbols) ([]block, error) {
	p := &parser{source: source, symbols: symbols, anchors: map[string]int{}, line: 1}
	tree := goldmark.New(goldmark.WithExtensions(extension.Table)).Parser().Parse(text.NewReader(source))
	blocks := p.blocks(tree)
	return p.sheets(blocks), p.err
}

// steer is a comment that says how what follows is laid out.
type steer string

func (steer) start(*layout) float64 { return 0 }

// place begins small type; it ends with the stretch of pages.
func (s steer) place(l *layout) {
	if s == "small" {
		l.density = l.density.small()
	}
}

// sheets gathers what follows a comment "sheet", up to the next page break, as
// a sheet of its own.
func (p *parser) sheets(blocks []block) []block {
	var out []block
	for i := 0; i < len(blocks); i++ {
		if blocks[i] != steer("sheet") {
			out = append(out, blocks[i])
			continue
		}
		var own sheetOfOne
		for i++; i < len(blocks) && blocks[i] != (pageBreak{}); i++ {
			own.blocks = append(own.blocks, blocks[i])
		}
		i--
		out = append(out, own)
	}
	return out
}

func (p *parser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf("the document's Markdown, line %d: %s", p.line, fmt.Sprintf(format, args...))
	}
}

func (p *parser) blocks(parent ast.Node) []block {
	var out []block
	if p.depth++; p.depth > 1+deepest {
		p.fail("more than %d lists or cautions stand in each other", deepest)
		return nil
	}
	defer func() { p.depth-- }()
	for n := parent.FirstChild(); n != nil; n = n.NextSibling() {
		if n.Lines() != nil && n.Lines().Len() > 0 {
			if start := n.Lines().At(0).Start; start >= p.counted { // blocks come in the order of the text
				p.line += bytes.Count(p.source[p.counted:start], []byte("\n"))
				p.counted = start
			}
		}
		switch n := n.(type) {
		case *ast.Heading:
			out = append(out, p.heading(n))
		case *ast.Paragraph:
			out = p.paragraph(out, n)
		case *ast.TextBlock:
			out = append(out, paragraphOf(p.text(n, span{})))
		case *ast.List:
			l := list{ordered: n.IsOrdered(), first: n.Start, tight: n.IsTight}
			for item := n.FirstChild(); item != nil; item = item.NextSibling() {
				l.items = append(l.items, p.blocks(item))
			}
			out = append(out, l)
		case *ast.Blockquote:
			out = append(out, quote{p.blocks(n)})
		case *ast.ThematicBreak:
		case *ast.FencedCodeBlock, *ast.CodeBlock:
			var l listing
			for i := range n.Lines().Len() {
				line := n.Lines().At(i)
				l.lines = append(l.lines, strings.TrimRight(string(line.Value(p.source)), "\n"))
			}
			out = append(out, l)
		case *ast.HTMLBlock:
			out = p.comment(out, n)
		case *extast.Table:
			t := p.table(n)
			if last := len(out) - 1; last >= 0 {
				switch out[last] {
				case steer("signatures"):
					t.signed, out = true, out[:last]
				case steer("key"):
					t.key, out = true, out[:last]
				}
			}
			out = append(out, t)
		default:
			p.fail("%s cannot be set in the PDF", strings.ToLower(n.Kind().String()))
		}
	}
	return out
}

func (p *parser) heading(n *ast.Heading) heading {
	if n.Level > 4 {
		p.fail("headings go to level 4; write #### or fewer")
	}
	h := heading{level: n.Level, index: p.headings}
	h.spans, h.changed = unmarked(p.spans(n, span{}))
	p.headings++
	h.anchor = anchor(plain(h.spans))
	seen := p.anchors[h.anchor]
	p.anchors[h.anchor]++
	if seen > 0 {
		h.anchor = fmt.Sprintf("%s-%d", h.anchor, seen)
	}
	return h
}

// anchor is the name under which a heading is linked to: lower case, spaces to
// hyphens, punctuation dropped, as Markdown readers make it.
func anchor(title string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ':
			return '-'
		case r == '-' || r == '_' || unicode.IsLetter(r) || unicode.IsNumber(r) || unicode.IsMark(r):
			return unicode.ToLower(r)
		}
		return -1
	}, strings.TrimSpace(title))
}

// paragraph reads a paragraph. One that begins with an image is a figure, and
// what follows the image, or the next paragraph if that is a caption, belongs
// to it.
func (p *parser) paragraph(out []block, n *ast.Paragraph) []block {
	if image, ok := n.FirstChild().(*ast.Image); ok {
		name := path.Base(string(image.Destination))
		pic := picture{name: strings.TrimSuffix(name, path.Ext(name)), alt: plain(p.spans(image, span{})), line: p.line}
		n.RemoveChild(n, image)
		pic.caption = trim(p.text(n, span{}))
		return append(out, pic)
	}
	own := paragraphOf(p.text(n, span{}))
	if len(out) > 0 {
		if pic, ok := out[len(out)-1].(picture); ok && len(pic.caption) == 0 && isCaption(own.spans) {
			pic.caption, pic.changed = own.spans, own.changed
			out[len(out)-1] = pic
			return out
		}
	}
	return append(out, own)
}

func paragraphOf(spans []span) paragraph {
	spans, changed := unmarked(spans)
	return paragraph{spans, changed}
}

// unmarked takes the mark of what is changed off the beginning of a text.
func unmarked(spans []span) ([]span, bool) {
	if len(spans) == 0 || !strings.HasPrefix(spans[0].text, templates.Mark) {
		return spans, false
	}
	rest := slices.Clone(spans)
	if rest[0].text = strings.TrimLeft(strings.TrimPrefix(rest[0].text, templates.Mark), " "); rest[0].text == "" {
		rest = rest[1:]
	}
	return rest, true
}

// isCaption reports whether a paragraph after a figure is its caption: all of
// it slanted, or beginning with the word Figure.
func isCaption(spans []span) bool {
	if strings.HasPrefix(plain(spans), "Figure ") {
		return true
	}
	for _, s := range spans {
		if !s.oblique {
			return false
		}
	}
	return len(spans) > 0
}

// comment reads the comments that steer the layout. Other comments are notes
// between authors, and are not printed.
func (p *parser) comment(out []block, n *ast.HTMLBlock) []block {
	var raw strings.Builder
	for i := range n.Lines().Len() {
		line := n.Lines().At(i)
		raw.Write(line.Value(p.source))
	}
	if n.HasClosure() {
		raw.Write(n.ClosureLine.Value(p.source))
	}
	html := strings.TrimSpace(raw.String())
	if !strings.HasPrefix(html, "<!--") {
		p.fail("HTML (%s) cannot be set in the PDF; use Markdown", firstWords(html))
		return out
	}
	for html != "" {
		body, rest, _ := strings.Cut(strings.TrimPrefix(html, "<!--"), "-->")
		switch strings.TrimSpace(body) {
		case "page":
			out = append(out, pageBreak{})
		case "contents":
			out = append(out, contents{})
		case "sheet", "signatures", "small", "key":
			out = append(out, steer(strings.TrimSpace(body)))
		}
		html = strings.TrimSpace(rest)
		if html != "" && !strings.HasPrefix(html, "<!--") {
			p.fail("text after a comment on the same line is not read (%s); put it in a line of its own after an empty line", firstWords(html))
			break
		}
	}
	return out
}

func firstWords(s string) string {
	if runes := []rune(s); len(runes) > 30 {
		return string(runes[:30]) + "…"
	}
	return s
}

func (p *parser) table(n *extast.Table) *table {
	t := &table{}
	for _, a := range n.Alignments {
		switch a {
		case extast.AlignRight:
			t.align = append(t.align, alignRight)
		case extast.AlignCenter:
			t.align = append(t.align, alignCentre)
		default:
			t.align = append(t.align, alignLeft)
		}
	}
	for row := n.FirstChild(); row != nil; row = row.NextSibling() {
		_, head := row.(*extast.TableHeader)
		base := span{}
		base.bold = head
		var cells [][]span
		filled, changed := false, false
		for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
			spans := trim(p.text(cell, base))
			if len(cells) == 0 {
				spans, changed = unmarked(spans)
			}
			filled = filled || len(spans) > 0
			cells = append(cells, spans)
		}
		for len(cells) < len(t.align) {
			cells = append(cells, nil)
		}
		switch {
		case !head:
			t.rows = append(t.rows, cells)
		case filled:
			t.head = cells
		default:
			continue
		}
		t.marks = append(t.marks, changed)
	}
	return t
}
