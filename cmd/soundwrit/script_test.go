package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the program says into the scripts")

// The scripts pin what the command line promises. Beside the usual commands
// they have
//
//	exits CODE PROGRAM ARGS...  runs a program and demands its exit code
//	edit FILE OLD NEW           replaces the one place where OLD stands; both may hold \t, \n, \xff
//	crlf FILE                   ends the lines as some systems do
//	sparse FILE BYTES           makes a file of that size that takes no room
//	cut FILE TO BYTES           copies the beginning of a file
//	left NAMES...               demands that these files, and no others, are in the folder
//	json FILE KEYS...           demands that the file is JSON and holds these keys, in any depth
//
// and $TESTDATA is the folder of the shipped jobs.
func TestScripts(t *testing.T) {
	if testing.Short() {
		return // minutes under the race detector, which the packages meet by themselves
	}
	testdata, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(testdata, "scripts"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TESTDATA", testdata)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":  exits,
			"edit":   edit,
			"crlf":   crlf,
			"sparse": sparse,
			"cut":    cut,
			"left":   left,
			"json":   holdsKeys,
		},
	})
}

// needs refuses a command that is not written as its description says.
func needs(ts *testscript.TestScript, neg, ok bool) {
	if neg || !ok {
		ts.Fatalf("the command is not used as TestScripts describes it")
	}
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) >= 2)
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

func edit(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 3)
	file := ts.MkAbs(args[0])
	old, err := strconv.Unquote(`"` + strings.ReplaceAll(args[1], `"`, `\"`) + `"`)
	ts.Check(err)
	by, err := strconv.Unquote(`"` + strings.ReplaceAll(args[2], `"`, `\"`) + `"`)
	ts.Check(err)
	data, err := os.ReadFile(file)
	ts.Check(err)
	if n := bytes.Count(data, []byte(old)); n != 1 {
		ts.Fatalf("%q stands %d times in %s, want once", old, n, args[0])
	}
	ts.Check(os.WriteFile(file, bytes.Replace(data, []byte(old), []byte(by), 1), 0o644))
}

func crlf(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 1)
	data, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")), 0o644))
}

func sparse(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 2)
	size, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(errors.Join(f.Truncate(size), f.Close()))
}

func cut(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) == 3)
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	data, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), data[:min(n, len(data))], 0o644))
}

func left(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, true)
	entries, err := os.ReadDir(ts.MkAbs("."))
	ts.Check(err)
	var names []string
	for _, e := range entries {
		if e.Name() != ".tmp" { // the script's own, for programs
			names = append(names, e.Name())
		}
	}
	slices.Sort(args)
	if !slices.Equal(names, args) {
		ts.Fatalf("the folder holds %v, want %v", names, args)
	}
}

func holdsKeys(ts *testscript.TestScript, neg bool, args []string) {
	needs(ts, neg, len(args) >= 1)
	var value any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &value))
	found := map[string]bool{}
	var visit func(any)
	visit = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, below := range v {
				found[key] = true
				visit(below)
			}
		case []any:
			for _, item := range v {
				visit(item)
			}
		}
	}
	visit(value)
	for _, key := range args[1:] {
		if !found[key] {
			ts.Fatalf("%s has no key %q", args[0], key)
		}
	}
}
