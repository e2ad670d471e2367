package templates

import (
	"fmt"
	"strings"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// group is one group with its set-up and what was computed for it.
type group struct {
	x      values
	prefix string

	Number                                                             md // of its section: "9.1"
	Name, Method, Purpose, Probe, Wedge, Sides, Surface                md
	Front                                                              md // from the centreline to the wedge front, as the job gives it
	Figure                                                             md
	TFM, Sectorial, Linear, TOFD, Beams                                bool // Beams: sectorial or linear
	InBore                                                             bool // inside a pipe along its seam
	Devices, Pair                                                      md   // probe and wedge, or the pair; the pair alone
	Single, Straight, Parent, Raster                                   bool // one element; square to the surface; for the parent metal; by strokes
	reflector                                                          string
	SetOn, BackWallLoss, Charted                                       md
	Spreads                                                            []beamWidth
	Fitted                                                             bool // the face fits the pipe, so that a width in the section is known
	Depths                                                             []pairDepth
	Wave, Aperture, Focus, Legs, LegNumbers                            md // of beams
	Fixed, Stepping                                                    md // linear
	Path, Region, Grid, Transmission, Store, Fidelity, FidelityBy, Hit md // tfm
	Active                                                             md // elements, first to last
	Bounds                                                             md // of the region, in short
	Measured                                                           bool
	GratingLobe                                                        bool

	Placements []placement
	Laws       []law
	LawNote    md
	Delays     delays
	Faces      []face
	NotReached []notReached
	Coverage   coverage
	BySide     []sideShare
	Image      *image // tfm: how a point is shown
	Waves      bool   // tfm: plane waves are sent
	Clad       bool   // the part has a cladding
	Seam       bool   // the weld runs along a pipe
	Way        []way  // of an angled beam with one element around a pipe
	OnFlange   bool   // it stands on the outer face of a flange
	Square     bool   // from there, a beam of it meets the face that is welded square
	Omitted    []omitted
	pathLegs   []technique.Leg
}

// V prints a computed value of the group.
func (g group) V(id string) (md, error) { return g.x.text(g.prefix + id) }

// Row is a table row of a computed value's name and the value.
func (g group) Row(id string) (md, error) { return g.x.row(g.prefix + id) }

// Optional is Row, or nothing where the group has no such value.
func (g group) Optional(id string) (md, error) { return g.x.optional(g.prefix + id) }

// Toe tells whether there is a toe of a reinforcement before the wedge: a flush
// weld has none.
func (g group) Toe() bool {
	toe, known := g.x.t.Value(string(g.prefix) + "toe")
	return g.Has("toe_clearance") && !(known && toe.Q.SI == 0)
}

// Called is Optional under a name of the template's own.
func (g group) Called(id, name string) (md, error) {
	if !g.Has(id) {
		return "", nil
	}
	return g.x.called(g.prefix+id, name)
}

// Has tells whether the group has a computed value.
func (g group) Has(id string) bool { return g.x.has(g.prefix + id) }

// placement is where the probe stands on one side, with signs.
type placement struct{ Side, Front, Exit, First, Back, Elements, Points md }

type law struct{ Angle, Elements, WedgeAngle, Exit, Path, NearField, Focus md }

// delays is the table of delays of three beams: a row an element, in two
// columns side by side where there are many elements.
type delays struct {
	Element md // head of the column of elements
	Angles  []md
	Rows    [][]md
	Twice   bool
}

type face struct {
	Face, Side, Square, Leg, Best, Worst, Reached, Within md
	Unmet                                                 bool
}

// notReached names the faces that a group reaches nothing of from one side.
type notReached struct{ Side, Faces md }

type sideShare struct{ Side, Share md }

func seeGroups(x values) []group {
	var all []group
	for i, g := range x.t.Groups {
		all = append(all, seeGroup(x, i, g))
	}
	return all
}

func seeGroup(x values, i int, g technique.Group) group {
	p, set := x.p, g.Set
	path := "groups." + set.Name
	v := group{
		x: x, prefix: valuePrefix(set.Name), Number: md(fmt.Sprintf("9.%d", i+1)),
		Name: esc(set.Name), Purpose: or(esc(set.Purpose), "What this group is for is not stated"), Probe: esc(set.Probe), Wedge: esc(set.Wedge),
		Sides: sidesOf(p, set), OnFlange: set.OnFlange(), Surface: esc(surface(x.t.Job.Part.Kind, set.Surface)),
		Front:  frontOf(p, g),
		Figure: esc("section-" + set.Name), TFM: set.Method == "tfm", Sectorial: set.Method == "sectorial",
		Linear: set.Method == "linear", TOFD: set.Method == "tofd", InBore: g.InBore(), Beams: set.Method == "sectorial" || set.Method == "linear",
		Coverage: seeCoverage(p, g.Coverage),
	}
	v.Devices = v.Probe + ", " + v.Wedge
	v.GratingLobe = v.Has("grating_angle")
	for _, o := range g.Omitted {
		v.Omitted = append(v.Omitted, omitted{esc(o.Name), esc(o.Why)})
	}
	v.Clad, v.Seam, v.pathLegs = x.t.Job.Part.Cladding != nil, x.t.Job.Part.Longitudinal(), g.Legs
	if v.TOFD {
		v.seePair(p, g)
		return v
	}
	if set.Single() {
		v.seeSingle(p, g)
		return v
	}
	v.Waves = set.Transmission.Scheme == "plane-wave"
	v.Image = seeImage(p, g.Study, set.Transmission.Scheme != "full-matrix" && set.Transmission.Scheme != "half-matrix")
	if v.TFM {
		v.Method = "total focusing from full-matrix capture (TFM)"
		r := set.Region
		v.Path = esc(set.Path)
		v.Region = "from " + p.length(r.Near) + " on the probe's side of the centreline to " + p.length(r.Far) +
			" beyond it, at depths from " + p.length(r.Top) + " to " + p.length(r.Bottom)
		v.Bounds = p.length(r.Near) + " near side, " + p.length(r.Far) + " far side; depth " + p.length(r.Top) + " to " + p.length(r.Bottom)
		v.Grid = p.given(lengthOf(set.Grid), lengthUnit, si.Down)
		v.Transmission = transmission(p, set.Transmission)
		v.FidelityBy = esc(set.FidelityBy)
		v.Store = map[string]md{"matrix": "the matrix of A-scans, from which images can be computed again", "image": "the images; they cannot be computed again"}[set.Store]
		v.Measured = finite(float64(set.Fidelity))
		v.Fidelity = p.given(gainOf(set.Fidelity), decibelUnit, si.Up)
	} else {
		v.Method = "phased-array sectorial scan"
		v.Wave = esc(set.Wave)
		v.Aperture = md(fmt.Sprintf("%d elements, %d to %d", set.Aperture.Count, set.Aperture.First, set.Aperture.First+set.Aperture.Count-1))
		v.Active = md(fmt.Sprintf("%d to %d", set.Aperture.First, set.Aperture.First+set.Aperture.Count-1))
		if v.Linear {
			v.seeStepping(p, set)
		}
		switch set.Focus.Kind {
		case "depth":
			v.Focus = "at a depth of " + p.length(set.Focus.At)
		case "path":
			v.Focus = "at a sound path in the part of " + p.length(set.Focus.At)
		default:
			v.Focus = "none"
		}
		v.Legs, v.LegNumbers = legs(p, set.Legs), legNumbers(p, set.Legs)
	}
	for _, pl := range g.Placements {
		v.Placements = append(v.Placements, seePlacement(p, path, pl))
		v.BySide = append(v.BySide, sideShare{esc(sideOf(pl.Side)), p.computed(ratioOf(pl.Coverage.Share), percentOne, si.Down)})
	}
	v.seeLaws(p, path, g)
	v.seeFaces(p, g.Faces)
	return v
}

// seeFaces keeps the faces that are reached for the table, and names the others
// by side.
func (v *group) seeFaces(p *printer, all []technique.FaceIncidence) {
	for i := 0; i < len(all); {
		side := all[i].Side
		var missed []string
		for ; i < len(all) && all[i].Side == side; i++ {
			v.Square = v.Square || v.OnFlange && all[i].Face.Name == "B flange" && all[i].Within > 0
			if f := all[i]; f.Reached > 0 {
				v.Faces = append(v.Faces, seeFace(p, f))
			} else {
				missed = append(missed, f.Face.Name)
			}
		}
		if len(missed) > 0 {
			v.NotReached = append(v.NotReached, notReached{esc(sideOf(side)), p.list(missed)})
		}
	}
}

// sideOf names a side: on the outer face of a flange by a surface of the web.
func sideOf(side string) string {
	if side == "top" || side == "bottom" {
		return side + ", on the flange"
	}
	return side
}

func sidesOf(p *printer, set *schema.Group) md {
	if set.OnFlange() {
		return p.list(set.Sides) + ", on the flange"
	}
	return p.list(set.Sides)
}

func seePlacement(p *printer, path string, pl technique.Placement) placement {
	v := placement{
		Side:     esc(sideOf(pl.Side)),
		Front:    p.signed(pl.Along(pl.Front), lengthUnit, si.Nearest, trim),
		Exit:     p.signed(pl.Along(pl.Exit), positionUnit, si.Nearest, same),
		Back:     p.signed(pl.Along(pl.Back), positionUnit, si.Nearest, same),
		First:    notStated,
		Elements: md(fmt.Sprintf("%d to %d", pl.Active[0], pl.Active[1])),
		Points:   "towards side B",
	}
	switch pl.Side {
	case "B":
		v.Points = "towards side A"
	case "top":
		v.Points = "towards side bottom"
	case "bottom":
		v.Points = "towards side top"
	}
	if len(pl.Elements) > 0 {
		v.First = p.signed(pl.Along(pl.Elements[0]), positionUnit, si.Nearest, same)
	}
	if !finite(float64(pl.Exit.X)) || !finite(float64(pl.Front.X)) {
		p.refused = append(p.refused, path+": where the probe stands on side "+pl.Side)
	}
	return v
}

// most is how many beams are listed at most; of more, every n-th is, with the
// first and the last.
const most = 12

func (v *group) seeLaws(p *printer, path string, g technique.Group) {
	n := len(g.Laws)
	if n == 0 {
		return
	}
	step := 1
	if n > most {
		step = (n - 1 + most - 2) / (most - 1)
		v.LawNote = md(fmt.Sprintf("The table lists %s of the %d beams, and the first and the last.\nThe beams between them lie at the step of the set-up table.", everyNth(step), n))
	}
	for i, l := range g.Laws {
		for _, x := range []float64{float64(l.Angle), float64(l.WedgeAngle), float64(l.Exit), float64(l.Path)} {
			if !finite(x) || !finite(float64(l.NearField)) && g.Part.Radius == 0 {
				p.refused = append(p.refused, fmt.Sprintf("%s: beam %d", path, i+1))
				break
			}
		}
		if i%step != 0 && i != n-1 {
			continue
		}
		one := law{
			Angle:      p.computed(angleOf(l.Angle), angleOne, si.Nearest),
			WedgeAngle: p.computed(angleOf(l.WedgeAngle), angleOne, si.Nearest),
			Exit:       p.computed(lengthOf(l.Exit), positionUnit, si.Nearest),
			Path:       p.computed(lengthOf(l.Path), positionUnit, si.Up),
			NearField:  "–", // round a pipe it is not stated
			Focus:      "none",
		}
		if finite(float64(l.NearField)) {
			one.NearField = p.computed(lengthOf(l.NearField), positionUnit, si.Nearest)
		}
		if v.Linear {
			one.Elements = elements(l)
		}
		if finite(float64(l.Focus)) {
			one.Focus = p.computed(lengthOf(l.Focus), positionUnit, si.Nearest)
		}
		v.Laws = append(v.Laws, one)
	}
	if v.Linear {
		v.LawNote = "The table lists the first and the last aperture at each angle; between them exit point and paths change evenly."
	}
	v.Delays = seeDelays(p, path, g)
}

func everyNth(n int) string {
	switch n {
	case 2:
		return "every second"
	case 3:
		return "every third"
	}
	return fmt.Sprintf("every %dth", n)
}

func seeDelays(p *printer, path string, g technique.Group) delays {
	n := len(g.Laws)
	chosen := []technique.Law{g.Laws[0]}
	if n > 2 {
		chosen = append(chosen, g.Laws[n/2])
	}
	if n > 1 {
		chosen = append(chosen, g.Laws[n-1])
	}
	d := delays{Element: "Element"}
	first := g.Set.Aperture.First
	if g.Set.Method == "linear" {
		d.Element, first = "Element of the aperture", 1
	}
	count := len(chosen[0].Delays)
	for _, l := range chosen {
		head := p.given(angleOf(l.Angle), angleUnit, si.Nearest)
		if g.Set.Method == "linear" {
			head += ", " + elements(l)
		}
		d.Angles = append(d.Angles, head)
		count = min(count, len(l.Delays))
	}
	cells := func(i int) []md {
		if i >= count {
			return make([]md, len(chosen)+1)
		}
		row := []md{md(fmt.Sprint(first + i))}
		for _, l := range chosen {
			if !finite(float64(l.Delays[i])) {
				p.refused = append(p.refused, fmt.Sprintf("%s: delay of element %d", path, first+i))
			}
			row = append(row, md(p.tongue.comma(timeOf(l.Delays[i]).Digits("us", 3, si.Nearest))))
		}
		return row
	}
	d.Twice = count > 12
	if !d.Twice {
		for i := range count {
			d.Rows = append(d.Rows, cells(i))
		}
		return d
	}
	half := (count + 1) / 2
	for i := range half {
		d.Rows = append(d.Rows, append(cells(i), cells(half+i)...))
	}
	return d
}

func seeFace(p *printer, f technique.FaceIncidence) face {
	v := face{
		Face: esc(f.Face.Name), Side: esc(sideOf(f.Side)), Square: "none", Leg: or(esc(f.SquareLegs), "–"),
		Best: "not reached", Worst: "not reached", Reached: p.computed(ratioOf(f.Reached), percentOne, si.Down),
		Within: p.computed(ratioOf(f.Within), percentOne, si.Down), Unmet: !(f.Reached > 0),
	}
	if f.Varies {
		v.Square = "varies"
	}
	if finite(float64(f.Square)) {
		v.Square = p.computed(angleOf(f.Square), angleOne, si.Nearest)
	}
	if finite(float64(f.Best)) {
		v.Best = p.computed(angleOf(f.Best), angleOne, si.Nearest)
	}
	if finite(float64(f.Worst)) {
		v.Worst = p.computed(angleOf(f.Worst), angleOne, si.Up)
	}
	return v
}

// legNumbers are the legs by number alone.
func legNumbers(p *printer, ns []int) md {
	var all []string
	for _, n := range ns {
		all = append(all, fmt.Sprint(n))
	}
	return p.list(all)
}

func legs(p *printer, ns []int) md {
	names := map[int]string{1: "1 (direct)", 2: "2 (after one reflection)", 3: "3 (after two reflections)"}
	var all []string
	for _, n := range ns {
		name, ok := names[n]
		if !ok {
			name = fmt.Sprint(n)
		}
		all = append(all, name)
	}
	return p.list(all)
}

func transmission(p *printer, t schema.Transmission) md {
	switch t.Scheme {
	case "full-matrix":
		return "full matrix: each element fires once, all receive"
	case "half-matrix":
		return "half matrix: each pair of elements is recorded once"
	case "every-nth":
		return md(fmt.Sprintf("every %s element fires, all receive", ordinal(t.Every)))
	case "plane-wave":
		return md(fmt.Sprintf("%d plane waves, evenly spaced from ", t.Count)) + p.given(angleOf(t.From), angleUnit, si.Nearest) +
			" to " + p.given(angleOf(t.To), angleUnit, si.Nearest) + " refracted, sent by all elements together; all receive"
	}
	return esc(strings.ReplaceAll(t.Scheme, "-", " "))
}

func ordinal(n int) string {
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		return fmt.Sprintf("%dst", n)
	case n%10 == 2:
		return fmt.Sprintf("%dnd", n)
	case n%10 == 3:
		return fmt.Sprintf("%drd", n)
	}
	return fmt.Sprintf("%dth", n)
}
