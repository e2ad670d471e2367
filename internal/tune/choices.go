package tune

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// choice is one thing that may be set, and the values tried, in physical order.
// An option may need several edits: another probe takes another aperture.
type choice struct {
	path    string
	options [][]schema.Edit
	ordered bool // neighbours in the list are neighbours in size
	shared  bool // of all groups that look through the same probe
	beam    bool // decides how narrow and strong the beams are, which the objective does not see
}

// choices lists what may be set, and apart from it what the request keeps fixed.
func (s *search) choices() (free, fixed []choice) {
	var all []choice
	for i := range s.job.Groups {
		g := &s.job.Groups[i]
		if lead := slices.IndexFunc(s.job.Groups, func(o schema.Group) bool { return rides(&o, g) }); lead < i {
			// The probe, where it stands and what it fires are those of the first
			// group that looks through it.
			all = append(all, slices.DeleteFunc(s.ofGroup(g), func(c choice) bool { return c.shared })...)
			continue
		}
		for _, c := range s.ofGroup(g) {
			if c.shared {
				c = s.together(c, g)
			}
			all = append(all, c)
		}
	}
	all = append(all, s.lengths("scan.increment", s.increments()))
	for _, c := range all {
		if len(c.options) < 2 {
			continue
		}
		if slices.ContainsFunc(s.Fixed, c.touches) {
			fixed = append(fixed, c)
		} else {
			free = append(free, c)
		}
	}
	return free, fixed
}

// touches reports whether a choice would set a path, or what is under it.
func (c choice) touches(path string) bool {
	return slices.ContainsFunc(c.options, func(edits []schema.Edit) bool {
		return slices.ContainsFunc(edits, func(e schema.Edit) bool { return e.Path == path || strings.HasPrefix(e.Path, path+".") })
	})
}

// rides reports whether a group is another, or looks through its probe at its place
// by its method.
func rides(a, b *schema.Group) bool {
	return a.Name == b.Name || a.Method == b.Method && a.Rides(b)
}

// together sets a choice of one group for all that ride with it.
func (s *search) together(c choice, lead *schema.Group) choice {
	at := "groups." + lead.Name + "."
	for i := range s.job.Groups {
		g := &s.job.Groups[i]
		if g.Name == lead.Name || !rides(lead, g) {
			continue
		}
		for k, edits := range c.options {
			for _, e := range edits {
				if key, ok := strings.CutPrefix(e.Path, at); ok {
					c.options[k] = append(slices.Clone(c.options[k]), schema.Edit{Path: "groups." + g.Name + "." + key, Value: e.Value})
				}
			}
		}
	}
	return c
}

func (s *search) ofGroup(g *schema.Group) []choice {
	at := "groups." + g.Name + "."
	if g.Method == "tofd" {
		return []choice{s.crossings(at, g)}
	}
	fronts := s.lengths(at+"wedge_front", s.fronts(g))
	fronts.shared = true
	list := []choice{s.devices(at, g), fronts}
	wedge := s.job.Wedge(g.Wedge)
	switch g.Method {
	case "sectorial":
		list = append(list, s.angles(at+"angles.from", g.Angles.From, wedge), s.angles(at+"angles.to", g.Angles.To, wedge),
			s.angleSteps(at, g), options(at+"legs", false, "[1]", "[2]", "[1, 2]"), s.apertures(at, g), s.focuses(at))
	case "tfm":
		fire := options(at+"transmission", true, "{scheme: full-matrix}", "{scheme: half-matrix}", "{scheme: every-nth, n: 2}", "{scheme: every-nth, n: 3}", "{scheme: every-nth, n: 4}", "{scheme: every-nth, n: 6}")
		fire.shared = true
		list = append(list, fire)
		if !strings.Contains(g.Path, "L") {
			list = append(list, options(at+"path", false, "T-T", "TT-T", "TT-TT"))
		}
		if !si.Known(g.Fidelity) { // a loss that was measured holds for its grid alone
			list = append(list, s.grids(at, g))
		}
	}
	return list
}

func options(path string, ordered bool, values ...string) choice {
	c := choice{path: path, ordered: ordered}
	for _, v := range values {
		c.options = append(c.options, []schema.Edit{{Path: path, Value: v}})
	}
	return c
}

// lengths writes lengths in the unit of the job.
func (s *search) lengths(path string, values []si.Length) choice {
	c := choice{path: path, ordered: true}
	for _, x := range values {
		c.options = append(c.options, []schema.Edit{{Path: path, Value: s.length(x)}})
	}
	return c
}

func (s *search) length(x si.Length) string {
	if s.job.Document.Units == "in" {
		return trimmed(float64(x/si.Inch), 3) + " in"
	}
	return trimmed(float64(x)*1e3, 3) + " mm"
}

func trimmed(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// fronts are places of the wedge: whole steps of a millimetre or a thirtieth of
// the thickness, from the centreline to two thicknesses behind where it stands.
func (s *search) fronts(g *schema.Group) []si.Length {
	unit := si.Length(1 * si.Millimetre)
	if s.job.Document.Units == "in" {
		unit = 0.05 * si.Inch
	}
	by := unit * si.Length(max(1, math.Round(float64(s.job.Part.Thickness/unit)/15)))
	var list []si.Length
	for x := si.Length(0); x <= g.WedgeFront+2*s.job.Part.Thickness && len(list) < 80; x += by {
		list = append(list, x)
	}
	return list
}

// increments end at 2 mm, and at 1 mm on parts up to 10 mm, also where the code
// named has no limit: common practice, no source. A coarser one must be the
// author's own.
func (s *search) increments() []si.Length {
	steps := []si.Length{0.5 * si.Millimetre, 1 * si.Millimetre, 1.5 * si.Millimetre, 2 * si.Millimetre}
	if s.job.Document.Units == "in" {
		steps = []si.Length{0.02 * si.Inch, 0.035 * si.Inch, 0.06 * si.Inch, 0.075 * si.Inch}
	}
	if s.job.Part.Thickness <= 10*si.Millimetre {
		return steps[:2]
	}
	return steps
}

// angles are the refracted angles that the wedge permits, in steps of 5 degrees.
func (s *search) angles(path string, now si.Angle, wedge *schema.Wedge) choice {
	from, to := 35*si.Degree, 80*si.Degree
	if wedge != nil && si.Known(wedge.UsableFrom) {
		from, to = wedge.UsableFrom, wedge.UsableTo
	}
	all := []si.Angle{now, from, to}
	for a := 35 * si.Degree; a <= 80*si.Degree; a += 5 * si.Degree {
		if a > from && a < to {
			all = append(all, a)
		}
	}
	slices.Sort(all)
	all = slices.CompactFunc(all, func(a, b si.Angle) bool { return math.Abs(float64(a-b)) < 1e-9 })
	c := choice{path: path, ordered: true}
	for _, a := range all {
		c.options = append(c.options, []schema.Edit{{Path: path, Value: trimmed(float64(a/si.Degree), 2) + " deg"}})
	}
	return c
}

// angleSteps end at one degree: common practice, no source. A coarser one must be
// the author's own, and is kept among them.
func (s *search) angleSteps(at string, g *schema.Group) choice {
	values := []string{"0.5 deg", "1 deg"}
	if g.Angles.Step > si.Degree*(1+1e-9) {
		values = append(values, s.job.Written(at+"angles.step"))
	}
	return options(at+"angles.step", true, values...)
}

// apertures are runs of 8, 16, 32 and all elements, at the rear, in the middle
// and at the front.
func (s *search) apertures(at string, g *schema.Group) choice {
	c := choice{path: at + "aperture", beam: true}
	probe := s.job.Probe(g.Probe)
	if probe == nil {
		return c
	}
	seen := map[[2]int]bool{}
	for _, n := range []int{8, 12, 16, 24, 32, 48, 64} {
		if n > probe.Elements || s.job.Equipment.Instrument.Channels > 0 && n > s.job.Equipment.Instrument.Channels {
			continue
		}
		for _, first := range []int{1, (probe.Elements-n)/2 + 1, probe.Elements - n + 1} {
			if !seen[[2]int{first, n}] {
				seen[[2]int{first, n}] = true
				c.options = append(c.options, []schema.Edit{{Path: c.path, Value: fmt.Sprintf("{first: %d, count: %d}", first, n)}})
			}
		}
	}
	return c
}

// focuses are none, half the depth of the part and all of it.
func (s *search) focuses(at string) choice {
	t := s.job.Part.Thickness
	c := options(at+"focus", false, "{none: true}", "{depth: "+s.length(t/2)+"}", "{depth: "+s.length(t)+"}")
	c.beam = true
	return c
}

// devices are the probes and wedges at hand. Beams of another probe take all of
// its elements that the instrument can fire together, up to sixteen.
func (s *search) devices(at string, g *schema.Group) choice {
	c := choice{path: at + "probe", shared: true, beam: true}
	for _, p := range s.job.Equipment.Probes {
		for _, w := range s.job.Equipment.Wedges {
			edits := []schema.Edit{{Path: at + "probe", Value: strconv.Quote(p.Name)}, {Path: at + "wedge", Value: strconv.Quote(w.Name)}}
			if p.Name == g.Probe && w.Name == g.Wedge {
				edits = nil // as it stands
			} else if g.Method == "sectorial" && p.Name != g.Probe {
				n := min(16, p.Elements)
				edits = append(edits, schema.Edit{Path: at + "aperture", Value: fmt.Sprintf("{first: %d, count: %d}", (p.Elements-n)/2+1, n)})
			}
			c.options = append(c.options, edits)
		}
	}
	return c
}

// grids are fractions of the wavelength, rounded down to hundredths.
func (s *search) grids(at string, g *schema.Group) choice {
	c := choice{path: at + "grid", ordered: true}
	probe := s.job.Probe(g.Probe)
	speed := s.job.Part.Material.Transverse
	if strings.HasPrefix(g.Path, "L") {
		speed = s.job.Part.Material.Longitudinal
	}
	if probe == nil || !si.Known(speed) {
		return c
	}
	lambda := float64(speed) / float64(probe.Frequency)
	for _, n := range []float64{12, 10, 8, 6, 5} {
		c.options = append(c.options, []schema.Edit{{Path: c.path, Value: trimmed(math.Floor(lambda/n*1e5)/100, 2) + " mm"}})
	}
	return c
}

// crossings are depths at which the axes of a pair cross, as shares of the
// thickness.
func (s *search) crossings(at string, g *schema.Group) choice {
	if !si.Known(g.CrossingDepth) {
		return choice{}
	}
	var depths []si.Length
	for _, share := range []float64{0.4, 0.5, 0.6, 2.0 / 3, 0.75, 0.85, 1} {
		depths = append(depths, si.Length(math.Round(float64(s.job.Part.Thickness)*share*1e4)/1e4))
	}
	return s.lengths(at+"crossing_depth", depths)
}
