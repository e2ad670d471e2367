package templates

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
	tree "text/template/parse"
	"unicode"

	"soundwrit/schema"
)

//go:embed languages/*.txt
var languages embed.FS

// Tongue is the language of a document beside English, in which the program's
// own words are written down. It translates line by line: a line of a template
// as it stands in the file, with its actions, a text of a rule book, and a phrase
// that the code puts together, in which holes stand for what changes. So there is
// one set of templates and of books for all languages, and what a language has no
// words for stays in English, where a test finds it.
//
// A nil Tongue is English.
type Tongue struct {
	said     map[string]string
	phrases  map[string][]phrase // by their first word, or "" where they begin with a hole
	document string              // BCP 47
}

// phrase is a text with holes: {} for any text, {n} for one that begins like a
// number, and in texts of rule books {limit}, {subject} and the like for any. In
// the translation {1} is the first hole, {limit} the one of that name; {} and {n}
// take them in order.
type phrase struct {
	parts []string // between the holes: one more than there are holes
	holes []string // the names of the holes
	says  string
}

// Language returns the words of a language, nil where the program has none of
// its own because it is English.
func Language(code string) *Tongue {
	if code == "" || code == "en" {
		return nil
	}
	return tongues()[code] // the schema admits those that have a file
}

// tongues are the languages by their codes, each of thousands of lines: they are
// read once, for a document asks for its language in many places. A language has
// one file named by its code, and others in which a part follows: de-iso.txt.
var tongues = sync.OnceValue(func() map[string]*Tongue {
	names, err := fs.Glob(languages, "languages/*.txt")
	if err != nil {
		panic("templates: embedded languages: " + err.Error())
	}
	all := map[string]*Tongue{}
	for _, name := range names {
		data, err := fs.ReadFile(languages, name)
		if err != nil {
			panic("templates: embedded languages: " + err.Error())
		}
		code, _, _ := strings.Cut(strings.TrimSuffix(path.Base(name), ".txt"), "-")
		if all[code] == nil {
			all[code] = &Tongue{said: map[string]string{}, phrases: map[string][]phrase{}, document: code}
		}
		all[code].read(string(data))
	}
	for _, t := range all {
		for _, some := range t.phrases {
			// What says more goes before what says less.
			slices.SortStableFunc(some, func(a, b phrase) int { return b.length() - a.length() })
		}
	}
	return all
})

// read adds the words of one file.
func (t *Tongue) read(text string) {
	english := ""
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\r\n")
		switch {
		case line == "" || strings.HasPrefix(line, "// "):
		case line[0] != '\t':
			english = line
		default:
			t.add(english, line[1:])
		}
	}
}

// Of returns the language that a technique is written in, nil for English. The
// names and the free texts of the job are none of its words, even where they are
// spelled alike: they stay as they were written.
func Of(job *schema.Job) *Tongue {
	language := Language(job.Document.Language)
	if language == nil {
		return nil
	}
	t := *language
	t.said = maps.Clone(t.said)
	t.keep("", reflect.ValueOf(job))
	return &t
}

// keeps holds a text back from translation.
func (t *Tongue) keeps(text md) {
	if t != nil {
		t.said[string(text)] = string(text)
	}
}

func (t *Tongue) keep(field string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			t.keep(field, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			t.keep(field, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			chosen := f.Name == "Result" && v.Type() == reflect.TypeFor[schema.Return]() // from the words of the schema
			if f.IsExported() && !chosen {
				t.keep(f.Name, v.Field(i))
			}
		}
	case reflect.String:
		text := v.String()
		if field == "Name" || strings.Contains(text, " ") && field != "Status" {
			t.said[text], t.said[string(esc(text))] = text, string(esc(text))
		}
	}
}

var hole = regexp.MustCompile(`\{([a-z]*|\d)\}`)

func (t *Tongue) add(english, other string) {
	holes := hole.FindAllStringSubmatchIndex(english, -1)
	if strings.Contains(english, "{{") || holes == nil {
		t.said[english] = other
		return
	}
	p := phrase{says: other}
	end := 0
	for _, at := range holes {
		p.parts, p.holes = append(p.parts, english[end:at[0]]), append(p.holes, english[at[2]:at[3]])
		end = at[1]
	}
	p.parts = append(p.parts, english[end:])
	first := firstWord(p.parts[0])
	t.phrases[first] = append(t.phrases[first], p)
}

// length is how much of a phrase is fixed.
func (p phrase) length() int { return len(strings.Join(p.parts, "")) }

// firstWord is what a text begins with up to the first space; "" where a hole
// may reach into the word.
func firstWord(text string) string {
	word, _, whole := strings.Cut(text, " ")
	if !whole {
		return ""
	}
	return word
}

// Say translates a text of the program. What stands in a hole is translated in
// turn. A text that the language does not know is returned as it is.
func (t *Tongue) Say(text string) string {
	if t == nil || text == "" {
		return text
	}
	if said, ok := t.said[text]; ok {
		return said
	}
	if !strings.ContainsFunc(text, unicode.IsLetter) {
		return text
	}
	if before, after, more := strings.Cut(text, "\n"); more {
		return t.Say(before) + "\n" + t.Say(after)
	}
	word, _, _ := strings.Cut(text, " ")
	for _, p := range t.phrases[word] {
		if said, ok := t.fill(p, text); ok {
			return said
		}
	}
	for _, p := range t.phrases[""] {
		if said, ok := t.fill(p, text); ok {
			return said
		}
	}
	return text
}

// sayPieces is Say for a text whose pieces are said one by one where the language
// does not know it whole: those between the first separator, in them those between
// the second.
func (t *Tongue) sayPieces(text string, separators ...string) string {
	if t == nil {
		return text
	}
	if said, ok := t.said[text]; ok {
		return said
	}
	if len(separators) == 0 {
		return t.Say(text)
	}
	pieces := strings.Split(text, separators[0])
	for i := range pieces {
		pieces[i] = t.sayPieces(pieces[i], separators[1:]...)
	}
	return strings.Join(pieces, separators[0])
}

// fill reports whether a text is the phrase, and translates it.
func (t *Tongue) fill(p phrase, text string) (string, bool) {
	rest, ok := strings.CutPrefix(text, p.parts[0])
	if !ok {
		return "", false
	}
	var filled []string
	for i, part := range p.parts[1:] {
		at := strings.Index(rest, part)
		if i == len(p.parts)-2 {
			at = len(rest) - len(part)
			if at < 0 || !strings.HasSuffix(rest, part) {
				return "", false
			}
		}
		if at <= 0 || p.holes[i] == "n" && !numeric(rest[:at]) {
			return "", false
		}
		said := t.Say(rest[:at])
		if name := p.holes[i]; name != "subject" && len(name) > 1 {
			said = t.Decimal(said) // a value of the rule, which may be a mere number
		}
		filled = append(filled, said)
		rest = rest[at+len(part):]
	}
	next := 0
	return hole.ReplaceAllStringFunc(p.says, func(h string) string {
		name := h[1 : len(h)-1]
		n := slices.Index(p.holes, name)
		switch {
		case name == "" || name == "n":
			n, next = next, next+1
		case name[0] <= '9':
			n = int(name[0] - '1')
		}
		if n < 0 || n >= len(filled) {
			return h
		}
		return filled[n]
	}), true
}

func numeric(text string) bool {
	if strings.Contains(text, "; ") || strings.Contains(text, ". ") {
		return false // more than one thing is said
	}
	text = strings.TrimLeft(text, "*+−-<")
	return text != "" && text[0] >= '0' && text[0] <= '9'
}

// say is Say for text that is escaped already.
func (t *Tongue) say(text md) md { return md(t.Say(string(text))) }

var (
	measured = regexp.MustCompile(`(\d)\.(\d+)( ?(?:[µmk]?m|mm/s|m/s|km/s|in|in/s|d[BA]|[kMG]?Hz|[µmn]?s|min|h|%|°C?|°F|K|λ|[kMGT]B)(?:[^\pL\d]|$)|°)`)
	bare     = regexp.MustCompile(`^(?:at least |at most )?[+−-]?\d+(?:\.\d+)?(?: to [+−-]?\d+(?:\.\d+)?)?$`)
)

// Decimal writes the decimal sign of the language into the numbers that the
// program printed: those with a unit, or a text that is a number or a limit of one.
func (t *Tongue) Decimal(text string) string {
	if t == nil {
		return text
	}
	if bare.MatchString(text) {
		return t.comma(text)
	}
	return measured.ReplaceAllString(text, "$1,$2$3")
}

// comma is Decimal for a text that is nothing but numbers and units.
func (t *Tongue) comma(text string) string {
	if t == nil {
		return text
	}
	return strings.ReplaceAll(text, ".", ",")
}

// template translates the lines of a template.
func (t *Tongue) template(text string) string {
	if t == nil {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		bare := strings.TrimSpace(line)
		if said, ok := t.said[bare]; ok && bare != "" {
			lines[i] = strings.Replace(line, bare, said, 1)
		}
	}
	return strings.Join(lines, "\n")
}

// Wording is a folder of templates in the language.
func (t *Tongue) Wording(folder fs.FS, name string) ([]byte, error) {
	data, err := fs.ReadFile(folder, name)
	return []byte(t.template(string(data))), err
}

// speak makes every action of a template that prints something say it in the
// language: comparisons in a template are of the English words.
func speak(node tree.Node) {
	switch n := node.(type) {
	case *tree.ListNode:
		if n == nil {
			return
		}
		for _, one := range n.Nodes {
			speak(one)
		}
	case *tree.ActionNode:
		if len(n.Pipe.Decl) == 0 {
			say := tree.NewIdentifier("say").SetPos(n.Pos).SetTree(nil)
			n.Pipe.Cmds = append(n.Pipe.Cmds, &tree.CommandNode{NodeType: tree.NodeCommand, Pos: n.Pos, Args: []tree.Node{say}})
		}
	case *tree.IfNode:
		speak(n.List)
		speak(n.ElseList)
	case *tree.RangeNode:
		speak(n.List)
		speak(n.ElseList)
	case *tree.WithNode:
		speak(n.List)
		speak(n.ElseList)
	}
}

// decimals writes the decimal sign into what the program printed in a part of
// the view.
func (t *Tongue) decimals(v reflect.Value) {
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			t.decimals(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			switch v.Type().Field(i).Name {
			case "Clause", "Code", "Where": // numbers of sections
			default:
				t.decimals(v.Field(i))
			}
		}
	case reflect.String:
		if v.CanSet() {
			v.SetString(t.Decimal(v.String()))
		}
	}
}

// printed says what a template prints.
func (t *Tongue) printed(what any) md { return t.say(md(fmt.Sprint(what))) }
