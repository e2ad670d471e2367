package acoustics

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

func anyMedium(t *rapid.T, name string, liquid bool) Medium {
	m := Medium{
		Density:      si.Density(rapid.Float64Range(800, 9000).Draw(t, name+" density")),
		Longitudinal: si.Speed(rapid.Float64Range(1400, 6500).Draw(t, name+" longitudinal")),
	}
	if !liquid {
		// Solids have Poisson's ratios from 0 to 0.45.
		m.Transverse = m.Longitudinal * si.Speed(rapid.Float64Range(0.3, 0.7).Draw(t, name+" transverse"))
	}
	return m
}

func anyInterface(t *rapid.T) Interface {
	bonded := rapid.Bool().Draw(t, "bonded")
	liquid := func(name string) bool { return !bonded && rapid.Bool().Draw(t, name) }
	i := Interface{From: anyMedium(t, "from", liquid("from liquid")), To: anyMedium(t, "to", liquid("to liquid"))}
	if bonded {
		i.Contact = Bonded
	}
	return i
}

// Nothing is lost at an interface of lossless media. Tolerance: float noise of
// a system of four equations.
func TestInterfaceKeepsEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := anyInterface(t)
		wave := Longitudinal
		if i.From.Transverse > 0 && rapid.Bool().Draw(t, "transverse") {
			wave = Transverse
		}
		s := i.Split(wave, si.Angle(rapid.Float64Range(0, 1.5).Draw(t, "angle")))
		sum := s.ReflectedLongitudinal + s.ReflectedTransverse + s.TransmittedLongitudinal + s.TransmittedTransverse
		if math.Abs(float64(sum)-1) > 1e-8 {
			t.Fatalf("shares %v add up to %v", s, sum)
		}
	})
}

// What passes from wedge to part passes back along the same rays in the same
// share, for every pair of kinds.
func TestInterfaceIsReciprocal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := anyInterface(t)
		back := Interface{From: i.To, To: i.From, Contact: i.Contact}
		angle := si.Angle(rapid.Float64Range(0, 1.5).Draw(t, "angle"))
		out := i.Split(Longitudinal, angle)
		for _, c := range []struct {
			wave  Wave
			speed si.Speed
			share si.Ratio
		}{
			{Longitudinal, i.To.Longitudinal, out.TransmittedLongitudinal},
			{Transverse, i.To.Transverse, out.TransmittedTransverse},
		} {
			beta := Refract(angle, i.From.Longitudinal, c.speed)
			if c.speed == 0 || !si.Known(beta) {
				continue
			}
			if got := back.Split(c.wave, beta).TransmittedLongitudinal; math.Abs(float64(got-c.share)) > 1e-8 {
				t.Fatalf("out %v, back %v", c.share, got)
			}
		}
	})
}

// A free surface is an interface to almost nothing. The reflection is compared
// with the closed form, which shares no code with the system of equations.
func TestInterfaceToNothingIsFree(t *testing.T) {
	steel := Medium{Density: 7800, Longitudinal: 5900, Transverse: 3230}
	i := Interface{From: steel, To: Medium{Density: 1e-6, Longitudinal: 300}}
	for _, wave := range []Wave{Longitudinal, Transverse} {
		for degrees := si.Angle(0); degrees < 88; degrees += 7 {
			s := i.Split(wave, degrees*si.Degree)
			got := s.ReflectedLongitudinal
			if wave == Transverse {
				got = s.ReflectedTransverse
			}
			kept, _ := FreeSurfaceReflection(wave, degrees*si.Degree, 5900, 3230)
			if math.Abs(float64(got-kept*kept)) > 1e-6 {
				t.Errorf("wave %d at %v°: %v, closed form %v", wave, degrees, got, kept*kept)
			}
		}
	}
}

// Water on steel, the closed form of a liquid on a solid, from memory of
// L. M. Brekhovskikh, Waves in Layered Media: impedances of the three waves,
// Z = Z_L cos² 2b + Z_T sin² 2b, reflection (Z − Z_0) / (Z + Z_0).
func TestLiquidOnSolid(t *testing.T) {
	water, steel := Medium{Density: 1000, Longitudinal: 1480}, Medium{Density: 7800, Longitudinal: 5900, Transverse: 3230}
	i := Interface{From: water, To: steel}
	for _, degrees := range []float64{0, 5, 10, 14} { // below the first critical angle all is real
		th := degrees * math.Pi / 180
		a, b := math.Asin(5900.0/1480*math.Sin(th)), math.Asin(3230.0/1480*math.Sin(th))
		z0, zl, zt := 1000*1480/math.Cos(th), 7800*5900/math.Cos(a), 7800*3230/math.Cos(b)
		z := zl*math.Pow(math.Cos(2*b), 2) + zt*math.Pow(math.Sin(2*b), 2)
		r := (z - z0) / (z + z0)
		if got := i.Split(Longitudinal, si.Angle(th)).ReflectedLongitudinal; math.Abs(float64(got)-r*r) > 1e-9 {
			t.Errorf("%v°: %v, closed form %v", degrees, got, r*r)
		}
	}
}

func TestInterfaceRefuses(t *testing.T) {
	steel := Medium{Density: 7800, Longitudinal: 5900, Transverse: 3230}
	water := Medium{Density: 1000, Longitudinal: 1480}
	unknown := steel
	unknown.Density = si.Unknown[si.Density]()
	for name, s := range map[string]Split{
		"a bonded liquid":            Interface{From: water, To: steel, Contact: Bonded}.Split(Longitudinal, 0.1),
		"a transverse wave in water": Interface{From: water, To: steel}.Split(Transverse, 0.1),
		"grazing":                    Interface{From: steel, To: steel}.Split(Longitudinal, math.Pi/2),
		"an unknown density":         Interface{From: steel, To: unknown}.Split(Longitudinal, 0.1),
	} {
		if si.Known(s.TransmittedLongitudinal) || si.Known(s.ReflectedTransverse) {
			t.Errorf("%s: %v", name, s)
		}
	}
}

// Half of the energy each way is an echo of half the amplitude.
func TestContactLoss(t *testing.T) {
	if got := ContactLoss(0.5); math.Abs(float64(got)-6.0206) > 1e-4 {
		t.Errorf("half: %v dB", got)
	}
	if got := ContactLoss(-0.1); si.Known(got) {
		t.Errorf("a negative share: %v", got)
	}
}

// Acrylic on steel, the share of energy that becomes a wave of the angle in the
// steel: values of a second implementation, printed to four and three digits.
func TestAcrylicOnSteel(t *testing.T) {
	acrylic := Medium{Density: 1180, Longitudinal: 2730, Transverse: 1430}
	steel := Medium{Density: 7800, Longitudinal: 5900, Transverse: 3230}
	for _, c := range []struct {
		degrees, slip, bonded float64
	}{{45, 0.2452, 0.2285}, {60, 0.2008, 0.1863}, {70, 0.1822, 0.1645}, {80, 0.1315, 0.1144}} {
		angle := Refract(si.Angle(c.degrees)*si.Degree, steel.Transverse, acrylic.Longitudinal)
		for contact, want := range map[Contact]float64{Slip: c.slip, Bonded: c.bonded} {
			got := Interface{acrylic, steel, contact}.Split(Longitudinal, angle).TransmittedTransverse
			if math.Abs(float64(got)-want) > 1e-4 {
				t.Errorf("transverse %v°, contact %d: %v, want %v", c.degrees, contact, got, want)
			}
		}
	}
	for _, c := range []struct{ degrees, longitudinal, transverse float64 }{{45, 0.160, 0.070}, {60, 0.125, 0.090}, {70, 0.110, 0.084}} {
		s := Interface{From: acrylic, To: steel}.Split(Longitudinal, Refract(si.Angle(c.degrees)*si.Degree, steel.Longitudinal, acrylic.Longitudinal))
		if math.Abs(float64(s.TransmittedLongitudinal)-c.longitudinal) > 6e-4 || math.Abs(float64(s.TransmittedTransverse)-c.transverse) > 6e-4 {
			t.Errorf("longitudinal %v°: %v and %v, want %v and %v", c.degrees, s.TransmittedLongitudinal, s.TransmittedTransverse, c.longitudinal, c.transverse)
		}
	}
}
