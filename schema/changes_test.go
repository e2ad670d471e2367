package schema

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
)

func jobText(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../testdata/jobs/plate-seam.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func jobOf(t *testing.T, text string) *Job {
	t.Helper()
	job, findings := Load("job.yaml", []byte(text))
	if job.Partial {
		t.Fatalf("the job cannot be used: %v", findings)
	}
	return job
}

// Each expectation is written by hand from the change of the text.
func TestChanges(t *testing.T) {
	text := jobText(t)
	for _, c := range []struct {
		why      string
		old, new string // one replacement in the text
		want     []Change
	}{
		{"another value", "wedge_front: 94 mm", "wedge_front: 90 mm",
			[]Change{{Path: "groups.skip.wedge_front", Before: "94 mm", After: "90 mm"}}},
		{"another spelling of the unit", "thickness: 40 mm", "thickness: 4 cm", nil},
		{"an inch is 25.4 mm", "overlap: 25 mm", "overlap: 0.984251968503937 in", nil},
		{"a comment", "scan:\n", "scan: # as agreed on site\n", nil},
		{"another order of a list", "sides: [A, B], surfaces", "sides: [B, A], surfaces", nil},
		{"a default left out", "boundary: straight, ", "", nil},
		{"a key that went", "    rearm: 20 us\n", "",
			[]Change{{Path: "equipment.instrument.rearm", Before: "20 us"}}},
		{"one text of a list", "lack of side-wall fusion", "lack of inter-run fusion",
			[]Change{{Path: "part.weld.flaws.0", Before: "lack of side-wall fusion", After: "lack of inter-run fusion"}}},
		{"a person is known by task and name", `certificate: NWE-3-0088`, `certificate: NWE-3-0089`,
			[]Change{{Path: "document.people.1.certificate", Before: "NWE-3-0088", After: "NWE-3-0089"}}},
		{"another person for a task", `task: reviews, name: Ole Brandsund`, `task: reviews, name: Turid Aas`,
			[]Change{{Path: "document.people.1.name", Before: "Ole Brandsund", After: "Turid Aas"}}},
		{"a revision that came", `    - {revision: "0", date: 2026-04-27`, "    - {revision: \"2\", date: 2026-06-01, change: Offset}\n    - {revision: \"0\", date: 2026-04-27",
			[]Change{{Path: "document.history.0.revision", After: "2"}, {Path: "document.history.0.date", After: "2026-06-01"}, {Path: "document.history.0.change", After: "Offset"}}},
		{"words reflowed", "Volumetric examination of the completed", "Volumetric  examination of the\n    completed", nil},
	} {
		if strings.Count(text, c.old) != 1 {
			t.Fatalf("%s: %q does not stand once in the job", c.why, c.old)
		}
		before, after := jobOf(t, text), jobOf(t, strings.Replace(text, c.old, c.new, 1))
		got := Changes(before, after)
		for i := range got {
			got[i].At.File, got[i].At.Line, got[i].At.Column = "", 0, 0
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.why, got, c.want)
		}
		// The other way round the same is listed, with the two values exchanged.
		back := Changes(after, before)
		if len(back) != len(c.want) {
			t.Fatalf("%s, back: got %v", c.why, back)
		}
		for i, b := range back {
			if b.Before != c.want[i].After || b.After != c.want[i].Before {
				t.Errorf("%s, back: got %v, want %v exchanged", c.why, b, c.want[i])
			}
		}
	}
}

// The order of keys, groups and lists says nothing: a job that is written with
// all of them shuffled is the same job.
func TestShuffledJobIsTheSame(t *testing.T) {
	files, _ := filepath.Glob("../testdata/jobs/*.yaml")
	if len(files) == 0 {
		t.Fatal("no shipped jobs")
	}
	random := rand.New(rand.NewPCG(7, 7))
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var tree yaml.Node
		if err := yaml.Unmarshal(text, &tree); err != nil {
			t.Fatal(err)
		}
		shuffle(&tree, random)
		shuffled, err := yaml.Marshal(&tree)
		if err != nil {
			t.Fatal(err)
		}
		if got := Changes(jobOf(t, string(text)), jobOf(t, string(shuffled))); len(got) > 0 {
			t.Errorf("%s: %v", file, got)
		}
	}
}

func shuffle(n *yaml.Node, random *rand.Rand) {
	for _, child := range n.Content {
		shuffle(child, random)
	}
	width := 1
	if n.Kind == yaml.MappingNode {
		width = 2
	}
	if n.Kind == yaml.MappingNode || n.Kind == yaml.SequenceNode {
		random.Shuffle(len(n.Content)/width, func(i, j int) {
			for k := range width {
				n.Content[width*i+k], n.Content[width*j+k] = n.Content[width*j+k], n.Content[width*i+k]
			}
		})
	}
}
