package templates

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// jobFiles are all jobs that the program ships or is strained by.
func jobFiles(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, pattern := range []string{"../testdata/jobs/*.yaml", "starters/*.yaml", "../testdata/stress/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v", pattern, err)
		}
		all = append(all, files...)
	}
	return all
}

// TestCalculationsAreGerman writes annex B of each job in both languages, whatever
// the job's own: a word that stands in a cell of both is a name of the job, one
// that the languages share, or of the title of a source.
func TestCalculationsAreGerman(t *testing.T) {
	word := regexp.MustCompile(`\p{L}{3,}`)
	shared := strings.Fields("sin cos tan asin arccos log max min kHz MHz SNR Amplitude Definition Echo Element Position Signal longitudinal was " +
		"Fourier Fresnel Kirchhoff Rayleigh ASTM ASME ISO Article VII VIII") // the last are clauses
	for _, file := range jobFiles(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			job, _ := schema.Load(file, data)
			tech := technique.Compute(job)
			cells := func(language string) []md {
				job.Document.Language = language
				chapters, sources, err := values{tech, &printer{tongue: Of(job)}}.calculations()
				if err != nil {
					t.Fatal(err)
				}
				var all []md
				for _, c := range chapters {
					for _, r := range c.Rows {
						all = append(all, r.Name, r.Formula, r.Inputs, r.Result)
					}
				}
				return append(all, sources...)
			}
			var known []string
			for _, g := range job.Groups {
				known = append(known, word.FindAllString(g.Name, -1)...)
			}
			en, de := cells("en"), cells("de")
			if len(en) != len(de) || len(en) < 200 {
				t.Fatalf("%d cells in English, %d in German", len(en), len(de))
			}
			for i := range de {
				english := word.FindAllString(titles.ReplaceAllString(string(en[i]), ""), -1)
				for _, w := range word.FindAllString(titles.ReplaceAllString(string(de[i]), ""), -1) {
					if slices.Contains(english, w) && !slices.Contains(shared, w) && !slices.Contains(known, w) {
						t.Errorf("%s: %s", w, de[i])
					}
				}
				if pointed.MatchString(titles.ReplaceAllString(string(de[i]), "")) {
					t.Errorf("a decimal point: %s", de[i])
				}
			}
		})
	}
}

var (
	pointed = regexp.MustCompile(`\d\.\d`)
	// titles are authors, papers and clauses.
	titles = regexp.MustCompile(`Ultrasonic Testing of Materials|J\. D\. Achenbach, Wave Propagation in Elastic Solids|` +
		`P\. H\. Rogers \pL+ A\. L\. Van Buren, J\. Acoust\. Soc\. Am\.|C\. Holmes, B\. Drinkwater, P\. Wilcox, NDT\\?&E International|` +
		`W\. Marczak, J\. Acoust\. Soc\. Am\.|C\. Clopper, E\. Pearson, Biometrika|434\.2\.4`)
)
