package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// Distances along the weld in the plan, in millimetres of the paper: they are
// chosen for the drawing, and not to scale.
const (
	planStart  = 8.0  // of the scan, at the datum
	planProbe  = 30.0 // middle of the probe
	planTicks  = 52.0 // first of the ticks that show the increment
	planAgain  = 84.0 // where the next scan starts, or the datum is met again
	planEnd    = 98.0 // of the scan
	planBreak  = 104.0
	planLabels = 116.0
	planBeyond = 20.0 // of a wedge that is drawn behind its line
)

// plan draws the scan lines seen from above: across the weld to scale, along it
// not.
func (a artist) plan() (Figure, bool) {
	if len(a.Lines) == 0 {
		return Figure{}, false
	}
	drawing, scaleName := fitted(1, a.planAt)
	return Figure{
		Name:    "plan",
		Caption: "Scan lines in plan, across the weld to scale " + scaleName + ", along it not to scale",
		Alt: fmt.Sprintf("Plan of the weld with %d scan lines, their distances from the centreline, the datum, the direction of scanning and the overlap.",
			len(a.Lines)),
		Drawing: drawing,
	}, true
}

func (a artist) planAt(s scale) *draft {
	d := a.draft()
	k := a.viewAt(s).k
	top, bottom := a.weldInPlan(d, k)
	for _, side := range []string{"A", "B"} {
		a.footprint(d, k, side)
	}
	for i, l := range a.Lines {
		y := a.lineAt(l, k)
		p := pen{0.3, nil, accent()}
		if l.Surface == "bottom" {
			p.dash = []float64{2, 1} // a hidden edge
		}
		for _, y := range placesOf(l, y) {
			d.line(p, xy{planStart, y}, xy{planEnd, y})
			d.line(p, xy{planStart, y - 1}, xy{planStart, y + 1})
			d.line(p, xy{planEnd, y - 1}, xy{planEnd, y + 1})
		}
		if i == 0 {
			for n := range 9 {
				x := planTicks + 2.4*float64(n)
				d.line(pen{0.18, nil, accent()}, xy{x, y - 0.9}, xy{x, y + 0.9})
			}
			d.float("increment "+a.length(a.Job.Scan.Increment), spot{x: planTicks + 9.6, y: y - 1.9, anchor: alignCentre},
				spot{x: planTicks + 9.6, y: y + 1.9 + d.capital(), anchor: alignCentre})
		}
	}
	a.lineLabels(d, k)
	extent := d.extent()
	top, bottom = min(top, extent.top), max(bottom, extent.bottom)
	a.datum(d)

	// The overlap, over the whole height of the plan.
	name := "overlap of successive scans "
	if a.girth() {
		name = "closure overlap "
	}
	for _, x := range []float64{planAgain, planEnd} {
		d.line(dashed(), xy{x, top - 2}, xy{x, bottom + 6})
	}
	d.horizontal(planAgain, planEnd, bottom+6, bottom+6, bottom+6, -1, name+a.length(a.Job.Scan.Overlap))

	d.write(0, top-4, "Seen from the "+upperSurface(a)+".", alignLeft)
	d.letter(-4, top+6, "A", alignRight)
	d.letter(-4, bottom-3, "B", alignRight)
	y := bottom + 12.5
	notes := []string{"Across the weld to scale " + s.text + " when printed at full size; along the weld not to scale."}
	if a.bent() {
		notes = append(notes, alongSurface)
	}
	if a.Job.Scan.Datum != "" {
		notes = append(notes, "Datum 0: "+a.Job.Scan.Datum)
	}
	if a.Job.Scan.Direction != "" {
		notes = append(notes, "Direction: "+a.Job.Scan.Direction)
	}
	for _, text := range notes {
		y = d.note(0, y, text, figureWidth-12)
	}
	return d
}

// lineAt is where a line lies across the weld: on the edge of a flange, whose outer
// face is seen on its edge, if it runs along that.
func (a artist) lineAt(l technique.Line, k float64) float64 {
	if l.Surface == "flange" && a.tee() {
		return float64(a.Section.Flange.Outer) * k
	}
	return float64(l.Front) * k
}

// placesOf is where a line lies: that of a pair on both sides alike.
func placesOf(l technique.Line, y float64) []float64 {
	if l.Pair {
		return []float64{y, -y}
	}
	return []float64{y}
}

func upperSurface(a artist) string {
	upper, _ := a.surfaces()
	return upper
}

// weldInPlan draws the weld between its toes, the part's ends and the
// centreline; it returns how far the plan reaches across the weld.
func (a artist) weldInPlan(d *draft, k float64) (top, bottom float64) {
	from, to := a.Section.CapSpan()
	if from == to {
		from, to = a.Section.WeldRow(0)
	}
	y1, y2, outer := float64(from)*k, float64(to)*k, float64(to)*k
	if a.tee() {
		outer = float64(a.Section.Flange.Outer) * k
	}
	top, bottom = y1-6, outer+6
	for _, l := range a.Lines {
		y := a.lineAt(l, k)
		for _, y := range placesOf(l, y) {
			top, bottom = min(top, y-6), max(bottom, y+6)
		}
	}
	for _, side := range []string{"A", "B"} {
		if p, _, ok := a.scanned(side); ok {
			y := shownBack(p, k)
			top, bottom = min(top, y-3), max(bottom, y+3)
		}
	}
	d.area(noPen(), white(), xy{0, top}, xy{planBreak, top}, xy{planBreak, bottom}, xy{0, bottom})
	d.area(noPen(), tint(), xy{0, y1}, xy{planBreak, y1}, xy{planBreak, y2}, xy{0, y2})
	d.line(outline(), xy{0, y1}, xy{planBreak, y1})
	d.line(outline(), xy{0, y2}, xy{planBreak, y2})
	if a.tee() {
		d.line(outline(), xy{0, outer}, xy{planBreak, outer})
		d.write(planStart, (y2+outer)/2+d.capital()/2, "flange", alignLeft)
	}
	d.line(centreLine(), xy{-4, 0}, xy{planBreak + 4, 0})
	d.breakLine(0, top, bottom)
	d.breakLine(planBreak, top, bottom)
	return top, bottom
}

// scanned returns the placement and group that the first line of a side carries.
func (a artist) scanned(side string) (*technique.Placement, *technique.Group, bool) {
	for _, l := range a.Lines {
		if l.Side != side && !l.Pair || l.Surface == "bottom" {
			continue
		}
		for i := range a.Groups {
			g := &a.Groups[i]
			if g.Set == nil || !slices.Contains(l.Groups, g.Set.Name) {
				continue
			}
			for j := range g.Placements {
				if g.Placements[j].Side == side {
					return &g.Placements[j], g, true
				}
			}
		}
	}
	return nil, nil, false
}

// shownBack is the end of a wedge, or where it is cut off.
func shownBack(p *technique.Placement, k float64) float64 {
	front, back := float64(p.Front.X)*k, float64(p.Back.X)*k
	return front + math.Copysign(min(math.Abs(back-front), planBeyond), back-front)
}

// footprint draws the wedge on the first line of a side, cut off where it is
// long.
func (a artist) footprint(d *draft, k float64, side string) {
	p, g, ok := a.scanned(side)
	if !ok {
		return
	}
	width := 12.0
	if g.Wedge != nil && si.Known(g.Wedge.Width) {
		width = min(float64(g.Wedge.Width)*k, 36)
	}
	y1, y2 := float64(p.Front.X)*k, shownBack(p, k)
	x1, x2 := planProbe-width/2, planProbe+width/2
	d.area(noPen(), white(), xy{x1, y1}, xy{x2, y1}, xy{x2, y2}, xy{x1, y2})
	d.line(thin(), xy{x1, y2}, xy{x1, y1}, xy{x2, y1}, xy{x2, y2})
	if y2 == float64(p.Back.X)*k {
		d.line(thin(), xy{x1, y2}, xy{x2, y2})
	} else {
		d.breakAcross(y2, x1, x2)
	}
	name := g.Set.Pair
	if g.Wedge != nil {
		name = g.Wedge.Name
	}
	d.write(planProbe, (y1+y2)/2+d.capital()/2, name, alignCentre)
	// The beam's direction.
	tip := y1 + math.Copysign(5, -y1)
	d.line(ray(), xy{planProbe, y1}, xy{planProbe, tip})
	d.arrow(accent(), xy{planProbe, y1}, xy{planProbe, tip})
}

// datum marks where the scan is measured from, and its direction.
func (a artist) datum(d *draft) {
	d.cross(xy{planStart, 0}, 1.8)
	d.write(planStart-1.2, -2.4, "0", alignRight)
	d.line(outline(), xy{planStart + 46, 0}, xy{planStart + 64, 0})
	d.arrow(black(), xy{planStart + 46, 0}, xy{planStart + 64, 0})
	d.float("scan direction", spot{x: planStart + 45, y: d.capital() / 2, anchor: alignRight}, spot{x: planStart + 44, y: -1.6, anchor: alignCentre})
	if a.girth() {
		d.cross(xy{planAgain, 0}, 1.8)
		d.write(planAgain-1.2, -2.4, "0", alignRight)
	}
}

// lineLabels names the lines at their ends, pushed apart where they are close,
// and draws their distances from the centreline.
func (a artist) lineLabels(d *draft, k float64) {
	type tag struct {
		y, at  float64
		rows   []string
		onEdge bool // on a flange that is seen on its edge
	}
	var tags []tag
	for i, l := range a.Lines {
		y := a.lineAt(l, k)
		upper, lower := a.surfaces()
		surface := upper
		if l.Surface == "bottom" {
			surface = lower
		}
		head := fmt.Sprintf("line %d, side %s, %s", i+1, l.Side, surface)
		word := "groups "
		if len(l.Groups) == 1 {
			word = "group "
		}
		var rows []string
		where := a.across(l.Front) + " from the centreline"
		if l.Pair {
			head = fmt.Sprintf("line %d, sides %s, %s", i+1, l.Side, surface)
			where = a.worked(max(l.Front, -l.Front)) + " from the centreline on both sides"
		}
		onEdge := l.Surface == "flange"
		if onEdge { // the centreline is there the middle of the web
			head = fmt.Sprintf("line %d, side %s, flange", i+1, l.Side)
		}
		for _, text := range []string{head, where, word + strings.Join(l.Groups, ", ")} {
			rows = append(rows, d.wrap(text, figureWidth-planLabels-10)...)
		}
		tags = append(tags, tag{y, y, rows, onEdge})
	}
	slices.SortStableFunc(tags, func(p, q tag) int { return cmp.Compare(p.y, q.y) })
	const row = 3.3
	height := func(t tag) float64 { return row*float64(len(t.rows)) + 1.6 }
	for i := 1; i < len(tags); i++ {
		least := tags[i-1].at + (height(tags[i-1])+height(tags[i]))/2
		if tags[i].at < least {
			shift := least - tags[i].at
			tags[i].at = least
			for j := range i + 1 { // keep the whole in the middle
				tags[j].at -= shift / float64(len(tags))
			}
		}
	}
	for i, t := range tags {
		x := planBreak + 3.5 + 2.2*float64(min(i, len(tags)-1-i))
		d.line(narrow(), xy{planEnd + 1, t.y}, xy{x + extensionOver, t.y}, xy{planLabels - 1, t.at})
		if math.Abs(t.y) > 2*arrowLength && !t.onEdge {
			d.line(narrow(), xy{x, 0}, xy{x, t.y})
			d.arrow(black(), xy{x, t.y}, xy{x, 0})
			d.arrow(black(), xy{x, 0}, xy{x, t.y})
		}
		y := t.at - row*float64(len(t.rows))/2 + d.capital()
		for _, text := range t.rows {
			d.write(planLabels, y, text, alignLeft)
			y += row
		}
	}
}
