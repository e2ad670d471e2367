package technique

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

const jobs = "../../testdata/jobs"

// read computes a job file after a change of its text.
func read(t *testing.T, name string, replace ...string) (*Technique, []diag.Finding) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(jobs, name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(replace); i += 2 {
		if !bytes.Contains(text, []byte(replace[i])) {
			t.Fatalf("%s holds no %q", name, replace[i])
		}
		text = bytes.ReplaceAll(text, []byte(replace[i]), []byte(replace[i+1]))
	}
	job, findings := schema.Load(name+".yaml", text)
	if job == nil {
		t.Fatalf("%s cannot be read: %v", name, findings)
	}
	return Compute(job), findings
}

func shipped(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(jobs, "*.yaml"))
	if err != nil || len(files) < 3 {
		t.Fatalf("found %d shipped jobs: %v", len(files), err)
	}
	for i := range files {
		files[i] = strings.TrimSuffix(filepath.Base(files[i]), ".yaml")
	}
	return files
}

func TestShippedJobsAreMetAndWhollyKnown(t *testing.T) {
	for _, name := range shipped(t) {
		tech, found := read(t, name)
		for _, f := range append(found, tech.Findings...) {
			if f.Open() {
				t.Errorf("%s: %s: %s [%s]", name, f.At, f.Message, f.Rule)
			}
		}
		for _, v := range tech.Values {
			if !v.Q.Known() || math.IsInf(v.Q.SI, 0) {
				t.Errorf("%s: %s is not known", name, v.ID)
			}
			if v.Source == "" {
				t.Errorf("%s: %s names no source", name, v.ID)
			}
		}
		if len(tech.Rules) < 25 {
			t.Errorf("%s: only %d requirements answered", name, len(tech.Rules))
		}
	}
}

// Values worked out with a pocket calculator from the job's text; the digits
// are those of the calculation, the tolerance is half of the last one.
func TestValuesByHand(t *testing.T) {
	cases := []struct {
		job, id string
		want    float64 // in the unit in which the value is printed
		within  float64
		how     string
	}{
		{"plate-seam", "groups.direct.wavelength", 0.81, 0.0005, "3240 / 4e6"},
		{"plate-seam", "groups.direct.wavelength_wedge", 0.5825, 0.0005, "2330 / 4e6"},
		{"plate-seam", "groups.direct.aperture", 7.95, 0.0005, "15 × 0.5 + 0.45"},
		{"plate-seam", "groups.direct.natural_angle", 55.02, 0.01, "asin(3240/2330 × sin 36.1° = 0.58920) = asin 0.81932"},
		{"plate-seam", "groups.direct.critical_second", 45.99, 0.01, "asin(2330/3240 = 0.71914)"},
		{"plate-seam", "groups.direct.half_skip", 57.13, 0.01, "40 tan 55° = 40 × 1.42815"},
		{"plate-seam", "groups.direct.full_skip", 114.25, 0.01, "80 × 1.42815"},
		{"plate-seam", "groups.direct.v_path", 139.48, 0.01, "80 / cos 55° = 80 / 0.57358"},
		// Middle of elements 9 to 24 is 15.5 pitches in front of element 1:
		// h = 6 + 7.75 × 0.58920 = 10.566, d = 32 − 7.75 × 0.80799 = 25.738,
		// β = asin(0.71914 × 0.81915) = 36.09°, x_e = 25.738 − 10.566 × 0.7289
		{"plate-seam", "groups.direct.exit_distance", 18.04, 0.02, "see above"},
		{"plate-seam", "groups.direct.exit_to_centreline", 62.04, 0.02, "44 + 18.04"},
		{"plate-seam", "groups.direct.first_element_to_centreline", 76, 0.001, "44 + 32"},
		{"plate-seam", "groups.direct.toe_clearance", 29, 0.001, "44 − 30/2"},
		{"plate-seam", "groups.direct.firings", 31, 0, "40 to 70 by 1"},
		{"plate-seam", "volume.area", 2000, 0.5, "40 × (30/2 + 10) × 2"},
		{"plate-seam", "scan.positions", 2425, 0, "(2400 + 25) / 1"},
		{"plate-seam", "scan.passes", 4, 0, "two positions on two sides, one line a pass"},
		{"vessel-seam", "groups.direct.firings", 22, 0, "every 3rd of 64: 1, 4, ... 64"},
		{"vessel-seam", "groups.direct.a_scans", 1408, 0, "22 × 64"},
		{"vessel-seam", "groups.direct.grid_points", 71001, 0, "(44/0.1 + 1) × (16/0.1 + 1)"},
		// Measured 22 Hz with 64 firing in two groups; 22 of 64 fire now.
		{"vessel-seam", "scan.rate", 64, 0.05, "22 × 64/22; firings, A-scans and image work all fall alike"},
		{"vessel-seam", "scan.speed_limit", 64, 0.05, "1 mm × 64 Hz"},
		{"pipe-girth", "weld.length", 33.772, 0.001, "π × 10.75"},
		{"pipe-girth", "groups.near.half_skip", 0.8483, 0.001, "0.594 × 1.42815"},
	}
	computed := map[string]*Technique{}
	for _, c := range cases {
		if computed[c.job] == nil {
			computed[c.job], _ = read(t, c.job)
		}
		v, ok := computed[c.job].Value(c.id)
		if !ok {
			t.Errorf("%s has no %s", c.job, c.id)
			continue
		}
		u, _ := si.UnitNamed(v.Unit, v.Q.Kind)
		if got := v.Q.In(u); math.Abs(got-c.want) > c.within {
			t.Errorf("%s %s = %g %s, by hand %g (%s)", c.job, c.id, got, v.Unit, c.want, c.how)
		}
	}
}

// A handValue is a value worked out with a pocket calculator, in the unit in which
// it is stated.
type handValue struct {
	id           string
	want, within float64
	how          string
}

// byHand holds values of a technique, whose ids begin alike, to those by hand.
func byHand(t *testing.T, tech *Technique, at string, list []handValue) {
	t.Helper()
	for _, c := range list {
		if got := value(t, tech, at+c.id); !(math.Abs(got-c.want) <= c.within) {
			t.Errorf("%s = %g, by hand %g (%s)", at+c.id, got, c.want, c.how)
		}
	}
}

// Common practice, no source: with 64 elements and two image groups at one
// and the same increment, going from full matrix to every third element raised
// a practitioner's limit from 11 to 31 mm/s. Scaled from the first reading, the
// second must come out within 5 %.
func TestMeasuredRateScalesToTheReadingOfASite(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "rate: 22 Hz", "rate: 11 Hz")
	var full, third si.Speed
	for _, a := range tech.Speed.Alternatives {
		switch {
		case a.Name == "full matrix":
			full = a.Limit
		case a.Every == 3:
			third = a.Limit
		}
	}
	if math.Abs(float64(full)-11e-3) > 1e-9 {
		t.Errorf("the measured configuration itself gives %g m/s, measured 11 mm/s", full)
	}
	if math.Abs(float64(third)/31e-3-1) > 0.05 {
		t.Errorf("every third element gives %g m/s, the site read 31 mm/s", third)
	}
}

// The table of alternatives ends where fewer than four elements fire or
// nothing more is gained, and holds the chosen scheme.
func TestAlternatives(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	chosen, last := 0, si.Speed(0)
	for i, a := range tech.Speed.Alternatives {
		if a.Chosen {
			chosen++
			if limit, _ := tech.Value("scan.speed_limit"); math.Abs(float64(a.Limit)-limit.Q.SI) > 1e-12 {
				t.Errorf("the chosen scheme allows %g m/s in the table and %g in the text", a.Limit, limit.Q.SI)
			}
		}
		if fires := a.Firings; a.Every > 1 && fires < 4 { // both images share one record
			t.Errorf("%s: only %d elements fire", a.Name, fires)
		}
		if i > 2 && a.Limit <= last {
			t.Errorf("%s gains nothing: %g after %g m/s", a.Name, a.Limit, last)
		}
		last = a.Limit
		if want := 0.5 / 0.466 * float64(a.Every); math.Abs(float64(a.Pitch)-want) > 1e-3*want {
			t.Errorf("%s: transmit pitch %g wavelengths of the wedge, by hand %g", a.Name, a.Pitch, want)
		}
	}
	if chosen != 1 {
		t.Errorf("%d chosen schemes in the table", chosen)
	}
}

// Just outside the printed range of offsets the coverage falls, or the search
// had reached the toe or its far end; inside it does not.
func TestOffsetRangeKeepsCoverage(t *testing.T) {
	for _, name := range shipped(t) {
		tech, _ := read(t, name)
		for _, g := range tech.Groups {
			if g.Pair != nil || g.Single != nil {
				continue // stands by its separation, or moves in strokes
			}
			if !(g.OffsetFrom <= g.Set.WedgeFront && g.Set.WedgeFront <= g.OffsetTo) {
				t.Errorf("%s %s: range %g to %g leaves out its own offset %g", name, g.Set.Name, g.OffsetFrom, g.OffsetTo, g.Set.WedgeFront)
			}
			share := func(front si.Length) float64 {
				text, err := os.ReadFile(filepath.Join(jobs, name+".yaml"))
				if err != nil {
					t.Fatal(err)
				}
				job, _ := schema.Load(name, text)
				for j := range job.Groups {
					if other := &job.Groups[j]; other.Probe == g.Set.Probe && other.Wedge == g.Set.Wedge && other.WedgeFront == g.Set.WedgeFront {
						other.WedgeFront = front
					}
				}
				moved := Compute(job)
				return float64(moved.Coverage.Share)
			}
			nominal := float64(tech.Coverage.Share)
			for _, front := range []si.Length{g.OffsetFrom, g.OffsetTo} {
				// 400 rows here against 100 in the search: a row's width of slack.
				if got := share(front); got < nominal-0.0005-0.002 {
					t.Errorf("%s %s: at %g m %g of the volume are reached, at the stated offset %g", name, g.Set.Name, front, got, nominal)
				}
			}
		}
	}
}

// The longest time of an image, by trying every element with every point of a
// coarse grid and searching the interface for the least time: no ray formula.
func TestLongestTimeOfImageByBruteForce(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	const cw, ct, thickness = 2330.0, 3240.0, 16e-3
	angle := 36.0 * math.Pi / 180
	for _, g := range tech.Groups {
		legs := 1.0
		if g.Set.Path == "TT-TT" {
			legs = 2
		}
		oneWay := func(i int, x, z float64) float64 {
			ex := -30e-3 - 40e-3 + float64(i)*0.5e-3*math.Cos(angle)
			eh := 5e-3 + float64(i)*0.5e-3*math.Sin(angle)
			d := z
			if legs == 2 {
				d = 2*thickness - z
			}
			time := func(s float64) float64 { return math.Hypot(s-ex, eh)/cw + math.Hypot(x-s, d)/ct }
			a, b := ex, x
			for range 200 { // ternary search of a convex function
				p, q := a+(b-a)/3, b-(b-a)/3
				if time(p) < time(q) {
					b = q
				} else {
					a = p
				}
			}
			return time((a + b) / 2)
		}
		longest := 0.0
		for x := -22e-3; x <= 22.001e-3; x += 4.4e-3 {
			for z := 0.0; z <= 16.001e-3; z += 3.2e-3 {
				out, back := 0.0, 0.0
				for i := range 64 {
					tt := oneWay(i, x, z)
					back = max(back, tt)
					if i%3 == 0 {
						out = max(out, tt)
					}
				}
				longest = max(longest, out+back)
			}
		}
		// The program takes the ends of the whole aperture, which never fire later
		// than the ends of the thinned one.
		got := float64(g.Load.TimeOfFlight)
		if got < longest*(1-1e-9) || got > longest*1.01 {
			t.Errorf("%s: %g s, by brute force %g s", g.Set.Name, got, longest)
		}
	}
}

// Every fact that the rules are given is one that a book may name, and every
// name of the vocabulary is given for at least one shipped job.
func TestVocabularyAndFactsAgree(t *testing.T) {
	known := map[string]bool{}
	for _, f := range Vocabulary() {
		known[f.Name] = false
	}
	for _, name := range shipped(t) {
		tech, _ := read(t, name)
		s := &sheet{Technique: tech, inch: inches(tech.Job)}
		given := s.facts()
		for _, g := range s.groupFacts() {
			for fact := range g.Facts {
				given[fact] = nil
			}
		}
		for fact := range given {
			if _, ok := known[fact]; !ok {
				t.Errorf("%s: fact %s is not in the vocabulary", name, fact)
			}
			known[fact] = true
		}
	}
	optional := map[string]bool{"code.level": true, "group.focus_ratio": true} // the book's own; no shipped job focuses
	for fact, given := range known {
		if !given && !optional[fact] {
			t.Errorf("no shipped job gives the fact %s", fact)
		}
	}
}

// A job from which any one value is missing, or holds nonsense, is computed
// as far as it goes: no panic, and the other findings stay.
func TestUnknownFieldsLeaveTheRestStanding(t *testing.T) {
	if testing.Short() {
		return // a minute's work, and much more under the race detector
	}
	seen := map[string]int{}
	named := regexp.MustCompile(`^\.(groups|equipment\.\w+)\.[^.]+\.`)
	for _, name := range shipped(t) {
		text, err := os.ReadFile(filepath.Join(jobs, name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		for k, spoil := range []string{"", "nonsense", "-3 mm", "0", "1e30 mm"} {
			// A value is spoiled in one of the five ways: there are so many that each
			// kind of value meets all of them.
			for i := k; ; i += 5 {
				changed, path := spoiled(t, text, i, spoil)
				if changed == nil {
					break
				}
				// A key of a group is spoiled once in each job, so that each method meets
				// it; any other key twice, in two of the ways.
				key, most := named.ReplaceAllString(path, "$1.*."), 2
				if strings.HasPrefix(key, ".groups.") {
					key, most = name+key, 1
				}
				if seen[key]++; seen[key] > most {
					continue
				}
				func() {
					defer func() {
						if p := recover(); p != nil {
							t.Errorf("%s without %s (%q): panic: %v", name, path, spoil, p)
						}
					}()
					if job, _ := schema.Load(name, changed); job != nil {
						Compute(job)
					}
				}()
			}
		}
	}
}

// spoiled returns the job with its i-th scalar replaced, or removed where
// the replacement is empty, and nil past the last one.
func spoiled(t *testing.T, text []byte, i int, with string) ([]byte, string) {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	path, n := "", 0
	var walk func(node *yaml.Node, at string) bool
	walk = func(node *yaml.Node, at string) bool {
		for c := 0; c < len(node.Content); c++ {
			child, where := node.Content[c], fmt.Sprint(at, ".", c)
			if node.Kind == yaml.MappingNode {
				where = at + "." + node.Content[c].Value
				c++
				child = node.Content[c]
			}
			if child.Kind == yaml.ScalarNode {
				if n == i {
					path = where
					if with != "" {
						child.Value, child.Tag, child.Style = with, "", 0
					} else if node.Kind == yaml.MappingNode {
						node.Content = append(node.Content[:c-1], node.Content[c+1:]...)
					} else {
						node.Content = append(node.Content[:c], node.Content[c+1:]...)
					}
					return true
				}
				n++
			} else if walk(child, where) {
				return true
			}
		}
		return false
	}
	if !walk(doc.Content[0], "") {
		return nil, ""
	}
	out, err := yaml.Marshal(&doc)
	if err != nil {
		t.Fatal(err)
	}
	return out, path
}
