package templates

import (
	"strings"
	"testing"
)

// Two codes at once, 40 mm of wall: both are met, and the stricter limit is
// worked to. Limits by hand from the study of the codes: increment 2 mm (ISO
// 13588) and 1 mm (ASME V); drift 4 dB and 2 dB; range 2 % and 10 %.
func TestWhereCodesDifferTheStricterIsShown(t *testing.T) {
	const one = `    - {code: ISO 13588, edition: "2019", testing_level: B}`
	source := documentOf(t, "plate-seam", one, one+"\n"+`    - {code: ASME V Article 4, edition: "2019"}`)
	for _, row := range []string{
		"| Distance between two scan positions | at most 2 mm (ISO 13588:2019, 7.3); at most 1 mm (ASME V Article 4:2019, V-471.6) | 1 mm | at most 1 mm |",
		"| Change of sensitivity that needs no action | at most 4 dB (ISO 13588:2019, 9.2); at most 2 dB (ASME V Article 4:2019, T-466.3.2) | 4 dB | at most 2 dB |",
		"at most 2 % (ISO 13588:2019, 9.2); at most 10 % (ASME V Article 4:2019, T-466.3.1) | 2 % | at most 2 % |",
	} {
		if !strings.Contains(source, row) {
			t.Errorf("there is no row %s", row)
		}
	}
	if strings.Contains(documentOf(t, "plate-seam"), "Where the codes differ") {
		t.Error("with one code nothing differs")
	}
}
