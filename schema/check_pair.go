package schema

// pair checks a tofd group: its probe, where the pair stands, and its zone.
func (c *checker) pair(g *Group, path string) {
	c.named(path+".pair", "single-element probe", g.Pair, "equipment.single_probes")
	c.probeHas(g.Pair, g.Method, path+".pair", "diameter", "angle", "wedge_velocity", "front_distance", "length", "delay")
	switch separation, crossing := c.Has(path+".separation"), c.Has(path+".crossing_depth"); {
	case separation && crossing:
		f := c.fail(path+".crossing_depth", "not-one", g.Name+" has both separation and crossing_depth", "one of them", "delete one of the two")
		c.also(f, path+".separation")
	case !separation && !crossing && c.lacks(path, "separation") && c.lacks(path, "crossing_depth"):
		c.fail(path+".separation", "missing-key", g.Name+" lacks separation, or crossing_depth from which it is computed", "a length with its unit, such as 92 mm", "write one of the two")
	}
	if len(c.Part.Sides) == 1 {
		f := c.fail(path+".method", "side-not-accessible", "method tofd needs both sides of the weld, and only side "+c.Part.Sides[0]+" is accessible",
			"both sides accessible", "choose another method, or add the other side to part.access.sides")
		f.Also = append(f.Also, c.here("part.access.sides", "the accessible sides"))
	}
	zone := g.DepthZone
	if reaches(zone.From, zone.To) {
		c.under(path+".depth_zone.from", path+".depth_zone.to", "range-reversed", "the zone has no height: from is not above to", "exchange from and to, or widen the zone")
	}
	if over(zone.To, c.Part.Thickness) {
		f := c.fail(path+".depth_zone.to", "region-outside-part", "the zone ends deeper than the part is thick", "at most "+c.written("part.thickness"), "end it at the thickness or above")
		c.also(f, "part.thickness")
	}
}
