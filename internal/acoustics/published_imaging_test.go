package acoustics_test

import (
	"soundwrit/internal/acoustics"
	"soundwrit/internal/imaging"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// imaged is the array of the rows on images: 64 elements 0.6 mm apart in
// contact, 5 MHz, half of it as bandwidth, all directions alike.
func imaged() *imaging.Image {
	direct := ray.Course{Part: ray.Plate(100*mm, acoustics.Medium{Longitudinal: 5900}), Legs: ray.Waves(acoustics.Longitudinal, 1)}
	im := &imaging.Image{
		Out: direct, Back: direct, Pulse: imaging.Pulse{Frequency: 5 * mhz, Bandwidth: 0.5},
		From: imaging.Point{X: -50 * mm}, To: imaging.Point{X: 50 * mm, Z: 100 * mm},
	}
	for i := range 64 {
		im.Array.Elements = append(im.Array.Elements, ray.Element{X: 0.6 * mm * si.Length(float64(i)-31.5)})
	}
	return im
}

// imagedArea is the area of the main lobe over λ².
func imagedArea(x, z si.Length) func() []float64 {
	return func() []float64 {
		return []float64{float64(imaged().Spread(imaging.Point{X: x, Z: z}, imaging.Every(1, 64)).Area)}
	}
}

// imagedWidths are the widths across and along the sound, in wavelengths.
func imagedWidths(x, z si.Length) func() []float64 {
	return func() []float64 {
		s := imaged().Spread(imaging.Point{X: x, Z: z}, imaging.Every(1, 64))
		return []float64{float64(s.Across / (1.18 * mm)), float64(s.Along / (1.18 * mm))}
	}
}

// imagedByWaves is the area at (0, 20) mm of one plane wave straight down, and of
// 11, 21 and 41 waves, evenly spaced up to the row's largest angles.
func imagedByWaves() []float64 {
	var areas []float64
	for _, w := range []struct {
		count int
		to    si.Angle
	}{{1, 0}, {11, 30 * deg}, {21, 30 * deg}, {41, 40 * deg}} {
		var sent imaging.Transmission
		for i := range w.count {
			sent.Waves = append(sent.Waves, -w.to+2*w.to*si.Angle(i)/si.Angle(max(1, w.count-1)))
		}
		areas = append(areas, float64(imaged().Spread(imaging.Point{Z: 20 * mm}, sent).Area))
	}
	return areas
}
