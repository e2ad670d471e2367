package schema

import (
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"soundwrit/internal/diag"
)

// validate checks the file against the schema and explains, in sentences of
// our own, everything that does not fit. Each value that is told about counts
// as refused.
func (s schemas) validate(root *node) []diag.Finding {
	err := s.compiled.Validate(root.plain())
	var top *jsonschema.ValidationError
	if !errors.As(err, &top) {
		return nil
	}
	leaves := leavesOf(top, nil)
	// Of two violations of one value the first is told, so their order counts.
	slices.SortFunc(leaves, func(a, b *jsonschema.ValidationError) int {
		return cmp.Or(
			cmp.Compare(a.InstanceLocation, b.InstanceLocation),
			cmp.Compare(a.AbsoluteKeywordLocation, b.AbsoluteKeywordLocation),
		)
	})
	var findings []diag.Finding
	for _, e := range leaves {
		_, keyword, _ := strings.Cut(e.AbsoluteKeywordLocation, "#")
		findings = append(findings, s.explain(instance(root, e.InstanceLocation), keyword)...)
	}
	return findings
}

// leavesOf gathers the violations that have no cause of their own; the others
// only say that something below them is wrong.
func leavesOf(e *jsonschema.ValidationError, leaves []*jsonschema.ValidationError) []*jsonschema.ValidationError {
	if len(e.Causes) == 0 {
		return append(leaves, e)
	}
	for _, cause := range e.Causes {
		leaves = leavesOf(cause, leaves)
	}
	return leaves
}

// nothing is what a finding quotes for a value that is not there.
const nothing = "nothing"

// instance returns the value at a place that the library names.
func instance(root *node, pointer string) *node {
	n := root
	for token := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		token, err := url.PathUnescape(token)
		if err != nil {
			return n
		}
		token = strings.ReplaceAll(strings.ReplaceAll(token, "~1", "/"), "~0", "~")
		if next := n.child(token); next != nil {
			n = next
		}
	}
	return n
}

// explain turns one violation, known by the value and by the keyword's place
// in the schema, into findings.
func (s schemas) explain(n *node, keyword string) []diag.Finding {
	if n.refused {
		return nil
	}
	cut := strings.LastIndexByte(keyword, '/')
	owner, word := s.pointer(keyword[:cut]), keyword[cut+1:]
	o := s.at(n)
	name := n.name()
	one := func(rule, message, limit, remedy string) []diag.Finding {
		n.refused = true
		return []diag.Finding{n.finding(rule, message, limit, remedy)}
	}

	if strings.HasSuffix(keyword[:cut], "/then/properties") {
		return s.misplaced(n, word)
	}
	if strings.HasSuffix(keyword[:cut], "/propertyNames") {
		f := n.finding("bad-name", name+" cannot be a name", "at most 40 letters, digits, - and _, beginning with a letter or digit", "choose another name, also where the job refers to it")
		f.At = n.keyAt
		return []diag.Finding{f}
	}
	switch word {
	case "required":
		return s.missing(n, owner)
	case "additionalProperties":
		return s.unknown(n, owner)
	}
	if n.shape == empty {
		n.text = nothing
		return one("empty-value", name+" has no value", s.expects(o), "write a value, or delete the line where the key is not needed")
	}
	if kind, ok := s.kindOf(o); ok {
		if strings.HasPrefix(word, "x-") && word != "x-quantity" {
			limit := s.rangeOf(o, kind)
			size := "small"
			if word == "x-max" {
				size = "large"
			}
			return one("out-of-range", name+" is too "+size, limit, "check the number and its unit")
		}
		f, bad := s.badQuantity(n, o, kind)
		if !bad {
			return nil
		}
		n.refused = true
		return []diag.Finding{f}
	}
	switch word {
	case "type":
		if n.shape == text && s.resolved(o)["type"] == "integer" && strings.Trim(n.text, "+-0123456789_.xobeE") == "" {
			if decimal.MatchString(n.text) {
				return one("wrong-type", name+" is a text in quotes", s.expects(o), "write the number without quotes")
			}
			return one("not-decimal", name+" is not written as a plain decimal number", s.expects(o), "write digits only, without leading zeros or marks between them")
		}
		return one("wrong-type", name+" is "+n.shape.String(), s.expects(o), wrongType(n, s.resolved(o)))
	case "enum", "const":
		remedy := "write one of these"
		if near := diag.Nearest(n.text, values(o)); near != "" {
			remedy = "write " + near
		}
		return one("wrong-value", fmt.Sprintf("%s cannot be %s", name, n.written()), s.expects(o), remedy)
	case "minimum", "maximum":
		return one("out-of-range", fmt.Sprintf("%s is too %s", name, map[string]string{"minimum": "small", "maximum": "large"}[word]), s.expects(o), "check the number")
	case "pattern":
		return one("wrong-form", name+" is not in the form it must have", s.expects(o), "write it as in the example")
	case "minLength":
		return one("empty-value", name+" is an empty text", s.expects(o), "write the text, or delete the line")
	case "maxLength":
		return one("text-too-long", name+" is longer than the page can take", fmt.Sprintf("at most %v characters", owner[word]), "shorten it")
	case "minProperties", "maxProperties":
		if owner["additionalProperties"] == false {
			names := slices.Sorted(slices.Values(keys(owner)))
			return one("not-one", name+" needs exactly one of its keys", oneOf(names), "keep one and delete the others")
		}
	}
	if strings.HasPrefix(word, "min") {
		return one("too-few", name+" holds nothing", s.expects(o), "add at least one entry")
	}
	return one("too-many", name+" holds too many entries", fmt.Sprintf("at most %v", owner[word]), "keep the ones that are needed")
}

// missing tells of each key that an object needs and does not have.
func (s schemas) missing(n *node, owner object) []diag.Finding {
	var findings []diag.Finding
	for _, key := range owner["required"].([]any) {
		key := key.(string)
		if n.child(key) != nil || s.misspelled(n, key) {
			continue
		}
		what := s.below(s.at(n), key)
		where := "under " + n.path()
		if n.parent == nil {
			where = "at the left margin"
		}
		f := n.finding("missing-key", n.name()+" lacks "+key, s.expects(what), "write "+sample(key, what)+" "+where)
		f.Path, f.Actual = strings.TrimPrefix(n.path()+"."+key, "."), nothing
		findings = append(findings, f)
	}
	return findings
}

// misspelled reports whether one of the unknown keys of an object is so near to
// a key that it was meant: one finding is enough then.
func (s schemas) misspelled(n *node, key string) bool {
	names := slices.Sorted(slices.Values(keys(s.resolved(s.at(n)))))
	for _, c := range n.children {
		// The first test is quick, and a hostile file has many keys.
		if diag.Nearest(c.key, []string{key}) == key && !slices.Contains(names, c.key) && diag.Nearest(c.key, names) == key {
			return true
		}
	}
	return false
}

// unknown tells of each key that an object cannot have.
func (s schemas) unknown(n *node, owner object) []diag.Finding {
	names := slices.Sorted(slices.Values(keys(owner)))
	limit := oneOf(names)
	var findings []diag.Finding
	for _, c := range n.children {
		if slices.Contains(names, c.key) {
			continue
		}
		remedy := "delete it, or move it to where it belongs"
		if near := diag.Nearest(c.key, names); near != "" {
			remedy = "write " + near
		}
		message := brief(c.key) + " is not a key of " + n.name()
		if n.parent == nil {
			message = brief(c.key) + " is not a key of a job"
		}
		f := c.finding("unknown-key", message, limit, remedy)
		f.At = c.keyAt
		c.refused = true
		findings = append(findings, f)
	}
	return findings
}

// misplaced tells of a key that another key of the same object rules out.
func (s schemas) misplaced(n *node, key string) []diag.Finding {
	o := s.at(n.parent)
	by, yes := forbidden(o, n.parent, key)
	if !yes {
		return nil
	}
	limit := ""
	if with := allows(o, by, key); len(with) > 0 {
		limit = key + " goes with " + by.key + " " + oneOf(with)
	}
	f := n.finding("misplaced-key", fmt.Sprintf("%s does not go with %s %s", key, by.key, by.value), limit, "delete "+key+", or change "+by.key)
	f.At = n.keyAt
	f.Also = []diag.Also{{At: n.parent.child(by.key).at, Message: by.key + ": " + by.value}}
	n.refused = true
	return []diag.Finding{f}
}

// expects says what the schema wants for a value.
func (s schemas) expects(o object) string {
	if kind, ok := s.kindOf(o); ok {
		return s.aQuantity(o, kind)
	}
	full := s.resolved(o)
	if v := values(full); len(v) > 0 {
		if len(v) == 1 {
			return v[0]
		}
		return oneOf(v)
	}
	switch t, _ := full["type"].(string); t {
	case "integer":
		return "a whole number from " + plainNumber(full["minimum"]) + " to " + plainNumber(full["maximum"])
	case "array":
		return "a list, each item on a line of its own after a hyphen, or in brackets"
	case "object":
		if required, ok := full["required"].([]any); ok {
			return "keys below it: " + strings.Trim(fmt.Sprint(required), "[]")
		}
		return "keys below it, further to the right"
	}
	// x-form says in words what a pattern says in signs.
	if form, ok := full["x-form"].(string); ok {
		return form + ", such as " + example(o)
	}
	return "a text, such as " + example(o)
}

// plainNumber writes a number of the schema without an exponent.
func plainNumber(x any) string {
	if f, ok := x.(float64); ok {
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	return fmt.Sprint(x)
}

// values lists the values that an enum or const allows.
func values(o object) []string {
	list, _ := o["enum"].([]any)
	if c, ok := o["const"]; ok {
		list = []any{c}
	}
	var names []string
	for _, v := range list {
		names = append(names, fmt.Sprint(v))
	}
	return names
}

// example is the schema's first example of a value, where it is a single one.
func example(o object) string {
	if list, ok := o["examples"].([]any); ok && len(list) > 0 {
		switch list[0].(type) {
		case string, float64, bool:
			return fmt.Sprint(list[0])
		}
	}
	return ""
}

// sample is a key as it could be written.
func sample(key string, o object) string {
	return strings.TrimSpace(key + ": " + example(o))
}

// wrongType says how to repair a value of the wrong shape.
func wrongType(n *node, o object) string {
	wanted, _ := o["type"].(string)
	switch {
	case wanted == "array":
		return "put the value in brackets: [" + n.written() + "]"
	case wanted == "object":
		return "write its keys on the lines below, further to the right"
	case wanted == "integer":
		return "write one whole number"
	case wanted == "boolean":
		return "write true, without quotes; yes, no, on and off are plain text"
	case n.shape == mapping || n.shape == list:
		return "write one value; a text that holds a colon or begins with a bracket needs quotes"
	}
	return "write a text, in quotes"
}
