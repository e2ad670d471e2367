package render

import (
	"math"
	"slices"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// Of the strokes of a probe a piece is drawn, in millimetres of the paper where no
// scale is named.
const (
	strokesLeast = 6    // drawn; more where there is room
	strokeMargin = 27.0 // left of the pieces: datum, sides, direction
	strokeGap    = 6.0  // between two pieces
	strokeRow    = 3.4  // of text
	swivel       = 10.0 // degrees to either side, as the text says
)

func overlapTint() colour { return colour{0xA9, 0xC6, 0xD4} }

// piece is a group's strokes on a piece of the weld, as they lie on the paper.
type piece struct {
	group       *technique.Group
	index, band float64  // between strokes, and width of the element along the weld
	count       int      // of strokes drawn
	width       float64  // of the piece
	rows        []string // said below it
}

// strokes draws, in plan and to scale, how single-element probes are moved across
// the weld.
func (a artist) strokes() (Figure, bool) {
	var groups, onFlange []*technique.Group
	for i := range a.Groups {
		switch g := &a.Groups[i]; {
		case g.Single == nil || !g.Single.Raster || len(g.Placements) == 0:
		case g.Set.OnFlange():
			onFlange = append(onFlange, g)
		default:
			groups = append(groups, g)
		}
	}
	groups = append(groups, onFlange...)
	if len(groups) == 0 {
		return Figure{}, false
	}
	drawing, scaleName := fitted(1, func(s scale) *draft { return a.strokesAt(s, groups) })
	return Figure{
		Name:    "strokes",
		Caption: "Strokes in plan, scale " + scaleName,
		Alt:     "Plan of pieces of the weld with the strokes of each probe, the width that passes under its element, the overlap of neighbouring strokes and the direction of movement.",
		Drawing: drawing,
	}, true
}

func (a artist) strokesAt(s scale, groups []*technique.Group) *draft {
	d, k := a.draft(), a.viewAt(s).k
	var rows [][]piece
	x := figureWidth
	for _, g := range groups {
		p := a.piece(d, k, g)
		turned := len(rows) > 0 && rows[len(rows)-1][0].group.Set.OnFlange() != g.Set.OnFlange()
		if turned || x+p.width > figureWidth-6 { // the ends of the centreline reach out
			rows, x = append(rows, nil), strokeMargin
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], p)
		x += p.width + strokeGap
	}
	y := 0.0
	for _, row := range rows {
		y = a.strokeRow(d, k, row, y) + 6
	}
	var notes []string
	if !groups[0].Set.OnFlange() {
		notes = append(notes, "Seen from the "+upperSurface(a)+".")
	}
	if groups[len(groups)-1].Set.OnFlange() {
		notes = append(notes, "On the flange: seen on its outer face, with the web behind it in broken lines.")
	}
	notes = append(notes,
		"Scale "+s.text+" when printed at full size.",
		"Distances are from the weld centreline to the wedge front, or to the middle of a straight probe.",
		"A piece of the weld is shown, and the strokes go on over its whole length. Shaded: what passes under the element, darker where neighbouring strokes overlap.")
	if a.bent() {
		notes = append(notes, alongSurface)
	}
	for _, text := range notes {
		y = d.note(0, y, text, figureWidth-4)
	}
	return d
}

// piece measures what a group's strokes take on the paper.
func (a artist) piece(d *draft, k float64, g *technique.Group) piece {
	o := g.Single
	band := o.Probe.ElementWidth
	if si.Known(o.Probe.Diameter) {
		band = o.Probe.Diameter
	}
	p := piece{group: g, index: float64(g.Set.Raster.Index) * k, band: float64(band) * k}
	p.rows = []string{a.length(o.Near) + " to " + a.length(o.Far), "index " + a.length(g.Set.Raster.Index)}
	if v, ok := a.Value("groups." + g.Set.Name + ".index_overlap"); ok {
		p.rows = append(p.rows, "overlap "+v.Text())
	}
	upper, lower := a.surfaces()
	switch {
	case g.Set.OnFlange():
		p.rows = append(p.rows, "on the flange")
	case g.Set.Surface == "bottom":
		p.rows = append(p.rows, "on the "+lower)
	default:
		p.rows = append(p.rows, "on the "+upper)
	}
	if g.Set.Method == "angle-beam" {
		p.rows = append(p.rows, "swivelled by up to 10°")
	}
	p.width = strokesLeast*p.index + p.band + 2
	for _, text := range append(slices.Clone(p.rows), pieceName(g)) {
		p.width = max(p.width, d.fonts.width(say(d.tongue, text), regular, d.size))
	}
	p.count = 1
	if p.index > 0 {
		p.count += int(min((p.width-p.band-2)/p.index, 100)) // clear of the broken ends
	}
	return p
}

// pieceName is the group with the angle of its beam.
func pieceName(g *technique.Group) string {
	if g.Set.Method == "straight-beam" {
		return g.Set.Name + ": 0°"
	}
	return g.Set.Name + ": " + degrees(g.Single.Probe.Angle)
}

// strokeRow draws pieces beside each other with one centreline, and returns where
// it ends.
func (a artist) strokeRow(d *draft, k float64, row []piece, y float64) float64 {
	from, to := a.Section.CapSpan()
	if from == to {
		from, to = a.Section.WeldRow(0)
	}
	outer, edges, sides := to, outline(), [2]string{"A", "B"}
	switch {
	case row[0].group.Set.OnFlange():
		web := a.Job.Part.Thickness
		from, to, outer, edges, sides = -web/2, web/2, web/2, dashed(), [2]string{"top", "bottom"}
	case a.tee():
		outer = a.Section.Flange.Outer
	}
	top, bottom := float64(from)*k-4, float64(outer)*k+4
	end := strokeMargin - strokeGap
	for _, p := range row {
		for i := range p.group.Placements {
			pl := &p.group.Placements[i]
			reach := float64(pl.Along(pl.Far[1])) * k
			top, bottom = min(top, reach-3), max(bottom, reach+3)
		}
		end += strokeGap + p.width
	}
	y += strokeRow // the names
	middle := y + 1.5 - top
	d.letter(0, middle+top+4, sides[0], alignLeft)
	d.letter(0, middle+bottom-1, sides[1], alignLeft)
	x := strokeMargin
	for _, p := range row {
		at := func(along, across float64) xy { return xy{x + along, middle + across} }
		d.write(x, y, pieceName(p.group), alignLeft)
		d.area(noPen(), white(), at(0, top), at(p.width, top), at(p.width, bottom), at(0, bottom))
		d.area(noPen(), tint(), at(0, float64(from)*k), at(p.width, float64(from)*k), at(p.width, float64(to)*k), at(0, float64(to)*k))
		for i := range p.group.Placements {
			p.draw(d, k, &p.group.Placements[i], at)
		}
		for _, edge := range []si.Length{from, to, outer} {
			d.line(edges, at(0, float64(edge)*k), at(p.width, float64(edge)*k))
		}
		p.footprint(d, k, &p.group.Placements[0], at)
		for _, edge := range []float64{0, p.width} {
			d.breakLine(x+edge, middle+top, middle+bottom)
		}
		for i, text := range p.rows {
			d.write(x, middle+bottom+strokeRow*float64(i+1)+0.6, text, alignLeft)
		}
		x += p.width + strokeGap
	}
	d.line(centreLine(), xy{-1, middle}, xy{end + 2, middle})
	d.cross(xy{2, middle}, 1.8)
	t := d.write(2, middle-2.6, "0", alignCentre)
	t.box = true
	d.line(outline(), xy{7, middle}, xy{strokeMargin - 4, middle})
	d.arrow(black(), xy{7, middle}, xy{strokeMargin - 4, middle})
	t = d.write((7+strokeMargin-4)/2, middle-1.6, "direction", alignCentre)
	t.box = true
	most := 0
	for _, p := range row {
		most = max(most, len(p.rows))
	}
	return middle + bottom + strokeRow*float64(most+1)
}

// first is where along the piece the first stroke lies, so that all stand in its
// middle.
func (p *piece) first() float64 { return (p.width - p.index*float64(p.count-1)) / 2 }

// signOf is the side of the centreline on which strokes lie, -1 for the upper one.
func signOf(pl *technique.Placement) float64 { return math.Copysign(1, float64(pl.Along(pl.Far[1]))) }

// draw shows the strokes on one side: the widths that pass under the element, where
// two of them overlap, and the way of the probe.
func (p *piece) draw(d *draft, k float64, pl *technique.Placement, at func(along, across float64) xy) {
	sign := signOf(pl)
	near, far := sign*float64(p.group.Single.Near)*k, sign*float64(p.group.Single.Far)*k
	strip := func(c colour, left, right float64) {
		if right > left {
			d.area(noPen(), solid(c), at(left, near), at(right, near), at(right, far), at(left, far))
		}
	}
	first := p.first()
	for i := range p.count {
		x := first + p.index*float64(i)
		strip(missedTint(), x-p.band/2, x+p.band/2)
	}
	for i := range p.count - 1 {
		x := first + p.index*float64(i)
		strip(overlapTint(), x+p.index-p.band/2, x+p.band/2)
	}
	way := pen{0.3, nil, accent()}
	if p.group.Set.Surface == "bottom" {
		way.dash = []float64{2, 1} // a hidden edge
	}
	var points []xy
	for i := range p.count {
		x, from, to := first+p.index*float64(i), near, far
		if i%2 == 1 {
			from, to = far, near
		}
		points = append(points, at(x, from), at(x, to))
		if half := (from + to) / 2; i < 2 || i == p.count-1 { // enough to see how they go on
			d.arrow(accent(), at(x, from), at(x, half+math.Copysign(arrowLength/2, to-from)))
		}
	}
	d.line(way, points...)
}

// footprint draws the probe on a stroke in the middle at its nearest place, and how
// an angled one is swivelled there about its exit point.
func (p *piece) footprint(d *draft, k float64, pl *technique.Placement, at func(along, across float64) xy) {
	probe, sign := p.group.Single.Probe, signOf(pl)
	x, near := p.first()+p.index*float64(p.count/2), float64(p.group.Single.Near)*k
	half, front, rear := float64(probe.Width)*k/2, 0.0, float64(probe.Length)*k
	pivot := float64(probe.FrontDistance) * k
	if p.group.Set.Method == "straight-beam" {
		half, pivot = p.band/2, 0
		front, rear = -half, half
	}
	if math.IsNaN(half) {
		half = p.band / 2
	}
	outline := func(line pen, turn float64) {
		sin, cos := math.Sincos(turn * math.Pi / 180)
		var corners []xy
		for _, c := range []xy{{-half, front}, {half, front}, {half, rear}, {-half, rear}} {
			u, v := c.x, c.y-pivot
			corners = append(corners, at(x+u*cos-v*sin, sign*(near+pivot+u*sin+v*cos)))
		}
		d.line(line, append(corners, corners[0])...)
	}
	outline(thin(), 0)
	if p.group.Set.Method != "angle-beam" {
		return
	}
	if half > 2 { // smaller, the three would run into one
		swung := narrow()
		swung.dash = []float64{1, 0.6}
		outline(swung, swivel)
		outline(swung, -swivel)
	}
	d.line(ray(), at(x, sign*near), at(x, sign*(near-3)))
	d.arrow(accent(), at(x, sign*near), at(x, sign*(near-3)))
}
