package coverage

import (
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// SquareWithin is the deviation up to which a beam counts as meeting a face
// square: common practice, since the echo of a smooth plane flaw falls quickly
// beyond it.
const SquareWithin = 10 * si.Degree

// DefaultSamples is at how many points a face is looked at unless more are
// asked for.
const DefaultSamples = 100

// Meeting is how beams meet one face: at points spaced evenly from its upper to
// its lower end, and in sum.
type Meeting struct {
	Points  []Met
	Best    si.Angle // smallest deviation over the points reached; NaN where none is
	Worst   si.Angle // largest, taking the best beam at each point
	Reached si.Ratio // share of the face that is reached
	Square  si.Ratio // share of the face that is met within SquareWithin
}

// Met is one point of a face.
type Met struct {
	Reached bool
	Angle   si.Angle // deviation of the best beam; NaN where not reached
}

// Incidence returns how the views meet a face of the section.
//
// A point is reached by a view under the rule of Reach. How well it is met is
// judged by the central rays: those between the centre of the transmitting
// emitters, the point, and the centre of the receiving ones, on the legs of
// their ways. A smooth plane flaw in the face sends its strongest echo where
// the law of reflection holds between the two rays. The deviation is the angle
// by which the face would have to turn for that:
//
//	deviation = arccos |s·n| / |s|,  s = t / c_t + r / c_r
//
// t and r are the unit vectors along which the transmitted and the received
// way arrive at the point, c_t and c_r the sound velocities of these ways, n
// the face's normal at that point, which on a radius turns from point to point. With the same way for both (a sectorial beam, T-T, TT-TT)
// this is the angle between beam and normal. With one velocity it is the angle
// between the bisector of the two rays and the normal: with TT-T, one way
// rising and one falling, it is zero on a vertical face where both have the
// same refracted angle. At each point the view with the smallest deviation
// counts. The deviation says nothing of what is lost by conversion of the wave
// at the walls or at the flaw.
//
// Valid: as Reach, with the velocities of the last legs; NaN where the point is
// not reached.
// Source: the law of reflection, for two modes in the form of equal slowness
// along the face; checked against angles worked out by hand and against
// reflected rays in incidence_test.go.
func Incidence(section *geometry.Section, face geometry.Face, views []View, samples int) Meeting {
	if samples <= 0 {
		samples = DefaultSamples
	}
	points := make([]Met, samples)
	for i := range points {
		points[i].Angle = si.Unknown[si.Angle]()
	}
	if !section.Known() {
		return Meeting{
			Points: points, Best: si.Unknown[si.Angle](), Worst: si.Unknown[si.Angle](),
			Reached: si.Unknown[si.Ratio](), Square: si.Unknown[si.Ratio](),
		}
	}
	for v := range views {
		view := &views[v]
		transmit, receive := newTarget(&view.Transmit, section), newTarget(&view.Receive, section)
		for i := range points {
			u := (float64(i) + 0.5) / float64(samples)
			p, nx, nz := face.At(si.Ratio(u))
			x, z := float64(p.X), float64(p.Z)
			if r := view.Region; r != nil && !(x >= -float64(r.Near) && x <= float64(r.Far) && z >= float64(r.Top) && z <= float64(r.Bottom)) {
				continue
			}
			if !transmit.reaches(x, z) || !receive.reaches(x, z) {
				continue
			}
			tx, tz := transmit.arrival(x, z)
			rx, rz := receive.arrival(x, z)
			// Only the ratio of the velocities matters.
			ratio := float64(transmit.speed(z) / receive.speed(z))
			sx, sz := tx+rx*ratio, tz+rz*ratio
			// The arc tangent keeps its precision where the arc cosine loses
			// it, close to square.
			across := math.Abs(sx*float64(nz) - sz*float64(nx))
			along := math.Abs(sx*float64(nx) + sz*float64(nz))
			deviation := math.Atan2(across, along)
			if math.Hypot(sx, sz) < 1e-9 {
				deviation = math.Pi / 2 // straight through: no reflection at all
			}
			points[i] = better(points[i], Met{true, si.Angle(deviation)})
		}
	}
	return summed(points)
}

// Merge returns how several groups or sides together meet a face, taking the
// best at each point. All must have the same number of points; a meeting
// without points adds nothing.
func Merge(meetings ...Meeting) Meeting {
	var points []Met
	for _, m := range meetings {
		if points == nil {
			points = append(points, m.Points...)
			continue
		}
		for i, p := range m.Points {
			points[i] = better(points[i], p)
		}
	}
	return summed(points)
}

// Flip returns the meeting of a flipped section's face in the order of points
// of the section itself.
func (m Meeting) Flip() Meeting {
	flipped := make([]Met, len(m.Points))
	for i, p := range m.Points {
		flipped[len(flipped)-1-i] = p
	}
	m.Points = flipped
	return m
}

func better(a, b Met) Met {
	if !a.Reached || (b.Reached && b.Angle < a.Angle) {
		return b
	}
	return a
}

func summed(points []Met) Meeting {
	m := Meeting{Points: points, Best: si.Unknown[si.Angle](), Worst: si.Unknown[si.Angle]()}
	reached, square := 0, 0
	for _, p := range points {
		if !p.Reached {
			continue
		}
		if reached == 0 {
			m.Best, m.Worst = p.Angle, p.Angle
		}
		reached++
		m.Best, m.Worst = min(m.Best, p.Angle), max(m.Worst, p.Angle)
		if p.Angle <= SquareWithin {
			square++
		}
	}
	m.Reached = si.Ratio(float64(reached) / float64(len(points)))
	m.Square = si.Ratio(float64(square) / float64(len(points)))
	return m
}

// target answers for single points what sweep answers for rows.
type target struct {
	*shine
	centre Emitter // of all emitters
}

func newTarget(way *Way, section *geometry.Section) *target {
	t := &target{shine: newShine(way, section)}
	for _, e := range way.Emitters {
		t.centre.X += e.X / si.Length(len(way.Emitters))
		t.centre.Height += e.Height / si.Length(len(way.Emitters))
	}
	return t
}

// speed is that of the wave that arrives at depth z.
func (t *target) speed(z float64) si.Speed {
	return t.way.Course.At(t.way.legs(), si.Length(z))
}

// reaches reports whether enough emitters reach a point.
func (t *target) reaches(x, z float64) bool {
	count := 0
	for _, fans := range t.at(x, z) {
		if holds(fans, x, z) {
			count++
		}
	}
	return count >= t.way.needed()
}

// holds reports whether a point lies between the rays of a fan.
func holds(fans []fan, x, z float64) bool {
	for i := range fans {
		if fans[i].from.at(z) <= x && x <= fans[i].to.at(z) {
			return true
		}
	}
	return false
}

// arrival is the direction in which the central ray arrives at a point.
func (t *target) arrival(x, z float64) (dx, dz float64) {
	w := t.way
	var central ray.Ray
	switch {
	case len(w.Waves) > 0:
		central = w.Course.Leave(t.centre, si.Angle(t.meanWave(x, z)))
	case w.Swept:
		central = w.Course.Leave(t.centre, w.From)
	default:
		central, _ = w.Course.To(t.centre, si.Length(x), si.Length(z))
	}
	dx, dz = math.Sincos(float64(central.Angle(w.legs(), si.Length(z))))
	if math.IsNaN(dx) {
		// Only the rays of other emitters come there, and the last of them grazes.
		dx, dz = math.Copysign(1, x-float64(t.centre.X)), 0
	}
	if w.goesUp() {
		dz = -dz
	}
	return dx, dz
}

// meanWave is the mean angle of the plane waves that reach a point: together
// they are a focus there, which comes from that direction.
func (t *target) meanWave(x, z float64) float64 {
	sum, count := 0.0, 0.0
	for i, fans := range t.at(x, z) {
		if holds(fans, x, z) {
			sum += float64(t.way.Waves[i])
			count++
		}
	}
	return sum / count
}
