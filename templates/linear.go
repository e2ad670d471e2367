package templates

import (
	"fmt"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// seeStepping shows the set-up that a linear group has in place of a range of
// angles.
func (v *group) seeStepping(p *printer, set *schema.Group) {
	v.Method = "phased-array linear scan"
	v.Aperture = md(fmt.Sprintf("%d elements at a time", set.Aperture.Count))
	for i, angle := range set.FixedAngles {
		if i > 0 {
			v.Fixed += ", "
		}
		v.Fixed += p.given(angleOf(angle), angleUnit, si.Nearest)
	}
	step := fmt.Sprintf("by %d elements", set.Stepping.Step)
	if set.Stepping.Step == 1 {
		step = "by 1 element"
	}
	v.Stepping = md(fmt.Sprintf("from element %d to element %d, %s", set.Aperture.First, set.Stepping.Last, step))
}

// elements names the elements of a beam.
func elements(l technique.Law) md {
	return md(fmt.Sprintf("%d to %d", l.First, l.First+len(l.Delays)-1))
}
