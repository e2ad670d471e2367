package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// stand is a probe and wedge as they stand, in the frame in which all rays are
// computed: the probe at X < 0 on the top surface, looking towards +X.
type stand struct {
	probe *schema.Probe
	wedge *schema.Wedge
	front si.Length // from the centreline back to the wedge front
	first int       // active elements, counted from 0
	count int

	course ray.Course // direct, of the wave sent
	speed  si.Speed   // of that wave in the base metal
}

// element returns the centre of element i, counted from 0: the array rises
// towards the front at the wedge's angle.
func (s stand) element(i int) coverage.Emitter { return s.onArray(si.Length(i)) }

// centre returns the middle of the active aperture.
func (s stand) centre() coverage.Emitter {
	return s.onArray(si.Length(s.first) + si.Length(s.count-1)/2)
}

// onArray returns the place so many pitches from the first element.
func (s stand) onArray(pitches si.Length) coverage.Emitter {
	along := s.probe.Pitch * pitches
	forward, up := along*si.Length(s.wedge.Angle.Cos()), along*si.Length(s.wedge.Angle.Sin())
	if s.bend() != 0 {
		return s.shaped(forward-s.wedge.FrontDistance, up+s.wedge.FirstElementHeight)
	}
	return coverage.Emitter{X: -s.front - s.wedge.FrontDistance + forward, Height: s.wedge.FirstElementHeight + up}
}

// active returns the elements of the aperture, every n-th of them.
func (s stand) active(every int) []coverage.Emitter {
	var list []coverage.Emitter
	for i := 0; i < s.count; i += max(1, every) {
		list = append(list, s.element(s.first+i))
	}
	return list
}

// exit returns where the ray of a refracted angle from the aperture's centre
// enters the part, and its path in the wedge.
func (s stand) exit(angle si.Angle) (x, path si.Length) {
	r := s.course.Leave(s.centre(), angle)
	return r.Entry(), r.InWedge()
}

// natural returns the refracted angle of the unsteered beam; NaN past the
// critical angle.
func (s stand) natural() si.Angle {
	return acoustics.Refract(s.wedge.Angle, s.wedge.Velocity, s.speed)
}

// beam returns the central beam of the aperture at a refracted angle.
func (s stand) beam(angle si.Angle) acoustics.Beam {
	_, path := s.exit(angle)
	return acoustics.Beam{
		Aperture:   acoustics.ActiveAperture(s.count, s.probe.Pitch, s.probe.Pitch-s.probe.Gap),
		Tilt:       s.wedge.Angle,
		Angle:      angle,
		WedgePath:  path,
		WedgeSpeed: s.wedge.Velocity,
		PartSpeed:  s.speed,
		Frequency:  s.probe.Frequency,
	}
}

// frame maps what is computed for a probe at X < 0 on the top surface to the
// side and surface on which it really stands.
type frame struct {
	mirrored, flipped bool
	thickness         si.Length
	scale             si.Ratio  // what X of the section is of a length along the surface on which the probe stands
	deeper            si.Length // of the surface under the probe, than that of side A at the weld
	front             si.Length
	flanged           *geometry.Section // the section as drawn, where the probe stands on the flange; nil elsewhere
}

// frameOf is that of a probe whose wedge front stands so far from the
// centreline; unknown, next to the weld.
func frameOf(section *geometry.Section, side, surface string, front si.Length) frame {
	f := frame{mirrored: side == "B", flipped: surface == "bottom", thickness: section.Thickness, scale: 1, front: front}
	if f.flipped {
		f.scale = 1 / section.Scale(section.Thickness)
	}
	if surface == "flange" && section.Flange != nil {
		f.flanged, f.mirrored = section, side == "bottom"
	}
	if !si.Known(front) {
		f.front = 0
	}
	_, f.deeper = f.turned(section).Stand(-f.front)
	return f
}

// turned returns the section with the probe's side and surface where the
// computation has them.
func (f frame) turned(section *geometry.Section) *geometry.Section {
	if f.flipped {
		section = section.Flip()
	}
	if f.flanged != nil {
		section = section.FromFlange()
	}
	if f.mirrored {
		section = section.Mirror()
	}
	return section
}

// local returns the section as the probe sees it.
func (f frame) local(section *geometry.Section) *geometry.Section {
	seen, _ := f.turned(section).Stand(-f.front)
	return seen
}

// point maps a point back to the section as drawn.
func (f frame) point(p geometry.Point) geometry.Point {
	p.Z += f.deeper
	if f.mirrored {
		p.X = -p.X
	}
	if f.flipped {
		p.X, p.Z = p.X*si.Length(f.scale), f.thickness-p.Z
	}
	if f.flanged != nil {
		p = f.flanged.Flange.Drawn(p)
	}
	return p
}

// seen maps a point of the section as drawn to what the probe sees.
func (f frame) seen(p geometry.Point) geometry.Point {
	if f.flanged != nil {
		p = f.flanged.Flange.Seen(p)
	}
	if f.mirrored {
		p.X = -p.X
	}
	if f.flipped {
		p.X, p.Z = p.X/si.Length(f.scale), f.thickness-p.Z
	}
	p.Z -= f.deeper
	return p
}

// flange is that on which the probe stands; nil on another surface.
func (f frame) flange() *geometry.Flange {
	if f.flanged == nil {
		return nil
	}
	return f.flanged.Flange
}

func (f frame) points(list []geometry.Point) []geometry.Point {
	mapped := make([]geometry.Point, len(list))
	for i, p := range list {
		mapped[i] = f.point(p)
	}
	return mapped
}

// rows maps reached stretches back.
func (f frame) rows(r coverage.Rows) coverage.Rows {
	r.Top += f.deeper
	if f.mirrored {
		r = r.Mirror()
	}
	if f.flipped {
		r = r.Flip(f.thickness, f.scale)
	}
	if f.flanged != nil && len(r.Row) > 0 {
		r = r.FromFlange(f.flanged)
	}
	return r
}

// seenRows maps reached stretches of the section as drawn to what the probe sees.
func (f frame) seenRows(r coverage.Rows) coverage.Rows {
	level := f
	level.deeper, level.scale = 0, 1/f.scale
	r = level.rows(r)
	r.Top -= f.deeper
	return r
}

// placement draws the stand in the section: wedge feet, elements, exit point
// and the rays of the given angles on a course.
func (s stand) placement(section *geometry.Section, f frame, side string, course ray.Course, angles []si.Angle) Placement {
	back := -s.front - s.wedge.Length
	if !si.Known(s.wedge.Length) {
		back = -s.front - s.wedge.FrontDistance - s.wedge.FirstElementHeight // only for the drawing
	}
	if s.bend() != 0 {
		back = s.foot(s.wedge.Length)
	}
	local := f.local(section)
	p := Placement{
		Side:   side,
		Scale:  1 / f.scale,
		Flange: f.flange(),
		Front:  f.point(geometry.Point{X: -s.front}),
		Back:   f.point(geometry.Point{X: back}),
		Active: [2]int{s.first + 1, s.first + s.count},
	}
	for i := range s.probe.Elements {
		e := s.element(i)
		p.Elements = append(p.Elements, f.point(geometry.Point{X: e.X, Z: -e.Height}))
	}
	middle := angles[len(angles)/2]
	x, _ := s.exit(middle)
	p.Exit = f.point(geometry.Point{X: x})
	for i, angle := range angles {
		p.Rays = append(p.Rays, Ray{
			Points: f.points(s.ray(local, course, angle)),
			Angle:  angle,
			Edge:   i == 0 || i == len(angles)-1,
		})
	}
	return p
}

// ray follows a refracted angle from the aperture's centre over the legs of a
// course, in the section as the probe sees it, and one that does not exist on a
// leg to where that would begin. Where walls bend it goes from wall to wall, and
// from a slope no further.
func (s stand) ray(local *geometry.Section, course ray.Course, angle si.Angle) []geometry.Point {
	c := s.centre()
	r := course.Leave(c, angle)
	points := []geometry.Point{{X: c.X, Z: -c.Height}}
	if len(local.Top.Corners)+len(local.Bottom.Corners) == 0 {
		return append(points, inPart(&course, r, angle)...)
	}
	at := geometry.Point{X: r.Entry()}
	points = append(points, at)
	for leg := 1; leg <= len(course.Legs); leg++ {
		steep, turns := r.Angle(leg, course.Wall(leg)), false
		if !si.Known(steep) {
			return points
		}
		if at, turns = local.Meets(at, steep, leg%2 == 1); !turns {
			return append(points, at)
		}
		points = append(points, at)
	}
	return points
}

// inPart follows the ray of a refracted angle between even walls, from where it
// enters the part over the legs of its course. One that turns before the bore goes
// on to the outside.
func inPart(course *ray.Course, r ray.Ray, angle si.Angle) []geometry.Point {
	at := geometry.Point{X: r.Entry()}
	points := []geometry.Point{at}
	if turnIn(&course.Part, angle) > 0 {
		return append(points, geometry.Point{X: at.X + 2*course.Part.Radius*(math.Pi/2-si.Length(angle))})
	}
	for leg := 1; leg <= len(course.Legs); leg++ {
		for _, z := range course.Turns(leg) {
			x := r.X(leg, z)
			if !si.Known(x) {
				return points
			}
			points = append(points, geometry.Point{X: x, Z: z})
		}
	}
	return points
}

// middleOf returns the angle halfway between two.
func middleOf(r schema.AngleRange) si.Angle { return (r.From + r.To) / 2 }

// steps lists the angles of a range, both ends included.
func steps(r schema.AngleRange) []si.Angle {
	if !(r.Step > 0 && r.To >= r.From) {
		return nil
	}
	n := int(math.Floor(float64((r.To-r.From)/r.Step)*(1+1e-12)+1e-9)) + 1
	list := make([]si.Angle, n)
	for i := range list {
		list[i] = r.From + r.Step*si.Angle(i)
	}
	return list
}
