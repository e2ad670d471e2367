package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// sectionDraft is the section of the joint at a scale, on its way to a figure.
type sectionDraft struct {
	*draft
	artist
	view        view
	left, right float64 // where the part is cut off
	bottom      float64 // paper height of the thickness
	above       float64 // highest point drawn over the part
	below       float64 // lowest

	upperEnd, lowerEnd float64 // where a flange is cut off
	onFlange           bool    // what is drawn in full stands on the flange
	beyond             float64 // how far what stands on it reaches
}

// groupSection draws the joint with one group: in full from its first side, the
// other sides as an outline of the wedge.
func (a artist) groupSection(g *technique.Group) (Figure, bool) {
	if g.Set == nil || len(g.Placements) == 0 {
		return Figure{}, false
	}
	if g.Pair != nil {
		return a.pairSection(g)
	}
	if g.Single != nil {
		return a.singleSection(g)
	}
	first := &g.Placements[0]
	drawing, scaleName := fitted(5, func(s scale) *draft {
		d := a.section(s, g.Placements, 1)
		d.missed(g.Coverage)
		d.joint()
		if len(first.Region) > 0 {
			d.area(phantom(), paint{}, d.view.outline(first.Region)...)
		}
		for i := len(g.Placements) - 1; i >= 0; i-- {
			d.wedge(&g.Placements[i], i == 0)
		}
		d.array(first)
		d.rays(first)
		d.centreline(g.Placements)
		d.belowPart()
		d.sides()
		d.titles(a.describe(g, first))
		entries := []entry{volumeEntry(), missedEntry(missedText(g.Coverage, "by this group from any side"))}
		if len(first.Region) > 0 {
			entries = append(entries, entry{"region imaged from side " + first.Side, phantom(), white(), false})
		}
		d.legend(entries, s.text)
		return d.draft
	})
	name := g.Set.Name
	return Figure{
		Name:    "section-" + name,
		Caption: fmt.Sprintf("Group %s from %s, section across the weld, scale %s", name, sideOf(first), scaleName),
		Alt: fmt.Sprintf("Section across the weld with the probe of group %s on %s, its %s beam, and the volume to be examined; %s.",
			name, sideOf(first), shownBeams(g), missedText(g.Coverage, "by this group")),
		Drawing: drawing,
	}, true
}

// shownFront is how much of another side's wedge is drawn, in millimetres.
const shownFront = 14.0

func missedTint() colour { return colour{0xD3, 0xE1, 0xE8} }

// section begins a drawing that holds the joint and the placements: so many of
// them whole, and of the others only the front.
func (a artist) section(s scale, placements []technique.Placement, whole int) *sectionDraft {
	d := &sectionDraft{draft: a.draft(), artist: a, view: a.viewAt(s)}
	d.bottom = d.view.length(a.Section.Thickness)
	points := slices.Concat(d.view.outline(a.Section.Volume), d.view.outline(a.Section.Cap), d.view.outline(a.Section.Root))
	d.above, d.below = 0, d.bottom
	for _, p := range points {
		d.above, d.below = min(d.above, p.y), max(d.below, p.y)
	}
	for i := range placements {
		outline := d.wedgeOutline(&placements[i])
		for _, p := range outline {
			d.above, d.below = min(d.above, p.y), max(d.below, p.y)
		}
		if front := d.view.at(placements[i].Front); placements[i].Flange == nil && i >= whole {
			points = append(points, xy{front.x + math.Copysign(shownFront, front.x), front.y})
		} else {
			points = append(points, outline...)
		}
		points = append(points, d.view.outline(placements[i].Region)...)
	}
	d.onFlange = whole > 0 && len(placements) > 0 && placements[0].Flange != nil
	if whole == 1 {
		for _, r := range placements[0].Rays {
			shown, _ := d.shownRay(r)
			points = append(points, shown...)
		}
	}
	d.left, d.right = reachX(points)
	d.left, d.right = d.left-4, d.right+4
	if a.tee() {
		d.standFlange(points)
	} else {
		d.widen()
	}
	d.lowest()
	return d
}

// lowest takes the ends of the part, which may hang, to what is drawn.
func (d *sectionDraft) lowest() {
	for _, sign := range []float64{-1, 1} {
		_, lower := d.cut(sign)
		d.below = max(d.below, lower.y)
	}
}

// missed tints the volume, darker where the layers lie, and hatches what is not
// reached.
func (d *sectionDraft) missed(c coverage.Result, layers ...layer) {
	// The part is white, so that a mark that lies under the whole page is not
	// taken for the tint.
	d.area(noPen(), white(), d.part()...)
	d.area(noPen(), tint(), d.view.outline(d.Section.Volume)...)
	for _, l := range layers {
		for _, piece := range l.rows.Outlines() {
			// Pieces that touch must not show a seam: so each has an edge.
			d.area(pen{0.15, nil, l.tint}, solid(l.tint), d.view.outline(piece)...)
		}
	}
	var pieces [][]xy
	var regions [][][]xy
	for _, m := range c.Missed {
		first := len(pieces)
		for _, p := range m.Outline {
			piece := d.view.outline(p)
			pieces = append(pieces, piece)
			// A thin region would fall between the hatching, and pieces that
			// touch must not show a seam: so there is a tint with an edge.
			d.area(pen{0.15, nil, missedTint()}, solid(missedTint()), piece...)
		}
		regions = append(regions, pieces[first:])
	}
	d.hatch(hatching(), 1.1, pieces...)
	d.numbers(regions)
	d.cladding()
}

// joint draws the part, the weld and the boundary of the volume.
func (d *sectionDraft) joint() {
	s := d.Section
	if d.bent() {
		d.ring()
		return
	}
	if d.tee() {
		d.teeJoint()
		return
	}
	upper, lower := d.surfaceLine(false), d.surfaceLine(true)
	d.surface(d.view.outline(s.Cap), upper...)
	d.surface(d.view.outline(s.Root), lower...)
	d.breakLine(d.left, upper[0].y, lower[0].y)
	d.breakLine(d.right, upper[len(upper)-1].y, lower[len(lower)-1].y)
	d.inner(outline(), d.view.outline(s.Weld))
	d.inner(dashed(), d.view.outline(s.Volume))
}

// surface draws one surface of the part, from left to right, and the
// reinforcement that stands over it in place of the line.
func (d *sectionDraft) surface(reinforcement []xy, line ...xy) {
	if len(reinforcement) == 0 {
		d.line(outline(), line...)
		return
	}
	from, to := reachX(reinforcement)
	left := slices.IndexFunc(line, func(p xy) bool { return p.x > from })
	right := slices.IndexFunc(line, func(p xy) bool { return p.x >= to })
	if left < 0 || right < 0 { // an unknown end, for which the drawing is refused
		d.line(outline(), line...)
		return
	}
	toe := func(x float64) xy {
		return reinforcement[slices.IndexFunc(reinforcement, func(p xy) bool { return p.x == x })]
	}
	d.line(outline(), append(slices.Clone(line[:left]), toe(from))...)
	d.line(outline(), append([]xy{toe(to)}, line[right:]...)...)
	d.inner(outline(), reinforcement)
}

func reversed(line []xy) []xy {
	back := slices.Clone(line)
	slices.Reverse(back)
	return back
}

// inner draws the edges of an outline that do not lie in a surface of the part.
func (d *sectionDraft) inner(p pen, points []xy) {
	in := func(y float64) bool { return math.Abs(y) < 1e-6 || math.Abs(y-d.bottom) < 1e-6 }
	d.edges(p, points, func(a, b xy) bool {
		if !d.bent() {
			return d.onWall(a, false) && d.onWall(b, false) || d.onWall(a, true) && d.onWall(b, true)
		}
		y := d.depth(a)
		return in(y) && in(d.depth(b)) && math.Abs(y-d.depth(b)) < 1e-6
	})
}

// edges draws an outline without its hidden edges, joined where they follow each
// other.
func (d *draft) edges(p pen, points []xy, hidden func(a, b xy) bool) {
	edge := func(i int) bool { return !hidden(points[i], points[(i+1)%len(points)]) }
	first := 0 // begin after an edge that is left out, so that no run is cut in two
	for i := range points {
		if !edge(i) {
			first = i + 1
			break
		}
	}
	var run []xy
	for n := range points {
		i := (first + n) % len(points)
		if !edge(i) {
			if len(run) > 1 {
				d.line(p, run...)
			}
			run = nil
			continue
		}
		if run == nil {
			run = []xy{points[i]}
		}
		run = append(run, points[(i+1)%len(points)])
	}
	if len(run) > 1 {
		d.line(p, run...)
	}
}

// centreline draws the centreline with the datum, and the distances of the wedge
// fronts from it.
func (d *sectionDraft) centreline(placements []technique.Placement) {
	// Each side has its rows of dimensions, the near ones below.
	rows := map[float64]float64{-1: d.above - 4, 1: d.above - 4}
	shown, beside := map[si.Length]bool{}, map[string]bool{}
	for _, i := range nearFirst(placements) {
		p := &placements[i]
		if shown[p.Front.X] {
			continue // groups that share a probe
		}
		front := d.view.at(p.Front)
		text := d.front(p)
		if p.Flange != nil {
			if !beside[text] && len(p.Far) == 0 { // strokes are drawn with their group
				d.besideFlange(front, p.Flange, text)
			}
			beside[text] = true
			continue
		}
		shown[p.Front.X] = true
		outward := math.Copysign(1, front.x)
		if p.Front.Z > 0 {
			d.below += 6
			d.horizontal(0, front.x, d.below, d.bottom, front.y, outward, text)
			continue
		}
		y := rows[outward]
		d.horizontal(0, front.x, y, y+2, front.y, outward, text)
		d.above = min(d.above, y-3)
		rows[outward] = y - 5
	}
	top := d.above - 3
	d.line(centreLine(), xy{0, top}, xy{0, d.below + 2})
	d.float("0", spot{x: 1.2, y: top + d.capital(), anchor: alignLeft}, spot{x: -1.2, y: top + d.capital(), anchor: alignRight}, spot{x: 0, y: top - 1, anchor: alignCentre})
	d.above = top - 1
	d.cross(xy{0, 0}, 1.6)
}

// nearFirst is the order of the placements by their distance from the
// centreline.
func nearFirst(placements []technique.Placement) []int {
	order := make([]int, len(placements))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(math.Abs(float64(placements[i].Front.X)), math.Abs(float64(placements[j].Front.X)))
	})
	return order
}

// belowPart draws the width of the zone and of the volume under the part, and
// the thickness beside it.
func (d *sectionDraft) belowPart() {
	if d.bent() {
		d.wall()
		return
	}
	if d.tee() {
		d.besideTee()
		return
	}
	volume, weld := d.view.outline(d.Section.Volume), d.view.outline(d.Section.Weld)
	left, right := reachX(volume)
	y := d.below + 5
	_, to := d.Section.CapSpan()
	_, rootTo := d.Section.RootSpan()
	_, edge := reachX(weld)
	edge = max(edge, d.view.length(to), d.view.length(rootTo))
	zone := d.Job.Part.Zone
	if zone.Boundary != "parallel" && math.Abs(right-edge-d.view.length(zone.Width)) < 0.02 {
		// The zone begins at the weld's widest place, which may be the toe of
		// the reinforcement.
		d.horizontal(edge, right, y, d.bottom, d.bottom, 1, "parent metal "+d.length(zone.Width))
		y += 5
	}
	d.horizontal(left, right, y, d.bottom, d.bottom, 1, "volume "+d.worked(widthOf(d.Section.Volume)))
	d.below = y + 1.5
	top, upperEnd := d.besideB(false)
	bottom, lowerEnd := d.besideB(true)
	d.vertical(top, bottom, d.right+9, upperEnd, lowerEnd, d.length(d.Section.Thickness))
}

// sides writes the letters of the sides and the names of the surfaces.
func (d *sectionDraft) sides() {
	upper, lower := d.surfaces()
	h := d.capital()
	apart := max(0, 3.4-d.bottom) / 2 // of a part too thin for both names
	from, to := d.cut(-1)
	d.write(d.left-2.5, from.y+h/2-apart, upper, alignRight)
	d.write(min(d.left, to.x)-2.5, to.y+h/2+apart, lower, alignRight)
	x := d.left - 2.5
	if d.bottom < 9 {
		x -= 2 + max(d.fonts.width(upper, regular, d.size), d.fonts.width(lower, regular, d.size))
	}
	middle := (from.y+to.y)/2 + h/2
	d.letter(x, middle, "A", alignRight)
	if d.beyond > d.right {
		middle = d.upperEnd - 1.8 // clear of what stands on the flange
	}
	d.letter(d.right+2.5, middle, "B", alignLeft)
	if d.tee() {
		face, outer := d.view.flange()
		d.write((face+outer)/2, d.upperEnd-1.8, "flange", alignCentre)
	}
}

func (d *draft) letter(x, y float64, text string, a align) {
	t := d.write(x, y, text, a)
	t.style, t.size = bold, 9
	t.width = d.fonts.width(text, bold, t.size)
}

// titles writes lines over the drawing.
func (d *sectionDraft) titles(lines []string) {
	left, _ := d.span()
	var rows []string
	for _, text := range lines {
		rows = append(rows, d.wrap(text, figureWidth-3)...)
	}
	y := d.above - 2 - noteRow*float64(len(rows)-1)
	for _, text := range rows {
		d.write(left, y, text, alignLeft)
		y += noteRow
	}
}

func (d *draft) span() (left, right float64) {
	b := d.extent()
	return b.left, b.right
}

// entry is an area of a drawing with what it stands for.
type entry struct {
	text    string
	pen     pen
	fill    paint
	hatched bool
}

func volumeEntry() entry { return entry{"volume to be examined", dashed(), tint(), false} }

// missedEntry explains the hatched regions; where there are none, its text is
// said without a sample.
func missedEntry(text string) entry { return entry{text, narrow(), solid(missedTint()), true} }

// legend explains the areas under the drawing, and states the scale.
func (d *sectionDraft) legend(entries []entry, scaleText string) {
	left, _ := d.span()
	y := d.below + 6
	last := "Scale " + scaleText + " when printed at full size."
	for _, e := range entries {
		if strings.HasPrefix(e.text, "no part") {
			last = "N" + e.text[1:] + ". " + last // nothing is drawn that needs a sample
			continue
		}
		sample := []xy{{left, y - 2.4}, {left + 7, y - 2.4}, {left + 7, y}, {left, y}}
		d.area(e.pen, e.fill, sample...)
		if e.hatched {
			d.hatch(hatching(), 1.1, sample)
		}
		d.write(left+9, y, e.text, alignLeft)
		y += 4
	}
	if d.cladEntry(left, y) {
		y += 4
	}
	d.write(left, y, last, alignLeft)
	if d.bent() {
		d.write(left, y+4, alongSurface, alignLeft)
	}
}

// describe says in words what the group does.
func (a artist) describe(g *technique.Group, p *technique.Placement) []string {
	set := g.Set
	var what string
	if set.Method == "tfm" {
		what = "Group " + set.Name + ": total focusing, image path " + set.Path
	} else if set.Method == "linear" {
		var angles []string
		for _, angle := range set.FixedAngles {
			angles = append(angles, degrees(angle))
		}
		what = "Group " + set.Name + ": fixed angles of " + strings.Join(angles, " and ") + ", " + set.Wave + " waves, first and last aperture"
	} else {
		what = "Group " + set.Name + ": sector, " + set.Wave + " waves, " + degrees(set.Angles.From) + " to " + degrees(set.Angles.To)
	}
	var names []string
	if g.Probe != nil {
		names = append(names, "probe "+g.Probe.Name)
	}
	if g.Wedge != nil {
		names = append(names, "wedge "+g.Wedge.Name)
	}
	names = append(names, fmt.Sprintf("elements %d to %d", p.Active[0], p.Active[1]))
	shown := "drawn from " + sideOf(p)
	if len(g.Placements) > 1 {
		shown += "; the wedge on " + sideOf(&g.Placements[1]) + " as an outline"
	}
	return []string{what, strings.Join(names, ", ") + "; " + shown}
}

// shownBeams says which beams of a group a section shows.
func shownBeams(g *technique.Group) string {
	if g.Set.Method == "linear" {
		return "first and last"
	}
	return "first, middle and last"
}

// widthOf is the extent of an outline across the weld.
func widthOf(p geometry.Polygon) si.Length {
	left, right := reachX(view{1, new(geometry.Section)}.outline(p))
	return si.Length(right - left)
}
