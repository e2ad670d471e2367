package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// gainLine is the gain that a group is expected to need over the sound path.
type gainLine struct {
	group  string
	points []xy // sound path in the unit of the drawing, dB
}

// expectedGain draws, for each group, the gain over its first reflector that the
// reflectors of the curve are expected to need. It shows nothing where fewer than
// two are known.
func (a artist) expectedGain() (Figure, bool) {
	inch := a.units == "in"
	var lines []gainLine
	farthest, least, most := 0.0, 0.0, 0.0
	for i := range a.Groups {
		line := gainLine{group: a.Groups[i].Set.Name}
		for n := range a.Curve {
			at := "groups." + line.group + "." + technique.CurveID(n)
			path, ok := a.Value(at + "path")
			gain, known := a.Value(at + "gain")
			if !ok || !known && len(line.points) > 0 {
				continue
			}
			p := xy{path.Q.SI * 1000, gain.Q.SI} // zero of the first reflector, which has no gain
			if inch {
				p.x = path.Q.SI / float64(si.Inch)
			}
			line.points = append(line.points, p)
			farthest, least, most = max(farthest, p.x), min(least, p.y), max(most, p.y)
		}
		if len(line.points) > 1 {
			lines = append(lines, line)
		}
	}
	if len(lines) == 0 {
		return Figure{}, false
	}
	d := a.draft()
	if !(farthest > 0) || math.IsInf(farthest+most-least, 0) {
		d.width = math.NaN() // an unknown gain is not drawn
		return Figure{Name: "gains", Drawing: d.Drawing}, true
	}
	const width, height = 120.0, 55.0
	stepX, stepY := niceStep(farthest), niceStep(math.Max(most-least, 3))
	endX := math.Ceil(farthest/stepX-1e-9) * stepX
	from, to := math.Floor(least/stepY+1e-9)*stepY, math.Ceil(math.Max(most, least+1)/stepY-1e-9)*stepY
	at := func(p xy) xy { return xy{p.x / endX * width, (to - p.y) / (to - from) * height} }
	grid := pen{0.13, nil, grey(0xB0)}
	for i := range int(math.Round(endX/stepX)) + 1 {
		x := at(xy{float64(i) * stepX, 0}).x
		d.line(grid, xy{x, 0}, xy{x, height})
		d.write(x, height+3.6, strconv.FormatFloat(float64(i)*stepX, 'g', 6, 64), alignCentre)
	}
	for i := range int(math.Round((to-from)/stepY)) + 1 {
		y := from + float64(i)*stepY
		d.line(grid, at(xy{0, y}), at(xy{endX, y}))
		d.write(-1.5, at(xy{0, y}).y+d.capital()/2, shortest(y, 1, si.Nearest), alignRight)
	}
	unit := "mm"
	if inch {
		unit = "in"
	}
	d.write(0, -3, "gain over the first reflector of the group, dB", alignLeft)
	d.write(width/2, height+8, "sound path in the block, "+unit, alignCentre)
	d.line(outline(), xy{0, 0}, xy{0, height}, xy{width, height})
	pens := []pen{{0.5, nil, black()}, {0.5, []float64{3, 1.5}, black()}, {0.5, nil, accent()}, {0.5, []float64{3, 1.5}, accent()}}
	for i, line := range lines {
		p := pens[i%len(pens)]
		for n, point := range line.points {
			if n > 0 {
				d.line(p, at(line.points[n-1]), at(point))
			}
			d.circle(pen{0.35, nil, p.colour}, paint{}, at(point), 0.9)
		}
		y := height + 13 + 4*float64(i)
		d.line(p, xy{0, y - 1}, xy{12, y - 1})
		text := "group " + line.group
		if same := slices.IndexFunc(lines[:i], func(l gainLine) bool { return slices.Equal(l.points, line.points) }); same >= 0 {
			text += ", the same as group " + lines[same].group
		}
		d.write(14, y, text, alignLeft)
	}
	return Figure{
		Name:    "gains",
		Caption: "Gain expected over the sound path, by group",
		Alt:     gainAlt(lines, unit),
		Drawing: d.finish(),
	}, true
}

func gainAlt(lines []gainLine, unit string) string {
	text := "Gain over the first reflector against sound path: "
	for i, line := range lines {
		last := line.points[len(line.points)-1]
		if i > 0 {
			text += "; "
		}
		text += fmt.Sprintf("group %s %s at %s %s", line.group, gain(si.Decibel(last.y)), shortest(last.x, 1, si.Nearest), unit)
	}
	return text + "."
}
