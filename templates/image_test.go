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

// Without a bandwidth nothing is known of the image, and nothing is said of it.
func TestNoImageWithoutBandwidth(t *testing.T) {
	text := documentOf(t, "vessel-seam", "      bandwidth: 65 %\n", "")
	for _, no := range []string{"Image of a point", "Beside the main lobe"} {
		if strings.Contains(text, no) {
			t.Errorf("the document says %q", no)
		}
	}
}
