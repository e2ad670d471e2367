package geometry

import (
	"math"
	"slices"

	"soundwrit/internal/si"
)

// Wall is one surface of the part in the section.
type Wall struct {
	// Corners are where it bends, from side A to side B: straight between them, and
	// level beyond the first and the last unless the part ends there. A wall that
	// is level all along has none.
	Corners []Point

	// Levels are its stretches that are parallel to the surfaces at the weld, from
	// side A to side B. Rays are followed after a bounce on these only.
	Levels []Level
}

// Level is a level stretch of a wall.
type Level struct {
	From, To si.Length // along X; infinite where it goes on
	Z        si.Length
}

// wallOf is a wall through corners from side A to side B, level beyond them; one
// without corners lies at depth z.
func wallOf(corners []Point, z si.Length) Wall {
	inf := si.Length(math.Inf(1))
	if len(corners) == 0 {
		return Wall{Levels: []Level{{-inf, inf, z}}}
	}
	first, last := corners[0], corners[len(corners)-1]
	w := Wall{Corners: corners, Levels: []Level{{-inf, first.X, first.Z}}}
	for i := 1; i < len(corners); i++ {
		if a, b := corners[i-1], corners[i]; a.Z == b.Z && a.X < b.X {
			w.Levels = append(w.Levels, Level{a.X, b.X, a.Z})
		}
	}
	w.Levels = append(w.Levels, Level{last.X, inf, last.Z})
	return w
}

// At returns the depth of the wall at x: of two at a step, the one on side B.
func (w Wall) At(x si.Length) si.Length {
	for _, l := range w.Levels {
		if l.From <= x && x <= l.To {
			return l.Z
		}
	}
	for i := len(w.Corners) - 1; i > 0; i-- {
		a, b := w.Corners[i-1], w.Corners[i]
		if a.X <= x && x <= b.X {
			if a.X == b.X {
				return b.Z
			}
			return a.Z + (b.Z-a.Z)*(x-a.X)/(b.X-a.X)
		}
	}
	return si.Unknown[si.Length]()
}

// between returns the corners that lie between two places along X.
func (w Wall) between(from, to si.Length) []Point {
	var list []Point
	for _, c := range w.Corners {
		if from < c.X && c.X < to {
			list = append(list, c)
		}
	}
	return list
}

// mapped copies a wall with its places mapped, by a reflection across the weld
// too where from and to change places.
func (w Wall) mapped(point func(Point) Point) Wall {
	var m Wall
	for _, c := range w.Corners {
		m.Corners = append(m.Corners, point(c))
	}
	for _, l := range w.Levels {
		a, b := point(Point{l.From, l.Z}), point(Point{l.To, l.Z})
		m.Levels = append(m.Levels, Level{min(a.X, b.X), max(a.X, b.X), a.Z})
	}
	if point(Point{1, 0}).X < point(Point{0, 0}).X {
		slices.Reverse(m.Corners)
		slices.Reverse(m.Levels)
	}
	return m
}

// Wall returns the bottom of the part, or its top. What was not built is level.
func (s *Section) Wall(bottom bool) Wall {
	w, z := s.Top, si.Length(0)
	if bottom {
		w, z = s.Bottom, s.Thickness
	}
	if len(w.Levels) == 0 {
		return wallOf(nil, z)
	}
	return w
}

// Plain returns the stretches of one wall off which rays are followed, from
// side A to side B: level, and not under the reinforcement.
func (s *Section) Plain(bottom bool) []Level {
	reinforced := s.capSpan
	if bottom {
		reinforced = s.rootSpan
	}
	from, to := si.Length(reinforced.from), si.Length(reinforced.to)
	if !(from < to) {
		return s.Wall(bottom).Levels
	}
	var list []Level
	for _, l := range s.Wall(bottom).Levels {
		if left := (Level{l.From, min(l.To, from), l.Z}); left.From < left.To {
			list = append(list, left)
		}
		if right := (Level{max(l.From, to), l.To, l.Z}); right.From < right.To {
			list = append(list, right)
		}
	}
	return list
}

// Uneven returns the stretches of one wall, from side A to side B, off which no
// ray of an image is followed, since an image is computed for one thickness:
// all but its plain stretches at depth 0 or at Thickness.
func (s *Section) Uneven(bottom bool) [][2]si.Length {
	z := si.Length(0)
	if bottom {
		z = s.Thickness
	}
	inf := si.Length(math.Inf(1))
	var list [][2]si.Length
	end := -inf
	for _, l := range s.Plain(bottom) {
		if math.Abs(float64(l.Z-z)) > levelNoise {
			continue
		}
		if l.From > end {
			list = append(list, [2]si.Length{end, l.From})
		}
		end = l.To
	}
	if end < inf {
		list = append(list, [2]si.Length{end, inf})
	}
	return list
}

// levelNoise is the difference of depth, in metres, that is no more than the
// rounding of the program's own arithmetic.
const levelNoise = 1e-9

// DepthsFrom returns the section with its depths counted from the given one:
// as a probe sees it that stands where the surface is not that of side A at the
// weld.
func (s *Section) DepthsFrom(z si.Length) *Section {
	if z == 0 {
		return s
	}
	point := func(p Point) Point { return Point{p.X, p.Z - z} }
	m := &Section{
		Thickness: s.Thickness - z, through: s.through,
		Weld: s.Weld.mapped(point), Volume: s.Volume.mapped(point), Cap: s.Cap.mapped(point), Root: s.Root.mapped(point),
		Top: s.Top.mapped(point), Bottom: s.Bottom.mapped(point), capSpan: s.capSpan, rootSpan: s.rootSpan, Flange: s.Flange,
	}
	for _, f := range s.Faces {
		m.Faces = append(m.Faces, f.mapped(point))
	}
	for _, t := range s.Transitions {
		m.Transitions = append(m.Transitions, t.mapped(t.Side, t.Bottom, point))
	}
	return m
}

// Stand is the section as a probe sees it that stands at X < 0 on its top wall:
// depths are counted from the wall under it, and Thickness is the depth of the
// other wall beside the weld on its side. It returns how much deeper than depth 0
// that wall lies too. A probe on a slope is taken to stand where the wall is
// level behind it; Rests tells whether it does.
func (s *Section) Stand(x si.Length) (seen *Section, deeper si.Length) {
	if len(s.Top.Corners)+len(s.Bottom.Corners) == 0 {
		return s, 0
	}
	deeper = beside(s.Wall(false).Levels, x).Z
	seen = s.DepthsFrom(deeper)
	if seen == s {
		copied := *s
		seen = &copied
	}
	seen.Thickness = beside(seen.Wall(true).Levels, 0).Z
	return seen, deeper
}

// Rests returns the level stretch on which a probe stands whose wedge begins at
// x, and whether all of it does, back to the place given.
func (s *Section) Rests(x, back si.Length) (Level, bool) {
	l := beside(s.Wall(false).Levels, x)
	return l, l.From <= back+levelNoise && x <= l.To+levelNoise
}

// beside is the last of the stretches that begins before x.
func beside(levels []Level, x si.Length) Level {
	last := levels[0]
	for _, l := range levels {
		if l.From < x {
			last = l
		}
	}
	return last
}

// Meets returns where a ray from a place, of the given angle to the normal of
// the surfaces, meets a wall: the bottom, going down, or the top, going up. turns
// is true where it may turn there; where it meets none, it ends at the outer face
// of the flange, or, from that, at the end of the volume.
func (s *Section) Meets(from Point, angle si.Angle, down bool) (at Point, turns bool) {
	dx, dz := si.Length(angle.Sin()), si.Length(angle.Cos())
	if !down {
		dz = -dz
	}
	nearest := math.Inf(1)
	meet := func(a, b Point, plain bool) {
		ex, ez := b.X-a.X, b.Z-a.Z
		det := float64(dx*ez - dz*ex)
		along := float64((a.X-from.X)*ez-(a.Z-from.Z)*ex) / det
		share := float64((a.X-from.X)*dz-(a.Z-from.Z)*dx) / det
		if det != 0 && along > levelNoise && along < nearest && share >= 0 && share <= 1 {
			nearest, turns = along, plain
			at = Point{from.X + si.Length(along)*dx, from.Z + si.Length(along)*dz}
		}
	}
	const far = 1000 // metres, more than any part is long
	end := func(x si.Length) si.Length { return max(-far, min(far, x)) }
	w := s.Wall(down)
	for _, l := range w.Levels {
		meet(Point{end(l.From), l.Z}, Point{end(l.To), l.Z}, true)
	}
	for i := 1; i < len(w.Corners); i++ {
		if a, b := w.Corners[i-1], w.Corners[i]; a.Z != b.Z {
			meet(a, b, false)
		}
	}
	if s.through > 0 && (at.Z > s.through || math.IsInf(nearest, 1)) {
		return Point{from.X + (s.through-from.Z)*dx/dz, s.through}, false
	}
	if f := s.Flange; f != nil && math.IsInf(nearest, 1) {
		return Point{f.Outer, from.Z + (f.Outer-from.X)*dz/dx}, false
	}
	if s.Flange != nil || s.through > 0 {
		turns = turns && slices.ContainsFunc(s.Plain(down), func(l Level) bool { return l.From <= at.X && at.X <= l.To })
	}
	return at, turns
}
