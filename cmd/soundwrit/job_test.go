package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"

	"soundwrit/schema"
	"soundwrit/templates"
)

// finding is what check promises programs about each finding.
type finding struct {
	Rule, Level, File, Path, Message string
	Line, Column                     int
}

// findings runs check on a job given on standard input, and reads its JSON.
func findings(t testing.TB, job []byte) (code int, all []finding, stdout string) {
	t.Helper()
	var out, err bytes.Buffer
	code = run([]string{"check", "--format", "json", "-"}, bytes.NewReader(job), &out, &err)
	var report struct {
		Findings []finding
		Summary  struct{ Error, Shall int }
	}
	if code == fault || err.Len() > 0 {
		return code, nil, err.String()
	}
	if err := json.Unmarshal(out.Bytes(), &report); err != nil {
		t.Fatalf("%v in %s", err, out.String())
	}
	return code, report.Findings, out.String()
}

// What the project ships as good is good: no error, no requirement not met.
func TestShippedJobsAreClean(t *testing.T) {
	jobs := map[string][]byte{}
	for _, name := range files(t, "testdata/jobs/*.yaml") {
		jobs[filepath.Base(name)] = read(t, name)
	}
	for _, s := range templates.Starters() {
		jobs["starter "+s.Kind] = s.Job
	}
	for name, job := range jobs {
		code, all, _ := findings(t, job)
		if code != clean {
			t.Errorf("%s: exit code %d", name, code)
		}
		for _, f := range all {
			if f.Level == "error" || f.Level == "shall" {
				t.Errorf("%s:%d:%d: %s [%s]", name, f.Line, f.Column, f.Message, f.Rule)
			}
		}
	}
}

// A starter asks for no advice either, reaches the whole volume, explains each
// choice, and says which values are invented.
func TestStartersExplainThemselves(t *testing.T) {
	starters := templates.Starters()
	if len(starters) == 0 {
		t.Fatal("no starters")
	}
	for _, s := range starters {
		if len(s.Purpose) < 20 || strings.HasPrefix(s.Purpose, "yaml-language-server") {
			t.Errorf("%s: the first line says %q", s.Kind, s.Purpose)
		}
		text := string(s.Job)
		for _, want := range []string{"\n# yaml-language-server: $schema=", "soundwrit schema > job.schema.json", "(yours)", "(common practice)"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s lacks %q", s.Kind, want)
			}
		}
		var out, err bytes.Buffer
		run([]string{"explain", "-", "coverage.share"}, bytes.NewReader(s.Job), &out, &err)
		if !strings.Contains(out.String(), "C = 100.0 %") {
			t.Errorf("%s does not reach the whole volume: %s%s", s.Kind, out.String(), err.String())
		}
		_, all, _ := findings(t, s.Job)
		for _, f := range all {
			if f.Level != "note" {
				t.Errorf("%s:%d: %s: %s [%s]", s.Kind, f.Line, f.Level, f.Message, f.Rule)
			}
		}
	}
}

// The deliberately bad jobs are bad in many ways: one run shows each.
func TestBadJobsAreBadInManyWays(t *testing.T) {
	for name, want := range map[string]struct {
		code, least int
		level       string
	}{
		"wrong.yaml":  {unmet, 12, "shall"},
		"broken.yaml": {unusable, 10, "error"},
	} {
		code, all, _ := findings(t, read(t, filepath.Join("..", "..", "testdata", "bad", name)))
		kinds := map[string]bool{}
		for _, f := range all {
			if f.Level == want.level {
				kinds[f.Rule] = true
			}
		}
		if code != want.code || len(kinds) < want.least {
			t.Errorf("%s: exit code %d with %d kinds of level %s, want %d and at least %d", name, code, len(kinds), want.level, want.code, want.least)
		}
	}
}

// Sizes beyond reason are refused before anything of that size is made.
func TestAbsurdSizesTakeLittleMemory(t *testing.T) {
	seam := string(read(t, filepath.Join("..", "..", "testdata", "scripts", "seam.yaml")))
	for _, edits := range [][]string{
		{"elements: 64, pitch", "elements: 1000000000, pitch"},
		{"count: 32", "count: 1000000000"},
		{"step: 1 deg", "step: 1e-9 deg"},
		{"step: 1 deg", "step: 0.01 deg"},
		{"grid: 0.1 mm", "grid: 1e-9 mm"},
		{"grid: 0.1 mm", "grid: 0.001 mm", "near: 26 mm, far: 26 mm", "near: 500 mm, far: 500 mm"},
		{"grid_points: 150000", "grid_points: 1000000000000"},
		{"thickness: 20 mm", "thickness: 1e12 mm"},
		{"length: 2 m", "length: 1e12 m"},
		{"increment: 1 mm", "increment: 1e-9 mm"},
	} {
		job := seam
		for i := 0; i < len(edits); i += 2 {
			if strings.Count(job, edits[i]) != 1 {
				t.Fatalf("%q does not stand once in the job", edits[i])
			}
			job = strings.Replace(job, edits[i], edits[i+1], 1)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		code, _, said := findings(t, []byte(job))
		runtime.ReadMemStats(&after)
		if code != unusable {
			t.Errorf("%v: exit code %d, want %d: %s", edits, code, unusable, said)
		}
		// 50 MB is what a person's machine does not notice.
		if took := (after.TotalAlloc - before.TotalAlloc) >> 20; took >= 50 {
			t.Errorf("%v: %d MB allocated, want less than 50", edits, took)
		}
	}
}

// FuzzCheck gives any bytes to check: it never breaks, knows only the promised
// exit codes, points inside the file, and says the same twice.
func FuzzCheck(f *testing.F) {
	for _, pattern := range []string{"testdata/jobs/*.yaml", "testdata/bad/*.yaml", "testdata/scripts/seam.yaml", "templates/starters/*.yaml"} {
		for _, name := range files(f, pattern) {
			f.Add(read(f, name))
		}
	}
	for _, s := range []string{"", "soundwrit: 1", "a: &a [*a]", "\t", "\xef\xbb\xbfpart:\r\n  kind: plate", "? [", "groups: {g: {method: tfm}}"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, job []byte) {
		code, all, said := findings(t, job)
		if code != clean && code != unmet && code != unusable {
			t.Fatalf("exit code %d: %s", code, said)
		}
		if len(job) > schema.MaxSize {
			return
		}
		lines := linesOf(job)
		for _, f := range all {
			if f.Line < 1 || f.Line > len(lines) || f.Column < 1 || f.Column > utf8.RuneCountInString(lines[f.Line-1])+1 {
				t.Errorf("%d:%d is outside the file: %s [%s]", f.Line, f.Column, f.Message, f.Rule)
			}
		}
		if _, _, again := findings(t, job); again != said {
			t.Errorf("two runs differ:\n%s\n%s", said, again)
		}
	})
}

// linesOf splits a file at the line ends that YAML knows. An unreadable byte
// counts as one character.
func linesOf(job []byte) []string {
	text := strings.TrimPrefix(string(job), "\ufeff")
	return strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
}

// BenchmarkCheck is a whole run of check on each shipped job.
func BenchmarkCheck(b *testing.B) {
	for _, name := range files(b, "testdata/jobs/*.yaml") {
		b.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if code, _, said := called("check", name); code != clean {
					b.Fatal(said)
				}
			}
		})
	}
}

// BenchmarkWrite is a whole run of write on each shipped job, files included.
func BenchmarkWrite(b *testing.B) {
	for _, name := range files(b, "testdata/jobs/*.yaml") {
		b.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(b *testing.B) {
			b.ReportAllocs()
			dir := b.TempDir()
			for b.Loop() {
				if code, out, said := called("write", "-o", dir, name); code != clean {
					b.Fatal(fmt.Sprint(code, out, said))
				}
			}
		})
	}
}
