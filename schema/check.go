package schema

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// checker looks for what single values cannot show: names that do not exist,
// sizes that do not fit each other. It compares only what is known, so that a
// value which is already told about causes no second finding.
type checker struct {
	*Job
	findings []diag.Finding
}

func check(j *Job) []diag.Finding {
	c := &checker{Job: j}
	c.dates()
	c.comments()
	c.ranges()
	c.part()
	c.weld()
	c.transitions()
	c.flange()
	c.cladding()
	c.equipment()
	for i := range j.Groups {
		c.group(&j.Groups[i])
	}
	c.reference()
	c.scan()
	c.qualification()
	return c.findings
}

// fail tells of a value. A path that the file does not have points at the
// place where it belongs, and quotes nothing.
func (c *checker) fail(path, rule, message, limit, remedy string) *diag.Finding {
	n, ok := c.root.find(path)
	if ok && n.refused {
		return new(diag.Finding) // told already
	}
	f := n.finding(rule, message, limit, remedy)
	f.Path = path
	if !ok {
		f.Actual = nothing
	}
	c.findings = append(c.findings, f)
	return &c.findings[len(c.findings)-1]
}

// lacks reports that a group of keys has no such key, nor one so near to it
// that a finding already says what was meant.
func (c *checker) lacks(path, key string) bool {
	n, ok := c.root.find(path)
	return ok && n.child(key) == nil && !load().misspelled(n, key)
}

// also names another value that has a part in a finding.
func (c *checker) also(f *diag.Finding, path string) {
	if n, ok := c.root.find(path); ok && n.text != "" {
		f.Also = append(f.Also, diag.Also{At: n.at, Message: path + ": " + n.written()})
	}
}

// here is another place, in words.
func (c *checker) here(path, words string) diag.Also {
	return diag.Also{At: c.At(path), Message: words}
}

// under tells of two lengths, angles or the like of which the first should be
// under the second.
func (c *checker) under(path, other, rule, message, remedy string) {
	f := c.fail(path, rule, message, "less than "+c.written(other), remedy)
	c.also(f, other)
}

// written is the value at a path as the file gives it.
func (c *checker) written(path string) string {
	n, _ := c.root.find(path)
	return n.written()
}

// over reports a > b, for known values only, with the allowance for float noise
// that all comparisons of the program have.
func over[T ~float64](a, b T) bool { return float64(a-b) > 1e-9*max(abs(a), abs(b)) }

// reaches reports a >= b in the same sense.
func reaches[T ~float64](a, b T) bool {
	return si.Known(a) && si.Known(b) && !over(b, a)
}

func abs[T ~float64](x T) float64 { return max(float64(x), -float64(x)) }

func (c *checker) dates() {
	one := func(path, date string) {
		if date == "" {
			return
		}
		if _, err := time.Parse(time.DateOnly, date); err != nil {
			c.fail(path, "no-such-day", "the calendar has no day "+date, "a day, such as 2026-03-02", "write year, month and day")
		}
	}
	one("document.date", c.Document.Date)
	for i, h := range c.Document.History {
		one(fmt.Sprintf("document.history.%d.date", i), h.Date)
	}
	for i, x := range c.Document.Comments {
		one(fmt.Sprintf("document.comments.%d.date", i), x.Date)
	}
	for i, r := range c.Document.Returns {
		one(fmt.Sprintf("document.returns.%d.date", i), r.Date)
	}
	for i, d := range c.Deviations {
		one(fmt.Sprintf("deviations.%d.date", i), d.Date)
	}
}

// comments demands that a number stands for one comment.
func (c *checker) comments() {
	first := map[string]string{}
	for i, x := range c.Document.Comments {
		path := fmt.Sprintf("document.comments.%d.number", i)
		if other, used := first[x.Number]; used && x.Number != "" {
			c.also(c.fail(path, "number-used-twice", "two comments have the number "+brief(x.Number), "a number of its own for each comment", "give the later one the next free number"), other)
			continue
		}
		first[x.Number] = path
	}
}

func (c *checker) part() {
	p := &c.Part
	if p.Kind == "pipe" && reaches(2*p.Thickness, p.OutsideDiameter) {
		f := c.fail("part.outside_diameter", "no-bore", "the pipe has no bore: twice the thickness reaches the outside diameter",
			"more than twice the thickness", "check diameter and thickness, and their units")
		c.also(f, "part.thickness")
	}
	switch {
	case p.Kind == "plate" && c.Has("part.weld") && c.lacks("part.weld", "length"):
		c.fail("part.weld.length", "missing-key", "weld lacks length, which a plate needs", "a length with its unit, such as 3.2 m", "write length: 3.2 m under part.weld")
	case p.Longitudinal() && c.Has("part.weld") && c.lacks("part.weld", "length"):
		c.fail("part.weld.length", "missing-key", "weld lacks length, which a longitudinal seam needs", "a length with its unit, such as 3.2 m", "write length: 3.2 m under part.weld")
	case p.Kind == "pipe" && p.Weld.Seam == "girth" && c.Has("part.weld.length"):
		c.fail("part.weld.length", "misplaced-key", "length does not go with a girth weld, whose length is computed", "length goes with kind plate, or with seam longitudinal", "delete length, or write seam: longitudinal")
	}
	if p.Kind == "plate" && c.Has("part.weld.seam") {
		c.fail("part.weld.seam", "misplaced-key", "seam does not go with kind plate", "seam goes with kind pipe", "delete seam, or write kind: pipe with outside_diameter")
	}
	c.longitudinal()
	if over(p.Temperature.From, p.Temperature.To) {
		f := c.fail("part.temperature.from", "range-reversed", "the lowest temperature is over the highest", "at most "+c.written("part.temperature.to"), "exchange from and to")
		c.also(f, "part.temperature.to")
	}
	if reaches(p.Material.Transverse, p.Material.Longitudinal) {
		c.under("part.material.transverse", "part.material.longitudinal", "waves-exchanged", "the transverse wave is not slower than the longitudinal one", "exchange the two velocities, or check them")
	}
	if b, path := p.Material.BackWalls, "part.material.attenuation."; c.Has(path + "back_walls") {
		if c.Has(path + "longitudinal") {
			f := c.fail(path+"back_walls", "stated-twice", "back_walls stands beside longitudinal, which it replaces", "one of the two", "delete one of them")
			c.also(f, path+"longitudinal")
		}
		if over(b.Spreading, b.Drop) {
			c.fail(path+"back_walls.drop", "no-attenuation-left", "the drop is smaller than what spreading takes of it", "at least the spreading, 6 dB where none is given",
				"measure where the metal is at least three near fields thick, or state the spreading there")
		}
	}
	c.once("part.access.sides", p.Sides)
	c.once("part.access.surfaces", p.Surfaces)
}

// longitudinal looks for what a section that is a piece of a ring cannot have.
func (c *checker) longitudinal() {
	p := &c.Part
	if !p.Longitudinal() {
		return
	}
	for _, side := range []struct {
		key string
		of  *Transition
	}{{"transition.A", p.TransitionA}, {"transition.B", p.TransitionB}} {
		if side.of != nil {
			c.fail("part."+side.key, "misplaced-key", "a transition does not go with a longitudinal seam, whose wall is taken as one ring", "transitions go with kind plate and with girth welds", "delete it")
		}
	}
	for _, side := range []struct {
		key string
		of  *Counterbore
	}{{"counterbore.A", p.CounterboreA}, {"counterbore.B", p.CounterboreB}} {
		if side.of != nil {
			c.fail("part."+side.key, "misplaced-key", "a counterbore does not go with a longitudinal seam", "counterbores go with girth welds", "delete it")
		}
	}
	if c.Has("part.weld.misalignment") && p.Weld.Misalignment != 0 {
		c.fail("part.weld.misalignment", "misplaced-key", "a misalignment does not go with a longitudinal seam, whose wall is taken as one ring", "misalignment goes with kind plate and with girth welds", "delete it")
	}
	for _, path := range []string{"part.weld.cap", "part.weld.root"} {
		r := &p.Weld.Cap
		if path == "part.weld.root" {
			r = &p.Weld.Root
		}
		if reaches(r.Width, p.OutsideDiameter/2) {
			f := c.fail(path+".width", "too-wide-for-pipe", "the reinforcement reaches around the pipe", "less than half of "+c.written("part.outside_diameter"), "check width and outside_diameter, and their units")
			c.also(f, "part.outside_diameter")
		}
	}
	if over(p.Zone.Width, p.OutsideDiameter/2) {
		f := c.fail("part.heat_affected_zone.width", "too-wide-for-pipe", "the zone beside the weld reaches around the pipe", "at most half of "+c.written("part.outside_diameter"), "check width and outside_diameter, and their units")
		c.also(f, "part.outside_diameter")
	}
}

// once tells of an entry that a list holds twice.
func (c *checker) once(path string, list []string) {
	for i, item := range list {
		if slices.Contains(list[:i], item) {
			c.fail(path, "listed-twice", item+" is listed twice", "each entry once", "delete one of the two")
			return
		}
	}
}

func (c *checker) equipment() {
	for _, p := range c.Equipment.Probes {
		path := "equipment.probes." + p.Name
		if reaches(p.Gap, p.Pitch) {
			c.under(path+".gap", path+".pitch", "gap-over-pitch", "the gap leaves no width for an element", "check gap and pitch, and their units")
		}
	}
	for _, w := range c.Equipment.Wedges {
		path := "equipment.wedges." + w.Name
		if w.Medium == "water" {
			for _, key := range []string{"transverse", "temperature_coefficient"} {
				if c.Has(path + "." + key) {
					f := c.fail(path+"."+key, "misplaced-key", key+" does not go with a wedge of water, whose value is known", "keys that fit medium water", "delete it")
					c.also(f, path+".medium")
				}
			}
		}
		if reaches(w.UsableFrom, w.UsableTo) {
			c.under(path+".usable_angles.from", path+".usable_angles.to", "range-reversed", "the range of usable angles is empty", "exchange from and to")
		}
		if reaches(w.LongitudinalFrom, w.LongitudinalTo) {
			c.under(path+".usable_longitudinal.from", path+".usable_longitudinal.to", "range-reversed", "the range of usable angles of longitudinal waves is empty", "exchange from and to")
		}
		if reaches(w.Transverse, w.Velocity) {
			c.under(path+".transverse", path+".velocity", "waves-exchanged", "the transverse wave is not slower than the longitudinal one", "exchange the two velocities, or check them")
		}
		if over(w.FrontDistance, w.Length) {
			f := c.fail(path+".front_distance", "element-off-wedge", "element 1 lies behind the rear end of the wedge", "at most "+c.written(path+".length"), "check front_distance and length, and their units")
			c.also(f, path+".length")
		}
	}
	in := &c.Equipment.Instrument
	if path := "equipment.instrument"; c.lacks(path, "pulse_rate") && c.lacks(path, "rearm") && in.Measured == nil && c.lacks(path, "measured") {
		c.fail(path, "no-rate", "the instrument states nothing that limits the scan speed", "pulse_rate, rearm, or a measured rate",
			"write pulse_rate, or measure one rate and write measured")
	}
	for _, b := range c.Equipment.Blocks {
		path := "equipment.blocks." + b.Name
		if b.Kind != "notches" && b.Kind != "" {
			for _, key := range []string{"hole_diameter", "hole_depths"} {
				if c.lacks(path, key) {
					c.fail(path+"."+key, "missing-key", "block "+b.Name+" lacks "+key+", which its holes need", "", "write "+key+" under "+path)
				}
			}
		}
		for i, depth := range b.HoleDepths {
			if reaches(depth, b.Thickness) {
				c.under(fmt.Sprintf("%s.hole_depths.%d", path, i), path+".thickness", "hole-outside-block", "a hole lies deeper than the block is thick", "check the depth and the thickness, and their units")
			}
		}
		if reaches(b.NotchDepth, b.Thickness) {
			c.under(path+".notch_depth", path+".thickness", "notch-through-block", "the notch goes through the block", "check notch_depth and thickness, and their units")
		}
		c.places(&b, path)
	}
	if c.Part.Kind == "pipe" {
		c.wedgesOnPipe()
	}
	if over(c.Equipment.Encoder.Resolution, c.Scan.Increment) {
		f := c.fail("equipment.encoder.resolution", "encoder-too-coarse", "the encoder counts in steps longer than the scan increment", "at most "+c.written("scan.increment"), "use a finer encoder, or a larger increment")
		c.also(f, "scan.increment")
	}
}

// wedgesOnPipe checks what the gap under a wedge on a pipe is computed from: the
// extent of its contact face around the pipe, which is its width where the beam
// goes along the pipe, and its length where it goes around.
func (c *checker) wedgesOnPipe() {
	for _, p := range c.Equipment.SingleProbes {
		used := slices.IndexFunc(c.Groups, func(g Group) bool { return g.Single() && g.Probe == p.Name })
		if used < 0 {
			continue
		}
		face := contact{"probe", p.Name, "equipment.single_probes." + p.Name, "width", p.Width, p.Contour}
		if c.Part.Longitudinal() && c.Groups[used].Method == "angle-beam" {
			if c.lacks(face.path, "length") {
				continue // told as what the method needs
			}
			face.key, face.around = "length", p.Length
		}
		c.onPipe(face)
	}
	for _, w := range c.Equipment.Wedges {
		face := contact{"wedge", w.Name, "equipment.wedges." + w.Name, "width", w.Width, w.Contour}
		if c.Part.Longitudinal() {
			face.key, face.around = "length", w.Length
		}
		c.onPipe(face)
	}
}

// contact is a contact face: its extent around a pipe, and the diameter that it is
// shaped for.
type contact struct {
	what, name, path, key string
	around, contour       si.Length
}

func (c *checker) onPipe(face contact) {
	path, long := face.path, map[string]string{"width": "wider", "length": "longer"}[face.key]
	if c.lacks(path, face.key) {
		c.fail(path+"."+face.key, "missing-key", face.what+" "+face.name+" lacks "+face.key+", which the gap on a pipe is computed from", "a length with its unit, such as 25 mm", "write "+face.key+" under "+path)
	}
	if over(face.around, face.contour) {
		f := c.fail(path+".contour", "contour-too-small", "the "+face.what+" is "+long+" than the pipe it is shaped for", "at least "+c.written(path+"."+face.key), "check contour and "+face.key+", and their units")
		c.also(f, path+"."+face.key)
	}
	if over(face.around, c.Part.OutsideDiameter) {
		f := c.fail(path+"."+face.key, "wedge-wider-than-pipe", "the "+face.what+" is "+long+" than the pipe", "at most "+c.written("part.outside_diameter"), "choose a smaller "+face.what+", or check the units")
		c.also(f, "part.outside_diameter")
	}
}

// named tells of a name that nothing in the equipment has. Nothing is told where
// the place of the names is misspelled or refused, which is a finding already.
func (c *checker) named(path, what, name, list string) {
	n, ok := c.root.find(list)
	if name == "" || !ok && !c.lacks("equipment", strings.TrimPrefix(list, "equipment.")) || ok && n.shape != mapping {
		return
	}
	var names []string
	if ok {
		for _, c := range n.children {
			names = append(names, c.key)
		}
	}
	if slices.Contains(names, name) {
		return
	}
	limit, remedy := oneOf(names), "write one of the names under "+list
	if near := diag.Nearest(name, names); near != "" {
		remedy = "write " + near
	}
	if len(names) == 1 {
		limit = names[0]
	}
	if len(names) == 0 {
		limit, remedy = "a name under "+list, "describe the "+what+" under "+list
	}
	c.fail(path, "unknown-name", "there is no "+what+" of the name "+brief(name), limit, remedy)
}

func (c *checker) reference() {
	r := &c.Reference
	c.named("reference.block", "block", r.Block, "equipment.blocks")
	c.setByArrays()
	b := c.block(r.Block)
	if b == nil {
		return
	}
	if r.Reflector == "side-drilled-hole" && b.Kind == "notches" || r.Reflector == "notch" && b.Kind == "side-drilled-holes" {
		f := c.fail("reference.reflector", "no-such-reflector", "block "+b.Name+" has no "+r.Reflector, "a reflector that the block has", "choose another reflector or block")
		c.also(f, "equipment.blocks."+b.Name+".kind")
	}
}

// places holds where a block's reflectors lie against how many it has.
func (c *checker) places(b *Block, path string) {
	if !c.Has(path + ".places") {
		return
	}
	if c.lacks(path, "length") {
		c.fail(path+".length", "missing-key", "block "+b.Name+" lacks length, which its places need", "a length with its unit, such as 300 mm", "write length under "+path)
	}
	if n := b.Reflectors(); n > 0 && len(b.Places) != n {
		c.fail(path+".places", "not-as-many", fmt.Sprintf("block %s has %d places for %d reflectors", b.Name, len(b.Places), n),
			fmt.Sprintf("%d places: a hole each, then two notches where it has notches", n), "write one for each, in that order")
	}
	for i, place := range b.Places {
		if reaches(place, b.Length) {
			c.under(fmt.Sprintf("%s.places.%d", path, i), path+".length", "place-outside-block", "a reflector lies beyond the end of the block", "check the place and the length, and their units")
		}
	}
}

func (c *checker) scan() {
	line := slices.IndexFunc(c.Groups, func(g Group) bool {
		return g.Method != "" && (!g.Single() || !c.Has("groups."+g.Name+".raster"))
	})
	if line >= 0 && c.lacks("scan", "increment") {
		c.fail("scan.increment", "missing-key", "scan lacks increment", "a length with its unit, such as 1 mm", "write increment: 1 mm under scan")
	}
	if reaches(c.Scan.Overlap, c.Scan.Stretch) {
		f := c.fail("scan.stretch", "stretch-within-overlap", "a stretch is no longer than its overlap with the next", "more than "+c.written("scan.overlap"), "write the way that one scan covers, or less overlap")
		c.also(f, "scan.overlap")
	}
}

// qualification holds what was found against what was looked for.
func (c *checker) qualification() {
	const trials, found = "qualification.trials", "qualification.found"
	switch {
	case c.Has(trials) && c.lacks("qualification", "found"):
		c.fail(found, "missing-key", "the qualification has trials, and lacks found", "how many of them were found", "write found, or delete trials")
	case c.Has(found) && c.lacks("qualification", "trials"):
		c.fail(trials, "missing-key", "the qualification has found, and lacks trials", "how many flaws were looked for", "write trials, or delete found")
	case c.Has(trials) && c.Has(found) && c.Qualification.Found > c.Qualification.Trials:
		f := c.fail(found, "more-found", "more flaws were found than were looked for", "at most "+c.written(trials), "correct the one or the other")
		c.also(f, trials)
	}
}
