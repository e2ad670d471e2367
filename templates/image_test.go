package templates

import (
	"strings"
	"testing"
)

// Each place of a group's study is a row, and each way to transmit has its
// image beside its speed.
func TestImageOfAPointIsStated(t *testing.T) {
	text := documentOf(t, "vessel-seam")
	for _, want := range []string{
		"#### Image of a point by group direct", "#### Image of a point by group skip",
		"Middle of the area reached", "Fusion face B", "With all elements firing it would be", "every 8th element fires",
		"of at least half of those that fire",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the document does not say %q", want)
		}
	}
	if n := strings.Count(text, "every 3rd element fires** (chosen)"); n != 2 {
		t.Errorf("the chosen transmission is marked %d times, by speed and by image", n)
	}
}

func TestPlaneWavesAreStated(t *testing.T) {
	text := documentOf(t, "vessel-seam", "scheme: every-nth, n: 3", "scheme: plane-wave, from: 45 deg, to: 70 deg, count: 16")
	for _, want := range []string{
		"16 plane waves, evenly spaced from 45° to 70° refracted", "**16 plane waves** (chosen)",
		"by one plane wave at least, between the rays of the first and the last element", "so that neither is stated for it",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the document does not say %q", want)
		}
	}
}

// On a path whose flaw turns one kind of wave into the other, widths are stated,
// and with them what was taken for the flaw; on others the latter is not said.
func TestImageOfAFlawThatConverts(t *testing.T) {
	said := "how high its echo is, nothing here says"
	if text := documentOf(t, "clad-shell"); strings.Count(text, said) != 1 {
		t.Errorf("of one path of three: said %d times", strings.Count(text, said))
	}
	if text := documentOf(t, "vessel-seam"); strings.Contains(text, said) {
		t.Error("said of paths of one kind of wave")
	}
}

// Without a bandwidth nothing is known of the image, and nothing is said of it.
func TestNoImageWithoutBandwidth(t *testing.T) {
	text := documentOf(t, "vessel-seam", "      bandwidth: 65 %\n", "")
	for _, no := range []string{"Image of a point", "Beside the main lobe"} {
		if strings.Contains(text, no) {
			t.Errorf("the document says %q", no)
		}
	}
}
