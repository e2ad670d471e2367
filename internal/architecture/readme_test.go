package architecture

import (
	"go/types"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// fenced returns the bodies of a document's fenced blocks in a language.
func fenced(document, language string) []string {
	var bodies []string
	for _, m := range regexp.MustCompile("(?ms)^```(\\w*)\n(.*?)^```$").FindAllStringSubmatch(document, -1) {
		if m[1] == language {
			bodies = append(bodies, m[2])
		}
	}
	return bodies
}

// step is one command of a session, and the lines of output shown below it.
type step struct {
	command string
	shown   []string
}

// steps reads the sessions: "$ " begins a command, and a line with "…" alone
// stands for what is left out.
func steps(document string) []step {
	var all []step
	for _, body := range fenced(document, "console") {
		for _, line := range strings.Split(strings.TrimSpace(body), "\n") {
			if command, ok := strings.CutPrefix(line, "$ "); ok {
				all = append(all, step{command: command})
			} else if line != "…" {
				all[len(all)-1].shown = append(all[len(all)-1].shown, line)
			}
		}
	}
	return all
}

func TestReadmeCommands(t *testing.T) {
	readme := text(t, "README.md")
	var commands []string
	for _, body := range fenced(readme, "sh") {
		commands = append(commands, strings.Split(strings.TrimSpace(body), "\n")...)
	}
	if len(commands) == 0 || commands[len(commands)-1] != "go test ./..." || !strings.Contains(text(t, ".ci/run"), " run go test ./... ") {
		t.Error("the test command of the README is not the one that .ci/run runs")
	}
	for _, s := range steps(readme) {
		commands = append(commands, s.command)
	}
	start := regexp.MustCompile(`^(go run \./cmd/soundwrit|go test|go install|soundwrit|sed) `)
	for _, c := range commands {
		if !start.MatchString(c) {
			t.Errorf("the README has a command that no fresh machine knows: %s", c)
		}
		for _, word := range strings.Fields(c) {
			if _, err := os.Stat(filepath.Join(root, word)); strings.HasPrefix(word, "testdata/") && err != nil {
				t.Errorf("the README names %s, which does not exist", word)
			}
		}
	}
}

func TestReadmeNamesEveryVerb(t *testing.T) {
	readme := text(t, "README.md")
	verbs, ok := program(t).packages["cmd/soundwrit"].types.Scope().Lookup("verbs").Type().Underlying().(*types.Struct)
	if !ok {
		t.Fatal("the command line is no struct any more")
	}
	found := 0
	for i := range verbs.NumFields() {
		if _, isVerb := reflect.StructTag(verbs.Tag(i)).Lookup("cmd"); isVerb {
			found++
			if verb := strings.ToLower(verbs.Field(i).Name()); !strings.Contains(readme, "| `soundwrit "+verb) {
				t.Errorf("the README does not explain soundwrit %s", verb)
			}
		}
	}
	if listed := strings.Count(readme, "| `soundwrit "); listed != found {
		t.Errorf("the README explains %d verbs, there are %d", listed, found)
	}
}

// The README's sessions are played, and every line it shows must be printed,
// in that order.
func TestReadmeSession(t *testing.T) {
	dir, bin := t.TempDir(), t.TempDir()
	build := exec.Command("go", "build", "-buildvcs=false", "-o", bin, "./cmd/soundwrit")
	build.Dir = root
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if err := os.CopyFS(filepath.Join(dir, "testdata/jobs"), os.DirFS(filepath.Join(root, "testdata/jobs"))); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	played := 0
	for _, s := range steps(text(t, "README.md")) {
		if strings.HasPrefix(s.command, "go ") {
			continue
		}
		played++
		run := exec.Command("sh", "-c", s.command)
		run.Dir = dir
		// An exit code is part of the session; what is printed is judged.
		out, _ := run.CombinedOutput()
		rest := string(out)
		for _, line := range s.shown {
			_, after, ok := strings.Cut("\n"+rest, "\n"+line+"\n")
			if !ok {
				t.Errorf("the README shows below %q\n%s\nbut it prints\n%s", s.command, line, out)
				break
			}
			rest = after
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "out/plate-seam.pdf")); played < 4 || err != nil {
		t.Errorf("%d commands were played, and no technique came of them: %v", played, err)
	}
}

// The job that the README shows is computed whole.
func TestReadmeJob(t *testing.T) {
	jobs := fenced(text(t, "README.md"), "yaml")
	if len(jobs) != 1 {
		t.Fatalf("the README shows %d jobs", len(jobs))
	}
	job, findings := schema.Load("README.md", []byte(jobs[0]))
	for _, f := range append(findings, technique.Compute(job).Findings...) {
		if f.Level == diag.Error {
			t.Errorf("line %d of the job: %s", f.At.Line, f.Message)
		}
	}
}

func TestReadmeIsShort(t *testing.T) {
	for name, most := range map[string]int{"README.md": 260, "DEVELOPERS.md": 250} {
		if lines := strings.Count(text(t, name), "\n"); lines > most {
			t.Errorf("%s has %d lines; what is over %d nobody reads", name, lines, most)
		}
	}
	if info, err := os.Stat(filepath.Join(root, "docs/page.png")); err != nil || info.Size() > 260_000 {
		t.Errorf("the picture of a page is missing or over 200 kB: %v", err)
	}
}

// Whoever hands on the program hands on these notices: every module stands in
// them, with the version that is built in.
func TestNoticeNamesEveryModule(t *testing.T) {
	notice := text(t, "NOTICE")
	modules := regexp.MustCompile(`(?m)^(?:require )?\t?(\S+\.\S+/?\S*) (v\S+)`).FindAllStringSubmatch(text(t, "go.mod"), -1)
	if len(modules) < 10 {
		t.Fatalf("only %d modules found in go.mod", len(modules))
	}
	for _, m := range modules {
		if !strings.Contains(notice, m[1]+" "+m[2]) {
			t.Errorf("NOTICE does not name %s %s", m[1], m[2])
		}
	}
}
