package ray

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// tilted is 16 elements, 0.6 mm apart, on a 36° wedge.
func tilted() []Element {
	var elements []Element
	for i := range 16 {
		along := 0.6e-3 * float64(i)
		elements = append(elements, Element{
			X:      si.Length(along * math.Cos(36*math.Pi/180)),
			Height: si.Length(0.005 + along*math.Sin(36*math.Pi/180)),
		})
	}
	return elements
}

// into is the direct course through a wedge into a metal. How thick the part is
// makes no difference to it.
func into(wedge, metal si.Speed) *Course {
	return &Course{Wedge: wedge, Part: Plate(1, acoustics.Medium{Transverse: metal}), Legs: Waves(acoustics.Transverse, 1)}
}

// Fired with their delays, all pulses must reach the focus at one moment. The
// flight times are minimised by the test itself.
func TestFocusArrivesTogether(t *testing.T) {
	elements, c := tilted(), into(2330, 3240)
	const x, depth = 0.055, 0.03
	delays := c.Focus(elements, x, depth)
	smallest, first := math.Inf(1), math.NaN()
	for i, e := range elements {
		dx := x - float64(e.X)
		layers := []Layer{{e.Height, 2330}, {depth, 3240}}
		_, time := least(func(c float64) float64 { return flight(dx, layers, c) }, 0, dx)
		arrival := float64(delays[i]) + time
		if i == 0 {
			first = arrival
		}
		near(t, "arrival", arrival, first, 1e-9)
		smallest = math.Min(smallest, float64(delays[i]))
	}
	if smallest != 0 {
		t.Errorf("the smallest delay is %v, want 0", smallest)
	}
}

// A very distant focus is a plane wave: at 10 km, over an array of 9 mm, the
// wavefront sags by (9 mm)² / (20 km), a picosecond of flight.
func TestSteerIsFocusFarAway(t *testing.T) {
	elements, c := tilted(), into(2330, 3240)
	for _, degrees := range []si.Angle{45, 60, 70} {
		angle := degrees * si.Degree
		plane := c.Steer(elements, angle)
		const far = 10_000
		focused := c.Focus(elements, si.Length(far*angle.Tan()), far)
		for i := range plane {
			if math.Abs(float64(plane[i]-focused[i])) > 2e-12 {
				t.Errorf("%v°, element %d: plane %v, far focus %v", degrees, i+1, plane[i], focused[i])
			}
		}
	}
}

func TestDelaysUnknown(t *testing.T) {
	buried := tilted()
	buried[3].Height = -0.001
	steel, noSpeed, fast := into(2330, 3240), into(2330, si.Unknown[si.Speed]()), into(6000, 3240)
	for name, delays := range map[string][]si.Time{
		"one element below the surface": steel.Focus(buried, 0.05, 0.03),
		"speed of the part, focused":    noSpeed.Focus(tilted(), 0.05, 0.03),
		"speed of the part, plane":      noSpeed.Steer(tilted(), 60*si.Degree),
		"no such ray in the wedge":      fast.Steer(tilted(), 60*si.Degree),
		"along the surface":             steel.Steer(tilted(), 90*si.Degree),
	} {
		for i, d := range delays {
			if si.Known(d) {
				t.Errorf("%s: delay %d is %v, want unknown", name, i+1, d)
			}
		}
	}
}
