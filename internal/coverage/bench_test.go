package coverage_test

import (
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/si"
)

// array64 is a tfm view of 64 elements, 0.5 mm apart, on a wedge of 36°.
func array64(transmit, receive int) coverage.View {
	way := func(legs int) coverage.Way {
		w := coverage.Way{Course: course(2330, legs), From: 35 * si.Degree, To: 75 * si.Degree}
		for i := range 64 {
			w.Emitters = append(w.Emitters, coverage.Emitter{
				X: si.Length(-60+0.4045*float64(i)) * mm, Height: si.Length(5+0.2939*float64(i)) * mm,
			})
		}
		return w
	}
	return coverage.View{Transmit: way(transmit), Receive: way(receive)}
}

func BenchmarkReach(b *testing.B) {
	s := vee()
	for name, view := range map[string]coverage.View{"T-T": array64(1, 1), "TT-TT": array64(2, 2), "TT-T": array64(2, 1)} {
		b.Run(name, func(b *testing.B) {
			views := []coverage.View{view}
			for b.Loop() {
				rows := coverage.Union(reach(s, views, 400), reach(s.Mirror(), views, 400).Mirror())
				coverage.Measure(s, rows)
			}
		})
	}
}

func BenchmarkIncidence(b *testing.B) {
	s, views := vee(), []coverage.View{array64(2, 1)}
	for b.Loop() {
		incidence(s, s.Faces[0], views, 100)
	}
}
