package schema

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/santhosh-tekuri/jsonschema/v5"

	"soundwrit/internal/si"
)

// properties visits every key of the schema with its dotted path; * stands for
// a name or an item.
func properties(s schemas, visit func(path, pointer string, o object)) {
	var walk func(path, pointer string, o object)
	walk = func(path, pointer string, o object) {
		for _, key := range slices.Sorted(slices.Values(keys(o))) {
			below, at := strings.TrimPrefix(path+"."+key, "."), pointer+"/properties/"+key
			p := s.below(o, key)
			visit(below, at, p)
			walk(below, at, p)
		}
		for _, word := range []string{"items", "additionalProperties"} {
			if inner, ok := o[word].(map[string]any); ok {
				visit(path+".*", pointer+"/"+word, inner)
				walk(path+".*", pointer+"/"+word, inner)
			}
		}
	}
	walk("", "", s.top)
}

// An editor shows title, description and examples: they are the manual.
func TestEveryKeyIsExplained(t *testing.T) {
	s := load()
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	c.RegisterExtension("quantity", nil, quantityKeywords{s.top})
	if err := c.AddResource(schemaID, strings.NewReader(string(JSON()))); err != nil {
		t.Fatal(err)
	}
	n := 0
	properties(s, func(path, pointer string, o object) {
		n++
		for _, word := range []string{"title", "description"} {
			if text, _ := o[word].(string); len(text) < 1 || word == "description" && !strings.HasSuffix(text, ".") {
				t.Errorf("%s: %s is %q", path, word, text)
			}
		}
		full := s.resolved(o)
		if full["type"] == "object" && full["additionalProperties"] == nil {
			t.Errorf("%s lets any key pass", path)
		}
		examples, _ := o["examples"].([]any)
		if len(examples) == 0 {
			t.Errorf("%s has no example", path)
		}
		if given, ok := o["default"]; ok {
			examples = append(examples, given)
			if text, _ := o["description"].(string); !strings.Contains(text, "Default: ") {
				t.Errorf("%s: the description does not state the default", path)
			}
		}
		compiled := c.MustCompile(schemaID + "#" + pointer)
		for _, e := range examples {
			if err := compiled.Validate(e); err != nil {
				t.Errorf("%s: example %v: %v", path, e, err)
			}
		}
		if kind, ok := s.kindOf(o); ok {
			if _, err := s.bounds(o, kind); err != nil {
				t.Errorf("%s: %v", path, err)
			}
			if s.rangeOf(o, kind) == "" {
				t.Errorf("%s has no range: absurd sizes would pass", path)
			}
		}
	})
	if n < 150 {
		t.Errorf("only %d keys visited", n)
	}
}

// The example of the whole file is a job that can be computed.
func TestExampleIsAJob(t *testing.T) {
	example, err := json.Marshal(load().top["examples"].([]any)[0])
	if err != nil {
		t.Fatal(err)
	}
	if _, findings := Load("example", example); len(findings) > 0 {
		t.Error(report(findings))
	}
}

// The pattern that editors use must agree with the parser that counts: each
// unit that fits is in it, and none that does not.
func TestPatternsKnowTheUnits(t *testing.T) {
	s := load()
	defs := s.top["$defs"].(map[string]any)
	for name := range maps.Keys(defs) {
		o := s.pointer("/$defs/" + name)
		kind, ok := s.kindOf(o)
		if !ok {
			continue
		}
		pattern := o["pattern"].(string)
		from, to := strings.LastIndexByte(pattern, '('), strings.LastIndexByte(pattern, ')')
		units := strings.Split(pattern[from+1:to], "|")
		for _, u := range units {
			if _, ok := si.UnitNamed(u, kind); !ok {
				t.Errorf("%s: the pattern allows %q", name, u)
			}
		}
		for _, u := range si.Units(kind) {
			if !slices.Contains(units, u) {
				t.Errorf("%s: the pattern lacks %q", name, u)
			}
		}
	}
}

// variants are edits of the complete job that use the keys it cannot have.
func variants(t *testing.T) []*node {
	base := complete(t)
	texts := []string{
		base,
		edit(t, edit(t, edit(t, base, "  kind: plate", "  kind: pipe\n  outside_diameter: 219.1 mm"), "    length: 3.2 m\n", ""),
			"    thickness: {from: 20 mm, to: 30 mm}\n", "    outside_diameter: {from: 168.3 mm, to: 610 mm}\n"),
		edit(t, edit(t, base, "  kind: plate", "  kind: pipe\n  outside_diameter: 219.1 mm"), "    length: 3.2 m\n", "    length: 3.2 m\n    seam: longitudinal\n"),
		edit(t, base, "    preparation: single-V\n    opens: top", "    preparation: double-V\n    lower_angle: 35 deg\n    upper_depth: 10 mm"),
		edit(t, base, "    preparation: single-V", "    preparation: single-bevel\n    bevelled_side: B"),
		edit(t, base, "    preparation: single-V", "    preparation: single-U\n    root_radius: 6 mm"),
		edit(t, unclad(t), "  heat_affected_zone:", transition("A")+"      surface: top\n"+transition("B")[len("  transition:\n"):]+"      surface: both\n  heat_affected_zone:"),
		edit(t, bored(t), "    A:\n      length: 30 mm", "    B:\n      length: 35 mm\n      depth: 1 mm\n      taper: 30 deg\n    A:\n      length: 30 mm"),
		edit(t, unclad(t), "    root_gap: 3 mm", "    root_gap: 3 mm\n    misalignment: 1.5 mm"),
		teed(t),
		edit(t, base, "    preparation: single-V", "    preparation: compound-bevel\n    outer_angle: 10 deg\n    break_height: 15 mm"),
		edit(t, base, "      depth: 50 mm", "      path: 60 mm"),
		edit(t, base, "      longitudinal: 10 dB/m\n", "      back_walls: {drop: 10 dB, thickness: 50 mm, spreading: 6 dB}\n"),
		edit(t, base, "      depth: 50 mm", "      none: true"),
		linear(t),
		tofd(t),
		edit(t, tofd(t), "crossing_depth: 16 mm", "separation: 60 mm"),
		singles(t),
		edit(t, base, "      scheme: every-nth\n      n: 2\n", "      scheme: plane-wave\n      from: 45 deg\n      to: 70 deg\n      count: 16\n"),
	}
	var roots []*node
	for _, text := range texts {
		if _, findings := Load("job.yaml", []byte(text)); len(findings) > 0 {
			t.Fatal(report(findings))
		}
		root, _ := read("job.yaml", []byte(text))
		roots = append(roots, root)
	}
	return roots
}

// transition is one side's, as a key of part.
func transition(side string) string {
	return "  transition:\n    " + side + ":\n      begins: 40 mm\n      slope: 14 deg\n      thickness: 32 mm\n"
}

// Every single value of the file must reach the job, so that no key is
// accepted and then forgotten; and the test must have seen every key.
func TestEveryValueReachesTheJob(t *testing.T) {
	s := load()
	decoded := func(root *node) Job {
		job := Job{root: root}
		s.decode(&job, root)
		job.complete()
		job.root = nil
		return job
	}
	same := []cmp.Option{cmpopts.EquateNaNs(), cmpopts.IgnoreUnexported(Job{})}
	seen := map[string]bool{}
	for _, root := range variants(t) {
		before := decoded(root)
		var walk func(n *node, path string)
		walk = func(n *node, path string) {
			seen[path] = true
			for _, c := range n.children {
				key := c.key
				if n.shape == list || s.resolved(s.at(n))["properties"] == nil {
					key = "*"
				}
				walk(c, strings.TrimPrefix(path+"."+key, "."))
			}
			if len(n.children) > 0 || n.path() == "soundwrit" || n.key == "none" {
				return
			}
			old := *n
			o := s.resolved(s.at(n))
			switch {
			case o["x-quantity"] != nil:
				n.text = "0.7 " + strings.TrimLeft(n.text, "+-.0123456789 ")
			case n.shape == number:
				n.value, n.text = n.value+7, "77"
			default:
				n.text = "other"
			}
			if cmp.Equal(before, decoded(root), same...) {
				t.Errorf("%s changes nothing in the job", n.path())
			}
			*n = old
		}
		walk(root, "")
	}
	properties(s, func(path, _ string, _ object) {
		if !seen[path] {
			t.Errorf("no test job has %s", path)
		}
	})
}

// The type of each field must measure what the schema says its key measures.
func TestKindsAgreeWithTypes(t *testing.T) {
	s := load()
	kinds := map[reflect.Type]si.Kind{
		reflect.TypeFor[si.Length](): si.KindLength, reflect.TypeFor[si.Angle](): si.KindAngle, reflect.TypeFor[si.Time](): si.KindTime,
		reflect.TypeFor[si.Frequency](): si.KindFrequency, reflect.TypeFor[si.Speed](): si.KindSpeed, reflect.TypeFor[si.Decibel](): si.KindDecibel,
		reflect.TypeFor[si.Celsius](): si.KindCelsius, reflect.TypeFor[si.Kelvin](): si.KindKelvin, reflect.TypeFor[si.Ratio](): si.KindRatio,
		reflect.TypeFor[si.ByteRate](): si.KindByteRate, reflect.TypeFor[float64](): si.KindRate,
		reflect.TypeFor[si.Density](): si.KindDensity, reflect.TypeFor[si.Attenuation](): si.KindAttenuation,
		reflect.TypeFor[si.SpeedPerKelvin](): si.KindSpeedPerKelvin,
	}
	n := 0
	var walk func(v reflect.Type, path string, o object)
	walk = func(v reflect.Type, path string, o object) {
		switch v.Kind() {
		case reflect.Pointer:
			walk(v.Elem(), path, o)
		case reflect.Slice:
			walk(v.Elem(), path+".*", s.below(o, "0"))
		case reflect.Struct:
			if v == reflect.TypeFor[Focus]() {
				return
			}
			for i := range v.NumField() {
				f := v.Field(i)
				key := keyOf(f)
				if key == "" {
					continue
				}
				at := o
				for part := range strings.SplitSeq(key, ".") {
					at = s.below(at, part)
				}
				if at == nil && v != reflect.TypeFor[Code]() {
					t.Errorf("%s.%s: the schema has no such key", path, key)
				}
				walk(f.Type, path+"."+key, at)
			}
		case reflect.Float64:
			n++
			want, ok := kinds[v]
			if got, found := s.kindOf(o); !ok || !found || got != want {
				t.Errorf("%s is a %v, the schema says %v", path, v, got)
			}
		}
	}
	walk(reflect.TypeFor[Job](), "", s.top)
	if n < 60 {
		t.Errorf("only %d quantities visited", n)
	}
}

// What is not given takes the stated default, or is unknown.
func TestDefaults(t *testing.T) {
	text := complete(t)
	for _, line := range []string{"  status: approved\n", "  units: both\n", "    boundary: parallel\n", "    surfaces: [top, bottom]\n", "  speed_spread: 15 %\n", "  pass: side\n",
		"    opens: top\n", "    sides: [A, B]\n    surface: top\n", "    wave: transverse\n", "    legs: [1, 2]\n", "    store: matrix\n", "    transmission:\n      scheme: every-nth\n      n: 2\n",
		"    aperture:\n      first: 1\n      count: 64\n", "    per_25mm: 2\n", "    adjacent: 1\n", "    roughness: 6.3 um\n"} {
		text = edit(t, text, line, "")
	}
	job, findings := Load("job.yaml", []byte(text))
	if len(findings) > 0 {
		t.Fatal(report(findings))
	}
	g, i := job.Groups[0], job.Groups[1]
	for name, ok := range map[string]bool{
		"status":            job.Document.Status == "draft",
		"units":             job.Document.Units == "mm",
		"boundary":          job.Part.Zone.Boundary == "straight",
		"surfaces":          slices.Equal(job.Part.Surfaces, []string{"top"}),
		"opens":             job.Part.Weld.Opens == "top",
		"speed_spread":      job.Scan.SpeedSpread == 0.2,
		"pass":              job.Scan.Pass == "line",
		"per_25mm":          job.Scan.MissingPerLength == -1,
		"adjacent":          job.Scan.MissingAdjacent == -1,
		"sides":             slices.Equal(g.Sides, []string{"A", "B"}),
		"surface":           g.Surface == "top",
		"wave":              g.Wave == "transverse",
		"legs":              slices.Equal(g.Legs, []int{1}),
		"sectorial store":   g.Store == "" && g.Path == "" && g.Transmission == Transmission{},
		"tfm wave":          i.Wave == "" && i.Legs == nil && i.Focus.Kind == "",
		"store":             i.Store == "image",
		"transmission":      i.Transmission == Transmission{Scheme: "full-matrix", Every: 1},
		"aperture":          i.Aperture == Aperture{First: 1, Count: 64},
		"roughness unknown": !si.Known(job.Part.Surface.Roughness),
	} {
		if !ok {
			t.Errorf("default of %s is wrong: %s", name, fmt.Sprintf("%+v %+v", g, i))
		}
	}

	double := edit(t, complete(t), "    preparation: single-V\n    opens: top", "    preparation: double-V")
	job, findings = Load("job.yaml", []byte(double))
	w := job.Part.Weld
	if len(findings) > 0 || w.LowerAngle != w.BevelAngle || w.Opens != "" {
		t.Errorf("double-V: %+v\n%s", w, report(findings))
	}
	if d := float64(w.UpperDepth) - 0.0115; d < -1e-12 || d > 1e-12 { // (25 mm - 2 mm) / 2
		t.Errorf("double-V: upper depth %v m, want 11.5 mm", w.UpperDepth)
	}
	narrow := edit(t, complete(t), "    preparation: single-V", "    preparation: narrow-gap")
	job, findings = Load("job.yaml", []byte(edit(t, narrow, "bevel_angle: 30 deg", "bevel_angle: 2 deg")))
	if w := job.Part.Weld; len(findings) > 0 || w.RootRadius != 0 || w.Opens != "top" {
		t.Errorf("narrow gap: %+v\n%s", w, report(findings))
	}
}

// A value that was refused is unknown in the job, and no default takes its place.
func TestRefusedValuesAreUnknown(t *testing.T) {
	text := complete(t)
	for _, e := range [][2]string{{"thickness: 25 mm", "thickness: 25"}, {"  pass: side", "  pass: twice"}, {"speed_spread: 15 %", "speed_spread: 15"}, {"channels: 64", "channels: many"}} {
		text = edit(t, text, e[0], e[1])
	}
	job, findings := Load("job.yaml", []byte(text))
	if len(findings) != 4 || si.Known(job.Part.Thickness) || si.Known(job.Scan.SpeedSpread) || job.Scan.Pass != "" || job.Equipment.Instrument.Channels != 0 {
		t.Errorf("thickness %v, spread %v, pass %q, channels %d\n%s", job.Part.Thickness, job.Scan.SpeedSpread, job.Scan.Pass, job.Equipment.Instrument.Channels, report(findings))
	}
}
