package templates

import (
	"fmt"
	"slices"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// beamWidth is how wide a single beam is at a sound path.
type beamWidth struct{ Path, Plane, Across md }

// way is one place on the axis of a beam around a pipe.
type way struct{ Leg, Path, Depth, Along, PlateDepth, PlateAlong md }

// seeSingle shows what a group with one single-element probe has in place of an
// array and its beams.
func (v *group) seeSingle(p *printer, g technique.Group) {
	set := g.Set
	v.Single, v.Straight, v.Parent = true, set.Method == "straight-beam", set.Target == "parent"
	v.Devices, v.reflector = v.Probe, set.Reflector
	v.Method = "angle beam, one element"
	if v.Straight {
		v.Method = "straight beam, one element"
	}
	if g.Single == nil {
		p.refused = append(p.refused, "groups."+set.Name+": the probe")
		return
	}
	if g.Single.Probe.Dual {
		v.Method += " to send and one to receive"
	}
	if !v.Straight {
		v.Wave, v.Legs, v.LegNumbers = esc(set.Wave), legs(p, set.Legs), legNumbers(p, set.Legs)
		v.Method += ", " + p.given(angleOf(g.Single.Probe.Angle), angleUnit, si.Nearest)
	} else if v.Parent {
		v.Method += ", for laminations of the parent metal"
	}
	v.Raster = g.Single.Raster
	v.SetOn = setOn(p, set)
	if len(g.Single.Charted) > 0 {
		v.Charted = esc("gain-" + set.Name)
	}
	if finite(float64(set.BackWallLoss)) {
		v.BackWallLoss = p.given(gainOf(set.BackWallLoss), decibelUnit, si.Down)
	}
	for _, w := range g.Single.Widths {
		v.Fitted = v.Fitted || v.Seam && si.Known(w.Plane)
		if !slices.ContainsFunc(g.Single.Widths, func(w technique.BeamWidth) bool { return si.Known(w.Plane) || si.Known(w.Across) }) {
			break // all within the near field, or left out
		}
		v.Spreads = append(v.Spreads, beamWidth{
			Path:  p.computed(lengthOf(w.Path), positionUnit, si.Nearest),
			Plane: or(known(p, lengthOf(w.Plane), positionUnit, si.Down), "–"), Across: or(known(p, lengthOf(w.Across), positionUnit, si.Down), "–"),
		})
	}
	for _, w := range g.Single.Way {
		one := way{Leg: md(fmt.Sprint(w.Leg))}
		for cell, x := range map[*md]si.Length{&one.Path: w.Path, &one.Depth: w.Depth, &one.Along: w.Along, &one.PlateDepth: w.PlateDepth, &one.PlateAlong: w.PlateAlong} {
			*cell = p.computed(lengthOf(x), positionUnit, si.Nearest)
		}
		v.Way = append(v.Way, one)
	}
	for _, pl := range g.Placements {
		v.Placements = append(v.Placements, seePlacement(p, "groups."+set.Name, pl))
		if !v.Straight {
			v.BySide = append(v.BySide, sideShare{esc(sideOf(pl.Side)), p.computed(ratioOf(pl.Coverage.Share), percentOne, si.Down)})
		}
	}
	v.seeFaces(p, g.Faces)
}

// setOn names the reflector that sets a group's sensitivity.
func setOn(p *printer, set *schema.Group) md {
	switch set.Reflector {
	case "disc":
		return "a disc of " + p.length(set.Disc) + ", by distance, gain and size"
	case "back-wall":
		return "the back wall of the part, at a sound place"
	}
	return reflector(set.Reflector)
}

// discStep is one line of the table by which a disc sets the sensitivity.
type discStep struct{ Group, Reference, Disc, Path, Gain md }

// Discs is the table of the gain from the reference reflector to the disc.
func (v *view) Discs() ([]discStep, error) {
	var rows []discStep
	for _, g := range v.Groups {
		for i := 1; g.Has(fmt.Sprintf("dgs.%d.gain", i)); i++ {
			row := discStep{Group: g.Name}
			at := fmt.Sprintf("dgs.%d.", i)
			if err := g.x.cells(g.prefix, map[string]*md{"disc": &row.Disc, at + "path": &row.Path, at + "gain": &row.Gain}); err != nil {
				return nil, err
			}
			reference, _ := g.x.t.Value(string(g.prefix) + "dgs.reference_path")
			row.Reference = esc(referenceName(reference.Name)) + ", " + g.x.both(reference)
			rows = append(rows, row)
		}
	}
	return rows, nil
}

// referenceName is what follows the comma in the name of the reference's path.
func referenceName(name string) string {
	const words = "sound path of the reference reflector, "
	if len(name) > len(words) {
		return name[len(words):]
	}
	return name
}

// Unruled are the groups set by a disc for which no gain over distance is known.
func (v *view) Unruled() []md {
	var names []md
	for _, g := range v.Groups {
		if g.reflector == "disc" && !g.Has("dgs.1.gain") {
			names = append(names, g.Name)
		}
	}
	return names
}

// SetBy lists the groups with one element that are set on a kind of reflector.
func (v *view) SetBy(kind string) []group {
	var some []group
	for _, g := range v.Groups {
		if g.Single && g.reflector == kind {
			some = append(some, g)
		}
	}
	return some
}

// Methods names the methods of the technique.
func (v *view) Methods() md {
	var names []string
	for _, one := range []struct {
		used bool
		name string
	}{
		{v.TOFD, "time-of-flight diffraction (TOFD)"}, {v.Sectorial, "phased-array sectorial scan"}, {v.Linear, "phased-array linear scan"},
		{v.TFM, "total focusing from full-matrix capture (TFM)"},
		{slices.ContainsFunc(v.Groups, func(g group) bool { return g.Single && !g.Straight }), "angle beam with single-element probes"}, {v.Straights(), "straight beam with single-element probes"},
	} {
		if one.used {
			names = append(names, one.name)
		}
	}
	return v.p.list(names)
}

// Angled reports whether single-element probes are used at an angle.
func (v *view) Angled() bool {
	return slices.ContainsFunc(v.Groups, func(g group) bool { return g.TOFD || g.Single && !g.Straight })
}

// Square reports whether a beam from the outer face of a flange meets the face that
// is welded square.
func (v *view) Square() bool {
	return slices.ContainsFunc(v.Groups, func(g group) bool { return g.Square })
}

// Straights reports whether a straight beam is used.
func (v *view) Straights() bool {
	return slices.ContainsFunc(v.Groups, func(g group) bool { return g.Straight })
}

// Parent reports whether a group examines the parent metal for laminations.
func (v *view) Parent() bool {
	return slices.ContainsFunc(v.Groups, func(g group) bool { return g.Parent })
}

// Strokes lists the groups that are scanned by strokes across the weld.
func (v *view) Strokes() []group {
	var some []group
	for _, g := range v.Groups {
		if g.Raster {
			some = append(some, g)
		}
	}
	return some
}
