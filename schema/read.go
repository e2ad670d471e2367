package schema

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/diag"
)

// MaxSize is the size of the largest job file that is read, in bytes. A job of
// a hundred groups is a hundredth of it.
const MaxSize = 1 << 20

// Limits of a file. They keep a damaged or hostile one from taking time and
// memory; no job comes near them.
const (
	maxValues = 200_000
	maxDepth  = 50
	maxKey    = 100
)

// read turns the bytes of a file into values with their places. Where the file
// cannot be read at all it returns nil and one finding; otherwise what is wrong
// is left out or marked as refused, and the rest goes on.
func read(file string, data []byte) (*node, []diag.Finding) {
	r := &reader{file: file}
	fail := func(at diag.Position, rule, message, limit, remedy string) (*node, []diag.Finding) {
		return nil, []diag.Finding{{Rule: rule, Level: diag.Error, At: at, Message: message, Limit: limit, Remedy: remedy}}
	}
	if len(data) > MaxSize {
		return fail(r.start(), "file-too-large", "the file is larger than a job can be",
			fmt.Sprintf("at most %d MB", MaxSize>>20), "check that this is the job file, and not a record or a picture")
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	at, bad := r.scan(data)
	if bad != "" {
		if bad == "not-utf8" {
			return fail(at, bad, "the file is not UTF-8 text", "plain text in UTF-8", "save it as UTF-8 in your editor")
		}
		return fail(at, "unprintable-character", "the file holds a character that cannot be printed ("+bad+")",
			"letters, digits, punctuation and symbols up to U+FFFF", "delete or replace the character")
	}
	// Every value needs one of these marks, so the parser never meets more
	// values than this lets through.
	marks := 0
	for _, mark := range []string{"\n", ",", "[", "{", "- ", "? "} {
		marks += bytes.Count(data, []byte(mark))
	}
	if marks > maxValues {
		return fail(r.start(), "too-many-values", "the file holds more values than a job can have",
			fmt.Sprintf("at most %d", maxValues), "check that this is the job file")
	}

	doc, second, err := parse(data)
	switch {
	case errors.Is(err, io.EOF), err == nil && isNull(doc):
		return fail(r.start(), "empty-file", "the file is empty", "a job: keys such as document, part and groups",
			"write the job, or start from one that soundwrit new makes")
	case err != nil:
		at, message, remedy := syntax(data, err)
		at.File = file
		return fail(at, "not-yaml", message, "", remedy)
	case second != nil:
		at := r.position(second)
		return fail(at, "second-document", "a second document begins in the file", "one job a file",
			"delete the line --- and what follows, or put it in a file of its own")
	}

	root := r.convert(doc, nil, "", 0)
	if r.stop != nil {
		return nil, []diag.Finding{*r.stop}
	}
	root.at, root.keyAt = r.start(), r.start()
	if root.shape != mapping {
		f := root.finding("wrong-type", "the file is "+root.shape.String()+", not a job", "keys such as document, part and groups", "begin with soundwrit: 1")
		return nil, []diag.Finding{f}
	}
	return root, r.findings
}

// parse reads one document and looks for a second. The parser is not ours and
// old; should it ever panic, that too means that the text cannot be read.
func parse(data []byte) (doc, second *yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = errors.New("yaml: unreadable")
		}
	}()
	d := yaml.NewDecoder(bytes.NewReader(data))
	var first, next yaml.Node
	if err := d.Decode(&first); err != nil {
		return nil, nil, err
	}
	switch err := d.Decode(&next); {
	case err == nil:
		return first.Content[0], next.Content[0], nil
	case !errors.Is(err, io.EOF):
		return nil, nil, err
	}
	return first.Content[0], nil, nil
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" }

// scan measures the lines, and finds the first byte that is no UTF-8, or the
// first character that no part of the program can print, and says what it is.
func (r *reader) scan(data []byte) (at diag.Position, what string) {
	at = r.start()
	for i := 0; i < len(data); {
		c, n := utf8.DecodeRune(data[i:])
		switch {
		case c == utf8.RuneError && n == 1:
			return at, "not-utf8"
		case c == '\n', c == '\r' && !bytes.HasPrefix(data[i+1:], []byte("\n")):
			r.columns = append(r.columns, at.Column)
			at.Line, at.Column = at.Line+1, 0
		case c != '\r' && unprintable(c):
			return at, fmt.Sprintf("U+%04X", c)
		}
		at.Column++
		i += n
	}
	r.columns = append(r.columns, at.Column)
	return at, ""
}

// unprintable reports characters that the page cannot show, or that break
// lines where an editor does not.
func unprintable(r rune) bool {
	return r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 ||
		r == 0x2028 || r == 0x2029 || r == 0xfeff || r >= 0xfffe
}

var (
	errorLine   = regexp.MustCompile(`line (\d+)`)
	errorAnchor = regexp.MustCompile(`unknown anchor '([^']*)'`)
)

// syntax puts a syntax error in our own words. The parser tells the line only,
// often that where the broken part begins.
func syntax(data []byte, err error) (at diag.Position, message, remedy string) {
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(data)), "\n")
	at = diag.Position{Line: 1, Column: 1}
	for i, line := range lines {
		indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
		if tab := strings.IndexByte(indent, '\t'); tab >= 0 && len(indent) < len(line) {
			at.Line, at.Column = i+1, tab+1
			return at, "the line is indented with a tab", "indent with spaces, two for each level"
		}
	}
	if m := errorLine.FindStringSubmatch(err.Error()); m != nil {
		n, _ := strconv.Atoi(m[1])
		at.Line = max(1, min(n, len(lines)))
	}
	if m := errorAnchor.FindStringSubmatch(err.Error()); m != nil {
		if i := bytes.Index(data, []byte("*"+m[1])); i >= 0 {
			at, _ = new(reader).scan(data[:i])
		}
		return at, "*" + brief(m[1]) + " stands for a value that the file does not mark", "mark it with &" + brief(m[1]) + " further up, or put the text in quotes"
	}
	for _, known := range [...]struct{ library, message, remedy string }{
		{"mapping values are not allowed", "a colon stands where no key can be", "put a text that holds a colon in quotes, and check the indentation"},
		{"expected ',' or", "a list or group in brackets is not closed, or lacks a comma", "check the brackets from this line on"},
		{"unexpected end of stream", "a text in quotes is not closed", "close the quotes"},
		{"unexpected document indicator", "a text in quotes is not closed", "close the quotes"},
		{"escape", "a text in double quotes holds a backslash that means nothing", "write the backslash twice, or use single quotes"},
		{"could not find expected ':'", "a key lacks its colon", "write the colon and a space after the key"},
		{"did not find expected key", "the line does not fit the indentation above it", "indent the keys of one group by the same number of spaces"},
		{"expected '-' indicator", "the line does not fit the list above it", "begin each item with a hyphen, all at the same indentation"},
		{"incompatible YAML document", "the file asks for a YAML version that is not read", "delete the line that begins with %YAML"},
		{"sequence entries are not allowed", "a list item stands where none can be", "begin the list on a line of its own, below its key"},
		{"cannot start any token", "the line holds a character that must stand in quotes", "put the text in quotes"},
		{"max depth", "values are nested too deep", "a job needs ten levels at most"},
	} {
		if strings.Contains(err.Error(), known.library) {
			return at, known.message, known.remedy
		}
	}
	return at, "the file cannot be read as YAML from about this line on", "check indentation, colons, quotes and brackets here and just above"
}

// reader converts what the parser gives into values, and keeps what it finds.
type reader struct {
	file     string
	columns  []int // one past the last character of each line
	values   int
	findings []diag.Finding
	stop     *diag.Finding // why the whole file is refused
}

func (r *reader) start() diag.Position { return diag.Position{File: r.file, Line: 1, Column: 1} }

// position returns the place of a value. The parser puts an empty one at the
// end of the file on a line that is not there.
func (r *reader) position(n *yaml.Node) diag.Position {
	line := min(max(1, n.Line), len(r.columns))
	return diag.Position{File: r.file, Line: line, Column: min(max(1, n.Column), r.columns[line-1])}
}

// refuse tells a finding about a value, which then counts as empty.
func (r *reader) refuse(n *node, at diag.Position, rule, message, limit, remedy string) {
	f := n.finding(rule, message, limit, remedy)
	f.At = at
	r.findings = append(r.findings, f)
	n.shape, n.refused = empty, true
}

// decimal is how a number is written: other forms mean different things to
// different readers (010 is eight to some).
var decimal = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?$`)

func (r *reader) convert(y *yaml.Node, parent *node, key string, depth int) *node {
	n := &node{parent: parent, key: key, at: r.position(y)}
	n.keyAt = n.at
	if r.stop != nil {
		return n
	}
	if r.values++; r.values > maxValues || depth > maxDepth {
		f := n.finding("too-many-values", "the file holds more values than a job can have, counting each use of an alias",
			fmt.Sprintf("at most %d", maxValues), "write the values out, without aliases")
		if depth > maxDepth {
			f = n.finding("nested-too-deep", "values are nested too deep, or an alias holds itself",
				fmt.Sprintf("at most %d levels", maxDepth), "a job needs ten levels at most; check brackets and aliases")
		}
		f.Path = "" // of fifty keys, which nobody reads
		r.stop = &f
		return n
	}
	if y.Kind == yaml.AliasNode {
		// The value stands where it is used; what is inside it keeps the place
		// where it is written.
		used := r.convert(y.Alias, parent, key, depth+1)
		used.at, used.keyAt = n.at, n.at
		return used
	}
	switch tag := y.ShortTag(); tag {
	case "!!map", "!!seq", "!!str", "!!int", "!!float", "!!bool", "!!null", "!!timestamp":
	default:
		r.refuse(n, n.at, "tag", n.name()+" carries the tag "+brief(tag), "a value without a tag", "delete the word that begins with !")
		return n
	}
	switch y.Kind {
	case yaml.MappingNode:
		n.shape, n.byKey = mapping, map[string]*node{}
		for i := 0; i+1 < len(y.Content); i += 2 {
			r.entry(n, y.Content[i], y.Content[i+1], depth)
		}
	case yaml.SequenceNode:
		n.shape = list
		for i, item := range y.Content {
			n.children = append(n.children, r.convert(item, n, strconv.Itoa(i), depth+1))
		}
	default:
		r.scalar(n, y)
	}
	return n
}

// entry adds one key and its value to a mapping.
func (r *reader) entry(n *node, key, value *yaml.Node, depth int) {
	at := r.position(key)
	if key.Kind == yaml.AliasNode {
		key = key.Alias
	}
	bad := func(rule, message, limit, remedy string) {
		k := &node{parent: n, key: brief(key.Value), at: at}
		f := k.finding(rule, message, limit, remedy)
		r.findings = append(r.findings, f)
	}
	switch {
	case key.Kind != yaml.ScalarNode:
		bad("key-not-text", "a key is a list or a group of keys", "a key that is a word", "check the brackets and hyphens before the colon")
		return
	case key.ShortTag() == "!!merge":
		bad("merge-key", "<< copies keys from elsewhere, which hides what a reader must see", "each key written out", "write the keys here")
		return
	case key.Value == "" || key.ShortTag() == "!!null":
		bad("key-not-text", "a key is empty", "a key that is a word", "write the key before the colon")
		return
	case len(key.Value) > maxKey || strings.ContainsFunc(key.Value, func(c rune) bool { return unprintable(c) || c == '\n' }):
		bad("key-not-text", "a key is too long, or holds what no key can", fmt.Sprintf("at most %d characters", maxKey), "shorten it")
		return
	}
	if diag.Leftward(key.Value) {
		bad("right-to-left", "a key "+leftward, leftwardLimit, leftwardRemedy)
		return
	}
	if first := n.byKey[key.Value]; first != nil {
		k := &node{parent: n, key: key.Value, at: at}
		f := k.finding("duplicate-key", brief(key.Value)+" is given twice", "each key once", "delete one of the two")
		f.Also = []diag.Also{{At: first.keyAt, Message: "the first one"}}
		r.findings = append(r.findings, f)
		return
	}
	c := r.convert(value, n, key.Value, depth+1)
	c.keyAt = at
	if c.shape == mapping || c.shape == list || c.shape == empty && c.text == "" && !c.refused {
		c.at = at
	}
	n.byKey[key.Value] = c
	n.children = append(n.children, c)
}

// What is told of text that is written from right to left.
const (
	leftward       = "holds text that is written from right to left, as in Hebrew or Arabic, which no page here can put in order"
	leftwardLimit  = "letters that are written from left to right"
	leftwardRemedy = "write it in Latin letters, and keep the original beside the document"
)

func (r *reader) scalar(n *node, y *yaml.Node) {
	n.shape, n.text = text, y.Value
	if strings.ContainsFunc(n.text, unprintable) {
		r.refuse(n, n.at, "unprintable-character", n.name()+" holds a character that cannot be printed",
			"letters, digits, punctuation and symbols up to U+FFFF", "delete or replace the character")
		return
	}
	if diag.Leftward(n.text) {
		r.refuse(n, n.at, "right-to-left", n.name()+" "+leftward, leftwardLimit, leftwardRemedy)
		return
	}
	switch y.ShortTag() {
	case "!!null":
		n.shape = empty
	case "!!bool":
		n.shape, n.text = boolean, strings.ToLower(n.text)
	case "!!int", "!!float":
		// A number written otherwise stays a text, as which it may be fine:
		// revision 01. Where a number is needed, validation explains.
		x, err := strconv.ParseFloat(n.text, 64)
		switch {
		case strings.HasSuffix(strings.ToLower(n.text), ".nan"), strings.HasSuffix(strings.ToLower(n.text), ".inf"):
			r.refuse(n, n.at, "not-finite", n.name()+" is not a finite number", "a finite number, with its unit where it needs one", "write the number, or delete the line where it is not known")
		case err == nil && !math.IsInf(x, 0) && decimal.MatchString(n.text):
			n.shape, n.value = number, x
		}
	}
}
