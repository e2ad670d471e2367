package architecture

import (
	"path/filepath"
	"strings"
	"testing"
)

// A project that names the machine it was made on runs only there.
func TestNoMachinePaths(t *testing.T) {
	// In two pieces each, so that this file does not hold them.
	words := [][2]string{{"/wo", "rk/"}, {"/ro", "ot/"}, {"/ho", "me/"}, {"/Us", "ers/"}, {`:\Us`, `ers`}, {"hel", "per-"}, {"sha", "red/"}}
	binary := map[string]bool{".png": true, ".pdf": true}
	read := 0
	walk(t, func(name string) {
		if binary[filepath.Ext(name)] {
			return
		}
		read++
		for i, line := range strings.Split(text(t, name), "\n") {
			for _, w := range words {
				if word := w[0] + w[1]; strings.Contains(line, word) {
					t.Errorf("%s:%d: %q has no place in the project", name, i+1, word)
				}
			}
		}
	})
	if read < 100 {
		t.Errorf("only %d files were read: the test looks in the wrong place", read)
	}
}
