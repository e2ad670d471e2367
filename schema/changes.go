package schema

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Change is one value that differs between two jobs. A value that a job does
// not give, and for which the schema has no default, is empty.
type Change struct {
	Path          string // in the later job; in the earlier one where the later does not have it
	Before, After string // as written
	At            diag.Position
}

// Changes lists the values that differ between two jobs, in the order of the
// later one, with what is gone at the end of the group of keys it was in. What
// means the same is no change: another order of keys, of groups or of the items
// of a list, another spelling of a quantity (25.4 mm and 1 in), a comment, a
// default written out.
//
// Items of a list belong together if they are equal, or else if they say the
// same of what names them (the code of a standard, the revision of a history);
// so does the one person with a task who took the place of another.
func Changes(before, after *Job) []Change {
	c := changes{schemas: load()}
	if before.root == nil || after.root == nil {
		return nil
	}
	c.compare(before.root, after.root, c.top)
	return c.list
}

// changes compares two trees of values.
type changes struct {
	schemas
	list []Change
}

// compare lists the differences of two values, either of which may be nil.
func (c *changes) compare(before, after *node, o object) {
	switch {
	case c.canonical(before, o) == c.canonical(after, o):
	case shapeOf(before) == mapping || shapeOf(after) == mapping:
		for _, key := range keysOf(after, before) {
			below := c.below(o, key)
			c.compare(before.child(key), after.child(key), below)
		}
		c.scalars(before, after, o)
	case shapeOf(before) == list || shapeOf(after) == list:
		c.items(before, after, o)
		c.scalars(before, after, o)
	default:
		c.scalars(before, after, o)
	}
}

// scalars compares what is a single value on either side.
func (c *changes) scalars(before, after *node, o object) {
	if !single(before) && !single(after) {
		return
	}
	at := after
	if at == nil {
		at = before
	}
	c.list = append(c.list, Change{Path: at.path(), Before: c.written(before, o), After: c.written(after, o), At: at.at})
}

func single(n *node) bool { return n != nil && n.shape != mapping && n.shape != list }

func shapeOf(n *node) shape {
	if n == nil {
		return empty
	}
	return n.shape
}

// keysOf lists the keys of a mapping in its order, then those only another has.
func keysOf(first, second *node) []string {
	var names []string
	for _, n := range []*node{first, second} {
		if shapeOf(n) != mapping {
			continue
		}
		for _, child := range n.children {
			if !slices.Contains(names, child.key) {
				names = append(names, child.key)
			}
		}
	}
	return names
}

// items compares two lists without regard to order.
func (c *changes) items(before, after *node, o object) {
	below := c.below(o, "0")
	left := itemsOf(before)
	var open []*node
	for _, b := range itemsOf(after) {
		same := slices.IndexFunc(left, func(a *node) bool { return c.canonical(a, below) == c.canonical(b, below) })
		if same >= 0 {
			left = slices.Delete(left, same, same+1)
			continue
		}
		open = append(open, b)
	}
	for _, b := range open {
		i := slices.IndexFunc(left, func(a *node) bool { return named(a) != "" && named(a) == named(b) })
		if i < 0 && only(open, taskOf(b)) && only(left, taskOf(b)) {
			i = slices.IndexFunc(left, func(a *node) bool { return taskOf(a) == taskOf(b) }) // another person for the one task
		}
		if i < 0 && b.shape != mapping && len(open) == 1 && len(left) == 1 {
			i = 0 // one text or number of a list gave way to another
		}
		if i < 0 {
			c.compare(nil, b, below)
			continue
		}
		c.compare(left[i], b, below)
		left = slices.Delete(left, i, i+1)
	}
	for _, a := range left {
		c.compare(a, nil, below)
	}
}

func itemsOf(n *node) []*node {
	if shapeOf(n) != list {
		return nil
	}
	return slices.Clone(n.children)
}

// taskOf is the task of a person, empty of anything else.
func taskOf(n *node) string {
	if child := n.child("task"); child != nil {
		return child.text
	}
	return ""
}

// only reports whether a task is that of one person among items.
func only(items []*node, task string) bool {
	n := 0
	for _, item := range items {
		if task != "" && taskOf(item) == task {
			n++
		}
	}
	return n == 1
}

// named is what an item of a list is known by: what stays the same when the
// rest of it is edited.
func named(n *node) string {
	for _, keys := range [][]string{{"number"}, {"rule", "subject"}, {"task", "name"}, {"task"}, {"code"}, {"revision"}} {
		var parts []string
		for _, key := range keys {
			if child := n.child(key); child != nil {
				parts = append(parts, child.text)
			}
		}
		if len(parts) == len(keys) {
			return strings.Join(keys, "+") + "=" + strings.Join(parts, "\x00")
		}
	}
	return ""
}

// written is a value as a person wrote it, or the default that stands for it.
func (c *changes) written(n *node, o object) string {
	if n == nil {
		if n = defaultOf(o); n == nil {
			return ""
		}
	}
	if n.shape == mapping || n.shape == list {
		return n.shape.String()
	}
	return n.text
}

// canonical is a value in the one form that all its spellings share.
func (c *changes) canonical(n *node, o object) string {
	if n == nil {
		if n = defaultOf(o); n == nil {
			return ""
		}
	}
	switch n.shape {
	case mapping:
		var parts []string
		for _, child := range n.children {
			parts = append(parts, child.key+"\x01"+c.canonical(child, c.below(o, child.key)))
		}
		slices.Sort(parts)
		return "{" + strings.Join(parts, "\x02") + "}"
	case list:
		var parts []string
		for i, child := range n.children {
			parts = append(parts, c.canonical(child, c.below(o, strconv.Itoa(i))))
		}
		slices.Sort(parts)
		return "[" + strings.Join(parts, "\x02") + "]"
	case number:
		return digits(n.value)
	}
	if kind, ok := c.kindOf(o); ok {
		if x, err := si.Parse(n.text, kind); err == nil && !math.IsNaN(x) {
			return digits(x)
		}
	}
	return strings.Join(strings.Fields(n.text), " ")
}

// digits writes a number so that what differs by float noise alone is equal.
func digits(x float64) string { return strconv.FormatFloat(x, 'g', 12, 64) }
