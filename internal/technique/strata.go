package technique

import (
	"fmt"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// clad reports a group of single-element probes on a clad part.
func (s *sheet) clad(set *schema.Group) bool {
	if s.Job.Part.Cladding == nil {
		return false
	}
	s.problem("groups."+set.Name+".method", "cladding-not-computed", "group "+set.Name+" is computed for one metal, and the part is clad",
		set.Method, "sectorial, linear or tfm, through which rays are followed into the cladding",
		"use another method for this part, or show on a clad block what this one makes of it and keep it out of this technique")
	return true
}

// layers states the coating and the cladding of the part.
func (s *sheet) layers() {
	if c := s.Job.Part.Coating; c != nil {
		s.add("part.coating.thickness", "t_k", "thickness of the coating on the scanning surface", float64(c.Thickness), si.KindLength, step, given())
		s.sound("part.coating.longitudinal", "c_k", "longitudinal velocity in the coating", c.Longitudinal, given())
	}
	if c := s.Job.Part.Cladding; c != nil {
		s.length("part.cladding.thickness", "t_p", "thickness of the cladding, part of the thickness", c.Thickness, given())
		s.sound("part.cladding.longitudinal", "c_pL", "longitudinal velocity in the cladding", c.Longitudinal, given())
		s.sound("part.cladding.transverse", "c_pT", "transverse velocity in the cladding", c.Transverse, given())
		if si.Known(c.Density) {
			s.add("part.cladding.density", "ρ_p", "density of the cladding", float64(c.Density), si.KindDensity, densities, given())
		}
		if si.Known(c.AttenuationAt) {
			s.frequency("part.cladding.attenuation_at", "f_pa", "frequency of the attenuation in the cladding", c.AttenuationAt, megahertz, given())
			for _, one := range []struct {
				a            si.Attenuation
				wave, symbol string
			}{{c.LongitudinalAttenuation, "longitudinal", "a_pL"}, {c.TransverseAttenuation, "transverse", "a_pT"}} {
				if si.Known(one.a) {
					s.add("part.cladding.attenuation_"+one.wave, one.symbol, "attenuation of "+one.wave+" waves in the cladding", float64(one.a), si.KindAttenuation, damping, given())
				}
			}
		}
	}
}

// entry adds to the formula of an exit point, and its inputs, what a coating does.
func (g *Group) entry(formula string, inputs ...string) (string, []string) {
	if g.Coating.Thickness > 0 {
		return formula + " − t_k tan γ, sin γ = (c_k / c) sin α", append(inputs, "part.coating.thickness", "part.coating.longitudinal")
	}
	return formula, inputs
}

// layerValues states what coating and cladding do to the ray at the middle angle.
func (s *sheet) layerValues(id string, g *Group, st stand) {
	if g.Part.Radius != 0 {
		return
	}
	middle := g.drawn(st)[1]
	if c := g.Coating; c.Thickness > 0 {
		if inside := acoustics.Refract(middle, g.PartSpeed, c.Speed); si.Known(inside) {
			from := []string{"part.coating.thickness", "part.coating.longitudinal", id + "middle_angle"}
			s.add(id+"coating_shift", "Δx_k", "by how much the coating moves the ray of the middle angle forward", float64(c.Thickness)*inside.Tan(), si.KindLength, step, how{
				formula: "Δx_k = t_k tan γ, sin γ = (c_k / c) sin α", inputs: from, source: snell})
			s.time(id+"coating_delay", "Δt_k", "time in the coating, one way, at the middle angle", si.Time(float64(c.Thickness)/float64(c.Speed)/inside.Cos()), micros, how{
				formula: "Δt_k = t_k / (c_k cos γ)", inputs: from, source: snell})
		}
	}
	clad := s.Job.Part.Cladding
	if clad == nil {
		return
	}
	speed := g.Part.Strata[1-g.Part.Base].Speed(g.Sent())
	which := "part.cladding." + waveWord(g.Sent() == acoustics.Longitudinal)
	inside := acoustics.Refract(middle, g.PartSpeed, speed)
	if !si.Known(inside) {
		return
	}
	from := []string{"part.cladding.thickness", which, id + "middle_angle"}
	s.angle(id+"cladding_angle", "γ_p", "angle in the cladding of the ray of the middle angle", inside, how{
		formula: "sin γ_p = (c_p / c) sin α", inputs: from, source: snell})
	s.add(id+"cladding_shift", "Δx_p", "by how much the cladding moves the ray of the middle angle forward, each time it is crossed", float64(clad.Thickness)*(inside.Tan()-middle.Tan()), si.KindLength, step, how{
		formula: "Δx_p = t_p (tan γ_p − tan α)", inputs: append([]string{id + "cladding_angle"}, from...), source: "geometry and " + snell})
	delay := float64(clad.Thickness) * (1/float64(speed)/inside.Cos() - 1/float64(g.PartSpeed)/middle.Cos())
	s.time(id+"cladding_delay", "Δt_p", "by how much longer it is on its way than in as much base metal, each time", si.Time(delay), micros, how{
		formula: "Δt_p = t_p / (c_p cos γ_p) − t_p / (c cos α)", inputs: append([]string{id + "cladding_angle"}, from...), source: "geometry and " + snell})
}

// steepest is how far from the normal a wave may run that a wall turns into the
// other kind, or has turned: nearer to the wall almost nothing is converted. Own
// convention.
const steepest = 80 * si.Degree

// open is the largest refracted angle of a course at which no such leg runs steeper
// than the convention, from wall to wall.
func open(c ray.Course) si.Angle {
	limit := 90 * si.Degree
	for leg := 2; leg <= len(c.Legs); leg++ {
		if c.Legs[leg-1] != c.Legs[leg-2] {
			limit = min(limit, c.Within(leg-1, steepest), c.Within(leg, steepest))
		}
	}
	return limit
}

// converted narrows the angles of a group to those whose waves change their kind
// as its path asks, and reports a path on which none does.
func (s *sheet) converted(g *Group) bool {
	if !g.converts() {
		return true
	}
	out, back := g.ways()
	for _, way := range []struct {
		course ray.Course
		angles *schema.AngleRange
		says   string
	}{{out, &g.Angles, "out"}, {back, &g.Heard, "back"}} {
		permitted, limit := *way.angles, open(way.course)
		if !si.Known(limit) {
			return false // a velocity that is not known was reported when the job was read
		}
		way.angles.From, way.angles.To = max(permitted.From, -limit), min(permitted.To, limit)
		if !(way.angles.From < way.angles.To) {
			s.problem("groups."+g.Set.Name+".path", "path-not-open",
				fmt.Sprintf("at the angles of wedge %s no wave changes its kind as the way %s of path %s asks", g.Wedge.Name, way.says, g.Set.Path),
				g.Set.Path, "refracted angles below "+deg(limit, si.Down)+", at which the faster wave still leaves the wall; the wedge permits "+deg(permitted.From, si.Nearest)+" to "+deg(permitted.To, si.Nearest),
				"choose a wedge for steeper waves, or a path whose waves keep their kind")
			return false
		}
	}
	if waves, limit := g.waves(), open(out); len(waves) > 0 && waves[len(waves)-1] > limit {
		s.problem("groups."+g.Set.Name+".transmission.to", "path-not-open",
			fmt.Sprintf("not every plane wave of group %s changes its kind as the way out of path %s asks", g.Set.Name, g.Set.Path),
			deg(waves[len(waves)-1], si.Nearest), "refracted angles of at most "+deg(limit, si.Down),
			"let the last wave be no steeper than that")
		return false
	}
	return true
}

// Leg is one leg of the ray from the middle of the array to the middle of the
// region imaged, where a path has both kinds of wave.
type Leg struct {
	Way, Wave string // out, back, counted from the probe; longitudinal, transverse
	ID        string // of its values
}

// legValues states the legs of a path on which waves change their kind. What a wall
// sends on is decided in the metal that lies there.
func (s *sheet) legValues(id string, g *Group, st stand) {
	if !g.converts() {
		return
	}
	r := g.Set.Region
	x, z := (r.Far-r.Near)/2, (r.Top+r.Bottom)/2
	slow := s.speeds(g)
	out, back := g.ways()
	for _, way := range []struct {
		name   string
		course ray.Course
	}{{"out", out}, {"back", back}} {
		path, time := way.course.To(st.centre(), x, z)
		if !si.Known(time) {
			continue
		}
		before, pieces := si.Length(0), path.Pieces(len(way.course.Legs), z)
		for leg, wave := range way.course.Legs {
			end := way.course.Wall(leg + 1)
			last := leg+1 == len(way.course.Legs)
			if last {
				end = z
			}
			one := Leg{Way: way.name, Wave: waveWord(wave == acoustics.Longitudinal), ID: fmt.Sprintf("legs.%s.%d.", way.name, leg+1)}
			g.Legs = append(g.Legs, one)
			at := id + one.ID
			of := fmt.Sprintf("leg %d of the way %s, %s", leg+1, way.name, one.Wave)
			angle := acoustics.Refract(path.Refracted(), way.course.Speed(1), way.course.Speed(leg+1))
			if st.bend() != 0 {
				angle = upright(path.Angle(leg+1, end))
			}
			s.angle(at+"angle", "α_j", s.around("angle in the base metal", "angle, where the leg ends,")+" of the ray from the middle of the array to the middle of the region", angle, how{of: of,
				formula: s.around("sin α_j / c_j the same on all legs", "r sin α_j / c_j the same on all legs") + ", least time from element to place", inputs: slow, source: "Fermat's principle; " + snell})
			length := path.Path(leg+1, end)
			s.length(at+"path", "s_j", "sound path", length-before, how{of: of,
				formula: s.around("s_j = Δz / cos α_j, summed over the metals crossed", "s_j = the straight piece between the two circles"), inputs: []string{at + "angle"}, source: "geometry"})
			before = length
			if last {
				break
			}
			var wall ray.Piece
			for _, p := range pieces {
				if p.Leg == leg+1 {
					wall = p
				}
			}
			metal := g.Part.Strata[wall.Stratum].Medium
			kept, other := acoustics.FreeSurfaceReflection(wave, upright(wall.Meets), metal.Longitudinal, metal.Transverse)
			if next := way.course.Legs[leg+1]; next != wave {
				kept = other
			}
			if si.Known(kept) {
				s.share(at+"sent_on", "R_j", "amplitude that the wall sends on as the next leg, over what meets it", kept, how{of: of,
					formula: "as for the reflection at a free surface of the metal that lies there, of the kind of wave of the next leg",
					inputs:  append([]string{at + "angle"}, slow...), source: achenbach, side: si.Down})
			}
		}
		s.time(id+"legs."+way.name+".time", "T", "time of the whole ray", time, micros, how{of: "way " + way.name,
			formula: "T = L_w / c_w + Σ s_j / c_j", inputs: []string{id + "wedge_velocity"}, source: "Fermat's principle"})
	}
}
