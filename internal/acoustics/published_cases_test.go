package acoustics_test

import (
	"math"
	"strings"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

const (
	mm  = si.Millimetre
	deg = si.Degree
	mhz = si.Megahertz
)

// computations maps a row of the file to its value or values, in SI.
func computations() map[string]func() []float64 {
	one := func(x float64) []float64 { return []float64{x} }
	angle := func(a si.Angle) func() []float64 { return func() []float64 { return one(float64(a)) } }
	length := func(l si.Length) func() []float64 { return func() []float64 { return one(float64(l)) } }

	// The factor k of a beam's edge is read back from a source of 100 λ.
	round := func(e acoustics.Edge) func() []float64 {
		return func() []float64 { return one(100 * acoustics.CircularHalfAngle(100*mm, 1*mm, e).Sin()) }
	}
	straight := func(e acoustics.Edge) func() []float64 {
		return func() []float64 { return one(100 * acoustics.RectangularHalfAngle(100*mm, 1*mm, e).Sin()) }
	}
	rectangle := func(short float64) func() []float64 {
		return func() []float64 {
			n := acoustics.NearFieldRectangular(40*mm, si.Length(short)*40*mm, 1*mm)
			return one(float64(n) * 4 * 1e-3 / (0.040 * 0.040))
		}
	}
	sv := func(b si.Angle) si.Ratio {
		kept, _ := acoustics.FreeSurfaceReflection(acoustics.Transverse, b, si.Speed(math.Sqrt(3)), 1)
		return kept
	}
	reflection := func(degrees si.Angle) func() []float64 {
		return func() []float64 {
			kept, _ := acoustics.FreeSurfaceReflection(acoustics.Transverse, degrees*deg, 5900, 3230)
			return one(float64(kept))
		}
	}
	// The file prints what is left of an echo, negative; the program a loss.
	corner := func(degrees si.Angle) func() []float64 {
		return func() []float64 { return one(-float64(acoustics.CornerLoss(degrees*deg, 5900, 3230))) }
	}
	// Liquids and solids of rows P084 to P130. Impedances are densities at 1 m/s.
	liquid, steel := acoustics.Medium{Density: 1000, Longitudinal: 1480}, acoustics.Medium{Density: 7800, Longitudinal: 5900, Transverse: 3230}
	acrylic, styrene := acoustics.Medium{Density: 1180, Longitudinal: 2730, Transverse: 1430}, acoustics.Medium{Density: 1050, Longitudinal: 2350, Transverse: 1150}
	square := func(first, second si.Density) acoustics.Split {
		return acoustics.Interface{From: acoustics.Medium{Density: first, Longitudinal: 1}, To: acoustics.Medium{Density: second, Longitudinal: 1}}.Split(acoustics.Longitudinal, 0)
	}
	// The way from the wedge to a transverse wave at the angle in the part.
	sheared := func(wedge acoustics.Medium, contact acoustics.Contact, degrees si.Angle) func() []float64 {
		return func() []float64 {
			i := acoustics.Interface{From: wedge, To: steel, Contact: contact}
			return one(float64(i.Split(acoustics.Longitudinal, acoustics.Refract(degrees*deg, steel.Transverse, wedge.Longitudinal)).TransmittedTransverse))
		}
	}
	immersed := func(degrees si.Angle) acoustics.Split {
		return acoustics.Interface{From: liquid, To: steel}.Split(acoustics.Longitudinal, degrees*deg)
	}
	// What the echo of a hole loses where both planes spread alike.
	fall := func(from, to si.Length) float64 {
		return float64(acoustics.HoleGain(acoustics.Distance{Plane: from, Across: from}, acoustics.Distance{Plane: to, Across: to}))
	}
	// 2.5 MHz longitudinal waves in steel, the same distance in both planes.
	echo := func(of acoustics.Reflector, distance si.Length) float64 {
		return float64(acoustics.FarEcho(of, acoustics.Distance{Plane: distance, Across: distance}, acoustics.Wavelength(5900, 2.5*mhz)))
	}
	skip := func(thickness si.Length, degrees si.Angle) func() []float64 {
		return func() []float64 {
			b := degrees * deg
			return []float64{
				float64(acoustics.SkipHalf(thickness, b)), float64(acoustics.SkipFull(thickness, b)),
				float64(acoustics.LegPath(thickness, b)), float64(acoustics.VPath(thickness, b)),
			}
		}
	}
	// The thickest wall whose bore a ray still meets is found by halving.
	wall := func(degrees si.Angle, outside si.Length) float64 {
		thin, thick := 0.0, float64(outside)/2
		for range 60 {
			if t := (thin + thick) / 2; acoustics.PipeLargestAngle(outside, si.Length(t)) > degrees*deg {
				thin = t
			} else {
				thick = t
			}
		}
		return thin
	}
	pipe := func(outside, thickness si.Length, degrees si.Angle) func() []float64 {
		return func() []float64 {
			course := into(2330, 3240)
			course.Part.Radius, course.Part.Strata[0].Thickness = outside/2, thickness
			r := course.Leave(ray.Element{}, degrees*deg)
			return []float64{float64(r.Angle(1, thickness)), float64(r.Path(1, thickness)), float64(r.X(1, thickness))}
		}
	}
	lobe := func(pitch, wavelength si.Length, degrees si.Angle) func() []float64 {
		return func() []float64 {
			a, exists := acoustics.GratingLobe(pitch, wavelength, degrees*deg)
			if !exists {
				return one(math.NaN())
			}
			return one(float64(a))
		}
	}
	tilted := func(degrees si.Angle) func() []float64 {
		return func() []float64 {
			course := into(2330, 3240)
			var elements []ray.Element
			for i := range 2 {
				along := si.Length(0.6*float64(i)) * mm
				tilt := 36 * deg
				elements = append(elements, ray.Element{
					X: along * si.Length(tilt.Cos()), Height: 5*mm + along*si.Length(tilt.Sin()),
				})
			}
			d := course.Steer(elements, degrees*deg)
			return one(float64(d[1] - d[0]))
		}
	}
	matrix := func(n int) func() []float64 {
		return func() []float64 {
			return []float64{
				float64(acquisition.AScans(n, acquisition.FullMatrix, 1)),
				float64(acquisition.AScans(n, acquisition.HalfMatrix, 1)),
			}
		}
	}
	oscillating := func(part si.Length) func() []float64 {
		return func() []float64 { return one(-float64(acoustics.OscillatingGridLoss(1*mm/part, 1*mm))) }
	}
	// Without bandwidth only the loss across the beam is left.
	envelopeDepth := func(part si.Length) func() []float64 {
		return func() []float64 {
			all, across := acoustics.EnvelopeGridLoss(1*mm/part, 1*mm, 0.5), acoustics.EnvelopeGridLoss(1*mm/part, 1*mm, 1e-6)
			return one(-float64(all - across))
		}
	}
	// A frame of so many firings, whose time of flight plays no part.
	speed := func(increment si.Length, firings int, rate si.Frequency) func() []float64 {
		return func() []float64 {
			frame := acquisition.FrameOf(
				[]acquisition.Load{{Firings: firings, AScans: firings, TimeOfFlight: 1e-9}},
				acquisition.Limits{PulseRate: rate, Rearm: si.Unknown[si.Time](), Overhead: si.Unknown[si.Time]()},
			)
			return one(float64(acquisition.SpeedLimit(increment, frame.Time)))
		}
	}
	oneWay := func(path si.Length, c si.Speed) float64 {
		return float64(ray.Between(0, []ray.Layer{{Thickness: path, Speed: c}}).Time)
	}
	fermat := func(h1 si.Length, c1 si.Speed, dx, depth si.Length, c2 si.Speed) func() []float64 {
		return func() []float64 {
			wedge, part := ray.Layer{Thickness: h1, Speed: c1}, ray.Layer{Thickness: depth, Speed: c2}
			p := ray.Between(dx, []ray.Layer{wedge, part})
			return []float64{float64(p.Across(wedge)), float64(p.Time), float64(p.Angle(c1)), float64(p.Angle(c2))}
		}
	}

	// A pair with a pulse of so many microseconds.
	tofd := func(half si.Length, pulse float64) acoustics.Pair {
		return acoustics.Pair{Half: half, Speed: 5950, Pulse: si.Time(pulse * 1e-6)}
	}
	pair := func(thickness si.Length, degrees si.Angle) func() []float64 {
		return func() []float64 {
			separation := acoustics.PairSeparation(thickness*2/3, degrees*deg, 0)
			p := tofd(separation/2, 0)
			return []float64{float64(separation), float64(p.Lateral()), float64(p.Time(thickness))}
		}
	}
	edge := func(one func(lower, upper si.Angle) si.Angle) func() []float64 {
		return func() []float64 { return []float64{float64(one(acoustics.WedgeEdges(60*deg, 3.67*deg, 2400, 5950)))} }
	}

	// The velocity at which a plate answers after so long is found by halving.
	measured := func(thickness si.Length, time si.Time) func() []float64 {
		return func() []float64 {
			slow, fast := si.Speed(100), si.Speed(20000)
			for range 60 {
				if c := (slow + fast) / 2; 2*si.Time(oneWay(thickness, c)) > time {
					slow = c
				} else {
					fast = c
				}
			}
			return one(float64(slow))
		}
	}

	water := func(t si.Celsius) func() []float64 {
		return func() []float64 { return one(float64(acoustics.WaterSpeed(t))) }
	}

	return map[string]func() []float64{
		"P015": water(10), "P016": water(20), "P017": water(25), "P019": water(40),
		"P023": measured(25.4*mm, 8e-6),
		"P024": length(acoustics.Wavelength(6350, 2*mhz)),
		"P027": length(acoustics.NearFieldCircular(20*mm, acoustics.Wavelength(5900, 2.5*mhz))),
		"P028": angle(acoustics.CircularHalfAngle(20*mm, acoustics.Wavelength(5900, 2.5*mhz), acoustics.NullEdge())),
		"P032": round(acoustics.EchoEdge(6)),
		"P033": round(acoustics.FieldEdge(6)),
		"P035": round(acoustics.FieldEdge(12)),
		"P037": round(acoustics.NullEdge()),
		"P038": round(acoustics.FieldEdge(1.5)),
		"P040": round(acoustics.EchoEdge(6)),
		"P041": straight(acoustics.EchoEdge(6)),
		"P043": straight(acoustics.EchoEdge(20)),
		"P045": func() []float64 {
			n := acoustics.NearFieldCircular(100*mm, 1*mm)
			half := acoustics.CircularHalfAngle(100*mm, 1*mm, acoustics.EchoEdge(6))
			return one(2 * float64(n) * half.Tan() / 0.100)
		},
		"P046": length(1000 * mm * si.Length(acoustics.CircularHalfAngle(16*mm, 1*mm, acoustics.NullEdge()).Tan())),
		"P047": rectangle(1), "P048": rectangle(0.9), "P050": rectangle(0.7), "P053": rectangle(0.4), "P056": rectangle(0.1),

		// The source's factor 0.8 is the edge at which the field has dropped by 8.03 dB.
		"P057": angle(acoustics.CircularHalfAngle(6*mm, acoustics.Wavelength(2400, 5*mhz),
			acoustics.FieldEdge(si.Decibel(-20*math.Log10(2*math.J1(0.8*math.Pi)/(0.8*math.Pi)))))),
		"P058": angle(acoustics.Refract(60*deg, 5950, 2400)),
		"P059": edge(func(lower, _ si.Angle) si.Angle { return lower }),
		"P060": edge(func(_, upper si.Angle) si.Angle { return upper }),
		"P064": angle(acoustics.Refract(15*deg, 2730, 5960)),
		"P066": angle(acoustics.Refract(10*deg, 2700, 5920)),
		"P067": angle(acoustics.Refract(45*deg, 0.125, 0.105)),
		"P068": angle(acoustics.Refract(30*deg, 1, 0.964)),
		"P069": angle(acoustics.CriticalAngle(2740, 5960)),
		"P070": angle(acoustics.CriticalAngle(2740, 3240)),
		"P071": angle(acoustics.Refract(29*deg, 2740, 3240)),
		"P072": angle(acoustics.Refract(56*deg, 2740, 3240)),
		"P073": angle(acoustics.CriticalAngle(2730, 5900)),
		"P074": angle(acoustics.CriticalAngle(2730, 3230)),
		"P076": func() []float64 {
			return []float64{float64(acoustics.CriticalAngle(2350, 5900)), float64(acoustics.CriticalAngle(2350, 3230))}
		},
		"P077": angle(acoustics.Refract(si.Angle(math.Atan(2)), 3200, 2700)),
		"P083": func() []float64 {
			tilt := acoustics.Refract(60*deg, 3230, 2730)
			d := acoustics.Drift{Tilt: tilt, Wedge: 2730, Part: 3230, WarmWedge: acoustics.SpeedAt(2730, -2.5, 40), WarmPart: 3230}
			return one(float64(d.Angle(60 * deg)))
		},
		"P084": func() []float64 { return one(math.Sqrt(float64(square(46.5e6, 1.5e6).ReflectedLongitudinal))) },
		"P085": func() []float64 { return one(float64(square(1.483e6, 45.7e6).ReflectedLongitudinal)) },
		"P086": func() []float64 { return one(float64(square(1.483e6, 45.7e6).TransmittedLongitudinal)) },
		"P091": func() []float64 { return one(math.Sqrt(float64(square(45.8e6, 46e6).ReflectedLongitudinal))) },
		"P092": func() []float64 { return one(float64(square(40, 50).ReflectedLongitudinal)) },

		"P096": func() []float64 {
			// With ν = 0.25 the ratio of the speeds is √3; the zero lies between the
			// first one, 30°, and the critical angle, 35.26°.
			low, high := 32*deg, 35.2*deg
			for range 100 {
				a, b := (2*low+high)/3, (low+2*high)/3
				if sv(a) < sv(b) {
					high = b
				} else {
					low = a
				}
			}
			return one(float64(low))
		},
		"P097": reflection(10), "P098": reflection(20), "P099": reflection(25), "P100": reflection(30),
		"P102": func() []float64 {
			farthest := 1.0
			for _, b := range []si.Angle{45, 60, 70} {
				if r := reflection(b)()[0]; math.Abs(r-1) > math.Abs(farthest-1) {
					farthest = r
				}
			}
			return one(farthest)
		},
		"P111": func() []float64 { return one(float64(immersed(0).TransmittedLongitudinal)) },
		"P113": func() []float64 { return one(float64(immersed(10).TransmittedTransverse)) },
		"P114": func() []float64 { return one(float64(immersed(12).TransmittedTransverse)) },
		"P115": func() []float64 { return one(float64(immersed(16).TransmittedTransverse)) },
		"P117": func() []float64 { return one(float64(immersed(20).TransmittedTransverse)) },
		"P118": func() []float64 { return one(float64(immersed(24).TransmittedTransverse)) },
		"P119": sheared(acrylic, acoustics.Bonded, 40), "P120": sheared(acrylic, acoustics.Slip, 40),
		"P121": sheared(acrylic, acoustics.Bonded, 45), "P123": sheared(acrylic, acoustics.Bonded, 50),
		"P124": sheared(acrylic, acoustics.Slip, 50), "P129": sheared(styrene, acoustics.Slip, 45), "P130": sheared(styrene, acoustics.Slip, 60),
		"P103": corner(45), "P104": corner(55), "P105": corner(57), "P107": corner(65),

		"P135": skip(25*mm, 45), "P138": skip(20*mm, 60), "P139": skip(12.7*mm, 70),
		// Third leg: what an unfolded depth of 135 mm is over one that ends at the surface.
		"P140": length(135*mm - ray.Unfold(3, 0, 60*mm)),
		"P141": length(acoustics.SkipHalf(135*mm, si.Angle(math.Atan(1.5)))),
		"P142": angle(acoustics.PipeLargestAngle(6*si.Inch, 0.75*si.Inch)),
		"P144": func() []float64 { return one(wall(45, 1)) },
		"P146": func() []float64 { return one(wall(70, 1)) },
		"P148": pipe(219.1*mm, 12.7*mm, 45), "P149": pipe(219.1*mm, 12.7*mm, 60), "P150": pipe(168.3*mm, 18.3*mm, 50),
		"P151": func() []float64 { return one(wall(60, 114.3*mm)) },

		"P152": func() []float64 { return one(float64(acoustics.BackWallAttenuation(18, 0, 3*si.Inch))) },
		"P153": func() []float64 { return one(float64(acoustics.BackWallAttenuation(10, 6, 50*mm))) },
		"P158": lobe(1.4*mm, 1*mm, 20),
		"P160": func() []float64 { return one(float64(acoustics.PitchLimit(1, 60*deg))) },
		"P161": length(acoustics.PitchLimit(1.2*mm, 90*deg)),
		"P162": lobe(0.6*mm, 0.648*mm, 30), "P163": lobe(0.6*mm, 1.180*mm, 30), "P165": lobe(0.5*mm, 0.648*mm, 45),
		// The row takes −6 dB as one half, which is −6.02 dB: k = 0.6034, not 0.6026.
		"P166": angle(acoustics.RectangularHalfAngle(0.5*mm, 0.648*mm, acoustics.FieldEdge(si.Decibel(20*math.Log10(2))))),
		"P167": length(acoustics.ActiveAperture(16, 0.6*mm, 0.5*mm)),
		// The page states no velocities: 2330 and 3240 m/s are taken.
		"P170": length(acoustics.Beam{
			Aperture: 16 * mm, Tilt: acoustics.Refract(60*deg, 3240, 2330), Angle: 60 * deg, WedgePath: 28 * mm,
			WedgeSpeed: 2330, PartSpeed: 3240, Frequency: 5 * mhz,
		}.NearField()),
		"P173": func() []float64 {
			course := into(5900, 5900)
			var elements []ray.Element
			for i := range 16 {
				elements = append(elements, ray.Element{X: si.Length(i) * mm})
			}
			d := course.Focus(elements, 7.5*mm, 50*mm)
			return []float64{float64(d[0]), float64(d[1]), float64(d[2]), float64(d[7])}
		},
		"P174": tilted(45), "P176": tilted(70),

		"P177": matrix(16), "P179": matrix(64), "P180": matrix(128),
		"P181": func() []float64 { return one(float64(acquisition.Data(64*64, 2000, 2))) },
		"P183": func() []float64 { return one(float64(acquisition.SparseNoise(16, 64))) },
		"P184": func() []float64 { return one(float64(acquisition.HalfMatrixNoise(64))) },
		"P186": imagedArea(0, 20*mm), "P187": imagedArea(0, 40*mm), "P188": imagedArea(10*mm, 20*mm),
		"P189": imagedWidths(0, 20*mm), "P191": imagedByWaves,
		"P194": oscillating(8), "P195": oscillating(10), "P196": oscillating(12), "P197": oscillating(20),
		"P198": envelopeDepth(3.3), "P200": envelopeDepth(5),

		// Increment × pulse rate is 5 m/s, three firings each.
		"P203": speed(5*mm, 3, 1000), "P205": speed(1*mm, 61, 4000),
		"P207": func() []float64 { return one(2 * oneWay(100*mm, 1540)) },
		"P208": func() []float64 { return []float64{oneWay(25*mm, 6400), 2 * oneWay(25*mm, 6400)} },
		"P210": func() []float64 { return one(1 / float64(acquisition.EncoderStep(20*mm, 1024))) },

		// A sphere follows the law of the disc.
		"P237": func() []float64 {
			disc := acoustics.Reflector{Kind: acoustics.Disc, Diameter: 2 * mm}
			hole := acoustics.Reflector{Kind: acoustics.Hole, Diameter: 8 * mm}
			return []float64{echo(disc, 400*mm) - echo(disc, 800*mm), echo(hole, 400*mm) - echo(hole, 800*mm), echo(disc, 400*mm) - echo(disc, 800*mm)}
		},
		"P241": func() []float64 {
			return one(echo(acoustics.Reflector{}, 400*mm) - echo(acoustics.Reflector{Kind: acoustics.Disc, Diameter: 2 * mm}, 400*mm))
		},
		// The block's back wall lies at 200 mm; the row's sum counts 4 dB of attenuation
		// on the longer path, 0.01 dB/mm out and back, and 5 dB of coupling.
		"P246": func() []float64 {
			further := float64(acoustics.AttenuationLoss(10, 1, 1, 2*200*mm))
			return one(echo(acoustics.Reflector{}, 200*mm) - echo(acoustics.Reflector{Kind: acoustics.Disc, Diameter: 2 * mm}, 400*mm) + further + 5)
		},
		"P238": func() []float64 { return one(math.Pow(10, -fall(1, 2)/20)) },
		// A hole's echo grows by 10 dB for a diameter ten times as large.
		"P240": func() []float64 {
			return one(0.002 * math.Pow(10, (18-fall(80*mm, 200*mm))/10))
		},
		// A disc's echo grows with its area, 40 dB for ten times its diameter. The hole
		// of 2 mm is thinner than 1.5 λ: one of 8 mm, 6.02 dB higher, stands for it.
		"P242": func() []float64 {
			disc := float64(acoustics.EquivalentDisc(8*mm, acoustics.Wavelength(5900, 2.5*mhz), 400*mm))
			return one(40*math.Log10(disc/0.002) - 10*math.Log10(4))
		},
		"P243": length(acoustics.EquivalentDisc(3*mm, acoustics.Wavelength(3230, 4*mhz), 100*mm)),
		"P244": func() []float64 { return one(float64(acoustics.EquivalentDisc(2, 1, 0.5))) },

		"P214": pair(40*mm, 60), "P215": pair(60*mm, 45),
		"P217": func() []float64 { return one(1.5 / float64(acoustics.Cycles(1, 5e6))) },
		"P219": length(tofd(40*mm, 2.0/5).SurfaceDeadZone()), "P220": length(tofd(30*mm, 1.5/10).SurfaceDeadZone()),
		"P222": length(tofd(40*mm, 1.5/5).WallDeadZone(40 * mm)), "P223": length(tofd(46.188*mm, 2.0/5).WallDeadZone(40 * mm)),
		"P224": length(tofd(30*mm, 1.5/10).WallDeadZone(25 * mm)),
		"P226": length(tofd(40*mm, 1.5/5).Resolution(10 * mm)), "P227": length(tofd(40*mm, 1.5/5).Resolution(20 * mm)),
		"P228": length(tofd(40*mm, 1.5/5).Resolution(30 * mm)),
		"P230": length(tofd(40*mm, 0).OffsetError(30*mm, 10*mm)), "P231": length(tofd(46.188*mm, 0).OffsetError(40*mm, 20*mm)),
		"P232": length(tofd(40*mm, 0).OffsetError(5*mm, 5*mm)),
		"P233": length(tofd(40*mm, 0).TimingError(2*mm, 10e-9)), "P234": length(tofd(40*mm, 0).TimingError(5*mm, 10e-9)),
		"P236": length(tofd(40*mm, 0).TimingError(20*mm, 10e-9)),

		"P248": fermat(10*mm, 1480, 20*mm, 20*mm, 5900), "P250": fermat(15*mm, 2330, 40*mm, 25*mm, 3240),
		"P252": fermat(12*mm, 2730, 60*mm, 25*mm, 3230), "P253": fermat(8*mm, 2330, 30*mm, 50*mm, 5900),
	}
}

// later maps the rows that the program does not compute to the reason.
func later() map[string]string {
	reasons := map[string]string{}
	for reason, ids := range map[string]string{
		"a property of a material, which the job states":                                        "P002 P003 P005 P007 P008 P009 P010 P013 P014 P022",
		"another fit of the velocity of water, 0.2 m/s off the one that P015 to P019 hold":      "P021",
		"a tube in a bath of water, offset from its axis: arrays here stand on the part":        "P080 P081 P082",
		"a rule for small angles; the program computes the sine":                                "P030",
		"a path in the wedge for one in the part: only inside other formulas":                   "P078",
		"a range of practice without a formula; P103 to P107 hold the corner":                   "P110",
		"found with its authors' probes; TestEnvelopeGridLossAgainstPairs says where it holds":  "P193",
		"held by rule speed-cap of asme-v-art4-2019, and its cases":                             "P204",
		"held by rule missing-share of iso-13588-2019, and its cases":                           "P257",
		"definition of the decibel; the job states gains in dB":                                 "P247",
		"what a demonstration shows: held in package technique, TestDemonstrated":               "P254 P255",
		"a curve of detection fitted to sizes: the job counts flaws, and gives no size of each": "P256",
	} {
		for _, id := range strings.Fields(ids) {
			reasons[id] = reason
		}
	}
	return reasons
}

// into is the direct course through a wedge into a metal. How thick the part is
// makes no difference to it where it is flat.
func into(wedge, metal si.Speed) *ray.Course {
	return &ray.Course{Wedge: wedge, Part: ray.Plate(1, acoustics.Medium{Transverse: metal}), Legs: ray.Waves(acoustics.Transverse, 1)}
}
