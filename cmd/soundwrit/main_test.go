package main

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts run this test binary as the program, and collects
// garbage as seldom as main does.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	testscript.Main(m, map[string]func(){"soundwrit": main})
}

// called runs the program within this process.
func called(args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	code = run(args, strings.NewReader(""), &out, &err)
	return code, out.String(), err.String()
}

// files lists what a pattern matches under testdata, and fails where that is
// nothing, so that no test passes for want of files.
func files(t testing.TB, pattern string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("..", "..", pattern))
	if err != nil || len(names) == 0 {
		t.Fatalf("no files match %s (%v)", pattern, err)
	}
	return names
}

func read(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
