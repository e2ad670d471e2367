package templates

import (
	"os"
	"strings"
	"testing"

	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// documentOf writes the technique of a shipped job after a change of its text,
// cells without padding.
func documentOf(t *testing.T, job string, replace ...string) string {
	t.Helper()
	text, err := os.ReadFile("../testdata/jobs/" + job + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	read, findings := schema.Load(job+".yaml", []byte(strings.NewReplacer(replace...).Replace(string(text))))
	if read == nil {
		t.Fatal(findings)
	}
	out, err := Markdown(files, technique.Compute(read), nil)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// The numbers are worked out by hand in internal/technique/sensitivity_test.go.
func TestSensitivityIsStated(t *testing.T) {
	text := documentOf(t, "plate-seam", "    rearm: 20 us", "    rearm: 20 us\n    averages: 2", "  speed: 60 mm/s", "  speed: 30 mm/s\n  setup_time: 10 min")
	for _, want := range []string{
		"| direct | 36 | 1 | 62.8 | 20.0 | 2.3 |",
		"| direct | 5 | 1 | 8.7 | 0.0 | – |",
		"| ISO 2400, block No. 1, radius of 100 mm | transverse | first | 100.0 | 61.44 | 61.33 | 61.56 | 61.73 | 99.54 |",
		"| transverse | 3240 | 24.691 |",
		"| direct | | | | | | −0.9 | | |",
		"| skip | 3.00 | 3.06 | 20.00 | 0.28 |",
		"| Group | Depth in the block, mm | Leg | Sound path, mm | Gain over the first reflector, dB | Worth a disc of, mm |",
		"up to **22.8 dB**; the instrument can make 40.0 dB.",
		"by the encoder: 20 counts.",
		"| Firings that are averaged to one A-scan, m | 2 |",
		"| Time that each scan costs beside the scanning, T_s | 10.0 min |",
		"| Permitted deviation of the holes' diameter, up or down, Δd | 0.2 mm |",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the document does not hold %q", want)
		}
	}
}

// A probe that is moved by hand in strokes records nothing: neither the text nor
// the forms ask its crew for files, positions or lines.
func TestStrokesAskForNoRecords(t *testing.T) {
	text := documentOf(t, "girder-manual")
	for _, want := range []string{"with the probe moved in strokes across the weld.", "Keep the record sheets", "of each single-element probe", "| Reflector | Leg | Response, steep | Response, main | Response, flat |"} {
		if !strings.Contains(text, want) {
			t.Errorf("a document of strokes does not hold %q", want)
		}
	}
	for _, other := range []string{"position recorded", "Name each file", "missing lines", "| missing line |", "Encoder: moved", "Encoder, error", "Dead elements", "focal laws"} {
		if strings.Contains(text, other) {
			t.Errorf("a document of strokes holds %q", other)
		}
	}
}

// A weld dressed flush has no toe from which a wedge could be measured.
func TestFlushWeldHasNoToe(t *testing.T) {
	const row = "| Wedge front to the toe of the reinforcement"
	if strings.Contains(documentOf(t, "deck-linear"), row) || strings.Contains(documentOf(t, "drum-tofd"), row) {
		t.Error("a distance to a toe that is not there")
	}
	if !strings.Contains(documentOf(t, "vessel-seam"), row) {
		t.Error("no distance to the toe")
	}
}

// A form of transfer correction lists what has to be carried from the block, and
// says what to do where the gain for the distance is not known.
func TestTransferFormLists(t *testing.T) {
	const unknown = "Where no Gd is printed"
	form := func(name string) string {
		_, form, _ := strings.Cut(documentOf(t, name), "### D.5 ")
		form, _, _ = strings.Cut(form, "| Difference V")
		return form
	}
	if f := form("girder-manual"); strings.Contains(f, "| parent |") || !strings.Contains(f, "| steep |") || strings.Contains(f, unknown) {
		t.Errorf("strokes:\n%s", f)
	}
	if f := form("drum-tofd"); strings.Contains(f, "| timing |") || !strings.Contains(f, "| direct |") || strings.Contains(f, unknown) {
		t.Errorf("pairs:\n%s", f)
	}
	if f := form("vessel-seam"); !strings.Contains(f, unknown) {
		t.Errorf("images:\n%s", f)
	}
}

// Of images the gain is expected without the disc, whose law is that of one beam.
func TestGainsOfImages(t *testing.T) {
	text := documentOf(t, "vessel-seam")
	for _, want := range []string{"| direct | 8 | 1 | 13.9 | 0.0 |", "gain is expected to rise by up to **", "Of an image all pairs of elements"} {
		if !strings.Contains(text, want) {
			t.Errorf("a document of images does not hold %q", want)
		}
	}
	for _, other := range []string{"Of beams without a focus", "Worth a disc of", "The disc stands square"} {
		if strings.Contains(text, other) {
			t.Errorf("a document of images tells of beams: %s", other)
		}
	}
}
