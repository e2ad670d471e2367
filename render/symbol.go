package render

import (
	"strings"
	"unicode"
)

// symbols are the quantities' symbols that have an index, such as "λ_w". Only
// these are set with a lowered index, so that a name such as "WPS_12" in the
// text of a job stays as it was written.
type symbols map[string]bool

// symbolsOf finds the indexed symbols in symbols and formulas: "f_s/f" holds
// one of them.
func symbolsOf(texts []string) symbols {
	found := symbols{}
	for _, text := range texts {
		for _, token := range strings.FieldsFunc(text, func(r rune) bool { return !inSymbol(r) }) {
			if base, index, ok := strings.Cut(token, "_"); ok && base != "" && index != "" && !strings.Contains(index, "_") {
				found[token] = true
			}
		}
	}
	return found
}

func inSymbol(r rune) bool {
	return r == '_' || r == '⊥' || r == '∥' || unicode.IsLetter(r) || unicode.IsNumber(r)
}

// lower splits spans at the indexes of known symbols. A reader of Markdown may
// cut text at an underscore, so that equal neighbours are joined first.
func (s symbols) lower(spans []span) []span {
	if len(s) == 0 {
		return spans
	}
	var joined, out []span
	for _, sp := range spans {
		if last := len(joined) - 1; last >= 0 {
			same := joined[last]
			same.text = sp.text
			if same == sp {
				joined[last].text += sp.text
				continue
			}
		}
		joined = append(joined, sp)
	}
	for _, sp := range joined {
		if sp.code || !strings.Contains(sp.text, "_") {
			out = append(out, sp)
			continue
		}
		out = s.split(out, sp)
	}
	return out
}

// split appends the pieces of one span.
func (s symbols) split(out []span, sp span) []span {
	piece := func(text string, lowered bool) {
		if text != "" {
			next := sp
			next.text, next.lowered = text, lowered
			out = append(out, next)
		}
	}
	rest, from := sp.text, 0
	for from < len(rest) {
		begin := strings.IndexFunc(rest[from:], inSymbol)
		if begin < 0 {
			break
		}
		begin += from
		end := strings.IndexFunc(rest[begin:], func(r rune) bool { return !inSymbol(r) })
		if end < 0 {
			end = len(rest) - begin
		}
		end += begin
		if base, index, ok := strings.Cut(rest[begin:end], "_"); ok && s[rest[begin:end]] {
			piece(rest[:begin]+base, false)
			piece(index, true)
			rest, from = rest[end:], 0
			continue
		}
		from = end
	}
	piece(rest, false)
	return out
}
