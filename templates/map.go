package templates

import (
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// predicted is what the map of a group says.
type predicted struct {
	Figure                 md
	Image                  bool // the reference is that of an image
	Pair                   bool // of a pair of probes
	Allowance, Least, X, Z md
	Above, Step            md
	Flaw, Hole, Square     md // empty where flat flaws are not compared
	Faces                  []predictedFace
	Contact, Grain         bool // the contact face, and attenuation, are counted
	Floor                  md
}

type predictedFace struct{ Face, Least, Most, Above md }

// percentWhole is for shares of places, of which there are hundreds at most.
var percentWhole = unit{"%", 0, "", 0}

// Predicted is the map of the group; nil where there is none.
func (g group) Predicted() (*predicted, error) {
	if of := g.computed(); of.Map != nil {
		return g.seeMap(of)
	}
	return nil, nil
}

func (g group) seeMap(of *technique.Group) (*predicted, error) {
	m, p := of.Map, g.x.p
	v := &predicted{
		Figure: esc("map-" + of.Set.Name), Image: g.TFM, Pair: g.TOFD, Contact: m.Contact, Grain: m.Attenuation,
		X: p.signed(m.Worst.X, positionUnit, si.Nearest, same), Floor: p.computed(gainOf(technique.MapFloor), decibelTenth, si.Nearest),
		Faces: seeMapFaces(p, m.Faces),
	}
	cells := map[string]*md{"allowance": &v.Allowance, "least": &v.Least, "worst_z": &v.Z, "above": &v.Above, "step": &v.Step}
	if g.Has("map.flaw") {
		cells["flaw"], cells["hole"], cells["square"] = &v.Flaw, &v.Hole, &v.Square
	}
	return v, g.x.cells(g.prefix+"map.", cells)
}

// Predicted is the echo of a flat flaw in each face, by the best of the groups.
func (v *view) Predicted() []predictedFace {
	if len(v.Groups) == 0 {
		return nil
	}
	x := v.Groups[0].x
	return seeMapFaces(x.p, x.t.MapFaces)
}

func seeMapFaces(p *printer, faces []technique.MapFace) []predictedFace {
	var list []predictedFace
	for _, f := range faces {
		list = append(list, predictedFace{
			Face: esc(f.Face), Least: echo(p, f.Least), Most: echo(p, f.Most), Above: p.computed(ratioOf(f.Above), percentWhole, si.Down),
		})
	}
	return list
}

// echo prints the predicted echo of a flat flaw, rounded down.
func echo(p *printer, x si.Decibel) md {
	text := p.computed(gainOf(x), decibelTenth, si.Down)
	if x <= technique.MapFloor {
		text += " or lower"
	}
	return text
}
