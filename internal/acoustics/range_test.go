package acoustics

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// Outside its range a formula is unknown, never a number.
func TestUnknownOutsideTheRange(t *testing.T) {
	nan := math.NaN()
	good := Beam{Aperture: 0.01, Tilt: 0.6, Angle: 1, WedgePath: 0.02, WedgeSpeed: 2330, PartSpeed: 3240, Frequency: 5e6}
	spoilt := func(change func(*Beam)) Beam { b := good; change(&b); return b }
	lobe := func(pitch, wavelength si.Length, steering si.Angle) float64 {
		a, _ := GratingLobe(pitch, wavelength, steering)
		return float64(a)
	}
	for name, got := range map[string]float64{
		"wavelength, no frequency":      float64(Wavelength(5900, 0)),
		"wavelength, speed unknown":     float64(Wavelength(si.Speed(nan), 5e6)),
		"refraction beyond critical":    float64(Refract(30*si.Degree, 2730, 5900)),
		"refraction along the surface":  float64(Refract(90*si.Degree, 2730, 2000)),
		"critical angle, slower behind": float64(CriticalAngle(5900, 2730)),
		"near field, no diameter":       float64(NearFieldCircular(0, 0.001)),
		"near field, side unknown":      float64(NearFieldRectangular(si.Length(nan), 0.01, 0.001)),
		"half angle, no drop":           float64(CircularHalfAngle(0.01, 0.001, FieldEdge(0))),
		"half angle, drop unknown":      float64(RectangularHalfAngle(0.01, 0.001, EchoEdge(si.Decibel(nan)))),
		"aperture, element over pitch":  float64(ActiveAperture(16, 0.5e-3, 0.6e-3)),
		"aperture, no element":          float64(ActiveAperture(0, 0.6e-3, 0.5e-3)),
		"lobe, steering 90°":            lobe(0.001, 0.001, math.Pi/2),
		"lobe, pitch unknown":           lobe(si.Length(nan), 0.001, 0.5),
		"pitch limit, steering unknown": float64(PitchLimit(0.001, si.Angle(nan))),
		"steering limit, no width":      float64(SteeringLimit(0, 0.001)),
		"width, angle unknown":          float64(spoilt(func(b *Beam) { b.Angle = si.Angle(nan) }).Width()),
		"near field, no such ray":       float64(spoilt(func(b *Beam) { b.WedgeSpeed = 4000 }).NearField()),
		"focus limit, path unknown":     float64(spoilt(func(b *Beam) { b.WedgePath = si.Length(nan) }).FocusLimit()),
		"spread, no frequency":          float64(spoilt(func(b *Beam) { b.Frequency = 0 }).Spread()),
		"overlap, no width":             float64(BeamOverlap(1, 0)),
		"leg, angle 90°":                float64(LegPath(0.01, math.Pi/2)),
		"skip, thickness unknown":       float64(SkipFull(si.Length(nan), 1)),
		"pipe, wall over radius":        float64(PipeLargestAngle(0.1, 0.06)),
		"gap, wedge over diameter":      float64(WedgeGap(0.2, 0.1)),
		"reflection, speeds exchanged":  float64(kept(FreeSurfaceReflection(Transverse, 0.5, 3230, 5900))),
		"element, no width":             float64(ElementDirectivity(0, 1, 0.1)),
		"element, past 90°":             float64(ElementDirectivity(1, 1, 2)),
		"spreading, no such ray":        float64(Beam{Angle: 1.5, WedgePath: 1, WedgeSpeed: 4000, PartSpeed: 3240}.Spreading(1)),
		"attenuation, none stated":      float64(AttenuationLoss(si.Attenuation(nan), 5e6, 5e6, 1)),
		"attenuation, no frequency":     float64(AttenuationLoss(20, 0, 5e6, 1)),
		"back walls, too small a drop":  float64(BackWallAttenuation(5, 6, 0.05)),
		"back walls, no thickness":      float64(BackWallAttenuation(10, 6, 0)),
		"speed, temperature unknown":    float64(SpeedAt(2330, -2, si.Celsius(nan))),
		"speed, none left":              float64(SpeedAt(2330, -20, 200)),
		"drift, no such ray":            float64(Drift{Tilt: 1, Wedge: 2330, Part: 3240, WarmWedge: 1200, WarmPart: 3240}.Angle(0.9)),
		"hole, thinner than the wave":   float64(EquivalentDisc(1, 1, 100)),
		"corner, along a face":          float64(CornerLoss(0, 5900, 3230)),
		"envelope grid, too coarse":     float64(EnvelopeGridLoss(0.4, 1, 0.5)),
		"envelope grid, no bandwidth":   float64(EnvelopeGridLoss(0.1, 1, 0)),
		"oscillating grid, no step":     float64(OscillatingGridLoss(0, 1)),
		"oscillating grid, λ unknown":   float64(OscillatingGridLoss(0.1, si.Length(nan))),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s: got %v, want unknown", name, got)
		}
	}
	if got := RectangularHalfAngle(0.3e-3, 1e-3, FieldEdge(6)); got != math.Pi/2 {
		t.Errorf("a source too small for the drop: got %v, want 90°", got)
	}
	if short := spoilt(func(b *Beam) { b.WedgePath = 1 }); short.NearField() != 0 || short.FocusLimit() != 0 {
		t.Errorf("a near field that ends in the wedge: got %v and %v, want 0", short.NearField(), short.FocusLimit())
	}
}

func TestRefractThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := si.Angle(rapid.Float64Range(-1.4, 1.4).Draw(t, "angle"))
		from := si.Speed(rapid.Float64Range(1000, 7000).Draw(t, "from"))
		to := si.Speed(rapid.Float64Range(1000, 7000).Draw(t, "to"))
		there := Refract(angle, from, to)
		if !si.Known(there) {
			if math.Abs(float64(angle)) < float64(CriticalAngle(from, to)) {
				t.Fatal("no ray below the critical angle")
			}
			return
		}
		// Near 90° the sine hardly moves, so the angle is known to half the digits.
		if back := Refract(there, to, from); math.Abs(float64(back-angle)) > 1e-7 {
			t.Fatalf("there and back: %v became %v", angle, back)
		}
	})
}

// The gap is where the circle lies below the flat wedge's edge.
func TestWedgeGapAgainstCircle(t *testing.T) {
	for _, c := range []struct{ width, diameter, printed float64 }{
		// Rule of thumb w²/(4 D): 0.5 mm at these, and 1.8 mm for 40 mm on 219.1 mm.
		{40, 800, 0.5}, {10, 50, 0.5}, {40, 219.1, 1.8},
	} {
		got := float64(WedgeGap(si.Length(c.width)*si.Millimetre, si.Length(c.diameter)*si.Millimetre)) * 1e3
		if math.Abs(got-c.printed) > 0.05 {
			t.Errorf("%v on %v: got %v mm, printed %v", c.width, c.diameter, got, c.printed)
		}
		// A point of the wedge's edge, lowered by the gap, lies on the circle.
		r := c.diameter / 2
		if on := math.Hypot(c.width/2, r-got); math.Abs(on-r) > 1e-9 {
			t.Errorf("%v on %v: edge at radius %v, want %v", c.width, c.diameter, on, r)
		}
	}
}

func kept(kept, _ si.Ratio) si.Ratio { return kept }
