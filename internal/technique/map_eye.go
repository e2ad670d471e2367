package technique

import (
	"cmp"
	"slices"

	"soundwrit/internal/coverage"
	"soundwrit/internal/field"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// eye is one way in which a group looks: an image, or beams side by side, of
// which the nearest answers.
type eye struct {
	view  coverage.View
	image *field.Image
	beams []*field.Beam
}

// eyes are the ways in which a group looks, one for each of its views.
func (g *Group) eyes(model *field.Model, st stand) []eye {
	var list []eye
	for _, view := range g.views(st) {
		e := eye{view: view}
		out := view.Transmit.Course.Legs
		switch {
		case g.Set.Method == "tfm":
			e.image = g.image(model, st)
		case view.Transmit.Swept:
			for _, aperture := range g.apertures(g.Set.WedgeFront) {
				angle := view.Transmit.From
				e.beams = append(e.beams, model.Sources(aperture.sources(), out...).Beam(angle, g.focus(aperture, angle)))
			}
		default:
			sources := model.Sources(st.sources(), out...)
			for _, angle := range steps(g.Angles) {
				e.beams = append(e.beams, sources.Beam(angle, g.focus(st, angle)))
			}
		}
		list = append(list, e)
	}
	return list
}

// image is the image of a tfm group.
func (g *Group) image(model *field.Model, st stand) *field.Image {
	elements := st.sources()
	if len(g.waves()) > 0 {
		elements = st.active(1) // sources that stand for several would send other waves
	}
	out, back := g.ways()
	hear := model.Sources(elements, back.Legs...)
	send, firing := hear, st.active(g.every())
	switch last := len(firing) - 1; {
	case firing[last] != st.element(st.first+st.count-1): // less of the array sends than hears
		send = model.Sources(field.Aperture(firing[0], firing[last], len(firing)), out.Legs...)
	case !out.Equal(&back):
		send = model.Sources(elements, out.Legs...)
	}
	im := model.Image(send, hear, field.Span{
		Near: -g.Set.Region.Near, Far: g.Set.Region.Far,
		Out: field.Angles{From: g.Angles.From, To: g.Angles.To}, Back: field.Angles{From: g.Heard.From, To: g.Heard.To},
	})
	im.PlaneWaves(g.waves())
	return im
}

// sources is the aperture as the field knows it.
func (s stand) sources() []ray.Element {
	first, last := s.element(s.first), s.element(s.first+s.count-1)
	return field.Aperture(ray.Element(first), ray.Element(last), s.count)
}

// near returns the two beams whose axes have a place between them, or the last
// two; fewer where there are no two. The axes follow each other along X.
func (e *eye) near(p field.Point) []*field.Beam {
	if len(e.beams) < 3 {
		return e.beams
	}
	i, _ := slices.BinarySearchFunc(e.beams, p.X, func(b *field.Beam, x si.Length) int { return cmp.Compare(b.Axis(p.Z), x) })
	i = min(max(i, 1), len(e.beams)-1)
	return e.beams[i-1 : i+1]
}

func (e *eye) hole(p field.Point) si.Decibel {
	if e.image != nil {
		return e.image.Hole(p)
	}
	most := si.Unknown[si.Decibel]()
	for _, b := range e.near(p) {
		most = larger(most, b.Hole(p))
	}
	return most
}

func (e *eye) facet(p field.Point, f field.Facet) si.Decibel {
	if e.image != nil {
		return e.image.Facet(p, f)
	}
	most := si.Unknown[si.Decibel]()
	for _, b := range e.near(p) {
		most = larger(most, b.Facet(p, f))
	}
	return most
}

// larger is the larger of two values, of which either may be unknown.
func larger(a, b si.Decibel) si.Decibel {
	if !(a >= b) && si.Known(b) {
		return b
	}
	return a
}

// meet keeps the largest echo at places of a face that are reached, from its
// upper end as the section is drawn.
func (e *eye) meet(met *[facePlaces]si.Decibel, face geometry.Face, flipped bool, strip field.Facet, reached coverage.Rows) {
	if face.RootFace {
		return
	}
	for i := range met {
		p, x, z := face.At((si.Ratio(i) + 0.5) / facePlaces)
		row := min(max(int((p.Z-reached.Top)/reached.Height), 0), len(reached.Row)-1)
		if !slices.ContainsFunc(reached.Row[row], func(r coverage.Interval) bool { return r.From <= p.X && p.X <= r.To }) {
			continue
		}
		strip.NormalX, strip.NormalZ = x, z
		at := i
		if flipped {
			at = facePlaces - 1 - i
		}
		met[at] = larger(met[at], e.facet(field.Point(p), strip))
	}
}
