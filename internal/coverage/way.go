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

	// OneThickness lets rays turn only where the walls lie as deep as the course
	// has them, as in an image, which is computed for one thickness.
	OneThickness bool

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
	parallel       bool     // all rays of the range turn at one depth
}

// at is where the line lies at a depth. A fan of one emitter ends with the last ray
// that comes there; of parallel rays none does where one turns before.
func (l *line) at(z float64) float64 {
	switch {
	case l.leg == nil:
		return l.surface + l.slope*z
	case !l.parallel:
		return l.surface + float64(l.leg.Bound(si.Length(z)))
	}
	if x := l.surface + float64(l.leg.X(si.Length(z))); !math.IsNaN(x) {
		return x
	}
	return math.Inf(1)
}

// beam is a ray that may be shifted along X.
type beam struct {
	ray   ray.Ray
	shift float64
}

// line follows the beam's last leg.
func (b beam) line(w *Way) line {
	leg := b.ray.Leg(w.legs())
	if surface, slope, ok := leg.Line(); ok {
		return line{surface: b.shift + float64(surface), slope: float64(slope)}
	}
	return line{surface: b.shift, leg: &leg, parallel: w.Swept || len(w.Waves) > 0}
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

// ranges returns the rays that the way uses, emitter by emitter: those between
// its angles that come to the last leg. A swept way has one range, of parallel
// rays, and so has each plane wave.
func (w *Way) ranges() []rayRange {
	if w.Swept {
		return w.band(nil, float64(w.From))
	}
	var all []rayRange
	if len(w.Waves) > 0 {
		for _, angle := range w.Waves {
			all = w.band(all, float64(angle))
		}
		return all
	}
	for _, e := range w.Emitters {
		all = append(all, rayRange{
			way: w, whole: w.usable(e),
			send: func(angle float64) beam { return beam{ray: w.Course.Leave(e, si.Angle(angle))} },
			find: func(x float64, leg int, part [2]float64) float64 { return w.angleTo(e, x, leg, part[0], part[1]) },
		})
	}
	return all
}

// usable is the range of angles whose rays go on the last leg. On a round part
// a ray may end on it before it comes to the wall, in a flat one none does.
func (w *Way) usable(e Emitter) [2]float64 {
	leg := w.legs()
	to := w.Course.Wall(leg)
	if w.Course.Part.Radius != 0 {
		to = w.Course.Wall(leg - 1)
	}
	limit := float64(w.Course.Limit(e, leg, to))
	return [2]float64{math.Max(float64(w.From), -limit), math.Min(float64(w.To), limit)}
}

// band appends the parallel rays from the first emitter to the last. The emitters
// lie on a straight line, so that where a ray enters the part is a linear
// function of the way along it; on a round part nearly so, and what lies between
// the two is the same.
func (w *Way) band(all []rayRange, angle float64) []rayRange {
	if len(w.Emitters) == 0 {
		return all
	}
	first, last := w.Course.Leave(w.Emitters[0], si.Angle(angle)), w.Course.Leave(w.Emitters[len(w.Emitters)-1], si.Angle(angle))
	width := float64(last.Entry() - first.Entry())
	return append(all, rayRange{
		way: w, whole: [2]float64{0, 1},
		send: func(share float64) beam { return beam{first, share * width} },
		find: func(x float64, leg int, _ [2]float64) float64 {
			return (x - float64(first.X(leg, w.Course.Wall(leg)))) / width
		},
	})
}

// shine is all rays of a way that turned on plain wall only, and what of them
// comes to each neighbourhood of the section.
type shine struct {
	way     *Way
	section *geometry.Section
	zones   zones
	ranges  []rayRange
	bundles [][]bundle // by range
	known   map[cell][][]fan
}

func newShine(way *Way, section *geometry.Section) *shine {
	s := &shine{way: way, section: section, zones: zonesOf(section), ranges: way.ranges(), known: make(map[cell][][]fan)}
	for i := range s.ranges {
		s.bundles = append(s.bundles, s.ranges[i].turned(section))
	}
	return s
}

// at returns the rays that come to the neighbourhood of a place, by range.
func (s *shine) at(x, z float64) [][]fan {
	c := s.zones.cell(x, z)
	fans, ok := s.known[c]
	if !ok {
		for i := range s.ranges {
			fans = append(fans, s.ranges[i].fans(s.bundles[i], s.section, place{x, z}))
		}
		s.known[c] = fans
	}
	return fans
}

// equals reports whether two ways are the same, so that they are computed once.
func (w *Way) equals(v *Way) bool {
	return w.Swept == v.Swept && w.OneThickness == v.OneThickness && w.From == v.From && w.To == v.To &&
		w.Course.Equal(&v.Course) && slices.Equal(w.Waves, v.Waves) && slices.Equal(w.Emitters, v.Emitters)
}
