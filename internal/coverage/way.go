package coverage

import (
	"math"
	"slices"

	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Emitter is a place from which rays leave, or at which they arrive: the centre
// of an element or of an aperture. In the section X is negative.
type Emitter = ray.Element

// Way is how the sound travels between the probe and a place in the part, in
// one direction. The way back is followed from the probe too.
type Way struct {
	Course   ray.Course
	Emitters []Emitter
	From, To si.Angle // refracted angles used, of the first leg
	Swept    bool     // a beam of the angle From is moved from the first emitter to the last

	// Waves are the angles of plane waves, each sent by all emitters together.
	Waves []si.Angle
}

// View is one way of looking at the part. A place is reached if at least half
// of the emitters of each way reach it at the angles of that way, and it lies
// in the region. The half is a convention of this program: with fewer elements
// the focus at that place is no longer that of the array.
//
// Leg k of a sectorial group is a view with one emitter, the centre of its
// aperture, and the same way for both. A view of a tfm group has all elements
// that fire for the one and all that receive for the other. A fixed angle of a
// linear group is a swept way whose two emitters are the centres of the first
// and the last aperture: a place is reached if it lies between their rays, since
// neighbouring apertures overlap. So it is with plane waves, which the rays of
// the first and the last element bound: a place is reached if one wave reaches
// it.
type View struct {
	Transmit, Receive Way
	Region            *schema.Region // what is imaged, as the probe sees it; nil: everything
}

// line is where a ray lies on the last leg of its way. X grows with the angle at
// every depth, which is what makes the reached stretches closed-form.
type line struct {
	surface, slope float64  // X at the scan surface, if it were straight to there, and growth with depth
	leg            *ray.Leg // of what is not one straight line; surface is how far it is shifted
}

func (l *line) at(z float64) float64 {
	if l.leg != nil {
		return l.surface + float64(l.leg.X(si.Length(z)))
	}
	return l.surface + l.slope*z
}

// beam is a ray that may be shifted along X.
type beam struct {
	ray   ray.Ray
	shift float64
}

// at is where the beam is at the end of a leg.
func (b beam) at(w *Way, leg int) float64 {
	return b.shift + float64(b.ray.X(leg, w.Course.Wall(leg)))
}

// line follows the beam's last leg.
func (b beam) line(w *Way) line {
	leg := b.ray.Leg(w.legs())
	if surface, slope, ok := leg.Line(); ok {
		return line{surface: b.shift + float64(surface), slope: float64(slope)}
	}
	return line{surface: b.shift, leg: &leg}
}

func (w *Way) legs() int { return len(w.Course.Legs) }

func (w *Way) goesUp() bool { return w.legs()%2 == 0 }

// angleTo returns the refracted angle, between from and to, of the ray that
// lies at x at the end of a leg.
func (w *Way) angleTo(e Emitter, x float64, leg int, from, to float64) float64 {
	short := w.Course
	short.Legs = short.Legs[:leg]
	r, _ := short.To(e, si.Length(x), w.Course.Wall(leg))
	return math.Min(math.Max(float64(r.Refracted()), from), to)
}

// needed is how many emitters make a place reached.
func (w *Way) needed() int {
	if w.Swept || len(w.Waves) > 0 {
		return 1
	}
	return max(1, (len(w.Emitters)+1)/2)
}

// fan is all rays of one emitter between two angles.
type fan struct{ from, to line }

// fans returns the rays of each emitter that the way uses: those between its
// angles, without those that bounce where the wall is not plain. A swept way has one
// fan, of parallel rays, and so has each plane wave.
func (w *Way) fans(section *geometry.Section) [][]fan {
	if w.Swept {
		return [][]fan{w.band(section, float64(w.From))}
	}
	if len(w.Waves) > 0 {
		waves := make([][]fan, len(w.Waves))
		for i, angle := range w.Waves {
			waves[i] = w.band(section, float64(angle))
		}
		return waves
	}
	all := make([][]fan, len(w.Emitters))
	for i, e := range w.Emitters {
		send := func(angle float64) beam { return beam{ray: w.Course.Leave(e, si.Angle(angle))} }
		all[i] = w.open(section, w.usable(e), send, func(x float64, leg int, part [2]float64) float64 {
			return w.angleTo(e, x, leg, part[0], part[1])
		})
	}
	return all
}

// usable is the range of angles whose rays come to the last leg.
func (w *Way) usable(e Emitter) [2]float64 {
	whole := [2]float64{float64(w.From), float64(w.To)}
	if before := w.legs() - 1; before > 0 {
		limit := float64(w.Course.Limit(e, before, w.Course.Wall(before)))
		whole[0], whole[1] = math.Max(whole[0], -limit), math.Min(whole[1], limit)
	}
	return whole
}

// band returns parallel rays from the first emitter to the last, cut where they
// bounce where the wall is not plain. The emitters lie on a straight line, so that
// where a ray enters the part is a linear function of the way along it; on a
// round part nearly so, and what lies between the two is the same.
func (w *Way) band(section *geometry.Section, angle float64) []fan {
	if len(w.Emitters) == 0 {
		return nil
	}
	first, last := w.Course.Leave(w.Emitters[0], si.Angle(angle)), w.Course.Leave(w.Emitters[len(w.Emitters)-1], si.Angle(angle))
	width := float64(last.Entry() - first.Entry())
	moved := func(share float64) beam { return beam{first, share * width} }
	return w.open(section, [2]float64{0, 1}, moved, func(x float64, leg int, _ [2]float64) float64 {
		return (x - moved(0).at(w, leg)) / width
	})
}

// open returns the rays of a range that bounce on plain wall only. send gives
// the ray of a place in the range, along which X grows, and find the place
// whose ray lies at x at the end of a leg.
func (w *Way) open(section *geometry.Section, whole [2]float64, send func(float64) beam, find func(x float64, leg int, part [2]float64) float64) []fan {
	legs := w.legs()
	if legs < 1 || !(whole[0] <= whole[1]) || math.IsNaN(float64(send(whole[0]).ray.Entry()+send(whole[1]).ray.Entry())) {
		return nil
	}
	open := [][2]float64{whole}
	for bounce := 1; bounce < legs; bounce++ {
		for _, uneven := range section.Uneven(bounce%2 == 1) {
			// What is open is cut down to what bounces before the stretch and
			// what bounces behind it.
			near, far := float64(uneven[0]), float64(uneven[1])
			var kept [][2]float64
			for _, part := range open {
				first, last := send(part[0]).at(w, bounce), send(part[1]).at(w, bounce)
				if last <= near || first >= far {
					kept = append(kept, part)
					continue
				}
				if first < near {
					kept = append(kept, [2]float64{part[0], find(near, bounce, part)})
				}
				if last > far {
					kept = append(kept, [2]float64{find(far, bounce, part), part[1]})
				}
			}
			open = kept
		}
	}
	var fans []fan
	for _, part := range open {
		fans = append(fans, fan{send(part[0]).line(w), send(part[1]).line(w)})
	}
	return fans
}

// equals reports whether two ways are the same, so that they are computed once.
func (w *Way) equals(v *Way) bool {
	return w.Swept == v.Swept && w.From == v.From && w.To == v.To &&
		w.Course.Equal(&v.Course) && slices.Equal(w.Waves, v.Waves) && slices.Equal(w.Emitters, v.Emitters)
}
