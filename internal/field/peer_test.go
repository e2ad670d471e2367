package field

import (
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// peer runs the map in NumPy and returns what it prints, by name.
func peer(t testing.TB, arguments ...string) map[string]float64 {
	t.Helper()
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(python, "-c", "import numpy").Run() != nil {
			continue
		}
		out, err := exec.Command(python, append([]string{"../../tools/peer/map.py"}, arguments...)...).Output()
		if err != nil {
			t.Fatal(err)
		}
		values := map[string]float64{}
		for line := range strings.Lines(string(out)) {
			var name string
			var x float64
			if _, err := fmt.Sscan(line, &name, &x); err != nil {
				t.Fatalf("%q: %v", line, err)
			}
			values[name] = x
		}
		return values
	}
	t.Skip("there is no Python with NumPy")
	return nil
}

// The map of the peer, over fewer places, by the formulas of package acoustics
// and the solver of paths. Neither shares code with it; both are of double
// precision, so that only the last digits printed may differ.
func TestPeerComputesTheSame(t *testing.T) {
	const side, mm = 12, si.Millimetre
	got := peer(t, "--side", fmt.Sprint(side))
	const wedge, part, longitudinal si.Speed = 2330, 3240, 5920
	const tilt = 36 * si.Degree
	thickness, lambda := 25*mm, acoustics.Wavelength(wedge, 5*si.Megahertz)
	want := map[string]float64{}
	for j := range side {
		for k := range side {
			x, z := (si.Length(j)+0.5)*50*mm/side, (si.Length(k)+0.5)*25*mm/side
			var sums [4]float64 // by legs
			for legs := 1; legs <= 3; legs++ {
				for element := range 64 {
					i := si.Length(element)
					h := 6*mm + i*0.6*mm*si.Length(tilt.Sin())
					layers := []ray.Layer{{Thickness: h, Speed: wedge}, {Thickness: ray.Unfold(legs, z, thickness), Speed: part}}
					path := ray.Between(x+35*mm-i*0.6*mm*si.Length(tilt.Cos()), layers)
					angle := path.Angle(part)
					beam := acoustics.Beam{Angle: angle, WedgePath: h / si.Length(path.Angle(wedge).Cos()), WedgeSpeed: wedge, PartSpeed: part}
					kept, _ := acoustics.FreeSurfaceReflection(acoustics.Transverse, si.Angle(math.Abs(float64(angle))), longitudinal, part)
					amplitude := float64(acoustics.ElementDirectivity(0.5*mm, lambda, path.Angle(wedge)-tilt)) *
						math.Pow(float64(kept), float64(legs-1)) / float64(beam.Spreading(layers[1].Thickness/si.Length(angle.Cos())))
					want[fmt.Sprint("us-", legs)] += float64(path.Time) * 1e6 / (64 * side * side)
					sums[legs] += amplitude
				}
			}
			for name, legs := range map[string][2]int{"T-T": {1, 1}, "TT-T": {2, 1}, "TT-TT": {2, 2}, "TTT-T": {3, 1}} {
				want["dB-"+name] += 20 * math.Log10(sums[legs[0]]*sums[legs[1]]) / (side * side)
			}
		}
	}
	for name, x := range want {
		if y, ok := got[name]; !ok || math.Abs(x-y) > 1e-7*math.Abs(x) {
			t.Errorf("%s: %.9f, NumPy %.9f", name, x, y)
		}
	}
}

// The program's own map against the peer's, over fewer places. The program reads
// directivity and reflection from tables over the sine of the angle, in steps of
// a two-hundredth, between which what a wall keeps bends sharply at the critical
// angle: some hundredths of a decibel after two walls.
func TestMapAgainstPeer(t *testing.T) {
	const side = 64
	got, want := hundredMap(1, side), peer(t, "--side", fmt.Sprint(side))
	for i, x := range got.times {
		if y := want[fmt.Sprint("us-", i+1)]; math.Abs(x-y) > 1e-6*y {
			t.Errorf("mean time over %d legs: %.7f µs, NumPy %.7f µs", i+1, x, y)
		}
	}
	for i, name := range []string{"T-T", "TT-T", "TT-TT", "TTT-T"} {
		if x, y := got.means[i], want["dB-"+name]; !(math.Abs(x-y) < 0.03) {
			t.Errorf("%s: mean %.4f dB, NumPy %.4f dB", name, x, y)
		}
	}
}

// The peer's own time, without the start of Python.
func BenchmarkPeer(b *testing.B) {
	for b.Loop() {
		got := peer(b)
		b.ReportMetric(got["seconds"], "s/map")
		b.ReportMetric(got["processor-seconds"], "processor-s/map")
		for _, name := range []string{"us-1", "us-2", "us-3", "dB-T-T", "dB-TT-T", "dB-TT-TT", "dB-TTT-T"} {
			b.ReportMetric(got[name], strings.Replace(name, "us", "µs", 1))
		}
	}
}
