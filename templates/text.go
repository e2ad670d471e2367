package templates

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// md is text that may stand in the document as it is: either escaped by esc,
// or made by this package from numbers and words of its own. The view model
// holds no other kind of text, so that a template cannot print a job's text
// unescaped.
type md string

// notStated stands where the job leaves something open that it may leave open.
const notStated md = "not stated"

// esc turns any text into Markdown that shows it literally. Runs of white space
// become one space, so that the result fits a table cell and a heading.
func esc(s string) md {
	text := strings.Join(strings.Fields(strings.Map(visible, strings.ToValidUTF8(s, "\uFFFD"))), " ")
	var b strings.Builder
	for i, r := range text {
		if active(text, i, r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return md(b.String())
}

// visible drops the characters that would reorder the text around them, and
// turns other controls into spaces.
func visible(r rune) rune {
	switch {
	case r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069, r == 0x200E, r == 0x200F, r == 0xFEFF:
		return -1
	case unicode.IsControl(r):
		return ' '
	}
	return r
}

// A colon that would open an emoji, or the scheme of a bare link.
var colon = regexp.MustCompile(`^(:[A-Za-z0-9_+-]+:|://)`)

// active reports whether the character at text[i] would mean something to a
// Markdown reader. It escapes no more than it must: the source is read too.
func active(text string, i int, r rune) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:i])
	after, _ := utf8.DecodeRuneInString(text[i+utf8.RuneLen(r):])
	first, last := i == 0, i+utf8.RuneLen(r) == len(text)
	word := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	switch r {
	case '\\', '`', '*', '[', ']', '{', '<', '|', '~', '$':
		return true
	case '_':
		return first || last || !word(before) || !word(after)
	case '&':
		return after == '#' || !last && unicode.IsLetter(after)
	case ':':
		return first && after == '-' || colon.MatchString(text[i:])
	case '@':
		return !first && !last && word(before) && word(after)
	case '#':
		return first || before == ' ' // the latter would close a heading
	case '=', '>':
		return first
	case '+', '-':
		return first && (last || after == ' ' || after == r)
	case '.':
		if strings.HasSuffix(strings.ToLower(text[:i]), "www") {
			return true
		}
		return (last || after == ' ') && number(text[:i])
	case ')':
		return (last || after == ' ') && number(text[:i])
	}
	return false
}

func number(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// hyphen before a number, where it can only mean less than nothing.
var hyphen = regexp.MustCompile(`(^|[ (])-(\d)`)

// minus puts the minus sign before numbers that the program printed. The text
// of a job is left as it was written.
func minus(s string) string { return hyphen.ReplaceAllString(s, "${1}−${2}") }

// or returns the text, or what stands for a missing one.
func or(text, missing md) md {
	if text == "" {
		return missing
	}
	return text
}

// stop ends a text with a full stop, unless it ends a sentence already.
func stop(text md) md {
	if text == "" || strings.ContainsAny(string(text[len(text)-1]), ".!?:") {
		return text
	}
	return text + "."
}

// brief is a text, or several as a list, of no more than some characters: what is
// longer ends in a pointer to the section that says all. It is the job's text,
// that no language has other words for.
func brief(tongue *Tongue, most int, section string, text any) md {
	whole, ok := text.(md)
	if list, several := text.([]md); several {
		for i, one := range list {
			if i > 0 {
				whole += "; "
			}
			whole += tongue.say(one)
		}
		tongue.keeps(whole)
	} else if !ok {
		whole = md(fmt.Sprint(text))
	}
	if utf8.RuneCountInString(string(whole)) <= most {
		return whole
	}
	short := md(fmt.Sprintf("%s… %s\u00A0[%s](#section:%s?)", begin(string(whole), most), tongue.Say("see"), section, section))
	tongue.keeps(short)
	return short
}

// begin is the beginning of a text, of whole words: up to where it pauses, if that
// is late enough, and never up to a number whose unit may follow.
func begin(text string, most int) string {
	text = string([]rune(text)[:most])
	text = text[:max(0, strings.LastIndexByte(text, ' '))]
	if i := max(strings.LastIndex(text, ". "), strings.LastIndex(text, ", "), strings.LastIndex(text, "; ")); 3*i > 2*len(text) {
		return text[:i+1] + " "
	}
	for text != "" && unicode.IsDigit(rune(text[len(text)-1])) {
		text = text[:max(0, strings.LastIndexByte(text, ' '))]
	}
	return text
}

// list joins words as a sentence does: "a, b and c".
func (p *printer) list(texts []string) md {
	words := make([]string, len(texts))
	for i, s := range texts {
		words[i] = p.tongue.Say(s)
	}
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return esc(words[0])
	default:
		return esc(strings.Join(words[:n-1], ", ") + " " + p.tongue.Say("and") + " " + words[n-1])
	}
}

// listed escapes each text, and drops the empty ones.
func listed(texts []string) []md {
	var all []md
	for _, s := range texts {
		if t := esc(s); t != "" {
			all = append(all, t)
		}
	}
	return all
}

// capital writes the first letter large, for the head of a row or sentence.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
