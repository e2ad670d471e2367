package acoustics

import "soundwrit/internal/si"

// Reference is the temperature at which velocities are stated.
const Reference si.Celsius = 20

// SpeedAt returns the velocity of sound at a temperature.
//
//	c(T) = c + k (T − 20 °C)
//
// Valid: as far as the change is proportional, some 40 K about the reference;
// c > 0 and a result > 0, else NaN.
// Source: definition of the coefficient k, which is an input; P083 of the
// published cases uses it.
func SpeedAt(c si.Speed, k si.SpeedPerKelvin, t si.Celsius) si.Speed {
	warm := c + si.Speed(float64(k)*float64(t-Reference))
	if !(c > 0 && warm > 0) {
		return si.Unknown[si.Speed]()
	}
	return warm
}

// WaterSpeed returns the velocity of sound in pure water at atmospheric pressure.
//
//	Σ aₙ Tⁿ, n = 0 to 5, T in °C: 1402.385, 5.038813, −5.799136·10⁻²,
//	3.287156·10⁻⁴, −1.398845·10⁻⁶, 2.787860·10⁻⁹ m/s
//
// Valid: 0 °C to 95 °C, else NaN. A wetting agent or salt changes it: measure.
// Source: W. Marczak, J. Acoust. Soc. Am. 102 (1997) 2776; published_test.go,
// rows P015 to P019.
func WaterSpeed(t si.Celsius) si.Speed {
	if !(t >= 0 && t <= 95) {
		return si.Unknown[si.Speed]()
	}
	x := float64(t)
	return si.Speed(1402.385 + x*(5.038813+x*(-5.799136e-2+x*(3.287156e-4+x*(-1.398845e-6+x*2.787860e-9)))))
}

// Drift is a wedge and a part whose velocities have changed since the delays of
// the array were computed.
type Drift struct {
	Tilt                si.Angle // of the array against the contact face
	Wedge, Part         si.Speed // when the delays were computed
	WarmWedge, WarmPart si.Speed // now
}

// Angle returns where a beam goes now whose delays were computed for a refracted
// angle. Without steering only the refraction changes; the steering changes with
// the velocity of the wedge too.
//
//	sin θ' = (c_w' / c_w) sin θ, θ = α − ω; sin β' = (c' / c_w') sin(ω + θ')
//
// Valid: delays of a plane wavefront (unfocused); NaN where no such ray exists,
// now or before.
// Source: delay of neighbouring elements p sin θ / c_w, kept, and Snell's law;
// published_test.go, row P083, and the delays themselves in temperature_test.go.
func (d Drift) Angle(angle si.Angle) si.Angle {
	steering := Refract(angle, d.Part, d.Wedge) - d.Tilt
	now := d.Tilt + Refract(steering, d.Wedge, d.WarmWedge)
	return Refract(now, d.WarmWedge, d.WarmPart)
}

// RangeShift returns by how much a sound path in the part is read too long
// because the sound now takes another time in the wedge, while the delay in the
// wedge is the one that was set. What the part's own velocity does comes on top.
//
//	c L (1 / c_w' − 1 / c_w), L the sound path in the wedge
//
// Valid: L ≥ 0, speeds > 0, else NaN. The path is taken as unchanged: by
// Fermat's principle another one close to it takes the same time.
// Source: definition of the delay; temperature_test.go.
func (d Drift) RangeShift(path si.Length) si.Length {
	if !(path >= 0 && d.Part > 0 && d.Wedge > 0 && d.WarmWedge > 0) {
		return si.Unknown[si.Length]()
	}
	return path * si.Length(d.Part/d.WarmWedge-d.Part/d.Wedge)
}
