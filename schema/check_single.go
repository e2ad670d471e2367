package schema

import "slices"

// single checks an angle-beam or a straight-beam group: its probe, where it
// stands, and what sets its sensitivity.
func (c *checker) single(g *Group, path string) {
	angled := g.Method == "angle-beam"
	if angled {
		c.probeHas(g.Probe, g.Method, path+".probe", "angle", "wedge_velocity", "front_distance", "length", "delay")
		switch line, raster := c.Has(path+".wedge_front"), c.Has(path+".raster"); {
		case line && raster:
			f := c.fail(path+".raster", "not-one", g.Name+" has both wedge_front and raster", "one of them", "keep wedge_front for one line along the weld, or raster for strokes across it")
			c.also(f, path+".wedge_front")
		case !line && !raster && c.lacks(path, "wedge_front") && c.lacks(path, "raster"):
			c.fail(path+".raster", "missing-key", g.Name+" lacks raster, or wedge_front for one line along the weld", "keys below it: from to index", "write one of the two")
		}
		c.legs(g, path)
	}
	if reaches(g.Raster.From, g.Raster.To) {
		c.under(path+".raster.from", path+".raster.to", "range-reversed", "a stroke has no length: from is not under to", "exchange from and to, or lengthen the stroke")
	}
	if p := c.singleProbe(g.Probe); p != nil {
		c.element(g, p, path)
		if at := "equipment.single_probes." + p.Name; !angled {
			for _, key := range []string{"angle", "front_distance"} {
				if c.Has(at + "." + key) {
					f := c.fail(at+"."+key, "misplaced-key", key+" belongs to an angled beam, and probe "+p.Name+" serves a straight one", "a straight probe has none", "delete it, or choose another probe")
					c.also(f, path+".probe")
				}
			}
			if line := c.Has(at + ".delay"); line != c.Has(at+".wedge_velocity") {
				missing := map[bool]string{true: "wedge_velocity", false: "delay"}[line]
				if c.lacks(at, missing) {
					c.fail(at+"."+missing, "missing-key", "a delay line has both delay and wedge_velocity, and "+missing+" is missing", "both, or none where there is no delay line", "write "+missing+" too")
				}
			}
		}
	}
	c.sensitivity(g, path)
}

// element checks that a probe has one form of element, and the range that a dual
// one needs.
func (c *checker) element(g *Group, p *SingleProbe, path string) {
	at := "equipment.single_probes." + p.Name
	switch round, rectangular := c.Has(at+".diameter"), c.Has(at+".element"); {
	case round && rectangular:
		f := c.fail(at+".element", "not-one", "probe "+p.Name+" has both diameter and element", "one of them", "delete one of the two")
		c.also(f, at+".diameter")
	case !round && !rectangular && c.lacks(at, "diameter") && c.lacks(at, "element"):
		f := c.fail(at+".diameter", "missing-key", "probe "+p.Name+" lacks diameter, or element with the sides of a rectangular one", "a length with its unit, such as 10 mm", "write one of the two")
		c.also(f, path+".probe")
	}
	if p.Dual && c.lacks(at, "range") {
		f := c.fail(at+".range", "missing-key", "probe "+p.Name+" is dual and lacks range, in which its two beams meet", "keys below it: from to", "write the range that its maker states, or that was measured on steps")
		c.also(f, path+".probe")
	}
	if reaches(p.RangeFrom, p.RangeTo) {
		c.under(at+".range.from", at+".range.to", "range-reversed", "the range of the probe is empty", "exchange from and to")
	}
}

// sensitivity checks that the reflector of a group suits its method.
func (c *checker) sensitivity(g *Group, path string) {
	at := path + ".reflector"
	if !c.Has(at) {
		at = "reference.reflector"
	}
	switch {
	case g.Reflector == "back-wall" && g.Method == "angle-beam":
		f := c.fail(at, "no-such-reflector", "the back wall sends an angled beam away, and cannot set the sensitivity of "+g.Name, "side-drilled-hole, notch or disc", "choose another reflector for this group")
		c.also(f, path+".method")
	case g.Reflector == "notch" && g.Method == "straight-beam":
		f := c.fail(at, "no-such-reflector", "a notch does not set the sensitivity of the straight beam of "+g.Name, "side-drilled-hole, disc or back-wall", "choose another reflector for this group")
		c.also(f, path+".method")
	case g.Reflector != "disc":
	case !c.Has(path+".disc") && !c.Has("reference.disc"):
		f := c.fail(path+".disc", "missing-key", g.Name+" is set by a disc, and its diameter is missing", "a length with its unit, such as 2 mm", "write disc under "+path+" or under reference")
		c.also(f, at)
	default:
		if p := c.singleProbe(g.Probe); p != nil && p.Dual {
			f := c.fail(at, "no-such-reflector", "the laws of distance, gain and size hold for one element, and probe "+p.Name+" has two", "side-drilled-hole or back-wall", "set the sensitivity on reflectors of a block, or by the diagram of the probe's maker")
			c.also(f, "equipment.single_probes."+p.Name+".dual")
		}
	}
}

// probeHas checks that a single-element probe states what a method needs of it.
func (c *checker) probeHas(name, method, where string, keys ...string) {
	p := c.singleProbe(name)
	if p == nil {
		return
	}
	at := "equipment.single_probes." + name
	for _, key := range keys {
		if c.lacks(at, key) {
			f := c.fail(at+"."+key, "missing-key", "probe "+name+" lacks "+key+", which method "+method+" needs", "", "write "+key+" under "+at)
			c.also(f, where)
		}
	}
}

// setByArrays tells of a reflector that arrays cannot be set by, where a group
// has one.
func (c *checker) setByArrays() {
	r := c.Reference.Reflector
	if r != "disc" && r != "back-wall" {
		return
	}
	i := slices.IndexFunc(c.Groups, func(g Group) bool { return g.Method != "" && g.Method != "tofd" && !g.Single() })
	if i < 0 {
		return
	}
	f := c.fail("reference.reflector", "no-such-reflector", "reflector "+r+" is for single-element probes, and group "+c.Groups[i].Name+" has an array", "side-drilled-hole or notch",
		"set the reference for the arrays here, and reflector under the groups with single-element probes")
	c.also(f, "groups."+c.Groups[i].Name+".method")
}
