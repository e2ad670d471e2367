package templates

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// house is the built-in templates with some in the place of theirs.
func house(t *testing.T, own map[string]string) fs.FS {
	t.Helper()
	folder := fstest.MapFS{}
	for name, text := range own {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	wording, err := House(folder)
	if err != nil {
		t.Fatal(err)
	}
	return wording
}

// Who takes up a document may not be held up by templates that came with it:
// whatever they do, they end soon, and it is said why.
func TestTemplatesWithoutEndAreStopped(t *testing.T) {
	for name, c := range map[string]struct{ source, want string }{
		"a loop":              {`{{range blanks 1000000000}}{{end}}`, "steps"},
		"loops in loops":      {`{{range 1000000000}}{{range 1000000000}}{{end}}{{end}}`, "steps"},
		"many calls":          {`{{range 1000000000}}{{if tally "1" "2" "3"}}{{end}}{{end}}`, "steps"},
		"inside itself":       {`{{define "a"}}{{template "a" .}}{{end}}{{template "a" .}}`, "inside itself"},
		"twice inside":        {`{{define "a"}}{{template "a" .}}{{template "a" .}}{{end}}{{template "a" .}}`, "inside itself"},
		"much text":           {`{{range 1000000000}}` + strings.Repeat("x", 1000) + `{{end}}`, "more than 2 MB"},
		"print doubles":       {`{{$x := "xxxxxxxx"}}{{range 60}}{{$x = print $x $x}}{{end}}`, "more than 2 MB"},
		"printf doubles":      {`{{$x := "xxxxxxxx"}}{{range 60}}{{$x = printf "%s%s" $x $x}}{{end}}`, "more than 2 MB"},
		"println doubles":     {`{{$x := "xxxxxxxx"}}{{range 60}}{{$x = println $x $x}}{{end}}`, "more than 2 MB"},
		"js doubles":          {`{{$x := "\\"}}{{range 60}}{{$x = js $x}}{{end}}`, "more than 2 MB"},
		"html grows":          {`{{$x := "&"}}{{range 60}}{{$x = html $x $x}}{{end}}`, "more than 2 MB"},
		"urlquery grows":      {`{{$x := "%"}}{{range 60}}{{$x = urlquery $x $x}}{{end}}`, "more than 2 MB"},
		"a wide number":       {`{{printf "%999999d" 1}}`, "three digits"},
		"a width given":       {`{{printf "%*d" 999999 1}}`, "three digits"},
		"one argument often":  {`{{printf "` + strings.Repeat("%[1]s", 1000) + `" "x"}}`, "three digits"},
		"wide and often":      {`{{printf "` + strings.Repeat("%999d", 12000) + `" 1}}`, "more than 2 MB"},
		"all of the view":     {`{{print .}}`, "a text or a number"},
		"long":                {`{{/*` + strings.Repeat("x", 3<<20) + `*/}}`, "more than 2 MB"},
		"many lines":          {`{{range 60000}}{{"\n"}}{{end}}`, "50000 lines"},
		"a long paragraph":    {`{{range 70000}}x{{end}}`, "paragraph of more than 32 kB"},
		"a long heading":      {`# {{range 600}}x{{end}}`, "heading of more than 500"},
		"many cells":          {`{{range 100}}|{{end}}`, "40 cells"},
		"lists in one line":   {strings.Repeat("- ", 60) + "x", "8 lists"},
		"cautions in one":     {strings.Repeat(">", 60) + "x", "8 lists"},
		"a range that breaks": {`{{range 1000000000}}{{continue}}{{end}}`, "steps"},
	} {
		_, err := Markdown(house(t, map[string]string{"04-safety.md": c.source}), sample(), nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			text := "none"
			if err != nil {
				text = err.Error()[:min(300, len(err.Error()))]
			}
			t.Errorf("%s: error %s, want %q", name, text, c.want)
		}
	}
	// A mistake is still told with its place.
	_, err := Markdown(house(t, map[string]string{"04-safety.md": "\n{{range 3}}{{v \"no.thing\"}}{{end}}"}), sample(), nil)
	if want := "templates/04-safety.md:2:14: there is no value no.thing"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	_, err = Markdown(house(t, map[string]string{"04-safety.md": "\n\n{{range 1000000000}}{{end}}"}), sample(), nil)
	if want := "templates/04-safety.md:3:"; err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("%v, want %s", err, want)
	}
}

// The limits bind no honest house: templates as long as the built-in ones write
// every shipped document, and the strained one, with the same bytes.
func TestLimitsBindNoHonestHouse(t *testing.T) {
	own := map[string]string{}
	names, err := fs.Glob(files, "*.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			t.Fatal(err)
		}
		own[name] = string(text) + "\n"
	}
	jobs, err := filepath.Glob("../testdata/jobs/*.yaml")
	if err != nil || len(jobs) == 0 {
		t.Fatal(jobs, err)
	}
	for _, file := range append(jobs, "../testdata/stress/column.yaml") {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		job, _ := schema.Load(file, data)
		tech := technique.Compute(job)
		want, err := Markdown(files, tech, drawings)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Markdown(house(t, own), tech, drawings)
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s: by templates of a house the document is another: %v", file, err)
		}
	}
}
