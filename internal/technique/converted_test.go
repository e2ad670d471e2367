package technique

import (
	"math"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// pipe is the shipped header as a pipe of 114.3 by 8.56 mm with one image of a
// path, from outside or from the bore, on a wedge that sends both kinds of wave.
func pipe(t *testing.T, path string, inside bool) *Technique {
	t.Helper()
	job := imaged(t, "20 mm").Job
	job.Partial = true // without the study of images
	set, part, wedge := &job.Groups[0], &job.Part, &job.Equipment.Wedges[0]
	part.Thickness, part.OutsideDiameter = 8.56e-3, 114.3e-3
	part.Weld.UpperDepth, part.Weld.Cap.Width, part.Weld.Root.Width = 4e-3, 6e-3, 6e-3
	wedge.Length, wedge.FrontDistance, wedge.Angle = 20e-3, 18e-3, 17*si.Degree
	wedge.UsableFrom, wedge.UsableTo = 1*si.Degree, 70*si.Degree
	wedge.LongitudinalFrom, wedge.LongitudinalTo = 5*si.Degree, 75*si.Degree
	set.Path, set.WedgeFront = path, 4e-3
	set.Region.Near, set.Region.Far, set.Region.Bottom = 12e-3, 10e-3, 8.56e-3
	if inside {
		set.Surface = "bottom"
	}
	return Compute(job)
}

// Where a wall turns a wave into the other kind, both waves lie within 80° of its
// normal, at both ends of their legs. The ray of the largest angle stated is
// followed in the plane of the section, by vectors: what it has along a wall there
// grows with the speed. One leg that is turned, or turned into, meets a wall at 80°,
// unless the wedge is what ends the range.
func TestConvertedLegsInThePlane(t *testing.T) {
	const outside, bore = 57.15, 57.15 - 8.56
	for _, inside := range []bool{false, true} {
		for _, path := range []string{"TL-T", "LT-L", "TLT-T", "TLL-T", "TTL-T"} {
			tech := pipe(t, path, inside)
			for _, f := range tech.Findings {
				if f.Level == diag.Error {
					t.Fatalf("%s, inside %v: %s: %s", path, inside, f.Path, f.Message)
				}
			}
			legs, _, _ := strings.Cut(path, "-")
			angle := value(t, tech, "groups.image.angle_to") * math.Pi / 180
			radii := []float64{outside, bore}
			if inside {
				radii = []float64{bore, outside}
			}
			speed := map[byte]float64{'L': 5920, 'T': 3240}
			at := vec{0, radii[0]}
			d := vec{math.Sin(angle), -math.Cos(angle)}
			if inside {
				d.y = -d.y
			}
			steep, measured := 0.0, func(p vec) float64 {
				return math.Acos(math.Abs(d.unit().dot(p.unit()))) * 180 / math.Pi
			}
			for i := range len(legs) {
				turned := i > 0 && legs[i-1] != legs[i] || i+1 < len(legs) && legs[i+1] != legs[i]
				begins := measured(at)
				end := onCircle(at, d, radii[(i+1)%2])
				if turned {
					steep = math.Max(steep, begins)
				}
				if math.IsNaN(end.x) {
					if i+1 < len(legs) {
						t.Errorf("%s, inside %v: leg %d of %.2f° does not come to the wall", path, inside, i+1, angle*180/math.Pi)
					}
					break
				}
				at = end
				if turned {
					steep = math.Max(steep, measured(at))
				}
				if i+1 == len(legs) {
					break
				}
				n := at.unit()
				along := vec{d.x - d.dot(n)*n.x, d.y - d.dot(n)*n.y}
				k := speed[legs[i+1]] / speed[legs[i]]
				along = vec{k * along.x, k * along.y}
				if along.length() >= 1 {
					t.Errorf("%s, inside %v: at %.2f° leg %d would have a sine of %.3f", path, inside, angle*180/math.Pi, i+2, along.length())
					break
				}
				d = along.at(n, -math.Copysign(math.Sqrt(1-along.dot(along)), d.dot(n)))
			}
			if steep > 80+1e-6 {
				t.Errorf("%s, inside %v: at %.3f° a leg of a converted wave meets a wall at %.3f°", path, inside, angle*180/math.Pi, steep)
			}
			if wedge := map[byte]float64{'L': 75, 'T': 70}[legs[0]]; steep < 80-1e-6 && angle*180/math.Pi < wedge-1e-6 {
				t.Errorf("%s, inside %v: the range ends at %.3f°, where no leg is steeper than %.3f°", path, inside, angle*180/math.Pi, steep)
			}
		}
	}
}

// A plane wave that the wedge sends, and of which the bore makes no longitudinal one,
// is reported: 48.59 / 57.15 · 3240 / 5920 · sin 80° is the sine of 27.27°.
func TestPlaneWavesPastTheLastConvertedLeg(t *testing.T) {
	for to, want := range map[si.Angle]int{27.2 * si.Degree: 0, 27.4 * si.Degree: 1} {
		job := pipe(t, "TL-T", false).Job
		job.Groups[0].Transmission.Scheme, job.Groups[0].Transmission.Count = "plane-wave", 5
		job.Groups[0].Transmission.From, job.Groups[0].Transmission.To = 15*si.Degree, to
		found := 0
		for _, f := range Compute(job).Findings {
			if f.Level == diag.Error {
				found++
				if f.Rule != "path-not-open" || f.Path != "groups.image.transmission.to" {
					t.Errorf("waves to %.1f°: %s at %s", float64(to/si.Degree), f.Rule, f.Path)
				}
			}
		}
		if found != want {
			t.Errorf("waves to %.1f°: %d errors, want %d", float64(to/si.Degree), found, want)
		}
	}
}

// Plane waves that turn before the bore have no second leg: they reach nothing and
// take no time, and the rest of the image stands.
func TestPlaneWavesThatTurn(t *testing.T) {
	job := imaged(t, "20 mm").Job
	set := &job.Groups[0]
	set.Transmission.Scheme, set.Transmission.Count = "plane-wave", 3
	set.Transmission.From, set.Transmission.To = 50*si.Degree, 71*si.Degree // 69.6° grazes the bore
	first := Compute(job)
	set.Transmission.To, set.Transmission.Count = 60.5*si.Degree, 2
	second := Compute(job)
	with, without := first.Groups[0], second.Groups[0]
	if a, b := with.Coverage.Share, without.Coverage.Share; !(a > 0) || a != b {
		t.Errorf("two waves reach %v of the volume, with one more that turns %v", b, a)
	}
	if a, b := with.Load.TimeOfFlight, without.Load.TimeOfFlight; !(a > 20e-6) || a != b {
		t.Errorf("two waves take %v, with one more that turns %v", b, a)
	}
	const least = "groups.image.map.least"
	if a, b := value(t, first, least), value(t, second, least); !(a < 0) || a != b {
		t.Errorf("the smallest echo of two waves is %v dB, with one more that turns %v", b, a)
	}
}
