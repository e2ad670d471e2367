package schema

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// kindOf returns the kind of quantity that the schema asks for.
func (s schemas) kindOf(o object) (si.Kind, bool) {
	name, ok := s.resolved(o)["x-quantity"].(string)
	if !ok {
		return si.Number, false
	}
	return si.KindNamed(name)
}

// bound is one end of the range of a quantity.
type bound struct {
	keyword string // x-above, x-min, x-max
	words   string // "above", "at least", "at most"
	text    string // "500 mm"
	si      float64
}

// bounds returns the range of a quantity, lower end first.
func (s schemas) bounds(o object, kind si.Kind) ([]bound, error) {
	var all []bound
	for _, b := range []bound{{keyword: "x-above", words: "above"}, {keyword: "x-min", words: "at least"}, {keyword: "x-max", words: "at most"}} {
		text, ok := o[b.keyword].(string)
		if !ok {
			continue
		}
		x, err := si.Parse(text, kind)
		if err != nil {
			return nil, err
		}
		b.text, b.si = text, x
		all = append(all, b)
	}
	return all, nil
}

// holds reports whether x respects the bound. Float noise of 1e-9 relative does
// not break one.
func (b bound) holds(x float64) bool {
	noise := 1e-9 * math.Abs(b.si)
	switch b.keyword {
	case "x-above":
		return x > b.si
	case "x-min":
		return x >= b.si-noise
	}
	return x <= b.si+noise
}

// rangeOf says the range of a quantity in words: "above 0 mm, at most 500 mm".
func (s schemas) rangeOf(o object, kind si.Kind) string {
	all, _ := s.bounds(o, kind)
	var words []string
	for _, b := range all {
		words = append(words, b.words+" "+b.text)
	}
	return strings.Join(words, ", ")
}

// quantityKeywords adds our own keywords to the schema language: x-quantity,
// the kind of a number with its unit, and x-above, x-min and x-max, its range.
type quantityKeywords struct{ top object }

// Compile prepares the keywords of one object of the schema.
func (q quantityKeywords) Compile(_ jsonschema.CompilerContext, m map[string]any) (jsonschema.ExtSchema, error) {
	s := schemas{top: q.top}
	kind, ok := s.kindOf(m)
	if !ok {
		if name, given := m["x-quantity"]; given {
			return nil, fmt.Errorf("%v is no kind of quantity", name)
		}
		return nil, nil
	}
	all, err := s.bounds(m, kind)
	if err != nil {
		return nil, err
	}
	_, own := m["x-quantity"]
	if !own && len(all) == 0 {
		return nil, nil
	}
	return quantityCheck{kind, own, all}, nil
}

type quantityCheck struct {
	kind   si.Kind
	own    bool // the object that states the kind, which checks the form too
	bounds []bound
}

// Validate checks one value. The messages are never shown: package schema
// writes its own from the value and the place in the schema.
func (q quantityCheck) Validate(ctx jsonschema.ValidationContext, v any) error {
	text, ok := v.(string)
	if !ok {
		return nil // the type is checked by the schema
	}
	x, err := si.Parse(text, q.kind)
	if err != nil {
		if q.own {
			return ctx.Error("x-quantity", "no quantity")
		}
		return nil
	}
	for _, b := range q.bounds {
		if !b.holds(x) {
			return ctx.Error(b.keyword, "out of range")
		}
	}
	return nil
}

// aQuantity is what a quantity should look like: "a length with its unit, such
// as 12 mm". The example is the schema's own for that key.
func (s schemas) aQuantity(o object, kind si.Kind) string {
	example := si.Example(kind)
	if list, ok := o["examples"].([]any); ok && len(list) > 0 {
		if text, ok := list[0].(string); ok {
			example = text
		}
	}
	return article(kind.String()) + " with its unit, such as " + example
}

// badQuantity explains why a value is no quantity of the kind. It reports
// false where it is one after all.
func (s schemas) badQuantity(n *node, o object, kind si.Kind) (diag.Finding, bool) {
	name, limit := n.name(), s.aQuantity(o, kind)
	units := "write the unit after the number: " + oneOf(si.Units(kind))
	switch n.shape {
	case number:
		return n.finding("missing-unit", name+" has no unit", limit, units), true
	case text:
	default:
		return n.finding("wrong-type", name+" is "+n.shape.String()+", not "+article(kind.String()), limit, "write one value with its unit"), true
	}
	_, err := si.Parse(n.text, kind)
	var fault *si.ParseError
	if !errors.As(err, &fault) {
		return diag.Finding{}, false
	}
	switch {
	case fault.Why == si.NoUnit:
		return n.finding("missing-unit", name+" has no unit", limit, units), true
	case fault.Why == si.NotFinite:
		return n.finding("not-finite", name+" is too large to be a number", limit, "check the exponent"), true
	case fault.Why == si.WrongKind:
		return n.finding("wrong-unit", fmt.Sprintf("%s is given in %s, which measures %s", name, fault.Unit, article(fault.Got.String())), limit, units), true
	case fault.Why == si.UnknownUnit && strings.HasPrefix(fault.Unit, ","):
		return n.finding("not-a-quantity", name+" has a comma in its number", limit, "write decimals after a point and thousands without a mark"), true
	case fault.Why == si.UnknownUnit && strings.HasPrefix(fault.Unit, "_"):
		return n.finding("not-a-quantity", name+" has an underscore in its number", limit, "write the digits without a mark between them"), true
	case fault.Why == si.UnknownUnit:
		if near := diag.Nearest(fault.Unit, si.Units(kind)); near != "" {
			units = "write " + near + "; units that fit are " + oneOf(si.Units(kind))
		}
		return n.finding("unknown-unit", name+" has an unknown unit, "+brief(fault.Unit), limit, units), true
	}
	if word := strings.ToLower(strings.TrimLeft(n.text, "+-. ")); strings.HasPrefix(word, "nan") || strings.HasPrefix(word, "inf") {
		return n.finding("not-finite", name+" is not a finite number", limit, "write the number, or delete the line where it is not known"), true
	}
	return n.finding("not-a-quantity", name+" is not a number with a unit", limit, units), true
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// oneOf joins names as a sentence does: "mm, cm or in".
func oneOf(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}
