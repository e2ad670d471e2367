package technique

import (
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
)

// Vocabulary lists every fact a rule book may use. A name that is not here is
// an error when a book is read.
func Vocabulary() []rules.Fact {
	q := func(name string, kind si.Kind, unit, inch string, decimals int, path, doc string) rules.Fact {
		return rules.Fact{Name: name, Type: rules.Quantity, Kind: kind, Unit: unit, Inch: inch, Decimals: decimals, Path: path, Doc: doc}
	}
	length := func(name, path, doc string) rules.Fact { return q(name, si.KindLength, "mm", "in", 3, path, doc) }
	text := func(name, path, doc string) rules.Fact {
		return rules.Fact{Name: name, Type: rules.Text, Path: path, Doc: doc}
	}
	list := func(name, path, doc string) rules.Fact {
		return rules.Fact{Name: name, Type: rules.List, Path: path, Doc: doc}
	}
	flag := func(name, path, doc string) rules.Fact {
		return rules.Fact{Name: name, Type: rules.Flag, Path: path, Doc: doc}
	}
	number := func(name, path, doc string) rules.Fact { return q(name, si.Number, "", "", 0, path, doc) }
	angle := func(name, path, doc string) rules.Fact { return q(name, si.KindAngle, "deg", "", 1, path, doc) }
	share := func(name, path, doc string) rules.Fact { return q(name, si.KindRatio, "%", "", 1, path, doc) }
	ratio := func(name, path, doc string) rules.Fact { return q(name, si.Number, "", "", 2, path, doc) }
	gain := func(name, path, doc string) rules.Fact { return q(name, si.KindDecibel, "dB", "", 1, path, doc) }
	speed := func(name, unit, inch, path, doc string) rules.Fact {
		return q(name, si.KindSpeed, unit, inch, 1, path, doc)
	}
	return []rules.Fact{
		text("document.number", "document.number", "the document's number"),
		text("document.revision", "document.revision", "the document's revision"),
		text("document.date", "document.date", "date of this revision"),
		text("document.status", "document.status", "status of this revision"),
		text("document.client", "document.client", "the client"),
		text("document.purpose", "document.purpose", "why the weld is examined, and the relation to other methods"),
		number("document.limitations", "document.limitations", "how many limitations the author declares"),
		text("code.level", "codes", "the level the job asks for under the code of this book"),

		number("people.prepares", "document.people", "how many people are named as preparing the document"),
		number("people.approves_level", "document.people", "lowest level of those who approve the document; unknown where nobody does"),
		number("people.scans_level", "document.people", "lowest level of those who scan; unknown where nobody is named"),
		number("people.evaluates_level", "document.people", "lowest level of those who evaluate; unknown where nobody is named"),
		text("people.scans_training", "document.people", "additional training of those who scan; empty if any of them lacks it"),
		text("people.evaluates_training", "document.people", "additional training of those who evaluate; empty if any of them lacks it"),

		text("part.kind", "part.kind", "plate or pipe"),
		text("part.seam", "part.weld.seam", "girth or longitudinal; empty for a plate"),
		text("part.material_group", "part.material.group", "ferritic, austenitic, nickel, aluminium"),
		text("part.material", "part.material.name", "the parent metal"),
		speed("part.longitudinal", "m/s", "", "part.material.longitudinal", "longitudinal sound velocity of the part"),
		speed("part.transverse", "m/s", "", "part.material.transverse", "transverse sound velocity of the part"),
		length("part.thickness", "part.thickness", "nominal thickness"),
		length("part.outside_diameter", "part.outside_diameter", "outside diameter of a pipe; unknown for a plate"),
		number("part.side_count", "part.access.sides", "how many sides of the weld are accessible"),
		number("part.surface_count", "part.access.surfaces", "how many surfaces are accessible"),
		length("part.zone_width", "part.heat_affected_zone.width", "parent metal examined on each side of the weld"),
		text("part.zone_basis", "part.heat_affected_zone.basis", "where the width of the zone comes from"),
		q("part.temperature_from", si.KindCelsius, "degC", "degF", 0, "part.temperature.from", "lowest surface temperature during the examination"),
		q("part.temperature_to", si.KindCelsius, "degC", "degF", 0, "part.temperature.to", "highest surface temperature during the examination"),
		q("part.roughness", si.KindLength, "um", "", 1, "part.surface.roughness", "roughness Ra of the scanning surface"),
		text("part.surface_condition", "part.surface.condition", "state of the scanning surface"),
		text("part.coating", "part.surface.coating", "coating of the scanning surface"),
		text("part.cladding", "part.cladding.surface", "surface that is clad, or none"),
		text("part.parent_material", "part.parent_material", "how the parent metal in the beam's way was found sound"),

		text("weld.preparation", "part.weld.preparation", "form of the weld preparation; of a T-butt weld with these words, such as: double-bevel, T-butt"),
		text("weld.process", "part.weld.process", "welding process"),
		text("weld.stage", "part.weld.stage", "when the examination may start"),
		text("weld.transverse", "part.weld.transverse", "how flaws across the weld are examined, or why they are not"),
		text("weld.cap", "part.weld.cap.condition", "state of the top reinforcement"),
		text("weld.root", "part.weld.root.condition", "state of the bottom reinforcement"),
		length("weld.length", "part.weld.length", "length of weld"),
		length("weld.cap_width", "part.weld.cap.width", "width of the top reinforcement; unknown where it is flush"),
		length("weld.root_width", "part.weld.root.width", "width of the bottom reinforcement; unknown where it is flush"),
		length("weld.width_top", "part.weld.preparation", "width of the preparation at the top surface"),
		length("weld.width_bottom", "part.weld.preparation", "width of the preparation at the bottom surface"),

		text("instrument.description", "equipment.instrument.description", "the instrument"),
		text("instrument.software", "equipment.instrument.software", "software of the instrument, with version"),
		text("instrument.image", "equipment.instrument.image", "envelope or oscillating: what an image point shows"),
		q("instrument.sampling", si.KindFrequency, "MHz", "", 1, "equipment.instrument.sampling", "digitising rate"),
		text("encoder.description", "equipment.encoder.description", "the encoder"),
		length("encoder.resolution", "equipment.encoder.resolution", "one count of the encoder"),
		q("instrument.pulse_rate", si.KindFrequency, "kHz", "", 2, "equipment.instrument.pulse_rate", "highest pulse rate that is set"),
		gain("instrument.gain_span", "equipment.instrument.gain_span", "rise that the time-corrected gain of the instrument can make"),
		text("couplant.description", "equipment.couplant", "the couplant"),
		text("scanner.drive", "equipment.scanner.drive", "hand or motor"),
		text("scanner.guide", "equipment.scanner.guide", "what holds the probe at its distance"),

		text("block.name", "reference.block", "name of the reference block"),
		text("block.kind", "equipment.blocks", "kind of reflectors of the reference block"),
		text("block.material", "equipment.blocks", "material of the reference block"),
		length("block.thickness", "equipment.blocks", "thickness of the reference block"),
		flag("block.curved", "equipment.blocks", "the block's surface is curved"),
		length("block.diameter", "equipment.blocks", "diameter of the block's curved surface; unknown where flat"),
		length("block.hole_diameter", "equipment.blocks", "diameter of the side-drilled holes"),
		number("block.hole_count", "equipment.blocks", "how many side-drilled holes it has, at different depths"),
		length("block.notch_depth", "equipment.blocks", "depth of its notches"),
		length("block.notch_length", "equipment.blocks", "length of its notches, across the beam"),
		length("block.notch_width", "equipment.blocks", "width of its notches, along the beam"),
		length("block.length", "equipment.blocks", "length of the block, along the beam"),
		length("block.width", "equipment.blocks", "width of the block, along the arc where it is curved"),

		text("reference.reflector", "reference.reflector", "the reflector that sets the sensitivity"),
		share("reference.level", "reference.level", "screen height of the reference echo"),
		gain("reference.scanning_gain", "reference.scanning_gain", "gain above reference while scanning"),
		gain("reference.evaluation_level", "reference.evaluation_level", "level above which everything is evaluated, relative to reference"),
		text("reference.transfer", "reference.transfer", "how the difference between block and part is corrected"),
		q("reference.temperature_difference", si.KindKelvin, "K", "degF", 0, "reference.temperature_difference", "largest difference of temperature between block and part"),
		q("reference.check_interval", si.KindTime, "h", "", 1, "reference.checks.interval", "longest time between two checks"),
		list("reference.check_occasions", "reference.checks.occasions", "when else the setting is checked"),
		gain("reference.sensitivity_tolerance", "reference.checks.sensitivity", "change of sensitivity that needs no action"),
		length("reference.range_tolerance", "reference.checks.range", "change of range that needs no action"),
		share("reference.range_share", "reference.checks.range_share", "change of range that needs no action, as a share of the reading"),
		share("reference.encoder_tolerance", "reference.checks.encoder", "error of the encoder that needs no action"),
		length("reference.encoder_length", "reference.checks.encoder_length", "length over which the encoder is checked"),
		share("reference.curve_reach", "reference.block", "deepest reflector of the time-corrected gain over the deepest sound path used, in unfolded depth; 100 % or more means the whole range is covered"),

		flag("scan.strokes_only", "groups", "every group is scanned by strokes across the weld, so that nothing is stored along it"),
		length("scan.increment", "scan.increment", "distance between two scan positions"),
		share("scan.count_error", "equipment.encoder.resolution", "error of the way where an increment is made of whole counts of the encoder"),
		length("scan.overlap", "scan.overlap", "overlap of successive scans, and at the closure of a girth weld"),
		share("scan.line_overlap", "scan.line_overlap", "overlap of neighbouring scan lines"),
		speed("scan.speed", "mm/s", "in/s", "scan.speed", "scan speed the crew works to"),
		speed("scan.speed_limit", "mm/s", "in/s", "scan.speed", "speed above which lines are lost"),
		speed("scan.fastest_mean", "mm/s", "in/s", "scan.speed", "highest mean speed that keeps the expected loss inside the code's allowance"),
		share("scan.expected_loss", "scan.speed", "expected share of lines lost at the working speed"),
		share("scan.missing_share", "scan.missing.share", "share of missing lines the technique tolerates"),
		number("scan.missing_per_length", "scan.missing.per_25mm", "missing lines in 25 mm (1 in) the technique tolerates"),
		number("scan.missing_adjacent", "scan.missing.adjacent", "neighbouring missing lines the technique tolerates"),
		text("scan.datum", "scan.datum", "where the scan is measured from"),
		text("scan.coupling_loss", "scan.coupling_loss", "what the crew does when coupling is lost"),
		text("scan.storage", "scan.storage", "what is stored"),

		text("scan.direction", "scan.direction", "in which direction the scan runs"),

		text("evaluation.geometry", "evaluation.geometry", "how echoes of the geometry are told from flaws"),
		text("evaluation.length", "evaluation.length", "how the length of an indication is measured"),
		text("evaluation.height", "evaluation.height", "how the height of an indication is measured"),

		number("groups.single_angles", "groups", "different angles of the angled single-element probes"),
		angle("groups.angle_gap", "groups", "smallest difference between two of these angles; unknown where there are fewer than two"),
		share("coverage.share", "groups", "share of the volume reached by all groups together"),
		number("coverage.missed", "groups", "how many connected regions of the volume are not reached"),
		share("coverage.faces", "groups", "smallest share, over all fusion faces, of a face that some beam meets within 10 degrees of square"),
		gain("coverage.map_least", "groups", "smallest predicted echo of a reflector like the hole of the block in the volume reached, at each place by the group that shows it highest, relative to reference"),
		share("coverage.map_above", "groups", "share of the volume reached where that echo is not below the allowance of the sensitivity map"),

		text("qualification.block", "qualification.block", "the demonstration block"),
		number("qualification.flaws", "qualification.flaws", "how many flaws the demonstration block holds"),
		text("qualification.record", "qualification.record", "the record of the demonstration"),

		flag("job.pairs_only", "groups", "every group is a pair of probes for time-of-flight diffraction"),
		text("group.probe", "probe", "the probe"),
		text("group.wedge", "wedge", "the wedge"),
		text("group.method", "method", "tfm, sectorial, linear, tofd, angle-beam or straight-beam"),
		text("group.path", "path", "image path of a tfm group"),
		text("group.wave", "wave", "transverse or longitudinal, in the part"),
		q("group.frequency", si.KindFrequency, "MHz", "", 2, "probe", "nominal frequency of the probe"),
		number("group.elements", "probe", "elements of the probe"),
		length("group.pitch", "probe", "pitch of the probe"),
		length("group.element_width", "probe", "width of an element, in the direction of the array"),
		length("group.elevation", "probe", "length of an element, across the array"),
		length("group.gap", "probe", "gap between neighbouring elements"),
		ratio("group.pitch_ratio", "probe", "pitch over wavelength in the wedge"),
		flag("group.grating_lobe", "probe", "a grating lobe enters the part within the angles used"),
		number("group.aperture", "aperture.count", "elements that form a beam"),
		number("group.first_element", "aperture.first", "first element of the aperture"),
		length("group.aperture_height", "aperture", "effective height of the aperture"),
		angle("group.natural_angle", "wedge", "refracted angle of the unsteered beam"),
		text("group.focus", "focus", "where the beams are focused, or that they are not"),
		angle("group.angle_from", "angles.from", "smallest refracted angle used"),
		angle("group.angle_to", "angles.to", "largest refracted angle used"),
		angle("group.wall_from", "angles.from", "smallest angle from the normal at which the opposite face is met"),
		angle("group.wall_to", "angles.to", "largest angle from the normal at which the opposite face is met, 90 degrees where a beam turns before it"),
		angle("group.angle_step", "angles.step", "step between beams"),
		share("group.beam_overlap", "angles.step", "overlap of neighbouring beams at -6 dB, the smallest over the range, by the spread of the beams or by their computed widths"),
		number("group.fixed_angles", "fixed_angles", "how many fixed angles a linear group has"),
		share("group.aperture_overlap", "stepping.step", "overlap of neighbouring apertures of a linear group, share of the aperture"),
		length("group.diameter", "pair", "diameter of the element of a tofd pair, or largest side of that of a single-element probe"),
		text("group.pattern", "raster", "line or raster: how a group with a single-element probe is scanned"),
		text("group.target", "target", "parent or weld: what a straight beam examines"),
		text("group.reflector", "reflector", "the reflector that sets the sensitivity of this group"),
		gain("group.back_wall_loss", "back_wall_loss", "drop of the back-wall echo from which a place is recorded"),
		share("group.index_overlap", "raster.index", "overlap of neighbouring strokes, share of the element's width"),
		share("group.strip_share", "raster", "share of the strip of parent metal, from the weld to the farthest exit point of the other groups, that passes under the element"),
		speed("group.pulse_speed", "mm/s", "in/s", "probe", "speed above which fewer than three pulses of a single-element probe meet a small reflector where the beam is narrowest"),
		length("group.separation", "separation", "distance between the exit points of a tofd pair"),
		length("group.zone_height", "depth_zone", "height of the depth zone of a tofd group"),
		share("group.crossing_share", "crossing_depth", "depth of the crossing of the beam axes in the zone of a tofd group, share of its height"),
		length("group.dead_surface", "pair", "depth down to which the lateral wave of a tofd pair hides flaws"),
		length("group.dead_wall", "pair", "height over the far surface that the back-wall echo of a tofd pair hides"),
		q("group.window", si.KindTime, "us", "", 2, "pair", "end of the time window of a tofd pair"),
		number("group.legs", "legs", "most legs of a path that are used"),
		flag("group.usable_angles", "wedge", "the angles used lie in the range the wedge is stated for; unknown where no range is stated"),
		text("group.surface", "surface", "surface on which the probe stands: top, bottom or flange"),
		flag("group.focused", "focus", "the beams have a focus"),
		ratio("group.focus_ratio", "focus", "sound path to the focus over the near field left in the part"),
		length("group.wedge_front", "wedge_front", "from the weld centreline back to the wedge front"),
		text("group.angle_range", "angles", "the refracted angles of a sectorial group: from, to and step"),
		text("group.angle_list", "fixed_angles", "the refracted angles of a linear group"),
		length("group.toe_clearance", "wedge_front", "from the toe of the reinforcement to the wedge front"),
		angle("group.reach_angle", "angles.to", "largest refracted angle whose ray reaches the inner wall around a pipe; unknown where the walls are straight"),
		length("group.wedge_gap", "wedge", "gap between wedge and curved surface"),
		length("group.grid", "grid", "distance between image points"),
		ratio("group.grid_ratio", "grid", "grid over wavelength in the part"),
		gain("group.grid_loss", "grid", "expected loss of amplitude between image points; positive"),
		text("group.fidelity_by", "fidelity_by", "how the loss of amplitude between image points was measured"),
		gain("group.fidelity", "fidelity", "measured loss of amplitude between image points; positive"),
		text("group.transmission", "transmission.scheme", "full-matrix, half-matrix, every-nth, plane-wave"),
		number("group.every", "transmission.n", "n, where every n-th element fires"),
		gain("group.artefact_rise", "transmission", "by how much the false responses around a point exceed those with all elements firing"),
		ratio("group.sampling_ratio", "probe", "digitising rate over probe frequency"),
		gain("group.gain_span", "", "largest expected rise of the time-corrected gain over the reflectors of the block"),
		q("group.pulse_rate", si.KindFrequency, "kHz", "", 2, "", "pulse rate, by what the instrument states"),
		q("group.ghost_rate", si.KindFrequency, "kHz", "", 2, "", "pulse rate above which echoes of an earlier pulse may come in"),
		share("group.coverage", "", "share of the volume this group reaches from all its sides"),
		number("group.side_count", "sides", "sides from which the group looks"),
		angle("group.face_best", "", "smallest angle between a beam and the normal of a fusion face"),
		angle("group.temperature_shift", "wedge", "largest change of the angle of the unsteered beam between 20 °C and the temperatures of the job"),
		text("group.store", "store", "what is stored of a tfm group: matrix or image"),
	}
}
