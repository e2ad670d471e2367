package coverage_test

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Every place of a raster is judged by its own two distances and two angles.
func TestPairAgainstRaster(t *testing.T) {
	part := squareButt()
	part.Thickness, part.Zone.Width = 30*mm, 23*mm
	part.Weld.RootFace = 30 * mm
	section := geometry.New(part)
	const rows, c = 150, 5920.0
	for name, p := range map[string]coverage.Pair{
		"up to the surface": {Half: 34.6 * mm, Lower: 45 * si.Degree, Upper: 90 * si.Degree, Speed: c, Pulse: 0.3e-6, Bottom: 30 * mm},
		"upper edge":        {Half: 34.6 * mm, Lower: 50 * si.Degree, Upper: 72 * si.Degree, Speed: c, Pulse: 0.2e-6, Bottom: 30 * mm},
		"zone":              {Half: 25 * mm, Lower: 40 * si.Degree, Upper: 80 * si.Degree, Speed: c, Pulse: 0.3e-6, Top: 10 * mm, Bottom: 22 * mm},
	} {
		s := float64(p.Half)
		againstRaster(t, name, p.Reach(section, rows), func(si.Length) (from, to float64) { return -0.02495, 0.025 }, func(x, z float64) bool {
			sum := math.Hypot(x+s, z) + math.Hypot(x-s, z)
			want := sum >= 2*s+c*float64(p.Pulse) && sum+c*float64(p.Pulse) <= 2*math.Hypot(s, 0.030) &&
				z >= float64(p.Top) && z <= float64(p.Bottom)
			for _, along := range []float64{x + s, s - x} {
				angle := math.Atan2(along, z)
				want = want && angle >= float64(p.Lower) && angle <= float64(p.Upper)
			}
			return want
		})
	}
}

// againstRaster asks rows of a wall of 30 mm at places 0.1 mm apart between two ends.
func againstRaster(t *testing.T, name string, reached coverage.Rows, ends func(z si.Length) (from, to float64), covered func(x, z float64) bool) {
	t.Helper()
	hits, all := 0, 0
	for k, row := range reached.Row {
		z := (float64(k) + 0.5) * 0.030 / float64(len(reached.Row))
		from, to := ends(si.Length(z))
		for x := from; x < to; x += 0.0001 {
			want := covered(x, z)
			if contains(row, x) != want {
				t.Fatalf("%s: X %.2f mm, Z %.2f mm: reached %v, by paths and angles %v", name, x*1e3, z*1e3, !want, want)
			}
			all++
			if want {
				hits++
			}
		}
	}
	if hits == 0 || hits < all/20 || hits > all*19/20 {
		t.Errorf("%s: %d of %d places reached say little", name, hits, all)
	}
}

// Around a pipe every place is judged in the plane, with the axis in the origin: by
// its own two straight ways, and by their angles to the radii of the exit points.
func TestPairAroundPipeAgainstRaster(t *testing.T) {
	part := squareButt()
	part.Kind, part.Weld.Seam, part.OutsideDiameter = "pipe", "longitudinal", 508*mm
	part.Thickness, part.Zone.Width = 30*mm, 23*mm
	part.Weld.RootFace = 30 * mm
	section := geometry.New(part)
	const rows, c, radius = 100, 5920.0, 0.254
	for name, p := range map[string]coverage.Pair{
		"up to the surface": {Half: 34.6 * mm, Lower: 42 * si.Degree, Upper: 90 * si.Degree, Speed: c, Pulse: 0.2e-6, Bottom: 30 * mm},
		"upper edge":        {Half: 34.6 * mm, Lower: 42 * si.Degree, Upper: 65 * si.Degree, Speed: c, Pulse: 0.2e-6, Bottom: 30 * mm},
		"zone":              {Half: 25 * mm, Lower: 35 * si.Degree, Upper: 75 * si.Degree, Speed: c, Pulse: 0.2e-6, Top: 12 * mm, Bottom: 24 * mm},
	} {
		exit := float64(p.Half) / radius
		ends := func(z si.Length) (float64, float64) {
			from, to := section.VolumeRow(z)
			return float64(from) + 1e-5, float64(to)
		}
		againstRaster(t, name, p.Reach(section, rows), ends, func(x, z float64) bool {
			px, py := (radius-z)*math.Sin(x/radius), (radius-z)*math.Cos(x/radius)
			sum, want := 0.0, z >= float64(p.Top) && z <= float64(p.Bottom)
			for _, side := range []float64{-1, 1} {
				ex, ey := side*radius*math.Sin(exit), radius*math.Cos(exit)
				way := math.Hypot(px-ex, py-ey)
				sum += way
				angle := math.Acos(-((px-ex)*ex + (py-ey)*ey) / (way * radius))
				want = want && angle >= float64(p.Lower) && angle <= float64(p.Upper) && py < ey
			}
			lateral := 2 * radius * math.Sin(exit)
			wall := 2 * math.Hypot(radius*math.Sin(exit), radius*math.Cos(exit)-(radius-0.030))
			return want && sum >= lateral+c*float64(p.Pulse) && sum+c*float64(p.Pulse) <= wall
		})
	}
}

// The same from the bore, where a place counts only if both straight ways keep out
// of the bore, walked in steps, and its echo comes a pulse after a wave along the
// surface could.
func TestPairInTheBoreAgainstRaster(t *testing.T) {
	part := squareButt()
	part.Kind, part.Weld.Seam, part.OutsideDiameter = "pipe", "longitudinal", 508*mm
	part.Thickness, part.Zone.Width = 30*mm, 23*mm
	part.Weld.RootFace = 30 * mm
	section := geometry.New(part).Flip()
	const rows, c, wall, steps = 100, 5920.0, 0.254, 400
	radius := wall - 0.030
	for name, p := range map[string]coverage.Pair{
		"up to the surface": {Half: 34.6 * mm, Lower: 45 * si.Degree, Upper: 90 * si.Degree, Speed: c, Pulse: 0.1e-6, Bottom: 30 * mm},
		"by the bore":       {Half: 50 * mm, Lower: 50 * si.Degree, Upper: 90 * si.Degree, Speed: c, Pulse: 0.02e-6, Bottom: 30 * mm},
		"upper edge":        {Half: 34.6 * mm, Lower: 50 * si.Degree, Upper: 72 * si.Degree, Speed: c, Pulse: 0.2e-6, Bottom: 30 * mm},
		"zone":              {Half: 25 * mm, Lower: 40 * si.Degree, Upper: 80 * si.Degree, Speed: c, Pulse: 0.2e-6, Top: 12 * mm, Bottom: 24 * mm},
	} {
		reached := p.Reach(section, rows)
		exit := float64(p.Half) / radius
		hits, all, odd := 0, 0, 0
		for k := range rows {
			z := (float64(k) + 0.5) * 0.030 / rows
			from, to := section.VolumeRow(si.Length(z))
			for x := float64(from) + 1e-5; x < float64(to); x += 0.0003 {
				px, py := (radius+z)*math.Sin(x/radius), (radius+z)*math.Cos(x/radius)
				sum, want := 0.0, z >= float64(p.Top) && z <= float64(p.Bottom)
				for _, side := range []float64{-1, 1} {
					ex, ey := side*radius*math.Sin(exit), radius*math.Cos(exit)
					way := math.Hypot(px-ex, py-ey)
					sum += way
					angle := math.Acos(((px-ex)*ex + (py-ey)*ey) / (way * radius))
					want = want && angle >= float64(p.Lower) && (p.Upper > 89*si.Degree || angle <= float64(p.Upper))
					for i := 1; i < steps; i++ {
						u := float64(i) / steps
						want = want && math.Hypot(ex+u*(px-ex), ey+u*(py-ey)) > radius
					}
				}
				far := 2 * math.Hypot(radius*math.Sin(exit), wall-radius*math.Cos(exit))
				want = want && sum >= 2*float64(p.Half)+c*float64(p.Pulse) && sum+c*float64(p.Pulse) <= far
				all++
				if want {
					hits++
				}
				if contains(reached.Row[k], x) == want {
					continue
				}
				// A step of 0.2 mm lets a leg pass that leans into the bore by 0.0005.
				if odd++; !want {
					t.Fatalf("%s: X %.2f mm, Z %.2f mm: reached, not by paths and angles", name, x*1e3, z*1e3)
				}
			}
		}
		if hits < all/20 || hits > all*19/20 || odd > all/1000 {
			t.Errorf("%s: %d of %d places reached, %d of them not by the program", name, hits, all, odd)
		}
	}
	far := coverage.Pair{Half: 150 * mm, Upper: 90 * si.Degree, Speed: c, Pulse: 0.1e-6, Bottom: 30 * mm}
	if got := coverage.Measure(section, far.Reach(section, 0)); got.Reached != 0 {
		t.Errorf("%v reached of a wall that lies in the shadow", got.Reached)
	}
}

func TestPairUnknown(t *testing.T) {
	s := geometry.New(squareButt())
	for name, p := range map[string]coverage.Pair{
		"nothing": {}, "no pulse": {Half: 20 * mm, Speed: 5920, Upper: 90 * si.Degree, Bottom: 20 * mm},
		"no angle": {Half: 20 * mm, Speed: 5920, Pulse: 1e-7, Lower: si.Unknown[si.Angle](), Upper: 90 * si.Degree, Bottom: 20 * mm},
		"no depth": {Half: 20 * mm, Speed: 5920, Pulse: 1e-7, Upper: 90 * si.Degree, Bottom: si.Unknown[si.Length]()},
	} {
		if got := coverage.Measure(s, p.Reach(s, 0)); got.Reached != 0 {
			t.Errorf("%s: %v reached", name, got.Reached)
		}
	}
	part := squareButt()
	part.Thickness = si.Unknown[si.Length]()
	if rows := (coverage.Pair{Half: 20 * mm}).Reach(geometry.New(part), 0); len(rows.Row) != 0 {
		t.Error("an unknown section has rows")
	}
}
