package schema

import (
	"slices"
	"strings"

	"soundwrit/internal/diag"
)

// Found is one value as a crew found it on site, beside what the job says.
type Found struct {
	Path string
	Says string // what the job says, as written; empty where it says nothing
	Is   string // what was found
	At   diag.Position
	leaf *node
}

// AsFound reads what a crew has on site: a file with keys of a job, only those
// that were measured or differ. It may give other values to what the job has,
// and values that the job leaves open; what it names must be in the job.
func (j *Job) AsFound(file string, data []byte) ([]Found, []diag.Finding) {
	root, findings := read(file, data)
	if root == nil || j.root == nil {
		return nil, findings
	}
	var items []Found
	var walk func(n, job *node)
	walk = func(n, job *node) {
		for _, child := range n.children {
			has := job.child(child.key)
			switch {
			case child.shape == mapping && shapeOf(has) == mapping:
				walk(child, has)
			case child.shape == mapping || child.refused:
				f := child.finding("not-in-job", "the job has no "+child.path(), "what the job names", nearestKey(child.key, job))
				f.At = child.keyAt
				findings = append(findings, f)
			default:
				items = append(items, Found{Path: child.path(), Says: textOf(has), Is: textOf(child), At: child.at, leaf: child})
			}
		}
	}
	walk(root, j.root)
	return items, findings
}

func nearestKey(key string, of *node) string {
	if near := diag.Nearest(key, keysOf(of, nil)); near != "" {
		return "did you mean " + near + "?"
	}
	return "use the names of the job: " + oneOf(keysOf(of, nil))
}

// textOf is a value as written; that of a list is its items.
func textOf(n *node) string {
	if shapeOf(n) != list {
		if n == nil {
			return ""
		}
		return n.text
	}
	var items []string
	for _, child := range n.children {
		items = append(items, child.text)
	}
	return strings.Join(items, ", ")
}

// With returns the job as it would be with what was found, read and checked
// anew. Findings about what was found point at its file.
func (j *Job) With(items ...Found) (*Job, []diag.Finding) {
	root := j.root.clone(nil)
	for _, item := range items {
		keys := strings.Split(item.Path, ".")
		at := root
		for _, key := range keys[:len(keys)-1] {
			at = at.child(key)
		}
		leaf := item.leaf.clone(at)
		last := keys[len(keys)-1]
		if i := slices.IndexFunc(at.children, func(c *node) bool { return c.key == last }); i >= 0 {
			at.children[i] = leaf
		} else {
			at.children = append(at.children, leaf)
		}
		at.byKey[last] = leaf
	}
	return settle(j.File, root, nil)
}

// clone copies a value and all below it.
func (n *node) clone(parent *node) *node {
	c := *n
	c.parent = parent
	c.children = make([]*node, len(n.children))
	if n.byKey != nil {
		c.byKey = make(map[string]*node, len(n.byKey))
	}
	for i, child := range n.children {
		c.children[i] = child.clone(&c)
		if n.byKey != nil {
			c.byKey[child.key] = c.children[i]
		}
	}
	return &c
}
