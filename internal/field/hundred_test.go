package field

import (
	"math"
	"sync"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// The map by which speed is held against another program, which computes the
// same from this definition:
//
//   - 64 elements of 0.5 mm at a pitch of 0.6 mm, the first at X = −35 mm and 6 mm
//     above the surface, on a wedge of 36° and 2330 m/s: X_i = −35 mm + i 0.6 mm cos 36°,
//     H_i = 6 mm + i 0.6 mm sin 36°.
//   - A part of 3240 m/s (transverse, the wave used) and 5920 m/s, 25 mm thick; 5 MHz;
//     no attenuation; a contact face at which nothing is lost.
//   - 316 × 316 places, x = (j + ½) 50 mm / 316, z = (k + ½) 25 mm / 316.
//   - Of each element to each place, over one, two and three legs: the time T, and the
//     amplitude a = D(θ) R(β)ⁿ / S. θ is from the array's normal, β in the part, n the
//     reflections; D as acoustics.ElementDirectivity with the wavelength in the wedge,
//     R as kept of acoustics.FreeSurfaceReflection, S as acoustics.Beam.Spreading.
//   - Of each place and path T-T, TT-T, TT-TT, TTT-T: Σ a out times Σ a back.
//   - Held equal: the mean of all T in µs for each number of legs, and the mean over the
//     places of 20 log₁₀ of the sums, S in metres, for each path.
type hundred struct {
	times [3]float64
	means [4]float64
}

// hundredSide is how many places the map has in a row, and rows.
const hundredSide = 316

func hundredModel() (*Model, []ray.Element) {
	unknown := si.Unknown[si.Density]()
	m := Media{
		Wedge:     acoustics.Medium{Density: unknown, Longitudinal: 2330, Transverse: 1150},
		Part:      ray.Plate(25*mm, acoustics.Medium{Density: unknown, Longitudinal: 5920, Transverse: 3240}),
		Frequency: 5 * si.Megahertz, Tilt: 36 * si.Degree, Element: 0.5 * mm,
		InWedge: si.Unknown[si.Attenuation](), Longitudinal: si.Unknown[si.Attenuation](), Transverse: si.Unknown[si.Attenuation](),
	}
	var list []ray.Element
	for i := si.Length(0); i < 64; i++ {
		list = append(list, ray.Element{X: -35*mm + i*0.6*mm*si.Length(m.Tilt.Cos()), Height: 6*mm + i*0.6*mm*si.Length(m.Tilt.Sin())})
	}
	return New(m), list
}

// hundredMap computes the map with so many goroutines, and places in a row.
func hundredMap(workers, side int) hundred {
	model, elements := hundredModel()
	parts := make([]hundred, workers)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			var aperture [3]*Sources
			for i := range aperture {
				aperture[i] = model.Sources(elements, ray.Waves(transverse, i+1)...)
			}
			var images [4]*Image
			for i, path := range [4][2]int{{1, 1}, {2, 1}, {2, 2}, {3, 1}} {
				images[i] = model.Image(aperture[path[0]-1], aperture[path[1]-1], around())
			}
			for k := w; k < side; k += workers {
				z := (si.Length(k) + 0.5) * 25 * mm / si.Length(side)
				for j := range side {
					p := Point{(si.Length(j) + 0.5) * 50 * mm / si.Length(side), z}
					for i, im := range images {
						parts[w].means[i] += 20 * math.Log10(im.pairs(p))
					}
					for i, s := range aperture {
						for _, a := range s.send(p) {
							parts[w].times[i] += a.time
						}
					}
				}
			}
		})
	}
	wait.Wait()
	var sum hundred
	for _, part := range parts {
		for i := range sum.times {
			sum.times[i] += part.times[i] * 1e6 / float64(side*side*64)
		}
		for i := range sum.means {
			sum.means[i] += part.means[i] / float64(side*side)
		}
	}
	return sum
}

// Sixty-four elements, three ways, a hundred thousand places: 19 million rays.
func BenchmarkMapHundredThousand(b *testing.B) {
	b.ReportAllocs()
	var sum hundred
	for b.Loop() {
		sum = hundredMap(2, hundredSide)
	}
	for i, x := range sum.times {
		b.ReportMetric(x, "µs-"+string(rune('1'+i)))
	}
	for i, x := range sum.means {
		b.ReportMetric(x, "dB-"+[]string{"T-T", "TT-T", "TT-TT", "TTT-T"}[i])
	}
}
