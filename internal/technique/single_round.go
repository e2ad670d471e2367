package technique

import (
	"fmt"
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/field"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// What is other for a single-element probe around a pipe. Its contact face, flat
// or shaped, touches the surface where the axis enters the part, and there the
// axis has the angle that the job states.

// WayStep is one line of the table that turns a sound path around a pipe into a
// place.
type WayStep struct {
	Leg         int
	Depth, Path si.Length // depth from the scanned surface
	Along       si.Length // from the exit point, along the scanned surface
	PlateDepth  si.Length // what an instrument shows that is set for a plate of the same thickness
	PlateAlong  si.Length
}

// aloft is the radius at which the sound of an angled probe begins, over that of
// the scanned surface: r sin β / c is the same everywhere on a ray, so that to the
// part the wedge seems to be slower or faster by this ratio.
func (g *Group) aloft() si.Ratio {
	if g.Part.Radius == 0 {
		return 1
	}
	return 1 + si.Ratio(g.emitterAt(0).Height/g.Part.Radius)
}

// edgeAround says what is other in the formula of an edge around a pipe.
const edgeAround = ", sin β' = sin β / k, k = √(1 ± 2 v / R + (L_w / R)²), v = L_w cos β: the element's radius over that of the scanned surface, + from outside"

// singleOffPipe reports a contact face that reaches past a pipe, or is too long
// for its bore.
func (s *sheet) singleOffPipe(g *Group, o *Single) bool {
	if g.Part.Radius == 0 || si.Known(g.rear(0)) {
		return false
	}
	s.offPipe(g, "equipment.single_probes."+o.Probe.Name+".length", o.Probe.Length)
	return true
}

// singleAround states how the axis of an angled probe goes around a pipe, with the
// table of places over its sound path, and returns the longest sound path used.
func (s *sheet) singleAround(id string, g *Group) si.Length {
	o, t := g.Single, s.Job.Part.Thickness
	at := id + "round.middle."
	s.reachAngle(id, g)
	s.angle(at+"angle", "α_n", "refracted angle at the scanned surface", o.Probe.Angle, how{
		formula: "α_n = α", inputs: []string{id + "nominal_angle"}, source: "definition"})
	run, path, ok := s.roundLeg(at, g, o.Probe.Angle)
	legs := g.legs()
	g.Deepest = t * si.Length(legs)
	inputs, formula := []string{at + "path"}, fmt.Sprintf("s = %d s_w, to the end of the last leg", legs)
	if ok {
		s.roundSkips(id, at, "", g, run, path)
		path *= si.Length(legs)
	} else {
		g.Deepest = turnIn(&g.Part, o.Probe.Angle)
		path = g.Part.Radius * si.Length(o.Probe.Angle.Cos())
		inputs, formula = []string{"part.outside_diameter", id + "nominal_angle"}, "s = D / 2 · cos α, to where the axis turns"
	}
	s.length(id+"path", "s", "longest sound path used", path, how{formula: formula, inputs: inputs, side: si.Up, source: roundSource})
	s.lean(id, g)
	s.way(id, g)
	return path
}

// lean states by how much a flat face in a bore leans: it stands on both its ends,
// and only in its middle is it level with the surface.
//
//	δ = |asin((b / 2 − l_f) / r)|
//
// Source: the chord of a circle is square to the radius through its middle.
func (s *sheet) lean(id string, g *Group) {
	p := g.Single.Probe
	if g.Part.Radius > 0 || si.Known(p.Contour) {
		return
	}
	s.angle(id+"lean", "δ", "angle by which the flat face leans against the bore at the exit point: zero where that lies in the middle of the face", si.Angle(math.Abs(math.Asin(float64((p.Length/2-p.FrontDistance)/g.Part.Radius)))), how{
		formula: "δ = |asin((b / 2 − l_f) / (D / 2 − t))|", inputs: []string{id + "wedge_length", id + "front_distance", "part.outside_diameter", "part.thickness"}, side: si.Up, source: "geometry of a chord"})
}

// waySteps is into how many steps of depth the table cuts a leg.
const waySteps = 4

// way states where the axis is over its sound path: depth, and way along the
// scanned surface from the exit point.
//
//	leg 1: s = R cos α − √(ρ² − R² sin² α), x = R (γ − α), sin γ = R sin α / ρ, ρ the radius of the place
//	leg 2: s = 2 s_w − s₁, x = 2 s_½ − x₁, of the same depth on leg 1; leg 3: s = 2 s_w + s₁, x = 2 s_½ + x₁
//
// R is the radius of the scanned surface; from inside both signs are reversed.
// Valid: depths that the axis comes to.
// Source: as roundLeg; in the plane in single_round_test.go.
func (s *sheet) way(id string, g *Group) {
	o, t := g.Single, s.Job.Part.Thickness
	c := g.singleCourse(g.legs())
	r := c.Leave(ray.Element{}, o.Probe.Angle)
	deepest := t
	if turn := turnIn(&g.Part, o.Probe.Angle); turn > 0 {
		deepest = turn * (1 - 1e-12)
	}
	from := []string{id + "nominal_angle", "part.outside_diameter", "part.thickness"}
	sines, cosine, sine := "√(ρ² − R_s² sin² α)", "R_s cos α", "x = R_s (γ − α)"
	first := "s = " + cosine + " − " + sines
	if g.Part.Radius < 0 {
		first, sine = "s = "+sines+" − "+cosine, "x = R_s (α − γ)"
	}
	const radii = ", R_s the radius of the scanned surface, ρ that of the place"
	for leg := 1; leg <= g.legs(); leg++ {
		for i := 1; i <= waySteps; i++ {
			z := deepest * si.Length(i) / waySteps
			if leg%2 == 0 {
				z = deepest - z
			}
			w := WayStep{Leg: leg, Depth: z, Path: r.Path(leg, z), Along: r.X(leg, z)}
			if !si.Known(w.Path + w.Along) {
				continue
			}
			w.PlateDepth, w.PlateAlong = inPlate(w.Path*si.Length(o.Probe.Angle.Cos()), t), w.Path*si.Length(o.Probe.Angle.Sin())
			o.Way = append(o.Way, w)
			at := fmt.Sprintf("%sway.%d.", id, len(o.Way))
			where := fmt.Sprintf("at a depth of %s on leg %d", s.mm(z, si.Nearest), leg)
			of := func(one, sum string) string {
				switch leg {
				case 1:
					return one + radii
				case 2:
					return sum + " less that of leg 1, " + one + radii
				}
				return sum + " and that of leg 1, " + one + radii
			}
			s.length(at+"depth", "z", "depth from the scanned surface", z, how{of: where, formula: "quarters of a leg", source: "own choice"})
			inputs := append([]string{at + "depth"}, from...)
			s.length(at+"path", "s", "sound path", w.Path, how{of: where, formula: of(first, "2 s_w"), inputs: inputs, source: roundSource})
			s.length(at+"along", "x", "way along the scanned surface from the exit point", w.Along, how{of: where, formula: of(sine+", sin γ = R_s sin α / ρ", "2 s_½"), inputs: inputs, source: roundSource})
			plate := []string{at + "path", id + "nominal_angle", "part.thickness"}
			s.length(at+"plate_depth", "z_p", "depth that a set-up for a plate shows there", w.PlateDepth, how{of: where, formula: "z_p = s cos α, folded between 0 and t", inputs: plate, source: "geometry of a plate"})
			s.length(at+"plate_along", "x_p", "distance that a set-up for a plate shows there", w.PlateAlong, how{of: where, formula: "x_p = s sin α", inputs: plate[:2], source: "geometry of a plate"})
		}
	}
}

// inPlate is the depth in a plate that belongs to one counted over the legs.
func inPlate(unfolded, thickness si.Length) si.Length {
	rest := si.Length(math.Mod(float64(unfolded), float64(2*thickness)))
	return min(rest, 2*thickness-rest)
}

// fits reports whether a contact face is shaped to the surface on which it stands:
// what is left of a gap is less than a tenth of the wavelength in the wedge. Own
// convention. Under a flat face the couplant is a lens, of which nothing is known.
func (g *Group) fits() bool {
	p, on := g.Single.Probe, 2*si.Length(math.Abs(float64(g.Part.Radius)))
	gap := acoustics.WedgeGap(p.Length, on) - acoustics.WedgeGap(p.Length, p.Contour)
	return math.Abs(float64(gap)) <= 0.1*float64(acoustics.Wavelength(p.WedgeVelocity, p.Frequency))
}

// bentBeam is the beam of an angled probe in the section of a pipe; nil where its
// face does not fit the surface, and of a dual probe, whose two beams cross.
func (s *sheet) bentBeam(g *Group) *field.Beam {
	p := g.Single.Probe
	if s.sketch || p.Dual || !g.fits() {
		return nil
	}
	list, one := g.singleSources()
	b, exit, unknown := g.singleBeam(), g.exitAt(g.Single.Near), acoustics.Medium{Density: si.Unknown[si.Density](), Longitudinal: p.WedgeVelocity, Transverse: si.Unknown[si.Speed]()}
	model := field.New(field.Media{
		Wedge: unknown, Part: g.Part, Frequency: p.Frequency, Tilt: b.Tilt, Touch: exit, Element: one,
		InWedge: si.Unknown[si.Attenuation](), Longitudinal: si.Unknown[si.Attenuation](), Transverse: si.Unknown[si.Attenuation](),
	})
	return model.Sources(list, ray.Waves(g.Sent(), g.legs())...).Beam(p.Angle, si.Unknown[si.Length]())
}

// singleSources cuts the element of an angled probe into sources of equal strength
// that lie in the section, half a wavelength apart or closer, and returns the width
// of each. Of a round one the sound of a strip across the section counts by its
// length, so that they are closer in its middle:
//
//	the share of a disc up to u radii: ½ + (u √(1 − u²) + asin u) / π
//
// Source: area of a circle's segment; the edges of both beams far away are held by
// their directivity in single_round_test.go.
func (g *Group) singleSources() (list []ray.Element, one si.Length) {
	o, b, at := g.Single, g.singleBeam(), g.exitAt(g.Single.Near)
	plane, _ := o.element()
	n := max(16, int(math.Ceil(2*float64(plane/acoustics.Wavelength(b.WedgeSpeed, b.Frequency)))))
	sin, cos := si.Length(b.Tilt.Sin()), si.Length(b.Tilt.Cos())
	for i := range n {
		share := (float64(i) + 0.5) / float64(n)
		u := 2*share - 1
		if o.round() {
			low, high := -1.0, 1.0
			for range 50 {
				if u = (low + high) / 2; 0.5+(u*math.Sqrt(1-u*u)+math.Asin(u))/math.Pi < share {
					low = u
				} else {
					high = u
				}
			}
		}
		off := plane / 2 * si.Length(u)
		list = append(list, ray.Element(overLevel(g.Part.Radius, at, off*cos-b.WedgePath*sin, off*sin+b.WedgePath*cos)))
	}
	return list, plane / si.Length(n)
}
