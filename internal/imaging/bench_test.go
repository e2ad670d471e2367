package imaging

import (
	"testing"

	"soundwrit/internal/si"
)

// The reflector of a group of 64 elements after one skip.
var benchmarked = Point{1e-3, 9e-3}

func BenchmarkSpread(b *testing.B) {
	im := wedge("TT", "TT")
	for b.Loop() {
		im.Spread(benchmarked, Every(3, 64))
	}
}

func BenchmarkGridLoss(b *testing.B) {
	im := wedge("TT", "TT")
	for b.Loop() {
		im.GridLoss(benchmarked, Every(3, 64), 0.1e-3, false)
	}
}

func BenchmarkArtefacts(b *testing.B) {
	im := wedge("TT", "TT")
	var sent []Transmission
	for n := range 8 {
		sent = append(sent, Every(n+1, 64))
	}
	for b.Loop() {
		im.Artefacts(benchmarked, sent)
	}
}

// A study as a technique of four groups makes it: main lobes at seven places, the
// loss between the points of the grid, and artefacts around one of the places with
// all elements firing and with the group's own, in one group with every way to
// transmit.
func BenchmarkStudy(b *testing.B) {
	images := []*Image{wedge("T", "T"), wedge("TT", "T"), wedge("TT", "TT"), wedge("TL", "T")}
	middle := []Point{{-10e-3, 12e-3}, {-6e-3, 9e-3}, {1e-3, 9e-3}, {-20e-3, 6e-3}}
	var every []Transmission
	for n := range 8 {
		every = append(every, Every(n+1, 64))
	}
	own := every[2]
	sent := [][]Transmission{every, {every[0], own}, {every[0], own}, {every[0], own}}
	for b.Loop() {
		for i, im := range images {
			for _, at := range [][2]float64{{0, 0}, {-5, 3}, {-5, -3}, {5, 3}, {5, -3}, {-3, 1}, {3, -1}} {
				q := Point{middle[i].X + si.Length(at[0]*1e-3), middle[i].Z + si.Length(at[1]*1e-3)}
				im.Spread(q, own)
			}
			im.Artefacts(middle[i], sent[i])
			im.GridLoss(middle[i], own, 0.1e-3, false)
		}
	}
}
