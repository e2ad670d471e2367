package coverage

import (
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Square is a straight beam that is moved across the weld.
type Square struct {
	From, To    si.Length // places of its axis, along X
	Top, Bottom si.Length // depths that it shows
}

// Reach returns the stretches of the volume that lie under the axis, between both
// depths. Rows that the depths do not hold in full are left out. The section is
// cut into rows as by the Reach of views.
//
// Valid: all quantities known; nothing is reached otherwise.
// Source: geometry.
func (s Square) Reach(section *geometry.Section, rows int) Rows {
	if !section.Known() {
		return Rows{}
	}
	if rows <= 0 {
		rows = DefaultRows
	}
	reached := newRows(section, rows)
	for k := range reached.Row {
		from, to := section.VolumeRow(reached.middle(k))
		if !reached.within(k, s.Top, s.Bottom) || !(to > from) {
			continue
		}
		reached.Row[k] = common(nil, []Interval{{from, to}}, []Interval{{s.From, s.To}})
	}
	return reached
}

// Meets returns how the beam meets a face of the section: at so many points, or
// DefaultSamples where that is zero. A point is reached that lies under the axis,
// between both depths.
//
//	deviation = arctan |n_x / n_z|, n the face's normal there
//
// Valid: as Reach; NaN where a point is not reached.
// Source: the beam is square to the surface; angles by hand in outer_test.go.
func (s Square) Meets(face geometry.Face, samples int) Meeting {
	if samples <= 0 {
		samples = DefaultSamples
	}
	points := make([]Met, samples)
	for i := range points {
		p, x, z := face.At(si.Ratio((float64(i) + 0.5) / float64(samples)))
		points[i].Angle = si.Unknown[si.Angle]()
		if p.X >= s.From && p.X <= s.To && p.Z >= s.Top && p.Z <= s.Bottom {
			points[i] = Met{true, si.Angle(math.Atan2(math.Abs(float64(x)), math.Abs(float64(z))))}
		}
	}
	return summed(points)
}
