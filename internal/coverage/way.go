package coverage

import (
	"math"
	"slices"

	"soundwrit/internal/geometry"
	fermat "soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Emitter is a place from which rays leave, or at which they arrive: the centre
// of an element or of an aperture.
type Emitter struct {
	X      si.Length // in the section, negative
	Height si.Length // above the surface; zero without a wedge
}

// Way is how the sound travels between the probe and a place in the part, in
// one direction.
type Way struct {
	Emitters   []Emitter
	Legs       int      // 1 direct, 2 after the far surface, 3 after both
	From, To   si.Angle // refracted angles used, in the part
	WedgeSpeed si.Speed
	PartSpeed  si.Speed
	Swept      bool // a beam of the angle From is moved from the first emitter to the last

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

// ray is a straight path from an emitter over wedge and walls, unfolded: at
// unfolded depth d, the sum of the depths of all its legs so far, it lies at
// X = offset + slope·d.
type ray struct{ offset, slope float64 }

func (r ray) at(d float64) float64 { return r.offset + r.slope*d }

// trace returns the ray of refracted angle α from an emitter.
//
//	X(d) = X₀ + h tan β + d tan α,  sin β = (c_wedge / c_part) sin α
//
// h is the emitter's height, in metres like X and d. X grows with α at every
// depth, which is what makes the reached stretches closed-form.
// Valid: |α| < 90°, |sin β| < 1, beyond which the ray is NaN; a plane surface.
// Source: Snell's law and the image source of plane mirrors, e.g. Krautkrämer,
// Ultrasonic Testing of Materials, chapter 2 (from memory); checked against
// rays traced from wall to wall in reach_test.go.
func (w *Way) trace(e Emitter, angle float64) ray {
	if !(math.Abs(angle) < math.Pi/2) {
		return ray{math.NaN(), math.NaN()}
	}
	r := ray{float64(e.X), math.Tan(angle)}
	if h := float64(e.Height); h != 0 {
		r.offset += h * math.Tan(math.Asin(float64(w.WedgeSpeed)/float64(w.PartSpeed)*math.Sin(angle)))
	}
	return r
}

// angleTo returns the refracted angle, between from and to, of the ray that
// lies at x at unfolded depth d.
func (w *Way) angleTo(e Emitter, x, d, from, to float64) float64 {
	// On the surface itself every ray is at its exit point; a nanometre below it
	// the angle is that of the limit.
	layers := [2]fermat.Layer{{Thickness: e.Height, Speed: w.WedgeSpeed}, {Thickness: si.Length(math.Max(d, 1e-9)), Speed: w.PartSpeed}}
	angle := float64(fermat.Between(si.Length(x)-e.X, layers[:]).Angle(w.PartSpeed))
	return math.Min(math.Max(angle, from), to)
}

// unfolded is the unfolded depth of a place at depth z on the way's last leg.
func (w *Way) unfolded(z, thickness float64) float64 {
	if w.goesUp() {
		return float64(w.Legs)*thickness - z
	}
	return float64(w.Legs-1)*thickness + z
}

func (w *Way) goesUp() bool { return w.Legs%2 == 0 }

// needed is how many emitters make a place reached.
func (w *Way) needed() int {
	if w.Swept || len(w.Waves) > 0 {
		return 1
	}
	return max(1, (len(w.Emitters)+1)/2)
}

// fan is all rays of one emitter between two angles.
type fan struct{ from, to ray }

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
		beam := func(angle float64) ray { return w.trace(e, angle) }
		all[i] = w.open(section, [2]float64{float64(w.From), float64(w.To)}, beam, func(x, d float64, part [2]float64) float64 {
			return w.angleTo(e, x, d, part[0], part[1])
		})
	}
	return all
}

// band returns parallel rays from the first emitter to the last, cut where they
// bounce where the wall is not plain. The emitters lie on a straight line, so that a
// ray's offset is a linear function of the way along it.
func (w *Way) band(section *geometry.Section, angle float64) []fan {
	if len(w.Emitters) == 0 {
		return nil
	}
	first, last := w.trace(w.Emitters[0], angle), w.trace(w.Emitters[len(w.Emitters)-1], angle)
	moved := func(share float64) ray {
		return ray{first.offset + share*(last.offset-first.offset), first.slope}
	}
	return w.open(section, [2]float64{0, 1}, moved, func(x, d float64, _ [2]float64) float64 {
		return (x - first.at(d)) / (last.offset - first.offset)
	})
}

// open returns the rays of a range that bounce on plain wall only. beam gives
// the ray of a place in the range, along which X grows, and find the place
// whose ray lies at x at unfolded depth d.
func (w *Way) open(section *geometry.Section, whole [2]float64, beam func(float64) ray, find func(x, d float64, part [2]float64) float64) []fan {
	usable := w.Legs >= 1 && whole[0] <= whole[1] && !math.IsNaN(beam(whole[0]).at(0)+beam(whole[1]).at(0))
	if !usable {
		return nil
	}
	open := [][2]float64{whole}
	for bounce := 1; bounce < w.Legs; bounce++ {
		d := float64(bounce) * float64(section.Thickness)
		for _, uneven := range section.Uneven(bounce%2 == 1) {
			// What is open is cut down to what bounces before the stretch and
			// what bounces behind it.
			near, far := float64(uneven[0]), float64(uneven[1])
			var kept [][2]float64
			for _, part := range open {
				first, last := beam(part[0]).at(d), beam(part[1]).at(d)
				if last <= near || first >= far {
					kept = append(kept, part)
					continue
				}
				if first < near {
					kept = append(kept, [2]float64{part[0], find(near, d, part)})
				}
				if last > far {
					kept = append(kept, [2]float64{find(far, d, part), part[1]})
				}
			}
			open = kept
		}
	}
	var fans []fan
	for _, part := range open {
		fans = append(fans, fan{beam(part[0]), beam(part[1])})
	}
	return fans
}

// equals reports whether two ways are the same, so that they are computed once.
func (w *Way) equals(v *Way) bool {
	return w.Legs == v.Legs && w.Swept == v.Swept && w.From == v.From && w.To == v.To &&
		w.WedgeSpeed == v.WedgeSpeed && w.PartSpeed == v.PartSpeed && slices.Equal(w.Waves, v.Waves) && slices.Equal(w.Emitters, v.Emitters)
}
