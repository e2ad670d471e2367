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

// A study as a technique makes it: main lobes at seven places, artefacts around
// one of them of every second, third … firing, and the loss between the points of
// the grid, on each of four paths of 64 elements.
func BenchmarkStudy(b *testing.B) {
	images := []*Image{wedge("T", "T"), wedge("TT", "T"), wedge("TT", "TT"), wedge("TL", "T")}
	middle := []Point{{-10e-3, 12e-3}, {-6e-3, 9e-3}, {1e-3, 9e-3}, {-20e-3, 6e-3}}
	var sent []Transmission
	for n := range 8 {
		sent = append(sent, Every(n+1, 64))
	}
	for b.Loop() {
		for i, im := range images {
			for _, at := range [][2]float64{{0, 0}, {-5, 3}, {-5, -3}, {5, 3}, {5, -3}, {-3, 1}, {3, -1}} {
				q := Point{middle[i].X + si.Length(at[0]*1e-3), middle[i].Z + si.Length(at[1]*1e-3)}
				im.Spread(q, sent[2])
			}
			im.Artefacts(middle[i], sent)
			im.GridLoss(middle[i], sent[2], 0.1e-3, false)
		}
	}
}
