package main

import (
	"fmt"
	"os"
	"time"
)

// progress tells on a terminal how far a run is that takes more than a second;
// anywhere else it is silent.
type progress struct {
	to    *os.File
	what  string
	began time.Time
	shown bool
}

func (s *streams) progress(what string) *progress {
	p := &progress{what: what, began: time.Now()}
	if file, _ := s.err.(*os.File); onTerminal(file) {
		p.to = file
	}
	return p
}

// at says how many of how many are done, of an unknown number where that is
// zero. It is not for use side by side.
func (p *progress) at(done, of int) {
	if p.to == nil || time.Since(p.began) < time.Second {
		return
	}
	p.shown = true
	if of == 0 {
		fmt.Fprintf(p.to, "\r%d %s", done, p.what)
		return
	}
	fmt.Fprintf(p.to, "\r%d of %d %s", done, of, p.what)
}

// end leaves the line as it was.
func (p *progress) end() {
	if p.shown {
		fmt.Fprint(p.to, "\r\x1b[K")
	}
}
