package render

import (
	"math"
	"strings"
	"testing"
)

// Short rows stand in pairs, and a long value has the whole width: beside
// another it would stand on four lines, and leave the other half empty.
func TestLongValueStandsOnOneLine(t *testing.T) {
	const value = "Phased-array instrument with 32 active of 128 channels, or more"
	rows := []string{"| Item | Value |", "| --- | --- |", "| Description | " + value + " |", "| Active channels | 32 |", "| Digitising rate | 50 MHz |",
		"| Pause from the end of a record to the next pulse | 20 µs |", "| Extra time per scan position | 1 ms |",
		"| Rise that the time-corrected gain of the instrument can make | 40.0 dB |", "| Software | version 4 |"}
	pages, _ := placed(t, Document{Markdown: []byte(strings.Join(rows, "\n") + "\n")})
	at := func(text string) float64 {
		for _, x := range pages[0].texts {
			if x.text == text {
				return x.y
			}
		}
		return math.NaN() // not there, or not on one line
	}
	if y := at(value); math.IsNaN(y) || y == at("Active channels") {
		t.Errorf("the long value is not on a line of its own")
	}
	if y := at("Active channels"); y != at("Digitising rate") {
		t.Errorf("two short rows are not side by side")
	}
}
