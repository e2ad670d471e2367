package acoustics

import (
	"math"
	"math/cmplx"
	"testing"

	"soundwrit/internal/si"
)

// A round source of radius a; lengths in wavelengths, k = 2π.
const waveNumber = 2 * math.Pi

// wallBySum adds up what each point of a round source receives of each point of
// its mirror image: the pairs that lie ρ apart are those of two discs shifted by
// ρ, and the spherical waves between them are exact.
func wallBySum(a, x float64) float64 {
	const n = 40000
	sum := complex128(0)
	for i := range n {
		rho := 2 * a * (float64(i) + 0.5) / n
		shared := 2*a*a*math.Acos(rho/(2*a)) - rho/2*math.Sqrt(4*a*a-rho*rho)
		r := math.Hypot(rho, 2*x)
		sum += complex(shared*rho, 0) * cmplx.Exp(complex(0, waveNumber*r)) / complex(r, 0)
	}
	sum *= complex(2*a/n*waveNumber/(math.Pi*a*a), 0)
	return level(sum)
}

// fieldBySum is the field of a round source at a depth and a distance from its
// axis, by spherical waves.
func fieldBySum(a, y, x float64) complex128 {
	const rings, sectors = 300, 60
	sum := complex128(0)
	for i := range rings {
		s := a * (float64(i) + 0.5) / rings
		for j := range sectors {
			phi := math.Pi * (float64(j) + 0.5) / sectors
			r := math.Sqrt(s*s + y*y - 2*s*y*math.Cos(phi) + x*x)
			sum += complex(s/r, 0) * cmplx.Exp(complex(0, waveNumber*r))
		}
	}
	return sum * complex(2*math.Pi/sectors*a/rings/(2*math.Pi)*waveNumber, 0)
}

// discBySum is what a round source receives of a disc: the field falls on each
// point of it, is thrown back, and comes back by the same way.
func discBySum(a, disc, x float64) float64 {
	const rings = 12
	sum := complex128(0)
	for i := range rings {
		y := disc * (float64(i) + 0.5) / rings
		p := fieldBySum(a, y, x)
		sum += p * p * complex(2*math.Pi*y*disc/rings, 0)
	}
	return level(sum / complex(math.Pi*a*a, 0))
}

func TestRoundEchoAgainstSums(t *testing.T) {
	const a = 6.0 // of 12 wavelengths' diameter; near field 36
	for _, n := range []float64{1, 1.5, 2, 3, 6, 12} {
		x := n * a * a
		got := float64(RoundEcho(Reflector{Kind: Wall}, 2*a, si.Length(x), 1))
		// Near by, spherical waves differ from Fresnel's form by a tenth of a decibel.
		if want := wallBySum(a, x); math.Abs(got-want) > 0.1 {
			t.Errorf("wall at %g N: %.3f dB, summed %.3f dB", n, got, want)
		}
		for _, disc := range []float64{0.5, 1.5, 3} {
			got := float64(RoundEcho(Reflector{Disc, si.Length(2 * disc)}, 2*a, si.Length(x), 1))
			if want := discBySum(a, disc, x); math.Abs(got-want) > 0.3 {
				t.Errorf("disc of %g D at %g N: %.3f dB, summed %.3f dB", disc/a, n, got, want)
			}
		}
	}
}

// rectangleBySum is what a rectangle of sides a and b receives of a disc or, for a
// disc of no size, of a wall at x, by spherical waves between all pairs of places.
func rectangleBySum(a, b, disc, x float64) float64 {
	const n = 240
	sum := complex128(0)
	if disc == 0 {
		for i := range n {
			for j := range n {
				u, v := a*(float64(i)+0.5)/n, b*(float64(j)+0.5)/n
				r := math.Sqrt(u*u + v*v + 4*x*x)
				sum += complex(4*(a-u)*(b-v)/r, 0) * cmplx.Exp(complex(0, waveNumber*r))
			}
		}
		return level(sum * complex(a*b/n/n/(a*b), 0)) // k / 2π = 1
	}
	const rings, sectors, side = 5, 8, 60
	for i := range rings {
		for j := range sectors {
			rho := disc / 2 * (float64(i) + 0.5) / rings
			s, c := math.Sincos(2 * math.Pi * (float64(j) + 0.5) / sectors)
			field := complex128(0)
			for k := range side {
				for m := range side {
					u, v := a*((float64(k)+0.5)/side-0.5)-rho*c, b*((float64(m)+0.5)/side-0.5)-rho*s
					r := math.Sqrt(u*u + v*v + x*x)
					field += complex(1/r, 0) * cmplx.Exp(complex(0, waveNumber*r))
				}
			}
			field *= complex(a*b/side/side, 0)
			sum += field * field * complex(rho*disc/2/rings*2*math.Pi/sectors, 0)
		}
	}
	return level(sum / complex(a*b, 0))
}

func TestRectangularEchoAgainstSums(t *testing.T) {
	const a, b = 8.0, 11.0 // near field 30.25
	for _, n := range []float64{1, 1.5, 3, 8} {
		x := n * b * b / 4
		at := Distance{si.Length(x), si.Length(x)}
		if got, want := float64(RectangularEcho(Reflector{Kind: Wall}, a, b, at, 1)), rectangleBySum(a, b, 0, x); math.Abs(got-want) > 0.3 {
			t.Errorf("wall at %g N: %.3f dB, summed %.3f dB", n, got, want)
		}
		for _, disc := range []float64{1, 3.5} {
			if got, want := float64(RectangularEcho(Reflector{Disc, si.Length(disc)}, a, b, at, 1)), rectangleBySum(a, b, disc, x); math.Abs(got-want) > 0.5 {
				t.Errorf("disc of %g at %g N: %.3f dB, summed %.3f dB", disc, n, got, want)
			}
		}
	}
	// Far away, in two planes with distances of their own.
	far := Distance{3000, 5000}
	for _, r := range []Reflector{{Kind: Wall}, {Hole, 3}, {Disc, 2}} {
		want := float64(FarEcho(r, far, 1)) + 20*math.Log10(a*b)
		if got := float64(RectangularEcho(r, a, b, far, 1)); math.Abs(got-want) > 0.02 {
			t.Errorf("%v far away: %.3f dB, by the far law %.3f dB", r, got, want)
		}
	}
}

// Far away the forms of the round source and those of any source agree: the
// height against a touching wall is that of FarEcho times area over wavelength.
func TestFarAndRoundEchoAgreeFarAway(t *testing.T) {
	const source, wavelength = 12e-3, 1.5e-3
	far := 60 * float64(NearFieldCircular(source, wavelength))
	scale := 20 * math.Log10(math.Pi*source*source/4/wavelength)
	at := Distance{si.Length(far), si.Length(far)}
	for _, r := range []Reflector{{Kind: Wall}, {Disc, 3e-3}} {
		a, b := float64(FarEcho(r, at, wavelength))+scale, float64(RoundEcho(r, source, si.Length(far), wavelength))
		if math.Abs(a-b) > 0.01 {
			t.Errorf("%v: far %.3f dB, round %.3f dB", r, a, b)
		}
	}
	// The laws of gain over distance are the same laws.
	near := Distance{0.1, 0.12}
	away := Distance{0.2, 0.25}
	for kind, gain := range map[ReflectorKind]si.Decibel{Wall: WallGain(near, away), Hole: HoleGain(near, away)} {
		r := Reflector{kind, 3e-3}
		if got := FarEcho(r, near, wavelength) - FarEcho(r, away, wavelength); math.Abs(float64(got-gain)) > 1e-9 {
			t.Errorf("%v: %v dB between two places, by the law of gain %v dB", r, got, gain)
		}
	}
	// A hole and the disc that is worth it.
	hole := Reflector{Hole, 3e-3}
	disc := Reflector{Disc, EquivalentDisc(3e-3, wavelength, away.Across)}
	if a, b := FarEcho(hole, away, wavelength), FarEcho(disc, away, wavelength); math.Abs(float64(a-b)) > 1e-9 {
		t.Errorf("hole %v dB, its disc %v dB", a, b)
	}
}

// A bundle of rays goes out from a place on the probe's radius, is thrown back by
// the round wall and spreads on; its width at the probe, against that of a flat
// wall, gives the echo.
func TestCurvedWallByRays(t *testing.T) {
	const outside, thickness = 0.2, 0.02
	for _, inside := range []bool{false, true} {
		probe, wall := outside/2, outside/2-thickness
		if inside {
			probe, wall = wall, probe
		}
		const tilt = 1e-5
		// From (probe, 0) towards the wall on the x axis, tilted by a little.
		direction := -1.0
		if inside {
			direction = 1
		}
		dx, dy := direction*math.Cos(tilt), math.Sin(tilt)
		b := probe * dx
		root := math.Sqrt(b*b - probe*probe + wall*wall)
		s := -b - root
		if inside {
			s = -b + root
		}
		hx, hy := probe+s*dx, s*dy
		nx, ny := hx/wall, hy/wall
		dot := dx*nx + dy*ny
		rx, ry := dx-2*dot*nx, dy-2*dot*ny
		back := hy + ry/rx*(probe-hx)
		spread := math.Abs(back) / (2 * thickness * math.Tan(tilt))
		want := -10 * math.Log10(spread)
		if got := float64(CurvedWall(outside, thickness, inside)); math.Abs(got-want) > 0.001 {
			t.Errorf("inside %v: %.4f dB, by rays %.4f dB", inside, got, want)
		}
	}
}

func TestEchoesOutOfRange(t *testing.T) {
	at := Distance{0.1, 0.1}
	for name, x := range map[string]float64{
		"thin hole":        float64(FarEcho(Reflector{Hole, 1e-3}, at, 1e-3)),
		"no disc":          float64(FarEcho(Reflector{Kind: Disc}, at, 1e-3)),
		"no distance":      float64(FarEcho(Reflector{Kind: Wall}, Distance{}, 1e-3)),
		"in the near zone": float64(RoundEcho(Reflector{Kind: Wall}, 10e-3, 10e-3, 1e-3)),
		"a large disc":     float64(RoundEcho(Reflector{Disc, 6e-3}, 10e-3, 100e-3, 1e-3)),
		"a hole":           float64(RoundEcho(Reflector{Hole, 3e-3}, 10e-3, 100e-3, 1e-3)),
		"near a rectangle": float64(RectangularEcho(Reflector{Kind: Wall}, 8, 11, Distance{40, 30}, 1)),
		"no bore":          float64(CurvedWall(0.1, 0.05, false)),
		"no pulse":         float64(PulseDepth(5900, 0)),
	} {
		if !math.IsNaN(x) {
			t.Errorf("%s: %v", name, x)
		}
	}
}
