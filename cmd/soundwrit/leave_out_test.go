package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
)

// A job may lack anything: it is then refused with findings, or written without
// what is not known, but never a fault of the program.
func TestAnyKeyMayBeLeftOut(t *testing.T) {
	if testing.Short() {
		t.Skip("writes some hundred documents")
	}
	tried := map[string]bool{}
	for _, name := range files(t, "templates/starters/pipe-*.yaml") {
		job, paths := read(t, name), map[int]string{}
		for i, path := range keysOf(t, job) {
			if !tried[path] {
				tried[path], paths[i] = true, path
			}
		}
		const shares = 4 // of the job, side by side
		for share := range shares {
			t.Run(fmt.Sprintf("%s, %d", filepath.Base(name), share), func(t *testing.T) {
				t.Parallel()
				dir := t.TempDir()
				for i, path := range paths {
					if i%shares != share {
						continue
					}
					var out, err bytes.Buffer
					code := run([]string{"write", "-o", dir, "-"}, bytes.NewReader(without(t, job, i)), &out, &err)
					if !slices.Contains([]int{clean, unmet, unusable}, code) {
						t.Errorf("without %s: exit code %d: %s", path, code, err.String())
					}
				}
			})
		}
	}
}

// keysOf lists the paths of a job in the order in which without counts them.
func keysOf(t *testing.T, job []byte) []string {
	var paths []string
	visit(parsed(t, job), "", func(path string, _ func()) { paths = append(paths, path) })
	return paths
}

// without is the job without its nth key or item.
func without(t *testing.T, job []byte, n int) []byte {
	doc := parsed(t, job)
	var removals []func()
	visit(doc, "", func(_ string, remove func()) { removals = append(removals, remove) })
	removals[n]()
	data, err := yaml.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func parsed(t *testing.T, job []byte) *yaml.Node {
	var doc yaml.Node
	if err := yaml.Unmarshal(job, &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Content[0]
}

// visit calls see for every key and item below a value, with what removes it.
func visit(n *yaml.Node, path string, see func(path string, remove func())) {
	step := 1
	if n.Kind == yaml.MappingNode {
		step = 2
	}
	for i := 0; i+step <= len(n.Content); i += step {
		key := strconv.Itoa(i)
		if step == 2 {
			key = n.Content[i].Value
		}
		below := strings.TrimPrefix(path+"."+key, ".")
		see(below, func() { n.Content = slices.Delete(n.Content, i, i+step) })
		visit(n.Content[i+step-1], below, see)
	}
}
