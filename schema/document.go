package schema

import (
	_ "embed" // for the schema
	"encoding/json"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

//go:embed job.schema.json
var document []byte

const schemaID = "soundwrit:job.schema.json"

// JSON returns the JSON Schema of the job file, for editors. It is the single
// place that says which keys there are, what kind of quantity each of them
// holds, in which range, and what is assumed where it is not given.
func JSON() []byte { return append([]byte(nil), document...) }

// object is one object of the schema, as JSON.
type object map[string]any

// rulesOf is the schema in its two forms: read, to explain and to decode, and
// compiled, to validate.
type schemas struct {
	top      object
	compiled *jsonschema.Schema
}

// load reads the embedded schema once a process. A fault in it is a fault of
// the program, found by any test.
var load = sync.OnceValue(func() schemas {
	var s schemas
	if err := json.Unmarshal(document, &s.top); err != nil {
		panic("schema: " + err.Error())
	}
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	c.RegisterExtension("quantity", nil, quantityKeywords{s.top})
	if err := c.AddResource(schemaID, strings.NewReader(string(document))); err != nil {
		panic("schema: " + err.Error())
	}
	s.compiled = c.MustCompile(schemaID)
	return s
})

// resolved returns the object that a $ref names, or the object itself.
func (s schemas) resolved(o object) object {
	if ref, ok := o["$ref"].(string); ok {
		return s.pointer(strings.TrimPrefix(ref, "#"))
	}
	return o
}

// pointer follows a JSON pointer into the schema; nil where it leads to no object.
func (s schemas) pointer(p string) object {
	var at any = map[string]any(s.top)
	if p == "" {
		return s.top
	}
	for token := range strings.SplitSeq(strings.TrimPrefix(p, "/"), "/") {
		switch v := at.(type) {
		case map[string]any:
			at = v[token]
		case []any:
			i := 0
			for _, c := range token {
				i = 10*i + int(c-'0')
			}
			if i < 0 || i >= len(v) {
				return nil
			}
			at = v[i]
		}
	}
	o, _ := at.(map[string]any)
	return o
}

// below returns what the schema says of a key, or of an item, of an object.
// It is nil where the schema does not know the key.
func (s schemas) below(o object, key string) object {
	o = s.resolved(o)
	if items, ok := o["items"].(map[string]any); ok {
		return items
	}
	properties, _ := o["properties"].(map[string]any)
	if p, ok := properties[key].(map[string]any); ok {
		return p
	}
	others, _ := o["additionalProperties"].(map[string]any)
	return others
}

// at returns what the schema says of a value of the file.
func (s schemas) at(n *node) object {
	if n.parent == nil {
		return s.top
	}
	return s.below(s.at(n.parent), n.key)
}

// keys lists the keys that an object may have.
func keys(o object) []string {
	var names []string
	properties, _ := o["properties"].(map[string]any)
	for k := range properties {
		names = append(names, k)
	}
	return names
}

// condition is one "where this key has this value" of an object, with the keys
// that are forbidden then.
type condition struct {
	key, value string
	forbids    map[string]any
}

// conditions lists the conditions of an object. The schema writes each of them
// as if/then with one const, and a forbidden key as false.
func conditions(o object) []condition {
	var all []condition
	list, _ := o["allOf"].([]any)
	for _, c := range list {
		c := object(c.(map[string]any))
		test := c["if"].(map[string]any)["properties"].(map[string]any)
		for key, value := range test {
			forbids, _ := c["then"].(map[string]any)["properties"].(map[string]any)
			all = append(all, condition{key, value.(map[string]any)["const"].(string), forbids})
		}
	}
	return all
}

// forbidden reports whether another value of the same object rules the key
// out, and which.
func forbidden(o object, n *node, key string) (by condition, yes bool) {
	for _, c := range conditions(o) {
		if _, listed := c.forbids[key]; listed {
			if v := n.child(c.key); v != nil && v.text == c.value {
				return c, true
			}
		}
	}
	return condition{}, false
}

// allows lists the values of a condition's key that go with another key.
func allows(o object, by condition, key string) []string {
	var values []string
	for _, c := range conditions(o) {
		if _, listed := c.forbids[key]; c.key == by.key && !listed {
			values = append(values, c.value)
		}
	}
	return values
}
