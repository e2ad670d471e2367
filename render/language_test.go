package render

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
	"soundwrit/templates"
)

var (
	printedNumber = regexp.MustCompile(`\d+(?:[.,]\d+)*`)
	link          = regexp.MustCompile(`\]\([^)]*\)`)
	english       = regexp.MustCompile(`\b(the|of|is|are|and|with|from|by|than|which|each|not)\b`)
	pointed       = regexp.MustCompile(`\d\.\d+ (mm|dB|MHz|µs|%|mm/s|m/s|GB|MB|°C)`)
)

// spoken is a shipped job and a language.
type spoken struct{ name, language string }

var inLanguage = once(func(s spoken) (*technique.Technique, error) {
	return compute(jobFile(s.name), func(j *schema.Job) { j.Document.Language = s.language })
})

// linesOf are the lines of a shipped job's document in a language, after some
// changes of the job, without where their links lead.
func linesOf(t *testing.T, name, language string, edit ...func(*schema.Job)) []string {
	t.Helper()
	tech := inLanguage(t, spoken{name, language})
	if len(edit) > 0 {
		tech = computed(t, name, append(edit, func(j *schema.Job) { j.Document.Language = language })...)
	}
	doc := document(t, tech, "A4")
	lines := strings.Split(string(doc.Markdown), "\n")
	for i := range lines {
		lines[i] = link.ReplaceAllString(lines[i], "]")
	}
	return lines
}

// TestGermanStatesTheSameNumbers writes each job in both languages: line by
// line the same numbers stand in them, and in German none with a point before
// a unit. So a translation can neither lose nor change a value.
func TestGermanStatesTheSameNumbers(t *testing.T) {
	for _, name := range shippedJobs(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			en, de := linesOf(t, name, "en"), linesOf(t, name, "de")
			if len(en) != len(de) {
				t.Fatalf("%d lines in English, %d in German", len(en), len(de))
			}
			for i := range en {
				numbers := func(line string) []string {
					all := printedNumber.FindAllString(line, -1)
					for i := range all {
						all[i] = strings.ReplaceAll(all[i], ",", ".")
					}
					slices.Sort(all)
					return all
				}
				if a, b := numbers(en[i]), numbers(de[i]); !slices.Equal(a, b) {
					t.Errorf("line %d:\n%s\n%s", i+1, en[i], de[i])
				}
			}
		})
	}
}

// TestGermanLeavesNoWordInEnglish writes each job in both languages: a word that
// stands in a line of both is a word of the job, of a formula, a code's own name for
// a place in it, or one that the languages share.
func TestGermanLeavesNoWordInEnglish(t *testing.T) {
	for _, name := range shippedJobs(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			noEnglishLeft(t, name, "")
		})
	}
}

// TestGermanFiguresLeaveNoLabelInEnglish draws each job in both languages: a label
// with a word in it that reads the same in both is a name that the job gives.
func TestGermanFiguresLeaveNoLabelInEnglish(t *testing.T) {
	word := regexp.MustCompile(`\p{L}{3,}`)
	for _, name := range shippedJobs(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			en, de := inLanguage(t, spoken{name, "en"}), inLanguage(t, spoken{name, "de"})
			var names []string
			for _, g := range en.Groups {
				names = append(names, word.FindAllString(g.Set.Name, -1)...)
			}
			said := map[string]bool{}
			for _, f := range document(t, en, "A4").Figures {
				for _, l := range f.Drawing.labels {
					said[f.Name+": "+l.text] = true
				}
			}
			for _, f := range document(t, de, "A4").Figures {
				for _, l := range f.Drawing.labels {
					words := slices.DeleteFunc(word.FindAllString(l.text, -1), func(w string) bool { return slices.Contains(names, w) })
					if len(words) > 0 && said[f.Name+": "+l.text] {
						t.Errorf("figure %s: %s", f.Name, l.text)
					}
				}
			}
		})
	}
}

// rule is the id of a rule, by which findings and deviations name it.
var rule = regexp.MustCompile(`[a-z][a-z0-9.-]+/[a-z0-9-]+`)

// noEnglishLeft reports the words of a job's German document that its English one
// has in the same line, but for those that stay.
func noEnglishLeft(t *testing.T, name, stay string, edit ...func(*schema.Job)) {
	t.Helper()
	word := regexp.MustCompile(`\p{L}{3,}`)
	shared := strings.Fields("Amplitude Bytes Echo Element Elements Form ISO Name Pause Position Relevant linear ppm relevant Revision Scanner Signal Software Status TFM TOFD die max min plus was")
	clauses := strings.Fields("Annex Appendices Article Figure Table VII VIII")                           // as the books cite them
	annexB := strings.Fields("Definition SNR kHz MHz longitudinal arccos asin cos explain log sin tan " + // functions, units, a command
		"ASME ASTM Acoust Achenbach Buren Drinkwater Elastic Fourier Fresnel Holmes International Kirchhoff Materials NDT " +
		"Propagation Rayleigh Rogers Soc Solids Testing Ultrasonic Van Wave Wilcox") // and names and titles of sources
	job, err := os.ReadFile(filepath.Join("..", "testdata", "jobs", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	known := slices.Concat(word.FindAllString(string(job), -1), shared, clauses, annexB, strings.Fields(stay))
	en, de := linesOf(t, name, "en", edit...), linesOf(t, name, "de", edit...)
	if len(en) != len(de) {
		t.Fatalf("%d lines in English, %d in German", len(en), len(de))
	}
	for i, line := range de {
		if strings.HasPrefix(line, "<!--") {
			continue
		}
		english := word.FindAllString(en[i], -1)
		for _, w := range word.FindAllString(rule.ReplaceAllString(line, ""), -1) {
			if slices.Contains(english, w) && !slices.Contains(known, w) {
				t.Errorf("line %d, %s: %s", i+1, w, line)
			}
		}
	}
}

// TestGermanJobIsGerman looks for English words and decimal points in the
// document of a German job: as it was shipped, and as a draft that
// leaves open what it may and meets little of the codes it names.
func TestGermanJobIsGerman(t *testing.T) {
	for _, tech := range []*technique.Technique{computed(t, "kranbahn"), computed(t, "kranbahn", barely)} {
		doc := document(t, tech, "A4")
		for i, line := range strings.Split(string(doc.Markdown), "\n") {
			if strings.HasPrefix(line, "|  ") {
				continue
			}
			if words := english.FindAllString(link.ReplaceAllString(strings.ReplaceAll(line, "Ultrasonic Testing of Materials", ""), "]"), -1); words != nil {
				t.Errorf("line %d, %v: %s", i+1, words, line)
			}
			if n := pointed.FindString(line); n != "" {
				t.Errorf("line %d, %s: %s", i+1, n, line)
			}
		}
		for _, f := range doc.Figures {
			for _, l := range f.Drawing.labels {
				if english.MatchString(l.text) || pointed.MatchString(l.text) {
					t.Errorf("figure %s: %s", f.Name, l.text)
				}
			}
		}
	}
}

// barely leaves of a job little more than what it takes to compute it.
func barely(j *schema.Job) {
	j.Document = schema.Document{Language: "de", Title: "Nähte", Number: "1", Revision: "0", Date: "2026-01-01"}
	j.Codes.Procedure = append(j.Codes.Procedure, schema.Code{Code: "ISO 17640", Edition: "2018"}, schema.Code{Code: "ISO 10863", Edition: "2020"},
		schema.Code{Code: "ISO 23864", Edition: "2021"}, schema.Code{Code: "ISO 22825", Edition: "2017"})
	j.Part.Description, j.Part.ParentMaterial, j.Part.Zone.Basis = "", "", ""
	j.Part.Surface.Condition, j.Part.Surface.Coating = "", ""
	j.Part.Weld.Process, j.Part.Weld.Stage, j.Part.Weld.Transverse, j.Part.Weld.Flaws = "", "", "", nil
	j.Equipment.Couplant = ""
	for i := range j.Groups {
		j.Groups[i].Purpose = ""
	}
	j.Reference.Transfer, j.Reference.Checks.Occasions = "", nil
	j.Scan.Datum, j.Scan.Direction, j.Scan.CouplingLoss, j.Scan.Storage = "", "", "", ""
	j.Scan.Increment, j.Scan.Overlap = 5*si.Millimetre, 5*si.Millimetre
	j.Evaluation, j.Qualification = schema.Evaluation{}, schema.Qualification{}
}

// A record of changes names a value of the job as the document does: each has its
// name in German.
func TestGermanNamesWhatTheJobSays(t *testing.T) {
	tongue := templates.Language("de")
	missing := map[string]bool{}
	for _, name := range shippedJobs(t) {
		for _, v := range computed(t, name).Values {
			if v.Source == "job" && v.Formula == "" && tongue.Say(v.Name) == v.Name && strings.ContainsFunc(v.Name, unicode.IsLetter) {
				missing[v.Name] = true
			}
		}
	}
	for name := range missing {
		t.Errorf("%q has no German", name)
	}
}
