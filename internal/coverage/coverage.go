// Package coverage finds which part of the volume to be examined the beams of a
// group reach, where the rest lies, and how the beams meet the fusion faces.
//
// It works on central rays, without beam spread: what it calls reached is
// reached by a ray of the stated angles after straight reflection at the walls,
// which are flat, or circles about one axis. A ray that meets a wall under a reinforcement, or where the part grows
// thicker, is not counted further, since that wall is not flat or not where the
// others are. Coverage is geometry, and no proof of detection.
//
// The section is cut into thin rows of constant depth; in each row the reached
// stretches are computed exactly at the row's middle depth.
//
// The probe always stands at X < 0 on the top surface and looks towards +X.
// For a probe on side B the caller mirrors the section first, for one on the
// bottom surface it flips it, and maps the rows back with the methods of the
// same name.
package coverage

import (
	"cmp"
	"slices"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Result is what a group, a side or all groups together reach. Where the
// section is not known, every number of it is NaN.
type Result struct {
	Volume  si.Area // of the volume to be examined, per length of weld
	Reached si.Area
	Share   si.Ratio // Reached over Volume
	Missed  []Missed // connected regions not reached, largest first
	rows    Rows
}

// Rows returns the reached stretches that were measured.
func (r Result) Rows() Rows { return r.rows }

// Missed is one connected region of the volume that is not reached.
type Missed struct {
	Outline  []geometry.Polygon // simple pieces that together fill it
	From, To geometry.Point     // smallest and largest X and Z
	Area     si.Area
	Share    si.Ratio // of the volume
}

// floatNoise is the width below which a missed stretch is no more than the
// rounding of the program's own arithmetic, in metres.
const floatNoise = 1e-9

// Measure compares the reached stretches with the volume of the section they
// were computed for. Areas are sums over the rows, so that what is reached and
// what is missed add up to the volume.
func Measure(section *geometry.Section, reached Rows) Result {
	if !section.Known() {
		return Result{
			Volume: si.Unknown[si.Area](), Reached: si.Unknown[si.Area](), Share: si.Unknown[si.Ratio](),
			rows: reached,
		}
	}
	if len(reached.Row) == 0 {
		reached = newRows(section, DefaultRows)
	}
	missed := Rows{Top: reached.Top, Height: reached.Height, Row: make([][]Interval, len(reached.Row))}
	height := func(i int) float64 { // true, per unit of X
		return float64(reached.Height) * float64(section.Scale(reached.middle(i)))
	}
	var volume, left float64
	for i := range reached.Row {
		from, to := section.VolumeRow(reached.middle(i))
		if !(to > from) {
			continue
		}
		volume += float64(to-from) * height(i)
		for _, gap := range without(Interval{from, to}, reached.Row[i]) {
			if gap.To-gap.From > floatNoise {
				missed.Row[i] = append(missed.Row[i], gap)
				left += float64(gap.To-gap.From) * height(i)
			}
		}
	}
	result := Result{
		Volume: si.Area(volume), Reached: si.Area(volume - left), Share: si.Ratio((volume - left) / volume),
		rows: reached,
	}
	for _, region := range missed.regions() {
		m := Missed{Outline: region.outlines(missed), From: geometry.Point{X: region[0].X.From, Z: missed.edge(region[0].row)}}
		m.To = m.From
		for _, s := range region {
			m.Area += si.Area(float64(s.X.To-s.X.From) * height(s.row))
			m.From.X, m.To.X = min(m.From.X, s.X.From), max(m.To.X, s.X.To)
			m.From.Z, m.To.Z = min(m.From.Z, missed.edge(s.row)), max(m.To.Z, missed.edge(s.row+1))
		}
		if section.Flange != nil { // a row that the web's surface cuts counts by its middle
			m.From.Z, m.To.Z = onSurface(section, m.From.Z, reached.Height), onSurface(section, m.To.Z, reached.Height)
		}
		m.Share = si.Ratio(float64(m.Area) / volume)
		result.Missed = append(result.Missed, m)
	}
	slices.SortStableFunc(result.Missed, func(a, b Missed) int {
		return cmp.Or(cmp.Compare(b.Area, a.Area), cmp.Compare(a.From.Z, b.From.Z), cmp.Compare(a.From.X, b.From.X))
	})
	return result
}

// onSurface is the depth of a surface of the web where that lies nearer than a
// row is high, and the depth itself elsewhere.
func onSurface(section *geometry.Section, z, height si.Length) si.Length {
	for _, surface := range []si.Length{0, section.Thickness} {
		if surface-height < z && z < surface+height {
			return surface
		}
	}
	return z
}
