package templates

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soundwrit/schema"
)

var (
	action = regexp.MustCompile(`\{\{.*?\}\}`)
	note   = regexp.MustCompile(`<!--.*?-->`)
	words  = regexp.MustCompile(`\pL{2}`)
	shape  = regexp.MustCompile(`^(#+ (?:\d+(?:\.\d+)?|[A-D]\.\d)?|> |- |\d+\. )?`)
)

// TestGermanKeepsStepWithTheTemplates holds the two languages together: every
// line of a template that says something has its German one, with the same
// actions, cells, headings and list marks, and no German line is left of an
// English one that is gone.
func TestGermanKeepsStepWithTheTemplates(t *testing.T) {
	german, used := Language("de"), map[string]bool{}
	names, err := fs.Glob(Files(), "*.md")
	if err != nil || len(names) < 20 {
		t.Fatalf("%d templates: %v", len(names), err)
	}
	for _, name := range names {
		data, err := fs.ReadFile(Files(), name)
		if err != nil {
			t.Fatal(err)
		}
		for n, line := range strings.Split(string(data), "\n") {
			line = strings.TrimSpace(line)
			said, ok := german.said[line]
			used[line] = true
			if !words.MatchString(note.ReplaceAllString(action.ReplaceAllString(line, ""), "")) {
				continue
			}
			if !ok {
				t.Errorf("%s:%d has no German line: %s", name, n+1, line)
				continue
			}
			a, b := action.FindAllString(line, -1), action.FindAllString(said, -1)
			slices.Sort(a)
			slices.Sort(b)
			if !slices.Equal(a, b) {
				t.Errorf("%s:%d: other actions in German: %s", name, n+1, said)
			}
			if strings.Count(line, "|") != strings.Count(said, "|") {
				t.Errorf("%s:%d: %d bars in German, not %d: %s", name, n+1, strings.Count(said, "|"), strings.Count(line, "|"), said)
			}
			if x, y := shape.FindString(line), shape.FindString(said); x != y {
				t.Errorf("%s:%d: German begins with %q, not %q", name, n+1, y, x)
			}
			if !slices.Equal(numbersOf(line), numbersOf(said)) {
				t.Errorf("%s:%d: other numbers in German: %s", name, n+1, said)
			}
		}
	}
	data, err := fs.ReadFile(languages, "languages/de.txt")
	if err != nil {
		t.Fatal(err)
	}
	lines, _, found := strings.Cut(string(data), "\n// Names of computed values")
	if !found {
		t.Fatal("no names of values in the German words")
	}
	for _, line := range strings.Split(lines, "\n") {
		if line != "" && line[0] != '\t' && !strings.HasPrefix(line, "// ") && !used[line] {
			t.Errorf("no template has this line any more: %s", line)
		}
	}
}

var plainNumber = regexp.MustCompile(`\d+(?:[.,]\d+)*`)

// numbersOf lists the numbers of a text outside its actions, in order of value,
// with the decimal point.
func numbersOf(text string) []string {
	text = strings.NewReplacer("Ein ", "", "TT-T", "").Replace(action.ReplaceAllString(text, ""))
	all := plainNumber.FindAllString(text, -1)
	for i := range all {
		all[i] = strings.ReplaceAll(all[i], ",", ".")
	}
	slices.Sort(all)
	return all
}

// TestPhrasesKeepTheirHoles holds each phrase to as many holes in German.
func TestPhrasesKeepTheirHoles(t *testing.T) {
	for _, some := range Language("de").phrases {
		for _, p := range some {
			if n := len(hole.FindAllString(p.says, -1)); n != len(p.holes) {
				t.Errorf("%s: %d holes in German, not %d", strings.Join(p.parts, "{}"), n, len(p.holes))
			}
		}
	}
}

func TestSay(t *testing.T) {
	german := Language("de")
	for in, want := range map[string]string{
		"":                                   "",
		"not stated":                         "nicht angegeben",
		"Group upper":                        "Gruppe upper",
		"12.4 mm to 16.0 mm":                 "12.4 mm bis 16.0 mm", // the printer has put the comma before
		"5 met, 1 not met, 2 not applicable": "5 erfüllt, 1 nicht erfüllt, 2 nicht anwendbar",
		"as welded, 18 mm wide, 2 mm high":   "wie geschweißt, 18 mm breit, 2 mm hoch",
		"below −12 dB; the allowance is −6 dB":              "unter −12 dB; der Spielraum ist −6 dB",
		"the pitch of P4.5 is 1.55 wavelengths in the part": "die Elementteilung von P4.5 beträgt 1,55 Wellenlängen im Prüfgegenstand",
		"from here to there":                                "from here to there",
		"A text that the program does not know, 12.5 mm":    "A text that the program does not know, 12.5 mm",
	} {
		if got := german.Say(in); got != want {
			t.Errorf("Say(%q) = %q, want %q", in, got, want)
		}
		if got := (*Tongue)(nil).Say(in); got != in {
			t.Errorf("English Say(%q) = %q", in, got)
		}
	}
	for in, want := range map[string]string{
		"12.5 mm": "12,5 mm", "0.063 in": "0,063 in", "60.5°": "60,5°", "1.5": "1,5", "−2.5 dB to 3.5 dB": "−2,5 dB to 3,5 dB",
		"section 6.2.2": "section 6.2.2", "ISO 7.1 mmm": "ISO 7.1 mmm", "version 4.2 of it": "version 4.2 of it", "at most 0.5": "at most 0,5", "0.8 to 1.5": "0,8 to 1,5", "6.2.2": "6.2.2", "5.5 %": "5,5 %",
	} {
		if got := german.Decimal(in); got != want {
			t.Errorf("Decimal(%q) = %q, want %q", in, got, want)
		}
	}
}

// TestNamesOfTheJobStay holds that nothing of the job is taken for a word of
// the program, however it is spelled.
func TestNamesOfTheJobStay(t *testing.T) {
	job := &schema.Job{}
	job.Document.Language = "de"
	job.Groups = []schema.Group{{Name: "flat"}, {Name: "top"}}
	job.Document.Client = "below 5 m"
	german := Of(job)
	for in, want := range map[string]string{
		"flat": "flat", "Group flat": "Gruppe flat", "top": "top", "bottom": "unten", "below 5 m": "below 5 m", "below 6 m": "unter 6 m",
	} {
		if got := german.Say(in); got != want {
			t.Errorf("Say(%q) = %q, want %q", in, got, want)
		}
	}
}
