package acoustics

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// A strip in a soft surround is many small sources, each with its image of
// opposite sign just behind the surface; their fields are added up far away.
func TestElementDirectivityAgainstSources(t *testing.T) {
	const lambda, width, height = 1.0, 1.1, 1e-3
	field := func(angle float64) float64 {
		var re, im float64
		const n = 2000
		for i := range n {
			x := width * ((float64(i)+0.5)/n - 0.5)
			for _, image := range []float64{1, -1} {
				phase := 2 * math.Pi / lambda * (x*math.Sin(angle) + image*height*math.Cos(angle))
				re, im = re+image*math.Cos(phase), im+image*math.Sin(phase)
			}
		}
		return math.Hypot(re, im)
	}
	for _, angle := range []float64{0, 0.2, -0.5, 0.9, 1.4} {
		want := field(angle) / field(0)
		// The image stands λ/500 behind: a relative error of (2π/1000)²/6 at most.
		if got := float64(ElementDirectivity(width, lambda, si.Angle(angle))); math.Abs(got-want) > 1e-5 {
			t.Errorf("%v rad: %v, summed %v", angle, got, want)
		}
	}
}

// Three neighbouring rays are traced in space by the vector form of Snell's law;
// the area of their tube, square to the ray, over the solid angle in which they
// left is the square of the distance. Tolerance: rays 1e-4 rad apart.
func TestSpreadingAgainstTracedRays(t *testing.T) {
	const cw, c, height, path = 2330.0, 3240.0, 0.012, 0.05
	type vector [3]float64
	cross := func(a, b vector) vector {
		return vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	}
	minus := func(a, b vector) vector { return vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
	dot := func(a, b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
	for _, degrees := range []float64{0, 45, 70} {
		beta := degrees * math.Pi / 180
		alpha := math.Asin(cw / c * math.Sin(beta))
		direction := func(inPlane, across float64) vector {
			a := alpha + inPlane
			d := vector{math.Sin(a), math.Tan(across), math.Cos(a)}
			n := math.Sqrt(dot(d, d))
			return vector{d[0] / n, d[1] / n, d[2] / n}
		}
		// Where a ray pierces the plane square to the central ray at its end.
		behind := func(d vector) (at, refracted vector) {
			at = vector{height * d[0] / d[2], height * d[1] / d[2], 0}
			refracted = vector{d[0] * c / cw, d[1] * c / cw, 0}
			refracted[2] = math.Sqrt(1 - dot(refracted, refracted))
			return at, refracted
		}
		start, axis := behind(direction(0, 0))
		end := vector{start[0] + path*axis[0], start[1] + path*axis[1], start[2] + path*axis[2]}
		pierce := func(d vector) vector {
			at, r := behind(d)
			s := dot(minus(end, at), axis) / dot(r, axis)
			return vector{at[0] + s*r[0], at[1] + s*r[1], at[2] + s*r[2]}
		}
		const e = 1e-4
		left := cross(minus(direction(e, 0), direction(-e, 0)), minus(direction(0, e), direction(0, -e)))
		tube := cross(minus(pierce(direction(e, 0)), pierce(direction(-e, 0))), minus(pierce(direction(0, e)), pierce(direction(0, -e))))
		want := math.Sqrt(math.Sqrt(dot(tube, tube)) / math.Sqrt(dot(left, left)))
		b := Beam{Angle: si.Angle(beta), WedgePath: si.Length(height / math.Cos(alpha)), WedgeSpeed: cw, PartSpeed: c}
		if got := float64(b.Spreading(path)); math.Abs(got/want-1) > 1e-6 {
			t.Errorf("%v°: %v m, traced %v m", degrees, got, want)
		}
	}
	// Without an interface it is the distance.
	same := Beam{Angle: 0.7, WedgePath: 0.01, WedgeSpeed: 3000, PartSpeed: 3000}
	if got := same.Spreading(0.02); math.Abs(float64(got)-0.03) > 1e-12 {
		t.Errorf("one medium: %v m", got)
	}
}

// By hand: 20 dB/m at 5 MHz are 16 dB/m at 4 MHz, 0.8 dB on 50 mm.
func TestAttenuationLoss(t *testing.T) {
	if got := AttenuationLoss(20, 5e6, 4e6, 0.05); math.Abs(float64(got)-0.8) > 1e-12 {
		t.Errorf("%v dB", got)
	}
}
