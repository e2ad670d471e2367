package schema

import (
	"strings"
	"testing"
)

// No wedge stands on the surface that slopes.
func TestBottomWithTransition(t *testing.T) {
	text := edit(t, complete(t), "  heat_affected_zone:", transition("B")+"  heat_affected_zone:")
	if _, findings := Load("job.yaml", []byte(text)); len(findings) > 0 {
		t.Fatal(report(findings))
	}
	text, at := place(t, strings.Replace(text, "surface: top", "surface: ^bottom", 1))
	_, findings := Load("job.yaml", []byte(text))
	if len(findings) != 1 || findings[0].Rule != "surface-sloped" || findings[0].At != at {
		t.Errorf("want one finding at %v\n%s", at, report(findings))
	}
}
