package coverage_test

import (
	"math/rand"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

const mm = si.Millimetre

// squareButt is 20 mm thick with vertical faces 4 mm apart; with a zone of
// 8 mm its volume goes from X = −10 to 10 mm: 400 mm².
func squareButt() *schema.Part {
	part := &schema.Part{Thickness: 20 * mm}
	part.Weld = schema.Weld{Preparation: "single-V", Opens: "top", RootFace: 20 * mm, RootGap: 4 * mm}
	part.Weld.Cap.Condition, part.Weld.Root.Condition = "flush", "flush"
	part.Zone = schema.Zone{Width: 8 * mm, Boundary: "straight"}
	return part
}

// contact is a way without wedge: emitters on the surface itself.
func contact(legs int, from, to si.Angle, x ...si.Length) coverage.Way {
	w := coverage.Way{Course: course(2330, legs), From: from, To: to}
	for _, x := range x {
		w.Emitters = append(w.Emitters, coverage.Emitter{X: x})
	}
	return w
}

// course is so many transverse legs from a wedge of the given speed; the section
// says how thick the part is.
func course(wedge si.Speed, legs int) ray.Course {
	steel := acoustics.Medium{Longitudinal: 5920, Transverse: 3240}
	return ray.Course{Wedge: wedge, Part: ray.Plate(20*mm, steel), Legs: ray.Waves(acoustics.Transverse, legs)}
}

// fitted are the views, on a part as thick as the section.
func fitted(section *geometry.Section, views []coverage.View) []coverage.View {
	list := slices.Clone(views)
	for i := range list {
		for _, w := range []*coverage.Way{&list[i].Transmit, &list[i].Receive} {
			if len(w.Course.Part.Strata) == 1 {
				w.Course.Part.Strata = slices.Clone(w.Course.Part.Strata)
				w.Course.Part.Strata[0].Thickness = section.Thickness
			}
		}
	}
	return list
}

func reach(section *geometry.Section, views []coverage.View, rows int) coverage.Rows {
	return coverage.Reach(section, fitted(section, views), rows)
}

func incidence(section *geometry.Section, face geometry.Face, views []coverage.View, samples int) coverage.Meeting {
	return coverage.Incidence(section, face, fitted(section, views), samples)
}

// same is a view that transmits and receives the same way.
func same(w coverage.Way) coverage.View { return coverage.View{Transmit: w, Receive: w} }

var preparations = []string{
	"square", "single-V", "double-V", "single-bevel", "double-bevel", "single-U", "double-U", "single-J", "double-J",
	"compound-bevel", "narrow-gap",
}

// randomPart is any joint the program knows, symmetrical in its reinforcements.
func randomPart(r *rand.Rand) *schema.Part {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	length := func(a, b float64) si.Length { return si.Length(between(a, b)) * mm }
	part := &schema.Part{Thickness: length(8, 40)}
	part.Weld = schema.Weld{
		Preparation: preparations[r.Intn(len(preparations))],
		Opens:       []string{"top", "bottom"}[r.Intn(2)], BevelledSide: []string{"A", "B"}[r.Intn(2)],
		BevelAngle: si.Angle(between(0, 45)) * si.Degree, LowerAngle: si.Unknown[si.Angle](),
		OuterAngle: si.Angle(between(0, 20)) * si.Degree, BreakHeight: part.Thickness / 2, RootRadius: length(0, 2),
		UpperDepth: si.Unknown[si.Length](), RootFace: length(0, 3), RootGap: length(0, 4),
	}
	part.Weld.Cap.Condition, part.Weld.Root.Condition = "flush", "flush"
	switch part.Weld.Preparation {
	case "single-bevel", "double-bevel", "single-J", "double-J": // not symmetrical
	default:
		part.Weld.Cap = schema.Reinforcement{Condition: "as-welded", Width: length(8, 30), Height: 2 * mm}
		part.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: length(3, 12), Height: 1 * mm}
	}
	if r.Intn(3) == 0 {
		part.TransitionA = &schema.Transition{Begins: length(25, 70), Slope: 14 * si.Degree, Thickness: part.Thickness + 5*mm}
	}
	if r.Intn(3) == 0 {
		part.TransitionB = &schema.Transition{Begins: length(25, 70), Slope: 90 * si.Degree, Thickness: part.Thickness + 5*mm}
	}
	part.Zone = schema.Zone{Width: length(2, 12), Boundary: []string{"straight", "parallel"}[r.Intn(2)]}
	return part
}

// randomView is a sectorial leg or a tfm view of a small array.
func randomView(r *rand.Rand) coverage.View {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	front := between(-60, -8)
	array := func(n int) (all []coverage.Emitter) {
		for i := range n {
			all = append(all, coverage.Emitter{
				X: si.Length(front-20+0.5*float64(i)) * mm, Height: si.Length(4+0.4*float64(i)) * mm,
			})
		}
		return all
	}
	way := func(n int) coverage.Way {
		from := between(20, 60)
		w := coverage.Way{
			Emitters: array(n), Course: course(2330, 1+r.Intn(3)),
			From: si.Angle(from) * si.Degree, To: si.Angle(between(from+2, 78)) * si.Degree,
		}
		if r.Intn(3) == 0 { // each leg of any wave; steep enough that it may change
			for i := range w.Course.Legs {
				w.Course.Legs[i] = acoustics.Wave(r.Intn(2))
			}
			w.From = si.Angle(between(5, 30)) * si.Degree
		}
		return w
	}
	if r.Intn(2) == 0 {
		return same(way(1))
	}
	n := 2 + r.Intn(12)
	v := coverage.View{Transmit: way(n), Receive: way(n)}
	if r.Intn(2) == 0 {
		v.Region = &schema.Region{Near: 9 * mm, Far: 12 * mm, Top: 2 * mm, Bottom: si.Length(between(4, 40)) * mm}
	}
	return v
}
