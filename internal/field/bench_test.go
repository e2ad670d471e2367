package field

import (
	"testing"

	"soundwrit/internal/si"
)

// A thousand places of an image out on one leg and back on two.
func BenchmarkImage(b *testing.B) {
	m := wedged()
	elements := sloped(64, 0.6*mm, m)
	strip := Facet{Height: 3 * mm, NormalX: 1, Hole: 3 * mm}
	for b.Loop() {
		im := image(New(m), elements, transverse, 1, 2, around())
		for i := range 1000 {
			p := Point{si.Length(i%40-20) * mm / 2, si.Length(i/40) * 0.8 * mm}
			im.Hole(p)
			im.Facet(p, strip)
		}
	}
}

// A thousand places of a beam of sixteen elements.
func BenchmarkBeam(b *testing.B) {
	m := wedged()
	elements := sloped(16, 0.6*mm, m)
	strip := Facet{Height: 3 * mm, NormalX: 1, Hole: 3 * mm}
	for b.Loop() {
		beam := New(m).Sources(elements, transverse, transverse).Beam(55*si.Degree, si.Unknown[si.Length]())
		for i := range 1000 {
			p := Point{si.Length(i%40-20) * mm / 2, si.Length(i/40) * 0.8 * mm}
			beam.Hole(p)
			beam.Facet(p, strip)
		}
	}
}

// The tables of the angles alone.
func BenchmarkNew(b *testing.B) {
	m := wedged()
	for b.Loop() {
		New(m).Sources(nil, transverse)
	}
}
