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
		return p.computed(lengthOf(abs(g.Placements[0].Front.X)), positionUnit, si.Nearest)
	}
	return p.needed("groups."+g.Set.Name+".wedge_front", lengthOf(g.Set.WedgeFront), lengthUnit, si.Nearest)
}

// singleProbe is a probe with one element, of which two make a pair.
type singleProbe struct {
	Name, Description, Frequency, Diameter, Angle, Velocity, Front, Length, Delay, Pulse md
}

// seeSingles shows the single-element probes that a group uses.
func seeSingles(p *printer, job *schema.Job) []singleProbe {
	var all []singleProbe
	for _, one := range job.Equipment.SingleProbes {
		if !slices.ContainsFunc(job.Groups, func(g schema.Group) bool { return g.Pair == one.Name }) {
			continue
		}
		path := "equipment.single_probes." + one.Name
		all = append(all, singleProbe{
			Name: esc(one.Name), Description: or(esc(one.Description), notStated),
			Frequency: p.needed(path+".frequency", frequencyOf(one.Frequency), megahertz, si.Nearest),
			Diameter:  p.needed(path+".diameter", lengthOf(one.Diameter), lengthUnit, si.Nearest),
			Angle:     p.needed(path+".angle", angleOf(one.Angle), angleUnit, si.Nearest),
			Velocity:  p.needed(path+".wedge_velocity", speedOf(one.WedgeVelocity), velocityUnit, si.Nearest),
			Front:     p.needed(path+".front_distance", lengthOf(one.FrontDistance), lengthUnit, si.Nearest),
			Length:    p.needed(path+".length", lengthOf(one.Length), lengthUnit, si.Nearest),
			Delay:     p.needed(path+".delay", timeOf(one.Delay), microsecond, si.Nearest),
			Pulse:     p.needed(path+".pulse", timeOf(one.Pulse), microsecond, si.Up),
		})
	}
	return all
}
