package render

// cladTicks is the distance of the upright lines that mark a cladding.
const cladTicks = 2.2

// cladding marks the clad layer of the part: a thin line where it begins, and
// upright lines across it, which no other area has.
func (d *sectionDraft) cladding() {
	c := d.Job.Part.Cladding
	if c == nil || d.Section.Radius() != 0 {
		return
	}
	upper, lower := 0.0, d.view.length(c.Thickness)
	inner := lower
	if c.Surface == "bottom" {
		upper, lower = d.bottom-lower, d.bottom
		inner = upper
	}
	d.clad(d.left, d.right, upper, lower)
	d.line(thin(), xy{d.left, inner}, xy{d.right, inner})
}

func (d *draft) clad(left, right, upper, lower float64) {
	for x := left + cladTicks/2; x < right; x += cladTicks {
		d.line(narrow(), xy{x, upper}, xy{x, lower})
	}
}

// cladEntry explains the mark in the legend, with its sample from y upwards.
func (d *sectionDraft) cladEntry(left, y float64) bool {
	if d.Job.Part.Cladding == nil || d.Section.Radius() != 0 {
		return false
	}
	d.area(thin(), white(), xy{left, y - 2.4}, xy{left + 7, y - 2.4}, xy{left + 7, y}, xy{left, y})
	d.clad(left, left+7, y-2.4, y)
	d.write(left+9, y, "cladding, taken as even", alignLeft)
	return true
}
