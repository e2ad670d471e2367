package acoustics

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// A lobe lies where the paths of neighbouring elements differ by whole
// wavelengths: at every angle the fields of 400 elements are added up, and the
// highest sum away from the beam is the lobe.
func TestGratingLobeAgainstSum(t *testing.T) {
	const elements = 400
	field := func(pitch, steering, at float64) float64 {
		var re, im float64
		for i := range elements {
			phase := 2 * math.Pi * pitch * float64(i) * (math.Sin(at) - math.Sin(steering))
			re, im = re+math.Cos(phase), im+math.Sin(phase)
		}
		return math.Hypot(re, im) / elements
	}
	for _, c := range []struct{ pitch, steering float64 }{{0.7, 40}, {0.9, -25}, {1.2, 10}, {0.6, 30}, {0.5, 60}} {
		steering := c.steering * math.Pi / 180
		highest, at := 0.0, 0.0
		for degrees := -89.95; degrees < 90; degrees += 0.05 {
			a := degrees * math.Pi / 180
			// The lobe that enters first is on the other side of the normal.
			if a*steering < 0 {
				if f := field(c.pitch, steering, a); f > highest {
					highest, at = f, degrees
				}
			}
		}
		got, exists := GratingLobe(si.Length(c.pitch), 1, si.Angle(steering))
		if want := highest > 0.5; exists != want {
			t.Errorf("pitch %v λ, steering %v°: lobe %v, want %v", c.pitch, c.steering, exists, want)
		}
		if exists && math.Abs(float64(got)*180/math.Pi-at) > 0.1 {
			t.Errorf("pitch %v λ, steering %v°: lobe at %v°, want %v°", c.pitch, c.steering, float64(got)*180/math.Pi, at)
		}
	}
}

func TestPitchLimitIsWhereTheLobeEnters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		steering := si.Angle(rapid.Float64Range(-1.5, 1.5).Draw(t, "steering"))
		limit := PitchLimit(1, steering)
		if _, exists := GratingLobe(limit*0.9999, 1, steering); exists {
			t.Fatalf("a lobe below the limit %v", limit)
		}
		if _, exists := GratingLobe(limit*1.0001, 1, steering); !exists {
			t.Fatalf("no lobe above the limit %v", limit)
		}
	})
}

func TestSteeringLimit(t *testing.T) {
	// Training notes, beside row P166: 41.8° for a width of 0.5 mm at 0.648 mm.
	if got := SteeringLimit(0.5, 0.648); math.Abs(float64(got)*180/math.Pi-41.8) > 0.05 {
		t.Errorf("got %v°, printed 41.8°", float64(got)*180/math.Pi)
	}
	if got := SteeringLimit(0.1, 0.648); got != math.Pi/2 {
		t.Errorf("a narrow element: got %v, want 90°", got)
	}
}

// cross is the place and direction behind the interface (height 0) of a ray
// that starts in the wedge at (x, h) under the given angle from the normal.
func cross(x, h, angle, cw, c float64) (at, refracted float64) {
	return x + h*math.Tan(angle), math.Asin(c / cw * math.Sin(angle))
}

// The edges of the aperture send parallel rays; behind the interface their
// distance, square to them, is the width of the beam.
func TestBeamWidthAgainstTwoRays(t *testing.T) {
	const tilt, aperture, cw, c = 36 * math.Pi / 180, 0.0095, 2330.0, 3240.0
	for _, degrees := range []float64{0, 40, 55, 70} {
		refracted := degrees * math.Pi / 180
		incidence := math.Asin(cw / c * math.Sin(refracted))
		first, _ := cross(0, 0.005, incidence, cw, c)
		last, beta := cross(aperture*math.Cos(tilt), 0.005+aperture*math.Sin(tilt), incidence, cw, c)
		want := (last - first) * math.Cos(beta)
		got := Beam{Aperture: aperture, Tilt: tilt, Angle: si.Angle(refracted), WedgeSpeed: cw, PartSpeed: c, Frequency: 5e6}.Width()
		if math.Abs(float64(got)-want) > 1e-12 {
			t.Errorf("%v°: got %v, want %v", degrees, got, want)
		}
	}
}

// Sources along the aperture send a plane wave through the interface, and their
// rays are added up at points of the central ray; each travels by the shortest
// time, found by golden section. Far away all are in phase. At its last maximum,
// 1.367 of A²/(4 λ) (the factor of a square, which is two strips crossed), a
// strip's rays add up to a share known from Fresnel's integral: that place is
// sought, and must be where FocusLimit puts it. The formula is that of beams
// narrow against their length: it holds to 5 % for a usual aperture, and to 0.5 %
// for one a quarter as wide whose near field is as long.
func TestFocusLimitAgainstSummedRays(t *testing.T) {
	const cw, c, factor = 2330.0, 3240.0, 1.367
	u := math.Sqrt(2 / factor)
	share := axial(u, 1e-9) / (u * u * 1e-9)
	for _, check := range []struct{ degrees, aperture, frequency, tolerance float64 }{
		{0, 0.016, 5e6, 0.05}, {0, 0.004, 80e6, 0.005}, {45, 0.004, 80e6, 0.005}, {60, 0.004, 80e6, 0.005}, {45, 0.016, 5e6, 0.05}, {60, 0.016, 5e6, 0.05},
	} {
		aperture, frequency := check.aperture, check.frequency
		beta := check.degrees * math.Pi / 180
		alpha := math.Asin(cw / c * math.Sin(beta))
		limit := func(path float64) float64 {
			return float64(Beam{
				Aperture: si.Length(aperture), Tilt: si.Angle(alpha), Angle: si.Angle(beta), WedgePath: si.Length(path),
				WedgeSpeed: cw, PartSpeed: c, Frequency: si.Frequency(frequency),
			}.FocusLimit())
		}
		last := func(path float64) float64 {
			sum := func(sound float64) float64 {
				tx, tz := path*math.Sin(alpha)+sound*math.Sin(beta), sound*math.Cos(beta)
				const n = 81
				var re, im float64
				for i := range n {
					along := aperture * ((float64(i)+0.5)/n - 0.5)
					x, h := along*math.Cos(alpha), path*math.Cos(alpha)+along*math.Sin(alpha)
					time := func(at float64) float64 {
						return math.Hypot(at-x, h)/cw + math.Hypot(tx-at, tz)/c
					}
					a, b := x, tx
					for range 60 {
						x1, x2 := b-0.618034*(b-a), a+0.618034*(b-a)
						if time(x1) < time(x2) {
							b = x2
						} else {
							a = x1
						}
					}
					phase := 2 * math.Pi * frequency * time((a+b)/2)
					re, im = re+math.Cos(phase), im+math.Sin(phase)
				}
				return math.Hypot(re, im) / n
			}
			near, far := 0.02, 1.0
			for range 30 {
				if middle := (near + far) / 2; sum(middle) < share {
					near = middle
				} else {
					far = middle
				}
			}
			return near
		}
		const short, long = 0.012, 0.024
		if got, want := limit(short)-limit(long), last(short)-last(long); math.Abs(got-want) > check.tolerance*want {
			t.Errorf("%v°: 12 mm more of wedge take %v m, want %v", check.degrees, got, want)
		}
		// What the wedge takes is taken once, whatever the factor.
		got := factor*limit(0) - (limit(0) - limit(short))
		if want := last(short); math.Abs(got-want) > check.tolerance*want {
			t.Errorf("%v°: the strip's last maximum is put at %v m, want %v", check.degrees, got, want)
		}
	}
}

func TestBeamProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Beam{
			Aperture:   si.Length(rapid.Float64Range(0.004, 0.04).Draw(t, "aperture")),
			Tilt:       si.Angle(rapid.Float64Range(0, 0.8).Draw(t, "tilt")),
			Angle:      si.Angle(rapid.Float64Range(0, 1.3).Draw(t, "angle")),
			WedgePath:  si.Length(rapid.Float64Range(0, 0.05).Draw(t, "path")),
			WedgeSpeed: 2330, PartSpeed: 3240, Frequency: 5e6,
		}
		longer := b
		longer.WedgePath += 0.001
		if longer.NearField() > b.NearField() || longer.FocusLimit() > b.FocusLimit() || longer.FocusLimit() < 0 || longer.NearField() < 0 {
			t.Fatalf("a longer wedge path leaves more: %v and %v", longer.NearField(), longer.FocusLimit())
		}
		if b.Width() > b.Aperture {
			t.Fatalf("refraction away from the normal widens %v to %v", b.Aperture, b.Width())
		}
	})
}

func TestBeamOverlap(t *testing.T) {
	for _, c := range []struct {
		step, width si.Angle
		want        si.Ratio
	}{{1, 2, 0.5}, {0, 2, 1}, {3, 2, -0.5}} {
		if got := BeamOverlap(c.step, c.width); got != c.want {
			t.Errorf("step %v of %v: got %v, want %v", c.step, c.width, got, c.want)
		}
	}
}
