package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"soundwrit/internal/archive"
)

// A PDF that somebody made to tie up who verifies it is told to be one.
func TestHostileTemplatesOfAPDF(t *testing.T) {
	job, err := os.ReadFile(filepath.Join("..", "..", "testdata", "scripts", "seam.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for source, want := range map[string]string{
		`{{range 1000000000}}{{end}}`:          "the templates go on for more than",
		"- - - - - - a\n            - - - b\n": "more than 8 lists or cautions stand in each other",
		`{{nothing}}`:                          `function "nothing" not defined`,
	} {
		a := &attached{job: archive.File{Name: "seam.yaml", Is: isJob, Data: job}, own: fstest.MapFS{"04-safety.md": {Data: []byte("## 4 Safety\n\n" + source)}}}
		verdict, ok, err := a.made([]byte("%PDF-1.7\n"), nil)
		if err != nil || ok || !strings.HasPrefix(verdict, "NOT to be told: the templates attached to it cannot be used: ") || !strings.Contains(verdict, want) {
			t.Errorf("%q: %q, %v, %v", source[:min(20, len(source))], verdict, ok, err)
		}
	}
}
