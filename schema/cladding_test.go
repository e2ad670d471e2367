package schema

import (
	"strings"
	"testing"
)

// A path that begins with one kind of wave and ends with the other asks the
// wedge for both ranges of angles; one that changes its kind under way does not.
func TestPathOfBothWavesAtTheProbe(t *testing.T) {
	apart := "      usable_longitudinal:\n        from: 35 deg\n        to: 65 deg\n"
	for path, want := range map[string]string{"LL-T": "missing-key", "T-L": "missing-key", "TL-T": "", "TL-LT": ""} {
		text := edit(t, complete(t), apart, "")
		text = edit(t, text, "    path: TT-TT", "    path: "+path)
		_, findings := Load("job.yaml", []byte(text))
		if want == "" && len(findings) > 0 || want != "" && (len(findings) != 1 || findings[0].Rule != want || !strings.Contains(findings[0].Message, "usable_longitudinal")) {
			t.Errorf("%s: want %q\n%s", path, want, report(findings))
		}
	}
}
