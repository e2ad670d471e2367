package technique

import (
	"fmt"
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// What is other around a pipe than in a plate. A stand with a bend looks along a
// section that is a piece of a ring; X is the arc along its scan surface.

// shaped returns where an element of a wedge that is built on the level stands
// when its contact face is shaped to the surface. The level touches the surface
// where the ray from the middle of the array, square to it, enters the part: there
// the wedge's angle and heights hold as they are stated, and beside it the surface
// falls away under the level, or rises over it.
//
//	s₀ = −(a + R asin(u_f / R)), a the arc from the centreline to the wedge front, u_f the way to the front
//
// Valid: |u_f| < |R|, and as overLevel; NaN otherwise.
// Source: geometry of a circle; the choice of where the level touches is a
// convention. Checked in the plane in bent_test.go.
func (s stand) shaped(along, height si.Length) coverage.Emitter {
	front := s.touch()
	return overLevel(s.bend(), -s.front-onArc(s.bend(), front), along+front, height)
}

// overLevel returns where a place stands over a surface that is so far along a
// level, and so far above it, which touches the surface at an arc s₀; a flat surface
// is its own level.
//
//	X = s₀ + R atan(u / (R + v)),  h = √((R + v)² + u²) − R
//
// u is the way along the level, v the height over it. R is negative seen from
// inside, and so is the root.
// Valid: v < |R| from inside; NaN otherwise.
// Source: own derivation, geometry of a circle. Checked in the plane in
// bent_test.go and single_round_test.go.
func overLevel(radius, at, along, height si.Length) coverage.Emitter {
	if radius == 0 {
		return coverage.Emitter{X: at + along, Height: height}
	}
	r, u := float64(radius), float64(along)
	above := r + float64(height)
	e := coverage.Emitter{
		X:      at + si.Length(r*math.Atan(u/above)),
		Height: si.Length(math.Copysign(math.Hypot(u, above), r) - r),
	}
	if !(above*r > 0) {
		e.X = si.Unknown[si.Length]()
	}
	return e
}

// onArc is the arc of a round surface, from where a level touches it, to the foot
// of a place so far along the level that is square to the level; the same length
// where the surface is flat.
//
//	R asin(u / R)
//
// Valid: |u| ≤ |R|; NaN otherwise.
// Source: geometry of a circle.
func onArc(radius, along si.Length) si.Length {
	if radius == 0 {
		return along
	}
	return radius * si.Length(math.Asin(float64(along/radius)))
}

// touch is how far behind the wedge front, along the level, the level touches the
// surface.
func (s stand) touch() si.Length {
	half := s.probe.Pitch * si.Length(s.probe.Elements-1) / 2
	height := s.wedge.FirstElementHeight + half*si.Length(s.wedge.Angle.Sin())
	return s.wedge.FrontDistance - half*si.Length(s.wedge.Angle.Cos()) - height*si.Length(s.wedge.Angle.Tan())
}

// level is where the level touches the surface, along it; not known of a flat
// surface, which it touches everywhere.
func (s stand) level() si.Length {
	if s.bend() == 0 {
		return si.Unknown[si.Length]()
	}
	return s.shaped(-s.touch(), 0).X
}

// bend is the signed radius of the scan surface, zero where the section is flat.
func (s stand) bend() si.Length { return s.course.Part.Radius }

// over is the course of the stand over so many legs.
func (s stand) over(legs int) *ray.Course {
	c := s.course
	c.Legs = ray.Waves(c.Legs[0], legs)
	return &c
}

// turn is the depth at which the ray of a refracted angle turns before it comes to
// the other wall, zero where it comes there.
func (s stand) turn(angle si.Angle) si.Length { return turnIn(&s.course.Part, angle) }

// turnIn is the depth at which a ray that enters a part under a refracted angle
// turns before it comes to the other wall, zero where it comes there.
//
//	R (1 − sin α), where sin α > r / R
//
// Source: the ray is square to the radius there; published case P151.
func turnIn(part *ray.Part, angle si.Angle) si.Length {
	r := part.Radius
	if !(r > 0) || !(angle.Sin() > float64(1-part.Thickness()/r)) {
		return 0
	}
	return r * si.Length(1-angle.Sin())
}

// atWall is the angle at which a beam of a refracted angle meets the opposite face,
// from the normal there: 90° where it turns before.
//
//	sin γ = R sin α / (R − t); γ = α where the walls are flat
//
// Source: geometry of a ray between two circles; published cases P148 to P150.
func (g *Group) atWall(angle si.Angle) si.Angle {
	r := g.Part.Radius
	if r == 0 {
		return angle
	}
	return si.Angle(math.Asin(math.Min(1, float64(r/(r-g.Part.Thickness()))*angle.Sin())))
}

// follow returns how far a ray of a refracted angle goes, over so many legs at
// most, until it has passed X = right: its path in the part, and the depth counted
// over the legs. One that turns is followed to where it does.
func (s stand) follow(angle si.Angle, legs int, right si.Length) (path, unfolded si.Length) {
	turn := s.turn(angle) * (1 - 1e-9)
	if turn > 0 {
		legs = 1
	}
	c := s.over(legs)
	r := c.Leave(s.centre(), angle)
	if !(r.Entry() < right) {
		return 0, 0
	}
	for leg := 1; leg <= legs; leg++ {
		from, to := c.Wall(leg-1), c.Wall(leg)
		begin := from
		if turn > 0 {
			to = turn
		}
		if r.X(leg, to) > right {
			// Halve the leg until its place at right is known.
			for range 60 {
				if middle := (from + to) / 2; r.X(leg, middle) <= right {
					from = middle
				} else {
					to = middle
				}
			}
			legs = leg
		}
		path, unfolded = r.Path(leg, to), unfolded+si.Length(math.Abs(float64(to-begin)))
	}
	return path, unfolded
}

// legAt is the leg, and the depth on it, at a depth counted over the legs.
func (s stand) legAt(unfolded si.Length) (leg int, z si.Length) {
	t := s.course.Part.Thickness()
	leg = max(1, int(math.Ceil(float64(unfolded/t)-1e-9)))
	z = unfolded - si.Length(leg-1)*t
	if leg%2 == 0 {
		z = t - z
	}
	return leg, z
}

// pathAt is the path of a ray to a depth that is counted over the legs; NaN where
// it turns before.
func (s stand) pathAt(angle si.Angle, unfolded si.Length) si.Length {
	leg, z := s.legAt(unfolded)
	return s.over(leg).Leave(s.centre(), angle).Path(leg, z)
}

// bentFocus are the delays that bring the elements' pulses together at a path
// along the central ray of an angle; all NaN where the ray turns before.
func (s stand) bentFocus(angle si.Angle, path si.Length) []si.Time {
	low, high := si.Length(0), 20*s.course.Part.Thickness()
	for range 60 {
		if middle := (low + high) / 2; s.pathAt(angle, middle) < path {
			low = middle
		} else {
			high = middle
		}
	}
	leg, z := s.legAt(high)
	c := s.over(leg)
	return c.Focus(s.active(1), c.Leave(s.centre(), angle).X(leg, z), z)
}

// foot is where the end of the contact face lies that is so far behind the wedge
// front along the level. The wedge's ends stand square to the level.
func (s stand) foot(behind si.Length) si.Length {
	return onArc(s.bend(), s.touch()-behind) - onArc(s.bend(), s.touch()) - s.front
}

// jointOnRing reports a joint that could be cut in a plate, and not in so small a
// pipe.
func (s *sheet) jointOnRing() {
	flat := s.Job.Part
	flat.Kind = "plate"
	if !s.Job.Part.Longitudinal() || s.Section.Known() || !si.Known(flat.OutsideDiameter) || !geometry.New(&flat).Known() {
		return
	}
	s.problem("part.outside_diameter", "joint-off-pipe", "the edges of the joint do not reach both surfaces of so small a pipe",
		s.mm(flat.OutsideDiameter, si.Nearest), "a ring in which the preparation can be cut", "check outside_diameter, thickness and the preparation, and their units")
}

// offTheRing reports a wedge that reaches past a pipe, or is too long for its bore.
func (s *sheet) offTheRing(g *Group, st stand) bool {
	if st.bend() == 0 || !si.Known(g.Wedge.Length) || si.Known(st.foot(0)) && si.Known(st.foot(g.Wedge.Length)) {
		return false
	}
	s.offPipe(g, "equipment.wedges."+g.Wedge.Name+".length", g.Wedge.Length)
	return true
}

func (s *sheet) offPipe(g *Group, path string, length si.Length) {
	limit := 2 * si.Length(math.Abs(float64(g.Part.Radius)))
	s.problem(path, "wedge-off-pipe",
		fmt.Sprintf("the wedge of group %s does not lie on the surface with both its ends", g.Set.Name),
		s.mm(length, si.Nearest), "both ends on the circle of "+s.mm(limit, si.Down)+" diameter",
		"choose a shorter wedge, or check front_distance and length, and their units")
}

// neverBack reports beams that are to be turned at the inner wall, and turn before.
func (s *sheet) neverBack(g *Group, key string, angle si.Angle) bool {
	if g.legs() < 2 || turnIn(&g.Part, angle) == 0 {
		return false
	}
	limit := acoustics.PipeLargestAngle(s.Job.Part.OutsideDiameter, s.Job.Part.Thickness)
	s.problem(key, "never-reaches-wall",
		fmt.Sprintf("no beam of group %s reaches the inner wall, so that none has a second leg", g.Set.Name),
		deg(angle, si.Nearest), "at most "+deg(limit, si.Down)+", which just touches the inner wall of this pipe",
		"use smaller angles, scan from the inside, or keep to legs: [1]")
	return true
}

// steered is the angle in the wedge, from the array's normal, of the ray from the
// middle of the aperture that has a refracted angle.
func (s stand) steered(angle si.Angle) si.Angle {
	return s.off(s.course.Leave(s.centre(), angle))
}

// off is the angle from the array's normal at which a ray leaves the middle of the
// aperture.
//
//	θ = θ_e − (X − s₀) / R − ω
//
// θ_e is the ray's angle at the array from the radius through its place, and (X −
// s₀) / R how far that leans against the radius where the wedge touches.
// Source: own derivation; flat, θ = asin(c_w sin α / c) − ω. Checked in the plane
// in bent_test.go.
func (s stand) off(r ray.Ray) si.Angle { return r.AtElement() - s.lean() - s.wedge.Angle }

// lean is the angle between the radius through the middle of the aperture and that
// where the wedge touches; none where the surface is flat.
func (s stand) lean() si.Angle {
	if s.bend() == 0 {
		return 0
	}
	return si.Angle((s.centre().X - s.level()) / s.bend())
}

// bentSteer are the delays, even from element to element, that send a plane wave
// through the wedge whose ray from the middle of the aperture has the refracted
// angle.
//
//	Δt = p sin θ / c_w, θ from the array's normal
//
// Source: grating of an array; published case P174 in package acoustics.
func (s stand) bentSteer(angle si.Angle) []si.Time {
	step := float64(s.probe.Pitch) * s.steered(angle).Sin() / float64(s.wedge.Velocity)
	delays := make([]si.Time, s.count)
	for i := range delays {
		n := i
		if step < 0 {
			n = i - s.count + 1 // so that the smallest is zero
		}
		delays[i] = si.Time(float64(n) * step)
	}
	return delays
}

// nearField is what is left of the near field in the part; not known of a shaped
// wedge, which is a lens.
func (s stand) nearField(angle si.Angle) si.Length {
	if s.bend() != 0 {
		return si.Unknown[si.Length]()
	}
	return s.beam(angle).NearField()
}

// What formulas say around a pipe in place of what they say in a plate.
const (
	exitAround      = "x_e = arc from the wedge front back to where the ray enters, Snell's law held at the round surface"
	wedgePathAround = "L_w = straight way from the middle of the aperture to the surface, met at β"
	pathAround      = "s = sum of the straight pieces between the two circles, to the end of the last leg or where the beam leaves the volume or turns before the bore"
	heightAround    = "h = √((R + v)² + u²) − R, v = h_1 + m p sin ω over the level that touches the surface, u from there along it"
	distanceAround  = "d = arc from the wedge front back to the foot, along the radius, of the middle of the aperture"
	firstAround     = "x_1 = arc from the centreline to the foot, along the radius, of element 1"
	steeringAround  = "θ = |angle in the wedge from the array's normal of the ray refracted to α|, the larger of both ends of the range"
)

// around is the formula that holds for the section.
func (s *sheet) around(flat, round string) string {
	if s.Section.Radius() != 0 {
		return round
	}
	return flat
}

// beamWidth states the width of the narrowest beam. A wedge shaped to a pipe is a
// lens, which spreads the beam from outside and gathers it from inside: nothing is
// said of it there.
func (s *sheet) beamWidth(id string, st stand, width si.Angle) {
	if st.bend() != 0 {
		return
	}
	s.angle(id+"beam_width", "Δθ", "width of the narrowest beam between its echo −6 dB edges", width, how{
		formula: "Δθ = 2 asin(0.442 λ / A'), A' the aperture as the part sees it", inputs: []string{id + "wavelength", id + "aperture"},
		source: "directivity of a strip, −3 dB one way; far field"})
}

// roundValues states how beams go around a pipe, where the wall is met at another
// angle than the one at which it is left.
func (s *sheet) roundValues(id string, g *Group, st stand) {
	s.reachAngle(id, g)
	angles := []si.Angle{g.Angles.From, g.drawn(st)[1], g.Angles.To}
	for i, angle := range angles {
		if i > 0 && angle == angles[i-1] {
			continue
		}
		at := id + "round." + LossEnds()[i] + "."
		s.angle(at+"angle", "α_n", "refracted angle at the scanned surface", angle, how{of: "ray of " + deg(angle, si.Nearest),
			formula: "α_1, α or α_2", inputs: []string{id + "angle_from", id + "middle_angle", id + "angle_to"}, source: "own choice"})
		if run, length, ok := s.roundLeg(at, g, angle); ok && i == 1 {
			s.roundSkips(id, at, "at the middle angle", g, run, length)
		}
	}
}

// reachAngle states up to which angle beams from the outside come to the bore.
func (s *sheet) reachAngle(id string, g *Group) {
	if g.Part.Radius < 0 {
		return
	}
	s.angle(id+"reach_angle", "α_w", "largest refracted angle whose ray still reaches the inner wall", acoustics.PipeLargestAngle(s.Job.Part.OutsideDiameter, s.Job.Part.Thickness), how{
		formula: "sin α_w = 1 − 2 t / D", inputs: []string{"part.outside_diameter", "part.thickness"}, side: si.Down, source: roundSource})
}

const roundRadii = ", R = D / 2, r = R − t"

// roundLeg states how the ray of a refracted angle, which is stated already, goes
// over one leg; false where it turns before the other wall.
func (s *sheet) roundLeg(at string, g *Group, angle si.Angle) (run, length si.Length, ok bool) {
	inside := g.Part.Radius < 0
	sine, path, arc, other := "sin γ = R sin α / r", "s_w = R cos α − √(r² − R² sin² α)", "s_½ = R (γ − α)", "inner"
	if inside {
		sine, path, arc, other = "sin γ = r sin α / R", "s_w = √(R² − r² sin² α) − r cos α", "s_½ = r (α − γ)", "outer"
	}
	of := "ray of " + deg(angle, si.Nearest)
	from := []string{at + "angle", "part.outside_diameter", "part.thickness"}
	if turn := turnIn(&g.Part, angle); turn > 0 {
		s.length(at+"turn", "z_t", "depth at which the ray turns: it never reaches the inner wall", turn, how{of: of,
			formula: "z_t = R (1 − sin α_n)" + roundRadii, inputs: from, side: si.Down, source: roundSource})
		return 0, 0, false
	}
	t := s.Job.Part.Thickness
	c := ray.Course{Part: g.Part, Legs: ray.Waves(g.Sent(), 1)}
	r := c.Leave(ray.Element{}, angle)
	run, length = r.X(1, t), r.Path(1, t)
	if !si.Known(length) {
		return 0, 0, false
	}
	s.angle(at+"wall_angle", "γ", "angle at the "+other+" wall, from its normal", r.Angle(1, t), how{of: of, formula: sine + roundRadii, inputs: from, source: roundSource})
	s.length(at+"path", "s_w", "sound path of one leg", length, how{of: of, formula: path + roundRadii, inputs: from, source: roundSource})
	s.share(at+"excess", "k_s", "by how much it is longer than in a plate; negative where it is shorter", si.Ratio(length/acoustics.LegPath(t, angle)-1), how{of: of,
		formula: "k_s = s_w cos α_n / t − 1", inputs: []string{at + "path", at + "angle", "part.thickness"}, source: "geometry"})
	s.length(at+"half_skip", "s_½", "half skip, along the scanned surface", run, how{of: of, formula: arc + roundRadii, inputs: from, source: roundSource})
	if !inside {
		s.share(at+"wall_limit", "t/D", "largest thickness over diameter at which this angle reaches the inner wall", acoustics.PipeThickest(angle), how{of: of,
			formula: "t/D = (1 − sin α_n) / 2", inputs: []string{at + "angle"}, side: si.Down, source: roundSource})
	}
	return run, length, true
}

// roundSkips states the skips of a group around a pipe, from those of one leg.
func (s *sheet) roundSkips(id, at, which string, g *Group, run, length si.Length) {
	arc, skip := "s_½ = R (γ − α)", "s_1 = 2 R (γ − α)"
	if g.Part.Radius < 0 {
		arc, skip = "s_½ = r (α − γ)", "s_1 = 2 r (α − γ)"
	}
	from := []string{at + "angle", "part.outside_diameter", "part.thickness"}
	s.length(id+"half_skip", "s_½", "half skip, along the scanned surface", run, how{of: which, formula: arc + roundRadii, inputs: from, source: roundSource})
	s.length(id+"full_skip", "s_1", "full skip, along the scanned surface", 2*run, how{of: which, formula: skip + roundRadii, inputs: from, source: roundSource})
	s.length(id+"v_path", "s_V", "sound path of two legs", 2*length, how{of: which, formula: "s_V = 2 s_w", inputs: []string{at + "path"}, source: roundSource})
}

const roundSource = "geometry of the triangle of exit point, place at the wall and axis; " + krautkramer

// blockPath is the sound path in the block to a reflector on a leg, at an angle
// or, where that does not come there, at the largest that does. A curved block is
// scanned as the part is: on its outside, or on its inside where all groups are.
func (s *sheet) blockPath(block *schema.Block, leg int, depth si.Length, angle si.Angle) si.Length {
	flat := ray.Unfold(leg, depth, block.Thickness) / si.Length(angle.Cos())
	if s.Section.Radius() == 0 || !si.Known(block.Diameter) {
		return flat
	}
	c := ray.Course{Part: ray.Plate(block.Thickness, acoustics.Medium{Longitudinal: 1, Transverse: 1}), Legs: ray.Waves(acoustics.Transverse, leg)}
	c.Part.Radius = block.Diameter / 2
	if len(s.Groups) > 0 && s.Groups[0].Part.Radius < 0 {
		c.Part.Radius = -c.Part.Radius
	}
	return c.Leave(ray.Element{}, min(angle, c.Limit(ray.Element{}, leg, depth))).Path(leg, depth)
}
