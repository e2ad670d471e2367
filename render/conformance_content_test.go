package render

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// operation is one of a content stream, with what stands before it: numbers,
// names with their slash, []byte, and raw dictionaries and arrays.
type operation struct {
	name string
	args []any
}

type (
	rawDict  string
	rawArray string
)

var contentToken = regexp.MustCompile(`^(?:([-+]?(?:\d+\.?\d*|\.\d+))|(/[^\s()<>\[\]{}/%]*)|(<<.*?>>)|<([0-9A-Fa-f\s]*)>|(\[[^\]]*\])|([A-Za-z'"][A-Za-z0-9*]*))`)

// division is a content stream divided, or why it cannot be.
type division struct {
	all []operation
	err error
}

// operations are those of a page. Each content is divided once, since every
// condition looks at it.
func (f *pdfFile) operations(page string) ([]operation, error) {
	data := f.data(f.dict(page)["/Contents"])
	d, ok := f.divided[string(data)]
	if !ok {
		d.all, d.err = operations(data)
		f.divided[string(data)] = d
	}
	return d.all, d.err
}

// operations divides a content stream.
func operations(data []byte) ([]operation, error) {
	var all []operation
	var args []any
	for at := 0; at < len(data); {
		switch c := data[at]; {
		case bytes.IndexByte([]byte(" \r\n\t\f\x00"), c) >= 0:
			at++
		case c == '(':
			text, n := literal(data[at:])
			args = append(args, text)
			at += n
		default:
			m := contentToken.FindSubmatch(data[at:])
			if m == nil {
				return nil, fmt.Errorf("%q is no part of a content stream", data[at:min(at+20, len(data))])
			}
			at += len(m[0])
			switch {
			case m[1] != nil:
				x, _ := strconv.ParseFloat(string(m[1]), 64)
				args = append(args, x)
			case m[2] != nil:
				args = append(args, string(m[2]))
			case m[3] != nil:
				args = append(args, rawDict(m[3]))
			case m[5] != nil:
				args = append(args, rawArray(m[5]))
			case m[6] != nil:
				all = append(all, operation{string(m[6]), args})
				args = nil
			default:
				return nil, fmt.Errorf("a string of digits, which none of ours has: %q", m[0])
			}
		}
	}
	return all, nil
}

// literal reads a string in brackets (ISO 32000-1, 7.3.4.2), and says how long it
// is as written.
func literal(data []byte) ([]byte, int) {
	var out []byte
	depth := 0
	for i := 0; i < len(data); i++ {
		c := data[i]
		switch {
		case c == '(':
			if depth++; depth == 1 {
				continue
			}
		case c == ')':
			if depth--; depth == 0 {
				return out, i + 1
			}
		case c == '\\' && i+1 < len(data):
			i++
			if c = data[i]; c >= '0' && c <= '7' {
				n, k := 0, 0
				for ; k < 3 && i+k < len(data) && data[i+k] >= '0' && data[i+k] <= '7'; k++ {
					n = n*8 + int(data[i+k]-'0')
				}
				i += k - 1
				c = byte(n)
			} else if j := strings.IndexByte("nrtbf", c); j >= 0 {
				c = "\n\r\t\b\f"[j]
			}
		case c == '\r':
			c = '\n'
		}
		out = append(out, c)
	}
	return out, len(data)
}

// shown calls with each code that is shown on the pages, two bytes each, and the
// font it is shown in.
func (f *pdfFile) shown(visit func(page string, font map[string]any, code int)) {
	for _, page := range f.pages() {
		all, _ := f.operations(page)
		fonts := f.dict(f.dict(f.dict(page)["/Resources"])["/Font"])
		var font map[string]any
		for _, o := range all {
			switch {
			case o.name == "Tf":
				font = f.dict(fonts[o.args[0].(string)])
			case o.name == "Tj":
				text := o.args[0].([]byte)
				for i := 0; i+1 < len(text); i += 2 {
					visit(page, font, int(binary.BigEndian.Uint16(text[i:])))
				}
			}
		}
	}
}
