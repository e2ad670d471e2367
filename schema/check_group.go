package schema

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/si"
)

// Limits of a group: more would be a slip of the pen, and would cost more time
// and memory than a person waits for.
const (
	maxBeams      = 361
	maxGridPoints = 5_000_000
)

func (c *checker) group(g *Group) {
	path := "groups." + g.Name
	if g.Method == "" {
		return // refused already; what the group needs hangs on it
	}
	if g.Method == "tofd" {
		c.place(g, path)
		c.pair(g, path)
		return
	}
	if g.Single() {
		c.named(path+".probe", "single-element probe", g.Probe, "equipment.single_probes")
		c.place(g, path)
		c.single(g, path)
		return
	}
	c.named(path+".probe", "probe", g.Probe, "equipment.probes")
	c.named(path+".wedge", "wedge", g.Wedge, "equipment.wedges")
	c.place(g, path)
	if p := c.Probe(g.Probe); p != nil {
		c.aperture(g, p, path)
		if w := c.Wedge(g.Wedge); w != nil {
			c.fit(p, w, path)
		}
	}
	switch g.Method {
	case "sectorial":
		c.beams(g, path)
		c.legs(g, path)
	case "linear":
		c.stepped(g, path)
		c.legs(g, path)
	case "tfm":
		c.image(g, path)
		if w := c.Wedge(g.Wedge); w != nil && c.lacks("equipment.wedges."+w.Name, "usable_angles") {
			f := c.fail("equipment.wedges."+w.Name+".usable_angles", "missing-key", "wedge "+w.Name+" lacks usable_angles, which method tfm needs",
				"keys below it: from to", "write the range of refracted angles that the wedge is good for")
			c.also(f, path+".wedge")
		}
	}
}

// place checks that the probe can stand where the group wants it.
func (c *checker) place(g *Group, path string) {
	c.once(path+".sides", g.Sides)
	for i, side := range g.Sides {
		if len(c.Part.Sides) > 0 && !slices.Contains(c.Part.Sides, side) && !slices.Contains(fromFlange, side) {
			f := c.fail(fmt.Sprintf("%s.sides.%d", path, i), "side-not-accessible", "side "+side+" is not accessible",
				oneOf(c.Part.Sides), "choose an accessible side, or add "+side+" to part.access.sides")
			f.Also = append(f.Also, c.here("part.access.sides", "the accessible sides"))
		}
	}
	if g.Surface != "" && len(c.Part.Surfaces) > 0 && !slices.Contains(c.Part.Surfaces, g.Surface) {
		at := path + ".surface"
		f := c.fail(at, "surface-not-accessible", "the "+g.Surface+" surface is not accessible",
			oneOf(c.Part.Surfaces), "choose an accessible surface, or add "+g.Surface+" to part.access.surfaces")
		f.Also = append(f.Also, c.here("part.access.surfaces", "the accessible surfaces"))
	}
}

func (c *checker) aperture(g *Group, p *Probe, path string) {
	a := g.Aperture
	last := a.First + a.Count - 1
	if a.First > 0 && a.Count > 0 && p.Elements > 0 && last > p.Elements {
		f := c.fail(path+".aperture", "aperture-outside-array", fmt.Sprintf("aperture %d to %d reaches past the %d elements of probe %s", a.First, last, p.Elements, p.Name),
			fmt.Sprintf("first + count - 1 at most %d", p.Elements), "begin it earlier, or make it shorter")
		c.also(f, "equipment.probes."+p.Name+".elements")
	}
	if n := c.Equipment.Instrument.Channels; g.Method != "tfm" && n > 0 && a.Count > n {
		f := c.fail(path+".aperture.count", "aperture-over-channels", fmt.Sprintf("the aperture has more elements than the instrument has channels (%d)", n),
			fmt.Sprintf("at most %d", n), "make the aperture shorter")
		c.also(f, "equipment.instrument.channels")
	}
}

// fit checks that the array, laid on its slope, stays over the contact face.
func (c *checker) fit(p *Probe, w *Wedge, path string) {
	array := float64(p.Pitch) * float64(p.Elements) * w.Angle.Cos()
	if p.Elements > 0 && over(si.Length(array), w.Length) {
		long := si.Quantity{SI: array, Kind: si.KindLength}.Text("mm", 1, si.Up)
		f := c.fail(path+".wedge", "array-longer-than-wedge", fmt.Sprintf("the array of probe %s takes %s along wedge %s, which is shorter", p.Name, long, w.Name),
			"at least "+long+" of wedge length", "check pitch, elements and wedge length, or choose another wedge")
		c.also(f, "equipment.wedges."+w.Name+".length")
	}
}

func (c *checker) beams(g *Group, path string) {
	a := g.Angles
	if reaches(a.From, a.To) {
		c.under(path+".angles.from", path+".angles.to", "range-reversed", "the first angle is not under the last", "exchange from and to, or widen the range")
	} else if n := math.Floor(float64((a.To-a.From)/a.Step)+1e-9) + 1; n > maxBeams {
		c.fail(path+".angles.step", "too-many-beams", fmt.Sprintf("the range holds %.0f beams", n),
			fmt.Sprintf("at most %d beams", maxBeams), "make the step larger")
	}
}

// stepped checks the apertures of a linear group against the array and against
// each other.
func (c *checker) stepped(g *Group, path string) {
	a, s := g.Aperture, g.Stepping
	if p := c.Probe(g.Probe); p != nil && p.Elements > 0 && s.Last > p.Elements {
		f := c.fail(path+".stepping.last", "aperture-outside-array", fmt.Sprintf("element %d does not exist on probe %s", s.Last, p.Name),
			fmt.Sprintf("at most %d", p.Elements), "end the stepping earlier")
		c.also(f, "equipment.probes."+p.Name+".elements")
	}
	if end := a.First + a.Count - 1; a.First > 0 && a.Count > 0 && s.Last > 0 && s.Last < end {
		f := c.fail(path+".stepping.last", "no-room-to-step", fmt.Sprintf("the first aperture, elements %d to %d, reaches past the last element of the stepping", a.First, end),
			fmt.Sprintf("at least %d", end), "end the stepping later, or make the aperture shorter")
		c.also(f, path+".aperture.count")
	}
	if a.Count > 0 && s.Step >= a.Count {
		f := c.fail(path+".stepping.step", "apertures-apart", "neighbouring apertures share no element, so that the beams between them are missing",
			fmt.Sprintf("less than the %d elements of an aperture", a.Count), "make the step smaller, or the aperture longer")
		c.also(f, path+".aperture.count")
	}
	for i, angle := range g.FixedAngles {
		if slices.Contains(g.FixedAngles[:i], angle) {
			c.fail(fmt.Sprintf("%s.fixed_angles.%d", path, i), "listed-twice", "the angle is listed twice", "each angle once", "delete one of the two")
		}
	}
}

func (c *checker) legs(g *Group, path string) {
	for i, leg := range g.Legs {
		if slices.Contains(g.Legs[:i], leg) {
			c.fail(path+".legs", "listed-twice", fmt.Sprintf("leg %d is listed twice", leg), "each leg once", "delete one of the two")
			break
		}
	}
}

func (c *checker) image(g *Group, path string) {
	if w := c.Wedge(g.Wedge); w != nil && g.Path != "" && g.Path[0] != g.Path[len(g.Path)-1] && c.lacks("equipment.wedges."+w.Name, "usable_longitudinal") {
		f := c.fail("equipment.wedges."+w.Name+".usable_longitudinal", "missing-key", "wedge "+w.Name+" lacks usable_longitudinal, which path "+g.Path+" needs: its probe sends one kind of wave and receives the other",
			"keys below it: from to", "write the range of refracted angles of longitudinal waves that the wedge is good for, or choose a path that begins and ends with one kind of wave")
		c.also(f, path+".path")
	}
	c.waves(g, path+".transmission")
	r, t := g.Region, c.Part.Thickness
	if over(r.Bottom, t) {
		f := c.fail(path+".region.bottom", "region-outside-part", "the region ends deeper than the part is thick", "at most "+c.written("part.thickness"), "end it at the thickness or above")
		c.also(f, "part.thickness")
	}
	if reaches(r.Top, r.Bottom) {
		c.under(path+".region.top", path+".region.bottom", "region-empty", "the region has no height: top is not above bottom", "exchange top and bottom, or widen the region")
	}
	width := r.Near + r.Far
	if reaches(0, width) {
		f := c.fail(path+".region.near", "region-empty", "the region has no width: near and far cancel out", "near and far together more than 0 mm", "widen the region; only one of them may be negative")
		c.also(f, path+".region.far")
	}
	points := (math.Floor(float64(width/g.Grid)) + 1) * (math.Floor(float64((r.Bottom-r.Top)/g.Grid)) + 1)
	if width > 0 && r.Bottom > r.Top && points > maxGridPoints {
		c.fail(path+".grid", "grid-too-fine", fmt.Sprintf("the region holds %.2g grid points", points),
			fmt.Sprintf("at most %d grid points", maxGridPoints), "make the grid coarser, or the region smaller")
	}
}

// waves checks that the plane waves of a transmission are some, and that the
// wedge sends them.
func (c *checker) waves(g *Group, path string) {
	t := g.Transmission
	if t.Scheme != "plane-wave" {
		return
	}
	if reaches(t.From, t.To) {
		c.under(path+".from", path+".to", "range-reversed", "the first angle is not under the last", "exchange from and to, or widen the range")
		return
	}
	w := c.Wedge(g.Wedge)
	if w == nil {
		return
	}
	usable, from, to := "equipment.wedges."+w.Name+".usable_angles", w.UsableFrom, w.UsableTo
	if strings.HasPrefix(g.Path, "L") && si.Known(w.LongitudinalFrom+w.LongitudinalTo) {
		usable, from, to = "equipment.wedges."+w.Name+".usable_longitudinal", w.LongitudinalFrom, w.LongitudinalTo
	}
	if over(from, t.From) {
		f := c.fail(path+".from", "wave-outside-wedge", "the first wave lies outside the angles that wedge "+w.Name+" is good for", "at least "+c.written(usable+".from"), "begin at that angle or above")
		c.also(f, usable+".from")
	}
	if over(t.To, to) {
		f := c.fail(path+".to", "wave-outside-wedge", "the last wave lies outside the angles that wedge "+w.Name+" is good for", "at most "+c.written(usable+".to"), "end at that angle or below")
		c.also(f, usable+".to")
	}
}
