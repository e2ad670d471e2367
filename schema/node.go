package schema

import (
	"strconv"
	"strings"

	"soundwrit/internal/diag"
)

// shape is what a value of the file is, before anything is known of its
// meaning.
type shape uint8

const (
	empty shape = iota // a key without a value, or a value that was refused
	mapping
	list
	text
	number
	boolean
)

func (s shape) String() string {
	return [...]string{"empty", "a group of keys", "a list", "a text", "a number", "true or false"}[s]
}

// node is one value of the file. Aliases are expanded, so that a node has one
// parent and one path.
type node struct {
	shape    shape
	parent   *node // nil at the top
	key      string
	children []*node          // of a mapping or list, in the order of the file
	byKey    map[string]*node // of a mapping
	text     string           // of a scalar, as written
	value    float64          // of a number
	at       diag.Position    // see Job.At
	keyAt    diag.Position    // of the key; of the value itself in a list
	refused  bool             // a finding is already told about it
}

// path returns the dotted path of the node: "groups.upper.angles.to".
func (n *node) path() string {
	var keys []string
	for ; n.parent != nil; n = n.parent {
		keys = append(keys, n.key)
	}
	for i, j := 0, len(keys)-1; i < j; i, j = i+1, j-1 {
		keys[i], keys[j] = keys[j], keys[i]
	}
	return strings.Join(keys, ".")
}

// child returns the value under a key or, in a list, at an index. It is nil
// where there is none, also for a nil receiver.
func (n *node) child(key string) *node {
	switch {
	case n == nil:
		return nil
	case n.shape == mapping:
		return n.byKey[key]
	case n.shape == list:
		if i, err := strconv.Atoi(key); err == nil && i >= 0 && i < len(n.children) {
			return n.children[i]
		}
	}
	return nil
}

// find follows a dotted path as far as the file has it, and reports whether it
// has all of it.
func (n *node) find(path string) (*node, bool) {
	if path == "" {
		return n, true
	}
	for key := range strings.SplitSeq(path, ".") {
		next := n.child(key)
		if next == nil {
			return n, false
		}
		n = next
	}
	return n, true
}

// name is how a sentence calls the value: its key, or "item 2 of people".
func (n *node) name() string {
	switch {
	case n.parent == nil:
		return "the file"
	case n.parent.shape == list:
		i, _ := strconv.Atoi(n.key)
		return "item " + strconv.Itoa(i+1) + " of " + n.parent.name()
	}
	return brief(n.key)
}

// written is the value as a finding quotes it: nothing for more than a scalar.
func (n *node) written() string {
	if n.shape == text && n.text == "" {
		return `""`
	}
	return brief(n.text)
}

// brief shortens a text for a message: a job may hold anything.
func brief(s string) string {
	const most = 60
	if r := []rune(s[:min(len(s), 4*most)]); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// finding starts a finding about the value.
func (n *node) finding(rule, message, limit, remedy string) diag.Finding {
	return diag.Finding{Rule: rule, Level: diag.Error, At: n.at, Path: n.path(), Message: message,
		Actual: n.written(), Limit: limit, Remedy: remedy}
}

// plain returns the value as the schema library takes it. Numbers go as
// float64: the library turns them into exact fractions, and a text such as
// 1e-999999999 would become one of a billion digits.
func (n *node) plain() any {
	switch n.shape {
	case mapping:
		m := make(map[string]any, len(n.children))
		for _, c := range n.children {
			m[c.key] = c.plain()
		}
		return m
	case list:
		l := make([]any, len(n.children))
		for i, c := range n.children {
			l[i] = c.plain()
		}
		return l
	case text:
		return n.text
	case number:
		return n.value
	case boolean:
		return n.text == "true"
	}
	return nil
}

// At returns the position of a path in the job file. A single value is at its
// own first character, since that is what must change; a group of keys or a
// list is at its key, since that is where an editor folds it; an item of a list
// is at its first character. A path that the file does not have is at its
// nearest ancestor, the place where it belongs; the whole job is at 1:1.
func (j *Job) At(path string) diag.Position {
	if j.root == nil {
		return diag.Position{File: j.File, Line: 1, Column: 1}
	}
	n, _ := j.root.find(path)
	return n.at
}

// Texts visits each text of the job file, in its order, by its path.
func (j *Job) Texts(visit func(path, text string)) {
	var below func(n *node)
	below = func(n *node) {
		if n.shape == text {
			visit(n.path(), n.text)
		}
		for _, c := range n.children {
			below(c)
		}
	}
	if j.root != nil {
		below(j.root)
	}
}

// Has reports whether the job file itself gives the path, with a value.
func (j *Job) Has(path string) bool {
	if j.root == nil {
		return false
	}
	n, ok := j.root.find(path)
	return ok && n.shape != empty
}

// Written returns a value of the job file as it is written, on one line; empty
// where the file does not have it.
func (j *Job) Written(path string) string {
	if j.root == nil {
		return ""
	}
	n, ok := j.root.find(path)
	if !ok {
		return ""
	}
	return n.line()
}

// line writes a value on one line.
func (n *node) line() string {
	var parts []string
	for _, c := range n.children {
		if n.shape == mapping {
			parts = append(parts, c.key+": "+c.line())
		} else {
			parts = append(parts, c.line())
		}
	}
	switch n.shape {
	case mapping:
		return "{" + strings.Join(parts, ", ") + "}"
	case list:
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return n.text
}
