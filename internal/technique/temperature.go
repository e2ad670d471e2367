package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Reference is the temperature at which the velocities of a job hold.
const Reference = acoustics.Reference

// TemperatureNames are the temperatures at which a group is looked at, as parts
// of the ids part.temperature.<name> and groups.<group>.temperature.<name>.angle:
// both ends of the job's range and its middle, or one where there is no range.
func (t *Technique) TemperatureNames() []string {
	r := t.Job.Part.Temperature
	switch {
	case !si.Known(r.From) || !si.Known(r.To) || r.From > r.To:
		return nil
	case r.From == r.To:
		return []string{"middle"}
	}
	return []string{"low", "middle", "high"}
}

// temperatures states the temperatures of the job's range.
func (s *sheet) temperatures() {
	r := s.Job.Part.Temperature
	at := map[string]si.Celsius{"low": r.From, "middle": (r.From + r.To) / 2, "high": r.To}
	for _, name := range s.TemperatureNames() {
		h := given()
		if name == "middle" && r.From != r.To {
			h = how{formula: "ϑ = (ϑ_1 + ϑ_2) / 2, the middle of the job's range", source: "own choice"}
		}
		s.add("part.temperature."+name, "ϑ", "temperature of part and wedge", float64(at[name]), si.KindCelsius, celsius, h)
	}
}

// heated is what temperature changes of a group: an axis that no delays turn, and
// the wedge behind it.
type heated struct {
	axis       si.Angle // refracted, at 20 °C
	named      string   // what it is called
	tilt       si.Angle // in the wedge
	axisID, by string   // their values
	wedge      si.Speed
	at         func(si.Celsius) si.Speed // the velocity in the wedge
	how        how
}

// warmth states what temperature does to a group whose delays and velocities
// are set for 20 °C.
func (s *sheet) warmth(id string, g *Group, st stand) {
	h := heated{axis: st.natural(), named: "unsteered beam", tilt: g.Wedge.Angle, axisID: "natural_angle", by: "wedge_angle", wedge: g.Wedge.Velocity,
		at: func(t si.Celsius) si.Speed { return acoustics.SpeedAt(g.Wedge.Velocity, g.Wedge.VelocityChange, t) }}
	if g.Wedge.Medium == "water" {
		h.at = func(t si.Celsius) si.Speed {
			return g.Wedge.Velocity * acoustics.WaterSpeed(t) / acoustics.WaterSpeed(acoustics.Reference)
		}
		h.how = how{formula: "c_w' = c_w C(ϑ) / C(20 °C), C the velocity of pure water", inputs: []string{id + "wedge_velocity"}, source: "W. Marczak, J. Acoust. Soc. Am. 102 (1997) 2776; what is added to the water is taken to change it in proportion"}
	}
	middle := g.drawn(st)[1]
	s.heat(id, g, h, g.Wedge.VelocityChange, func(at, of, part string, d acoustics.Drift) {
		if steep := st.drifted(g.Angles.To, d); g.Set.Method != "tfm" && si.Known(steep) {
			s.angle(at+"steepest", "α_2'", "angle of the last beam at a temperature of the job, its delays those for 20 °C", steep, how{of: of,
				formula: s.around("sin α_2' = (c' / c_w') sin(ω + θ'), sin θ' = (c_w' / c_w) sin θ, θ the steering at 20 °C",
					"sin α_2' = (1 + h / R) (c' / c_w') sin(ω + θ' + ψ), sin θ' = (c_w' / c_w) sin θ, θ the steering at 20 °C, ψ how far the radius through the middle of the array leans"),
				inputs: []string{id + "angle_to", id + "wedge_angle", id + "wedge_velocity", part}, source: snell + "; delays kept"})
		}
		if exit := st.warm(d).Leave(st.centre(), middle).Entry() - st.course.Leave(st.centre(), middle).Entry(); si.Known(exit) {
			s.add(at+"exit", "Δx_e", "shift of the exit point of the middle angle towards the front at a temperature of the job", float64(exit), si.KindLength, digits{"mm", 2, "in", 3}, how{of: of,
				formula: s.around("Δx_e = h (tan β' − tan β), sin β = (c_w / c) sin α", "Δx_e = arc between the places at which the rays of both temperatures enter, Snell's law held at the round surface"),
				inputs:  []string{id + "centre_height", id + "middle_angle", id + "wedge_velocity", part}, source: "geometry and " + snell})
		}
	})
}

// singleWarmth states what temperature does to the axis of an angled probe with one
// element, where the job says how its wedge changes. The axis stands square to the
// element, and keeps its exit point.
func (s *sheet) singleWarmth(id string, g *Group) {
	p := g.Single.Probe
	s.heat(id, g, heated{axis: p.Angle, named: "axis", tilt: g.singleBeam().Tilt, axisID: "nominal_angle", by: "wedge_axis", wedge: p.WedgeVelocity,
		at: func(t si.Celsius) si.Speed { return acoustics.SpeedAt(p.WedgeVelocity, p.VelocityChange, t) }}, p.VelocityChange, func(_, _, _ string, _ acoustics.Drift) {})
}

// heat states the velocities, the axis and the range at each temperature, and what
// each makes of more.
func (s *sheet) heat(id string, g *Group, h heated, wedgeChange si.SpeedPerKelvin, more func(at, of, part string, d acoustics.Drift)) {
	m := &s.Job.Part.Material
	change, part := m.TransverseChange, "part.transverse"
	if s.wave(g) == acoustics.Longitudinal {
		change, part = m.LongitudinalChange, "part.longitudinal"
	}
	if !si.Known(h.axis) || !si.Known(change) || h.how.formula == "" && !si.Known(wedgeChange) || len(s.TemperatureNames()) == 0 {
		return
	}
	s.add(id+"part_change", "k", "change of the velocity in the part for each kelvin", float64(change), si.KindSpeedPerKelvin, changes, given())
	if h.how.formula == "" {
		h.how = how{formula: "c_w' = c_w + k_w (ϑ − 20 °C)", inputs: []string{id + "wedge_velocity", id + "wedge_change"}, source: "definition of the coefficient"}
		s.add(id+"wedge_change", "k_w", "change of the velocity in the wedge for each kelvin", float64(wedgeChange), si.KindSpeedPerKelvin, changes, given())
	}
	most, known := si.Angle(0), true
	for _, name := range s.TemperatureNames() {
		v, _ := s.Value("part.temperature." + name)
		at, degree := id+"temperature."+name+".", si.Celsius(v.Q.SI)
		d := acoustics.Drift{Tilt: h.tilt, Wedge: h.wedge, Part: g.PartSpeed, WarmWedge: h.at(degree), WarmPart: acoustics.SpeedAt(g.PartSpeed, change, degree)}
		if !si.Known(d.WarmWedge) || !si.Known(d.WarmPart) {
			known = false
			continue
		}
		of, made := "at "+v.Text(), h.how
		made.of = of
		// What differs between the temperatures is no input, so that the annex can list
		// them in one row.
		s.sound(at+"wedge_velocity", "c_w'", "velocity in the wedge at a temperature of the job", d.WarmWedge, made)
		s.sound(at+"part_velocity", "c'", "velocity in the part at a temperature of the job", d.WarmPart, how{of: of,
			formula: "c' = c + k (ϑ − 20 °C)", inputs: []string{part, id + "part_change"}, source: "definition of the coefficient"})
		if angle := d.Angle(h.axis); si.Known(angle) {
			most = max(most, si.Angle(math.Abs(float64(angle-h.axis))))
			v, _ := s.Value(id + h.by)
			s.angle(at+"angle", "α_0'", "angle of the "+h.named+" at a temperature of the job", angle, how{of: of,
				formula: "sin α_0' = (c' / c_w') sin " + v.Symbol, inputs: []string{id + h.by}, source: snell})
		} else {
			most = max(most, 90*si.Degree-h.axis) // no beam is left: it has moved at least so far
		}
		more(at, of, part, d)
		if v, ok := s.Value(id + "wedge_path"); ok {
			s.add(at+"range_shift", "Δs_w", "sound path that is read too long at a temperature of the job, the delay in the wedge being that for 20 °C", float64(d.RangeShift(si.Length(v.Q.SI))), si.KindLength, digits{"mm", 2, "in", 3}, how{of: of,
				formula: "Δs_w = c L_w (1 / c_w' − 1 / c_w)", inputs: []string{part, id + "wedge_path", id + "wedge_velocity"}, source: "definition of the delay"})
		}
	}
	if known {
		s.angle(id+"temperature_shift", "Δα_0", "largest change of the angle of the "+h.named+" over the temperatures of the job", most, how{
			formula: "Δα_0 = |α_0' − α_0|, the largest; 90° − α_0 where no beam is left", inputs: []string{id + h.axisID}, side: si.Up, source: "definition; velocities of the job hold at 20 °C"})
	}
}

// warm is the course of the stand at a temperature. An exit point asks no more of
// the part than the velocity in the base metal.
func (s stand) warm(d acoustics.Drift) *ray.Course {
	c := s.course
	c.Wedge, c.Part = d.WarmWedge, ray.Plate(c.Part.Thickness(), acoustics.Medium{Longitudinal: d.WarmPart, Transverse: d.WarmPart})
	c.Part.Radius = s.bend()
	return &c
}

// drifted is where a beam goes at a temperature whose even delays were computed
// for a refracted angle.
//
//	sin θ' = (c_w' / c_w) sin θ, sin α' = (c' / c_w') (1 + h / R) sin(θ' + ψ + ω)
//
// θ is the angle from the array's normal, ψ how far the radius through the middle
// of the aperture leans against that where the wedge touches, h the height there.
// Source: as acoustics.Drift.Angle, which it is in a flat part, and r sin θ / c the
// same on a ray; the delays in the plane in bent_test.go.
func (s stand) drifted(angle si.Angle, d acoustics.Drift) si.Angle {
	if s.bend() == 0 {
		return d.Angle(angle)
	}
	c := s.centre()
	now := acoustics.Refract(s.steered(angle), d.Wedge, d.WarmWedge) + s.lean() + s.wedge.Angle
	sine := float64(1+c.Height/s.bend()) * now.Sin()
	return acoustics.Refract(si.Angle(math.Asin(sine)), d.WarmWedge, d.WarmPart)
}
