package schema

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"soundwrit/internal/si"
)

// decode fills a job from the file. Each field takes the key of its own name,
// in lower case with underscores, or the dotted path in its `key` tag. What is
// not given takes the default that the schema states; what is neither given nor
// has a default, or was refused, is unknown.
func (s schemas) decode(job *Job, root *node) {
	s.fields(reflect.ValueOf(job).Elem(), root, s.top)
}

// fields decodes the fields of a struct from a mapping, which may be nil.
func (s schemas) fields(v reflect.Value, n *node, o object) {
	for i := range v.NumField() {
		key := keyOf(v.Type().Field(i))
		if key == "" {
			continue
		}
		n, o, ruledOut := n, o, false
		for part := range strings.SplitSeq(key, ".") {
			_, no := forbidden(s.resolved(o), n, part)
			ruledOut = ruledOut || no
			n, o = n.child(part), s.below(o, part)
		}
		if n == nil && !ruledOut {
			n = defaultOf(o)
		}
		s.value(v.Field(i), n, o)
	}
}

// keyOf returns the path that a field is read from, "" for a field that is not.
func keyOf(f reflect.StructField) string {
	switch tag := f.Tag.Get("key"); {
	case tag == "-" || !f.IsExported():
		return ""
	case tag != "":
		return tag
	}
	var key strings.Builder
	for i, c := range f.Name {
		if i > 0 && unicode.IsUpper(c) {
			key.WriteByte('_')
		}
		key.WriteRune(unicode.ToLower(c))
	}
	return key.String()
}

// value decodes one value; n is nil where the file does not have it.
func (s schemas) value(v reflect.Value, n *node, o object) {
	if n != nil && n.refused && n.shape != mapping && n.shape != list {
		n = nil
	}
	switch v.Kind() {
	case reflect.Pointer:
		if n != nil && n.shape == mapping {
			v.Set(reflect.New(v.Type().Elem()))
			s.value(v.Elem(), n, o)
		}
	case reflect.Struct:
		switch v.Type() {
		case reflect.TypeFor[Focus]():
			v.Set(reflect.ValueOf(focusOf(n)))
		case reflect.TypeFor[Code]():
			s.fields(v, n, o)
			if level := n.child("testing_level"); level != nil && !level.refused {
				v.Addr().Interface().(*Code).Level = level.text
			}
		default:
			s.fields(v, n, o)
		}
	case reflect.Slice:
		s.slice(v, n, o)
	case reflect.Float64:
		v.SetFloat(math.NaN())
		if kind, ok := s.kindOf(o); ok && n != nil {
			x, _ := si.Parse(n.text, kind)
			v.SetFloat(x)
		}
	case reflect.Bool:
		v.SetBool(n != nil && n.shape == boolean && n.text == "true")
	case reflect.Int:
		if n != nil && n.shape == number {
			v.SetInt(int64(n.value))
		}
	case reflect.String:
		if n != nil && (n.shape == text || n.shape == number) {
			v.SetString(n.text)
		}
	}
}

// slice decodes a list, or a mapping whose keys are names of its values.
func (s schemas) slice(v reflect.Value, n *node, o object) {
	wanted := list
	if s.resolved(o)["type"] == "object" {
		wanted = mapping
	}
	if n == nil || n.shape != wanted {
		return
	}
	for _, c := range n.children {
		// An item of a list of texts or numbers that was refused would be an
		// empty one; a mapping stays, for the sake of its other keys.
		if c.shape == empty || c.refused && c.shape != mapping {
			continue
		}
		item := reflect.New(v.Type().Elem()).Elem()
		if item.Kind() == reflect.Struct && c.shape != mapping {
			continue
		}
		s.value(item, c, s.below(o, c.key))
		if n.shape == mapping {
			item.FieldByName("Name").SetString(c.key)
		}
		v.Set(reflect.Append(v, item))
	}
}

func focusOf(n *node) Focus {
	f := Focus{At: si.Unknown[si.Length]()}
	for _, kind := range []string{"depth", "path", "none"} {
		c := n.child(kind)
		if c == nil || c.refused {
			continue
		}
		f.Kind = kind
		if kind != "none" {
			x, _ := si.Parse(c.text, si.KindLength)
			f.At = si.Length(x)
		}
	}
	return f
}

// defaultOf returns the default that the schema states, as if it were written
// in the file; nil where there is none.
func defaultOf(o object) *node {
	given, ok := o["default"]
	if !ok {
		return nil
	}
	var build func(any) *node
	build = func(v any) *node {
		switch v := v.(type) {
		case string:
			return &node{shape: text, text: v}
		case float64:
			return &node{shape: number, value: v, text: strconv.FormatFloat(v, 'g', -1, 64)}
		case []any:
			n := &node{shape: list}
			for _, item := range v {
				n.children = append(n.children, build(item))
			}
			return n
		}
		return nil
	}
	return build(given)
}

// complete adds the defaults that depend on other values. The schema states
// them in the descriptions of their keys. It puts sides in the order A, B, so
// that the order in which they are written says nothing.
func (j *Job) complete() {
	slices.Sort(j.Part.Sides)
	w := &j.Part.Weld
	if w.Double() {
		if !j.Has("part.weld.lower_angle") {
			w.LowerAngle = w.BevelAngle
		}
		if !j.Has("part.weld.upper_depth") {
			w.UpperDepth = (j.Part.Thickness - w.RootFace) / 2
		}
	}
	if w.Preparation == "narrow-gap" && !j.Has("part.weld.root_radius") {
		w.RootRadius = 0
	}
	// The default coefficients are those of steel.
	if m := &j.Part.Material; m.Group != "ferritic" && m.Group != "austenitic" {
		if !j.Has("part.material.temperature_coefficient.longitudinal") {
			m.LongitudinalChange = si.Unknown[si.SpeedPerKelvin]()
		}
		if !j.Has("part.material.temperature_coefficient.transverse") {
			m.TransverseChange = si.Unknown[si.SpeedPerKelvin]()
		}
	}
	if !j.Has("scan.missing.per_25mm") {
		j.Scan.MissingPerLength = -1
	}
	if !j.Has("scan.missing.adjacent") {
		j.Scan.MissingAdjacent = -1
	}
	for i := range j.Equipment.Wedges {
		if w := &j.Equipment.Wedges[i]; w.Medium == "water" {
			w.Transverse, w.VelocityChange = 0, si.Unknown[si.SpeedPerKelvin]()
		}
	}
	for i := range j.Groups {
		g := &j.Groups[i]
		path := "groups." + g.Name
		slices.Sort(g.Sides)
		if g.OnFlange() {
			slices.Reverse(g.Sides)
		}
		if !j.Has(path + ".sides") {
			g.Sides = append([]string(nil), j.Part.Sides...)
			if g.OnFlange() {
				g.Sides = slices.Clone(fromFlange)
			}
		}
		if g.Single() {
			if !j.Has(path + ".reflector") {
				g.Reflector = j.Reference.Reflector
			}
			if !j.Has(path + ".disc") {
				g.Disc = j.Reference.Disc
			}
		}
		if g.Method != "tfm" {
			g.Transmission = Transmission{}
			continue
		}
		if g.Transmission.Scheme != "every-nth" {
			g.Transmission.Every = 1
		}
		if g.Transmission.Scheme != "plane-wave" {
			g.Transmission.From, g.Transmission.To, g.Transmission.Count = 0, 0, 0
		}
		if p := j.Probe(g.Probe); p != nil && !j.Has(path+".aperture") {
			g.Aperture = Aperture{First: 1, Count: p.Elements}
		}
	}
}

// The named things of a job; nil where there is none of that name.

// Probe returns the array probe of a name; nil where there is none.
func (j *Job) Probe(name string) *Probe {
	for i := range j.Equipment.Probes {
		if j.Equipment.Probes[i].Name == name {
			return &j.Equipment.Probes[i]
		}
	}
	return nil
}

// Wedge returns the wedge of a name; nil where there is none.
func (j *Job) Wedge(name string) *Wedge {
	for i := range j.Equipment.Wedges {
		if j.Equipment.Wedges[i].Name == name {
			return &j.Equipment.Wedges[i]
		}
	}
	return nil
}

func (j *Job) singleProbe(name string) *SingleProbe {
	for i := range j.Equipment.SingleProbes {
		if j.Equipment.SingleProbes[i].Name == name {
			return &j.Equipment.SingleProbes[i]
		}
	}
	return nil
}

func (j *Job) block(name string) *Block {
	for i := range j.Equipment.Blocks {
		if j.Equipment.Blocks[i].Name == name {
			return &j.Equipment.Blocks[i]
		}
	}
	return nil
}
