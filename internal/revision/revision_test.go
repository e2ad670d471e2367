package revision

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// texts are the shipped jobs by name, in the order of the names.
func texts(t *testing.T) (names []string, text map[string][]byte) {
	t.Helper()
	files, err := filepath.Glob("../../testdata/jobs/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d jobs: %v", len(files), err)
	}
	text = map[string][]byte{}
	for _, f := range files {
		if text[f], err = os.ReadFile(f); err != nil {
			t.Fatal(err)
		}
	}
	return files, text
}

// computed is nil where the job has an error.
func computed(name string, text []byte) *technique.Technique {
	job, findings := schema.Load(name, text)
	if slices.ContainsFunc(findings, func(f diag.Finding) bool { return f.Level == diag.Error }) {
		return nil
	}
	t := technique.Compute(job)
	if slices.ContainsFunc(t.Findings, func(f diag.Finding) bool { return f.Level == diag.Error }) {
		return nil
	}
	return t
}

// varied are the values of a job that are a number, with or without a unit, and
// each a little larger: a hundredth, or one where it counts something.
func varied(t *testing.T, text []byte) (edits []schema.Edit) {
	t.Helper()
	var root yaml.Node
	if err := yaml.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	number := regexp.MustCompile(`^(-?\d+(?:\.\d+)?)( [A-Za-z%/0-9]+)?$`)
	var walk func(n *yaml.Node, path []string)
	walk = func(n *yaml.Node, path []string) {
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i < len(n.Content); i += 2 {
				walk(n.Content[i+1], append(path, n.Content[i].Value))
			}
		case yaml.ScalarNode:
			m := number.FindStringSubmatch(n.Value)
			if m == nil || n.Style != 0 || len(path) < 2 {
				return
			}
			x, _ := strconv.ParseFloat(m[1], 64)
			more := x * 1.01
			if m[2] == "" {
				more = x + 1
			}
			edits = append(edits, schema.Edit{Path: strings.Join(path, "."), Value: strconv.FormatFloat(more, 'f', -1, 64) + m[2]})
		}
	}
	walk(root.Content[0], nil)
	return edits
}

func TestAJobAgainstItselfIsEmpty(t *testing.T) {
	files, text := texts(t)
	for _, f := range files {
		c := Compare(computed(f, text[f]), computed("again", text[f]))
		if !c.Empty() || c.Essential() || c.Verdict() != "Nothing differs but the writing." {
			t.Errorf("%s: %+v", f, c)
		}
	}
}

// What moves a quantity is reported, with all that it moves: found here by
// looking at every quantity of both. And the way back lists the same.
func TestWhatMovesIsReportedBothWays(t *testing.T) {
	const each = 3 // values of a job
	files, text := texts(t)
	moved := 0
	for n, f := range files {
		before := computed(f, text[f])
		edits := varied(t, text[f])
		if len(edits) < 2*each {
			t.Fatalf("%s: %d numbers found", f, len(edits))
		}
		for k := range each {
			e := edits[(k*len(edits)/each+n)%len(edits)]
			changed, err := schema.Set(text[f], e)
			if err != nil {
				t.Errorf("%s: %v", f, err)
				continue
			}
			after := computed(f, changed)
			if after == nil || string(changed) == string(text[f]) {
				continue // such as an angle that the wedge cannot give, or 0 %
			}
			c, back := Compare(before, after), Compare(after, before)
			if len(c.Changes) != 1 || c.Changes[0].Path != e.Path {
				t.Errorf("%s, %s: changes %+v", f, e.Path, c.Changes)
			}
			reported := map[string]bool{}
			for _, x := range c.Consequences {
				reported[x.ID] = true
			}
			for _, v := range before.Values {
				w, ok := after.Value(v.ID)
				a, b := v.Q.SI, w.Q.SI
				if same := ok && (math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1.01e-9*max(math.Abs(a), math.Abs(b))); !same {
					moved++
					if !reported[v.ID] {
						t.Errorf("%s, %s: %s went from %g to %g, and is not reported", f, e.Path, v.ID, a, b)
					}
				}
			}
			for _, w := range after.Values {
				if _, ok := before.Value(w.ID); !ok && !reported[w.ID] {
					t.Errorf("%s, %s: %s is new, and is not reported", f, e.Path, w.ID)
				}
			}
			mirrored(t, f+", "+e.Path, c, back)
		}
	}
	if moved < 50 {
		t.Errorf("only %d quantities moved: the sample tries nothing", moved)
	}
}

// mirrored holds a comparison against that of the same two the other way.
func mirrored(t *testing.T, name string, c, back *Comparison) {
	t.Helper()
	lists := func(c *Comparison, swap bool) map[string][]string {
		pair := func(a, b string) string {
			if swap {
				a, b = b, a
			}
			return a + " → " + b
		}
		out := map[string][]string{}
		add := func(list, line string) { out[list] = append(out[list], line) }
		for _, x := range c.Changes {
			add("changes", x.Path+" "+pair(x.Before, x.After))
		}
		for _, x := range c.Consequences {
			add("consequences", x.ID+" "+pair(text(x.Before), text(x.After)))
		}
		for _, v := range c.Variables {
			add("variables", v.Rule+" "+v.Subject+" "+pair(v.Before, v.After))
		}
		for i, list := range [][]diag.Finding{c.New, c.Gone} {
			for _, f := range list {
				add(fmt.Sprint("findings ", (i == 0) != swap), f.Rule+" "+f.Path+" "+f.Subject)
			}
		}
		for _, list := range out {
			slices.Sort(list)
		}
		return out
	}
	there, here := lists(c, false), lists(back, true)
	for _, part := range []string{"changes", "consequences", "variables", "findings true", "findings false"} {
		if !slices.Equal(there[part], here[part]) {
			t.Errorf("%s: %s differ the other way:\n%s\n%s", name, part, strings.Join(there[part], "\n"), strings.Join(here[part], "\n"))
		}
	}
}

// A probe is known by the group that uses it: what is judged there stands in the
// equipment.
func TestProbeOfAVariable(t *testing.T) {
	job := &schema.Job{Groups: []schema.Group{{Name: "upper", Probe: "P1", Wedge: "W1"}, {Name: "root", Probe: "P2"}}}
	for _, c := range []struct {
		path, of, judges string
		want             bool
	}{
		{"equipment.probes.P1.frequency", "groups.upper.probe", "group.frequency", true},
		{"equipment.probes.P1.pitch", "groups.upper.probe", "group.frequency", false},
		{"equipment.probes.P1.pitch", "groups.upper.probe", "group.pitch_ratio", true},
		{"equipment.probes.P2.frequency", "groups.upper.probe", "group.frequency", false},
		{"equipment.wedges.W1.angle", "groups.upper.wedge", "group.natural_angle", true},
		{"equipment.wedges.W1.angle", "groups.upper.probe", "group.pitch_ratio", false},
		{"scan.speed", "groups.upper.probe", "group.frequency", false},
	} {
		if got := ofProbe(c.path, c.of, c.judges, []*schema.Job{job}); got != c.want {
			t.Errorf("%s of %s, %s: %v", c.path, c.of, c.judges, got)
		}
	}
}
