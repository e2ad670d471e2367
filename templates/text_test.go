package templates

import (
	"bytes"
	"html"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"pgregory.net/rapid"
)

// shown converts Markdown to HTML and returns the text of the one block it
// makes, or false where it makes anything else.
func shown(source, before, after string) (string, bool) {
	var out bytes.Buffer
	if err := goldmark.New(goldmark.WithExtensions(extension.GFM)).Convert([]byte(source), &out); err != nil {
		return "", false
	}
	s, ok := strings.CutPrefix(strings.TrimSpace(out.String()), before)
	if !ok {
		return "", false
	}
	s, ok = strings.CutSuffix(s, after)
	return html.UnescapeString(s), ok && !strings.Contains(s, "<")
}

// places are where a template may put a text: a paragraph, the middle of a
// line, a list, a heading, emphasis, a table cell.
var places = []struct{ start, end, before, after string }{
	{"", "\n", "<p>", "</p>"},
	{"Datum: ", " end\n", "<p>Datum: ", " end</p>"},
	{"- ", "\n", "<ul>\n<li>", "</li>\n</ul>"},
	{"### 9.1 Group ", "\n", "<h3>9.1 Group ", "</h3>"},
	{"| a |\n| --- |\n| ", " |\n", "<table>\n<thead>\n<tr>\n<th>a</th>\n</tr>\n</thead>\n<tbody>\n<tr>\n<td>", "</td>\n</tr>\n</tbody>\n</table>"},
}

func TestEscapedTextShowsItself(t *testing.T) {
	check := func(t interface{ Errorf(string, ...any) }, s string) {
		escaped := esc(s)
		if escaped == "" {
			return
		}
		want := strings.Join(strings.Fields(s), " ")
		for _, p := range places {
			source := p.start + string(escaped) + p.end
			if got, ok := shown(source, p.before, p.after); !ok || got != want {
				t.Errorf("%q escaped as %q in %q shows %q (%v)", s, escaped, p.start, got, ok)
			}
		}
	}
	for _, s := range []string{
		"plain text", "- item", "-", "--", "---", "+ item", "1. item", "12) item", "1.5 mm", "-40 mm", "# head", "###### head", "#5", "> quote", "===", "=",
		"a_b_c", "_a_", "__init__", "a * b", "**", "`", "``x``", `\`, `\\`, `\|`, `a\`, "|", "||", "a|b", "<b>", "a < b > c", "<!-- page -->", "<http://x.example>",
		"&amp;", "&#65;", "&", "AT&T", "R&D;", "https://x.example/y", "www.x.example", "WWW.x.example", "a@b.example", "x:smile:y", "10:30", "ISO 13588:2019", "~~a~~", "~a~", "~~~", "[x]", "[a](b)", "![a](b)", "[^1]",
		"[ ] task", "$x$", "{#id}", ":--", ":-:", "a  b\tc\nd", "ü – µ λ ≤ °", "$2$", "a\\*b", "http://a_b_c.example", "ftp://x.example", "mailto:a@b.example", "!", "!!", "a!", "1.", "1)", "0.5", "...", "* * *", "- - -", "_ _ _", "a\\", "#", "a #", "a ##", "####### x", "+", "+-",
	} {
		check(t, s)
	}
	if t.Failed() {
		return
	}
	// Made of the characters that mean something, so that they meet in every order.
	random := rapid.StringOfN(rapid.RuneFrom([]rune("aab1 0.)-+*_`~\\|<>[](){}#!&;:@/=$^\"'wW%,\n\té")), 0, 14, -1)
	rapid.Check(t, func(t *rapid.T) { check(t, random.Draw(t, "text")) })
}

func TestEscapedTextHidesNothing(t *testing.T) {
	for in, want := range map[string]md{
		"5 mm\u202e mm 52": "5 mm mm 52", // turned text could show another number
		"a\x00b\x1bc":      "a b c",
		"bad \xff byte":    "bad \uFFFD byte",
		"  ":               "",
	} {
		if got := esc(in); got != want {
			t.Errorf("esc(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestStopEndsASentenceOnce(t *testing.T) {
	for in, want := range map[md]md{"a": "a.", "a.": "a.", "a!": "a!", "": "", "ende 5 µ": "ende 5 µ."} {
		if got := stop(in); got != want {
			t.Errorf("stop(%q) = %q, want %q", in, got, want)
		}
	}
}

// A shortened text ends where it pauses or between words, never at a number whose
// unit it cuts off, and says where the rest is.
func TestBriefEndsWell(t *testing.T) {
	for _, c := range []struct {
		most     int
		in, want md
	}{
		{40, "free of spatter for 200 mm on each side", "free of spatter for 200 mm on each side"},
		{18, "free of spatter for 200 mm on each side", "free of spatter… see\u00A0[8](#section:8?)"},
		{24, "free of spatter for 200 mm on each side", "free of spatter for… see\u00A0[8](#section:8?)"},
		{30, "W-1, W-2, W-3, W-4, W-5, W-6 and W-7", "W-1, W-2, W-3, W-4, W-5, … see\u00A0[8](#section:8?)"},
		{9, "unbrokenword", "… see\u00A0[8](#section:8?)"},
		{12, `\*\*bold\*\* and more`, "… see\u00A0[8](#section:8?)"},
	} {
		if got := brief(nil, c.most, "8", c.in); got != c.want {
			t.Errorf("%q in %d: %q, want %q", c.in, c.most, got, c.want)
		}
	}
	if got := brief(nil, 30, "12", []md{"at the start", "in doubt"}); got != "at the start; in doubt" {
		t.Errorf("a list: %q", got)
	}
}
