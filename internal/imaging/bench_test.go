package imaging

import "testing"

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
