package templates

import (
	"slices"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// pairDepth is how well one depth of a tofd group is told.
type pairDepth struct{ Depth, Time, Resolution, Timing, Separation, Offset md }

// seePair shows what a tofd group has in place of probe, wedge and beams.
func (v *group) seePair(p *printer, g technique.Group) {
	v.Method, v.Pair = "time-of-flight diffraction (TOFD)", esc(g.Set.Pair)
	v.Devices = "two of " + v.Pair
	if g.Pair == nil {
		p.refused = append(p.refused, "groups."+g.Set.Name+": the pair")
		return
	}
	for _, d := range g.Pair.Depths {
		one := pairDepth{
			Depth: p.computed(lengthOf(d.Depth), positionUnit, si.Nearest), Time: p.computed(timeOf(d.Time), unit{metric: "us", decimals: 2}, si.Nearest),
			Resolution: p.computed(lengthOf(d.Resolution), errorUnit, si.Up), Timing: "–",
			Separation: p.computed(lengthOf(d.SeparationError), errorUnit, si.Up), Offset: p.computed(lengthOf(d.OffsetError), errorUnit, si.Up),
		}
		if finite(float64(d.TimingError)) {
			one.Timing = p.computed(lengthOf(d.TimingError), errorUnit, si.Up)
		}
		for _, x := range []si.Length{d.Depth, d.Resolution, d.SeparationError, d.OffsetError} {
			if !finite(float64(x)) {
				p.refused = append(p.refused, "groups."+g.Set.Name+": how well depths are told")
			}
		}
		v.Depths = append(v.Depths, one)
	}
}

// errorUnit prints errors of depth.
var errorUnit = unit{"mm", 2, "in", 3}

// frontOf is the distance from the centreline to the wedge front: the job's, or
// that which the separation of a pair gives.
func frontOf(p *printer, g technique.Group) md {
	if g.Pair != nil && len(g.Placements) > 0 {
		return p.computed(lengthOf(abs(g.Placements[0].Along(g.Placements[0].Front))), positionUnit, si.Nearest)
	}
	if o := g.Single; o != nil {
		near := p.length(o.Near)
		if o.Raster {
			return near + " to " + p.length(o.Far)
		}
		return near
	}
	return p.needed("groups."+g.Set.Name+".wedge_front", lengthOf(g.Set.WedgeFront), lengthUnit, si.Nearest)
}

// singleProbe is a probe with one element, or two of them in one housing.
type singleProbe struct {
	Name, Description, Frequency, Element, Angle, Velocity, Front, Length, Delay, Pulse, Range md
}

// seeSingles shows the single-element probes that a group uses.
func seeSingles(p *printer, job *schema.Job) []singleProbe {
	var all []singleProbe
	for _, one := range job.Equipment.SingleProbes {
		if !slices.ContainsFunc(job.Groups, func(g schema.Group) bool { return g.Pair == one.Name || g.Single() && g.Probe == one.Name }) {
			continue
		}
		path := "equipment.single_probes." + one.Name
		v := singleProbe{
			Name: esc(one.Name), Description: or(esc(one.Description), notStated),
			Frequency: p.needed(path+".frequency", frequencyOf(one.Frequency), megahertz, si.Nearest),
			Element:   "round, " + p.length(one.Diameter),
			Angle:     or(stated(p, angleOf(one.Angle), angleUnit), "0°"),
			Velocity:  or(stated(p, speedOf(one.WedgeVelocity), velocityUnit), "–"),
			Front:     or(stated(p, lengthOf(one.FrontDistance), lengthUnit), "–"),
			Length:    or(stated(p, lengthOf(one.Length), lengthUnit), "–"),
			Delay:     or(stated(p, timeOf(one.Delay), microsecond), "–"),
			Pulse:     p.needed(path+".pulse", timeOf(one.Pulse), microsecond, si.Up),
			Range:     "–",
		}
		if finite(float64(one.ElementLength)) {
			v.Element = p.length(one.ElementLength) + " in the plane of incidence, " + p.length(one.ElementWidth) + " across it"
		}
		if one.Dual {
			v.Element = "two, " + v.Element
		}
		if finite(float64(one.RangeTo)) {
			v.Range = p.length(one.RangeFrom) + " to " + p.length(one.RangeTo)
		}
		all = append(all, v)
	}
	return all
}

// stated prints a value of the job, or nothing where it is not given.
func stated(p *printer, q si.Quantity, u unit) md {
	if !finite(q.SI) {
		return ""
	}
	return p.given(q, u, si.Nearest)
}
