package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// wedgeHeight is how high a row of up to three wedges may be.
const wedgeHeight = 60.0

// wedgeViews draws each wedge once in side view, as it stands under its first group,
// beside each other.
func (a artist) wedgeViews() (Figure, bool) {
	uses := a.wedgeUses()
	if len(uses) == 0 {
		return Figure{}, false
	}
	rows := math.Ceil(float64(len(uses)) / 3)
	drawing, scaleName := fittedIn(2, figureWidth, min(wedgeHeight*rows, figureHeight), func(s scale) *draft { return a.wedgesAt(s, uses) })
	var names []string
	shown := ", with the distance from the wedge front to the exit point and the length of the contact face."
	for _, u := range uses {
		names = append(names, wedgeName(u.groups[0]))
		if singleProbe(u.groups[0]) == nil {
			shown = ", with the distances from the wedge front to the exit point and to element 1, the height and the angle of the array, and the way in the wedge."
		}
	}
	return Figure{
		Name:    "wedges",
		Caption: "Wedges in side view, scale " + scaleName,
		Alt:     "Side view of " + strings.Join(names, ", ") + shown,
		Drawing: drawing,
	}, true
}

// wedgeUse is a wedge with its probe, and the groups that look through it.
type wedgeUse struct{ groups []*technique.Group }

// wedgeUses are the wedges of the technique in the order of their groups. One that
// is shaped along the beam has another face on the inside.
func (a artist) wedgeUses() []wedgeUse {
	var uses []wedgeUse
	seen := map[string]int{}
	for i := range a.Groups {
		g := &a.Groups[i]
		if g.Set == nil || len(g.Placements) == 0 || g.Placements[0].Upright {
			continue
		}
		key := wedgeName(g)
		if key == "" {
			continue
		}
		if g.Probe != nil {
			key += " " + g.Probe.Name
		}
		if a.bent() {
			key += " " + g.Set.Surface
		}
		at, ok := seen[key]
		if !ok {
			at, uses = len(uses), append(uses, wedgeUse{})
			seen[key] = at
		}
		uses[at].groups = append(uses[at].groups, g)
	}
	return uses
}

// wedgeName names what stands on the part for a group: a single-element probe
// or the wedge of an array; empty where that is not known.
func wedgeName(g *technique.Group) string {
	switch one := singleProbe(g); {
	case one != nil:
		return one.Name
	case g.Wedge == nil || g.Probe == nil:
		return ""
	}
	return g.Wedge.Name
}

// singleProbe is the single-element probe of a group; nil where it has an array.
func singleProbe(g *technique.Group) *schema.SingleProbe {
	switch {
	case g.Pair != nil:
		return g.Pair.Probe
	case g.Single != nil:
		return g.Single.Probe
	}
	return nil
}

// wedgesAt sets the wedges beside each other, as many as fit in a row, and under
// them what holds for all.
func (a artist) wedgesAt(s scale, uses []wedgeUse) *draft {
	const gap = 4.0
	all := a.draft()
	x, y, low := 0.0, 0.0, 0.0
	for i, u := range uses {
		d := a.wedgePanel(s, u)
		b := d.extent()
		if width := b.right - b.left; i > 0 && x+width > figureWidth-1 {
			x, y = 0, low+gap
		}
		all.paste(d, xy{x - b.left, y - b.top})
		x, low = x+b.right-b.left+gap, max(low, y+b.bottom-b.top)
	}
	notes := "Scale " + s.text + " when printed at full size."
	if slices.ContainsFunc(uses, func(u wedgeUse) bool { return singleProbe(u.groups[0]) != nil }) {
		notes = "The shape of a single-element probe over its contact face is an example. " + notes
	}
	all.note(0, low+4.5, notes, figureWidth-3)
	return all
}

// wedgeView maps places of a placement to the paper as if it stood on a level
// surface and looked to the right: the array rises by the wedge's angle, and what
// has none stands on the chord of its contact face.
func (a artist) wedgeView(s scale, g *technique.Group) func(geometry.Point) xy {
	p, v := &g.Placements[0], a.viewAt(s)
	to := v.at
	if p.Flange != nil {
		to = func(q geometry.Point) xy { // on its outer face
			q = p.Flange.Seen(q)
			return xy{float64(q.X) * v.k, float64(q.Z) * v.k}
		}
	}
	back, front := to(p.Back), to(p.Front)
	along, turn := xy{front.x - back.x, front.y - back.y}, 0.0
	away := xy{0, -1}
	if p.Flange == nil && p.Front.Z > 0 {
		away.y = 1
	}
	if n := len(p.Elements); n > 1 {
		first, last := to(p.Elements[0]), to(p.Elements[n-1])
		along, turn = xy{last.x - first.x, last.y - first.y}, float64(g.Wedge.Angle)
		away = xy{(first.x+last.x)/2 - (front.x+back.x)/2, (first.y+last.y)/2 - (front.y+back.y)/2}
	}
	length := math.Hypot(along.x, along.y)
	along = xy{along.x / length, along.y / length}
	square := xy{along.y, -along.x} // on the side away from the surface
	if square.x*away.x+square.y*away.y < 0 {
		square = xy{-square.x, -square.y}
	}
	sin, cos := math.Sincos(turn)
	return func(q geometry.Point) xy {
		r := to(q)
		dx, dy := r.x-front.x, r.y-front.y
		x, up := dx*along.x+dy*along.y, dx*square.x+dy*square.y
		return xy{x*cos - up*sin, -(x*sin + up*cos)}
	}
}

// wedgePanel draws one wedge with its dimensions.
func (a artist) wedgePanel(s scale, u wedgeUse) *draft {
	d, g := a.draft(), u.groups[0]
	p, at, k := &g.Placements[0], a.wedgeView(s, g), a.viewAt(s).k
	front, back, exit := at(p.Front), at(p.Back), at(p.Exit)

	// The contact face, and the surface of the part on both sides of it.
	const beyond = 4.0
	over := (p.Front.X - p.Back.X) * si.Length(beyond/math.Abs(front.x-back.x))
	contact := func(from, to geometry.Point) []xy {
		const pieces = 40
		points := make([]xy, pieces+1)
		for i := range points {
			share := si.Length(i) / pieces
			points[i] = at(geometry.Point{X: from.X + (to.X-from.X)*share, Z: from.Z + (to.Z-from.Z)*share})
		}
		return points
	}
	before, behind := p.Front, p.Back
	if p.Flange != nil {
		over = (p.Front.Z - p.Back.Z) * si.Length(beyond/math.Abs(front.x-back.x))
		before.Z, behind.Z = before.Z+over, behind.Z-over
	} else {
		before.X, behind.X = before.X+over, behind.X-over
	}
	d.line(thin(), contact(behind, p.Back)...)
	d.line(thin(), contact(p.Front, before)...)
	face := contact(p.Front, p.Back)
	var shape []xy
	if len(p.Elements) > 1 {
		level := *p
		level.Flange = nil
		shape = wedgeShape(at, &level)
	} else {
		shape = singleOutline(front, back, false)
	}
	d.area(outline(), white(), append(shape, face[1:len(face)-1]...)...)

	// The middle beam.
	from := exit
	if len(p.Elements) > 1 && p.Active[0] >= 1 && p.Active[1] <= len(p.Elements) {
		first, last := at(p.Elements[p.Active[0]-1]), at(p.Elements[p.Active[1]-1])
		from = xy{(first.x + last.x) / 2, (first.y + last.y) / 2}
		d.line(ray(), from, exit)
	}
	if tip, angle, ok := a.intoPart(p, at); ok {
		d.line(ray(), exit, tip)
		d.arrow(accent(), exit, tip)
		f := d.float(degrees(angle), spot{x: tip.x + 1, y: tip.y, anchor: alignLeft}, spot{x: tip.x + 1, y: tip.y - 2.4, anchor: alignLeft})
		f.colour = accent()
	}
	y := max(front.y, back.y)
	for _, q := range face {
		y = max(y, q.y)
	}
	y += 8
	row := func(x, from float64, text string) {
		d.horizontal(x, front.x, y, from, front.y, 1, text)
		y += 4.4
	}
	row(exit.x, exit.y, "front to exit point "+a.worked(si.Length(math.Abs(float64(p.Along(p.Front)-p.Along(p.Exit))))))
	var length si.Length
	if one := singleProbe(g); one != nil {
		length = one.Length
	} else {
		length = g.Wedge.Length
		first := at(p.Elements[0])
		row(first.x, first.y, "front to element 1 "+a.length(g.Wedge.FrontDistance))
		d.arrayDimensions(a, g, at, k)
	}
	if si.Known(length) {
		row(back.x, back.y, "contact face "+a.length(length))
	}
	d.wedgePath(a, g, from, exit, front.x+4)
	d.contour(a, g, face)
	d.acrossFace(a, g, k)
	d.wedgeWords(a, u)
	return d
}

// intoPart is the end of the piece that is drawn of the middle beam in the part,
// with its angle; false where no ray leaves through the exit point.
func (a artist) intoPart(p *technique.Placement, at func(geometry.Point) xy) (tip xy, angle si.Angle, ok bool) {
	const shown = 5.0
	exit := at(p.Exit)
	for _, r := range p.Rays {
		for i, q := range r.Points[:max(0, len(r.Points)-1)] {
			if s := at(q); !r.Edge && math.Hypot(s.x-exit.x, s.y-exit.y) < 0.01 {
				next := at(r.Points[i+1])
				long := math.Hypot(next.x-exit.x, next.y-exit.y)
				return xy{exit.x + (next.x-exit.x)*shown/long, exit.y + (next.y-exit.y)*shown/long}, r.Angle, true
			}
		}
	}
	return tip, angle, false
}

// arrayDimensions draws the array with the direction in which its elements are
// counted, its angle, and the height of element 1.
func (d *draft) arrayDimensions(a artist, g *technique.Group, at func(geometry.Point) xy, k float64) {
	p, n := &g.Placements[0], len(g.Placements[0].Elements)
	first, last := at(p.Elements[0]), at(p.Elements[n-1])
	long := math.Hypot(last.x-first.x, last.y-first.y)
	along := xy{(last.x - first.x) / long, (last.y - first.y) / long}
	away := xy{along.y, -along.x}
	half := long / float64(n-1) / 2
	place := func(x, off float64) xy { return xy{first.x + x*along.x + off*away.x, first.y + x*along.y + off*away.y} }
	strip := func(from, to int, f paint) {
		const thick = 1.1
		x1, x2 := 2*half*float64(from-1)-half, 2*half*float64(to-1)+half
		d.area(narrow(), f, place(x1, 0), place(x2, 0), place(x2, thick), place(x1, thick))
	}
	strip(1, n, white())
	if p.Active[0] >= 1 && p.Active[1] <= n {
		strip(p.Active[0], p.Active[1], solid(black()))
	}
	const off = 4.0 // of the arrow that shows how elements are counted
	d.line(narrow(), place(0, off), place(long, off))
	d.arrow(black(), place(0, off), place(long, off))
	for _, end := range []struct {
		text string
		x    float64
	}{{"1", -2.4}, {fmt.Sprint(n), long + 2.4}} {
		q := place(end.x, off)
		d.float(end.text, spot{x: q.x, y: q.y + d.capital()/2, anchor: alignCentre})
	}

	level := first.y + float64(g.Wedge.FirstElementHeight)*k
	back := at(p.Back)
	d.vertical(first.y, level, min(back.x, first.x)-6, first.x, min(back.x, first.x), a.length(g.Wedge.FirstElementHeight))

	// The angle, from the level through element 1 to the array.
	radius := min(0.8*long, 16)
	angle := float64(g.Wedge.Angle)
	at1 := func(a, r float64) xy { return xy{first.x + r*math.Cos(a), first.y - r*math.Sin(a)} }
	const pieces = 24
	arc := make([]xy, pieces+1)
	for i := range arc {
		arc[i] = at1(angle*float64(i)/pieces, radius)
	}
	d.line(narrow(), at1(0, extensionGap), at1(0, radius+extensionOver))
	d.line(narrow(), arc...)
	if head := arrowLength / radius; angle > 2.4*head {
		d.arrow(black(), at1(head, radius), at1(0, radius))
		d.arrow(black(), at1(angle-head, radius), at1(angle, radius))
	}
	var spots []spot
	for _, r := range []float64{radius - 4, radius + 4, radius - 7, radius + 7} {
		q := at1(angle/2, r)
		spots = append(spots, spot{x: q.x, y: q.y + d.capital()/2, anchor: alignCentre})
	}
	d.float(degrees(g.Wedge.Angle), spots...)
}

// wedgePath writes the way of the middle beam in the wedge beside it, from x on.
func (d *draft) wedgePath(a artist, g *technique.Group, from, exit xy, x float64) {
	path, ok := a.Value("groups." + g.Set.Name + ".wedge_path")
	if !ok || singleProbe(g) != nil { // a single element has no place in the drawing
		return
	}
	text := "in the wedge " + a.worked(si.Length(path.Q.SI))
	var spots []spot
	for _, share := range []float64{0.5, 0.35, 0.65, 0.2, 0.8} {
		q := xy{from.x + share*(exit.x-from.x), from.y + share*(exit.y-from.y)}
		for _, to := range []float64{0, -3, 3, -6} {
			spots = append(spots, spot{x: x, y: q.y + to + d.capital()/2, anchor: alignLeft, line: []xy{{x - 0.6, q.y + to}, q}})
		}
	}
	f := d.float(text, spots...)
	f.colour, f.pen, f.dot = accent(), pen{0.13, nil, accent()}, true
}

// contour writes the radius of a contact face that is shaped along the beam.
func (d *draft) contour(a artist, g *technique.Group, face []xy) {
	diameter, _ := shapedFor(g)
	if !a.bent() || !si.Known(diameter) {
		return
	}
	foot := face[len(face)-3]
	end := xy{face[len(face)-1].x - 4, foot.y + 6}
	d.line(narrow(), end, foot)
	d.arrow(black(), end, foot)
	d.float("R "+a.length(diameter/2), spot{x: end.x - 0.8, y: end.y + d.capital()/2, anchor: alignRight})
}

// shapedFor is the diameter for which a contact face is shaped, and its width;
// unknown where it is flat.
func shapedFor(g *technique.Group) (diameter, width si.Length) {
	if one := singleProbe(g); one != nil {
		return one.Contour, one.Width
	}
	return g.Wedge.Contour, g.Wedge.Width
}

// acrossFace draws beside a wedge that is shaped across the beam what is seen from
// its front.
func (d *draft) acrossFace(a artist, g *technique.Group, k float64) {
	diameter, width := shapedFor(g)
	if a.bent() || !si.Known(diameter) || !si.Known(width) {
		return
	}
	b := d.extent()
	high := 0.0
	radius, half := float64(diameter)/2*k, float64(width)/2*k
	centre := b.right + 6 + half
	sag := radius - math.Sqrt(radius*radius-half*half)
	hollow := 1.0 // on the outside the middle lies over the edges
	if g.Set.Surface == "bottom" {
		hollow = -1
	}
	const pieces = 40
	var points []xy
	for i := range pieces + 1 {
		x := half * (2*float64(i)/pieces - 1)
		points = append(points, xy{centre + x, hollow * (radius - sag - math.Sqrt(radius*radius-x*x))})
	}
	for _, q := range points {
		high = min(high, q.y)
	}
	top := high - min(0.5*half, 8)
	d.breakAcross(top, centre-half, centre+half)
	d.line(outline(), append(append([]xy{{centre - half, top}}, points...), xy{centre + half, top})...)
	foot := points[pieces/4]
	end := xy{foot.x - 2, foot.y + 6}
	d.line(narrow(), end, foot)
	d.arrow(black(), end, foot)
	d.float("R "+a.length(diameter/2), spot{x: end.x + 1.5, y: end.y + d.capital(), anchor: alignLeft})
	d.horizontal(centre-half, centre+half, 15, 0, 0, 1, a.length(width))
	d.float("from the front", spot{x: centre, y: top - 2, anchor: alignCentre})
}

// wedgeWords writes over the drawing what stands there, and under it what holds
// for the groups.
func (d *draft) wedgeWords(a artist, u wedgeUse) {
	b := d.extent()
	const least = 48.0
	width := max(least, b.right-b.left)
	title := "Probe " + wedgeName(u.groups[0])
	if singleProbe(u.groups[0]) == nil {
		title = "Wedge " + wedgeName(u.groups[0]) + " with probe " + u.groups[0].Probe.Name
	}
	rows := d.wrap(title, width)
	for i, text := range rows {
		d.write(b.left, b.top-3-noteRow*float64(len(rows)-1-i), text, alignLeft)
	}
	y := b.bottom + 4.5
	var texts []string
	names := map[string][]string{}
	for _, g := range u.groups {
		text := a.useOf(g)
		if len(names[text]) == 0 {
			texts = append(texts, text)
		}
		names[text] = append(names[text], g.Set.Name)
	}
	for i, text := range texts {
		whose := "Group " + names[text][0]
		if len(names[text]) > 1 {
			whose = "Groups " + strings.Join(names[text], ", ")
		}
		if what, _, more := strings.Cut(text, ";"); i == 0 && more && singleProbe(u.groups[0]) == nil {
			text = what + ", filled" // the rest is drawn
		}
		y = d.note(b.left, y, whose+": "+text+".", width)
	}
}

// useOf says what a wedge does for a group.
func (a artist) useOf(g *technique.Group) string {
	p := &g.Placements[0]
	var in []string
	if path, ok := a.Value("groups." + g.Set.Name + ".wedge_path"); ok {
		in = append(in, a.worked(si.Length(path.Q.SI)))
	}
	one := singleProbe(g)
	if one != nil && si.Known(one.Delay) {
		in = append(in, shortest(float64(one.Delay)*1e6, 2, si.Nearest)+" µs")
	}
	way := ""
	if len(in) > 0 {
		way = ", in the wedge " + strings.Join(in, " or ")
	}
	if one != nil {
		return "beam of " + degrees(one.Angle) + way
	}
	exit := si.Length(math.Abs(float64(p.Along(p.Front) - p.Along(p.Exit))))
	return fmt.Sprintf("elements %d to %d; front to exit point %s%s", p.Active[0], p.Active[1], a.worked(exit), way)
}
