package schema

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Edit is one value to be set in a job file. Value is written as YAML on one
// line: 94 mm, [A, B], {from: 10 mm, to: 25 mm}.
type Edit struct{ Path, Value string }

// Set writes values into the text of a job and leaves everything else as it
// is: comments, order, spacing. A key that is not there is added to the group of
// keys it belongs to. The edited text is read back: an edit that would change
// anything else is an error, and so is one for which there is no place.
func Set(text []byte, edits ...Edit) ([]byte, error) {
	for _, e := range edits {
		next, err := set(text, e)
		if err != nil {
			return nil, fmt.Errorf("%s cannot be set to %s: %w", e.Path, e.Value, err)
		}
		text = next
	}
	return text, nil
}

func set(text []byte, e Edit) ([]byte, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil || len(doc.Content) != 1 {
		return nil, errors.New("the job cannot be read")
	}
	var value yaml.Node
	if err := yaml.Unmarshal([]byte(e.Value), &value); err != nil || len(value.Content) != 1 || strings.Contains(e.Value, "\n") {
		return nil, errors.New("the value is no YAML of one line")
	}
	keys := strings.Split(e.Path, ".")
	at, above := doc.Content[0], (*yaml.Node)(nil)
	for i, key := range keys {
		next := childOf(at, key)
		if next == nil {
			if at.Kind != yaml.MappingNode {
				return nil, errors.New("there is no place for it")
			}
			rest := e.Value
			for j := len(keys) - 1; j > i; j-- {
				rest = "{" + keys[j] + ": " + rest + "}"
			}
			out, err := insert(text, at, key, rest)
			return checked(text, out, e, err)
		}
		at, above = next, keyOfNode(at, key)
	}
	out, err := replace(text, at, above, e.Value)
	return checked(text, out, e, err)
}

// keyOfNode returns the key of a mapping as a node; nil in a list.
func keyOfNode(n *yaml.Node, key string) *yaml.Node {
	for i := 0; n.Kind == yaml.MappingNode && i < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i]
		}
	}
	return nil
}

// childOf returns the value under a key or at an index; nil where there is none.
func childOf(n *yaml.Node, key string) *yaml.Node {
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == key {
				return n.Content[i+1]
			}
		}
	case yaml.SequenceNode:
		if i, err := strconv.Atoi(key); err == nil && i >= 0 && i < len(n.Content) {
			return n.Content[i]
		}
	}
	return nil
}

// offset is where a line and column stand in the text; columns count characters.
func offset(text []byte, line, column int) int {
	i := 0
	for ; line > 1; line-- {
		i += bytes.IndexByte(text[i:], '\n') + 1
	}
	if line == 1 && i == 0 {
		i += len(text) - len(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")))
	}
	for ; column > 1; column-- {
		_, n := utf8.DecodeRune(text[i:])
		i += n
	}
	return i
}

// replace writes a value in the place of another. What stands on several lines
// below its key gives way with the comments in it.
func replace(text []byte, n, key *yaml.Node, value string) ([]byte, error) {
	start := offset(text, n.Line, n.Column)
	end := start
	switch {
	case n.Kind == yaml.ScalarNode && n.Style == 0 && bytes.HasPrefix(text[start:], []byte(n.Value)) && n.Value != "":
		end += len(n.Value)
	case n.Kind == yaml.ScalarNode && (n.Style == yaml.DoubleQuotedStyle || n.Style == yaml.SingleQuotedStyle),
		n.Kind != yaml.ScalarNode && n.Style&yaml.FlowStyle != 0:
		end = closing(text, start)
	case key != nil:
		start = offset(text, key.Line, key.Column) + len(key.Value)
		if colon := bytes.IndexByte(text[start:], ':'); colon == 0 {
			start++
		} else {
			return nil, errors.New("its key is written in an unusual way")
		}
		end, value = below(text, start, key.Column, n.Kind == yaml.SequenceNode), " "+value
	default:
		return nil, errors.New("the present value stands on several lines of a list")
	}
	if end <= start {
		return nil, errors.New("the end of the present value is not found")
	}
	return slices.Concat(text[:start], []byte(value), text[end:]), nil
}

// below returns where the lines end that belong to a key in a column: those
// indented deeper, and the items of a list that stand right under it.
func below(text []byte, from, column int, list bool) int {
	next := func(i int) int {
		if j := bytes.IndexByte(text[i:], '\n'); j >= 0 {
			return i + j + 1
		}
		return len(text)
	}
	end := from
	for at := next(from); ; at = next(at) {
		line := text[at:next(at)]
		trimmed := bytes.TrimLeft(line, " ")
		indent := len(line) - len(trimmed)
		blank := len(bytes.TrimSpace(line)) == 0
		if !blank && indent < column && !(list && indent == column-1 && bytes.HasPrefix(trimmed, []byte("-"))) || len(line) == 0 {
			break
		}
		if !blank {
			end = at + len(bytes.TrimRight(line, "\r\n"))
		}
	}
	return end
}

// closing returns where a quoted text, or a collection in brackets, ends.
func closing(text []byte, start int) int {
	depth := 0
	for i := start; i < len(text); i++ {
		switch c := text[i]; c {
		case '"', '\'':
			for i++; i < len(text) && text[i] != c; i++ {
				if c == '"' && text[i] == '\\' {
					i++
				}
			}
			for c == '\'' && i+1 < len(text) && text[i+1] == '\'' { // a quote in the text
				for i += 2; i < len(text) && text[i] != c; i++ {
				}
			}
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		}
		if depth == 0 {
			return i + 1
		}
	}
	return start
}

// insert adds a key as the first of its group.
func insert(text []byte, n *yaml.Node, key, value string) ([]byte, error) {
	if n.Style&yaml.FlowStyle != 0 {
		at := offset(text, n.Line, n.Column) + 1
		comma := ", "
		if len(n.Content) == 0 {
			comma = ""
		}
		return slices.Concat(text[:at], []byte(key+": "+value+comma), text[at:]), nil
	}
	if len(n.Content) == 0 {
		return nil, errors.New("the group of keys is empty")
	}
	first := n.Content[0]
	at := offset(text, first.Line, first.Column)
	line := bytes.LastIndexByte(text[:at], '\n') + 1
	indent := text[line:at]
	if len(bytes.TrimLeft(indent, " ")) > 0 {
		return nil, errors.New("the group of keys begins behind other text")
	}
	end := "\n"
	if i := bytes.IndexByte(text[at:], '\n'); i > 0 && text[at+i-1] == '\r' {
		end = "\r\n"
	}
	return slices.Concat(text[:line], indent, []byte(key+": "+value+end), text[line:]), nil
}

// checked reads the edited text back.
func checked(before, after []byte, e Edit, err error) ([]byte, error) {
	if err != nil {
		return nil, err
	}
	var was, is, want any
	if yaml.Unmarshal(before, &was) != nil || yaml.Unmarshal(after, &is) != nil || yaml.Unmarshal([]byte(e.Value), &want) != nil {
		return nil, errors.New("it would break the file")
	}
	if put(&was, strings.Split(e.Path, "."), want); !reflect.DeepEqual(was, is) {
		return nil, errors.New("it would change more than that")
	}
	return after, nil
}

// put sets a value in a decoded tree.
func put(at *any, keys []string, value any) {
	if len(keys) == 0 {
		*at = value
		return
	}
	switch v := (*at).(type) {
	case map[string]any:
		child := v[keys[0]]
		if child == nil && len(keys) > 1 {
			child = map[string]any{}
		}
		put(&child, keys[1:], value)
		v[keys[0]] = child
	case []any:
		if i, err := strconv.Atoi(keys[0]); err == nil && i >= 0 && i < len(v) {
			put(&v[i], keys[1:], value)
		}
	}
}
