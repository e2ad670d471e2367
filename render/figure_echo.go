package render

import (
	"fmt"
	"math"
	"strconv"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// echoes draws how high the echoes of wall, hole and discs are expected over sound
// path, before a single-element probe: each only where a law holds for it.
func (a artist) echoes(g *technique.Group) (Figure, bool) {
	if g.Single == nil || len(g.Single.Charted) == 0 {
		return Figure{}, false
	}
	inch := a.units == "in"
	in := func(x si.Length) float64 {
		if inch {
			return float64(x / si.Inch)
		}
		return float64(x / si.Millimetre)
	}
	far, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for _, c := range g.Single.Charted {
		for _, p := range c.Points {
			far, low, high = max(far, in(p.Path)), min(low, float64(p.Echo)), max(high, float64(p.Echo))
		}
	}
	d := a.draft()
	if !(far > 0) || math.IsInf(high-low, 0) {
		return Figure{}, false
	}
	used := in(g.Deepest)
	if g.Set.Method == "angle-beam" {
		used = in(g.Deepest / si.Length(g.Single.Probe.Angle.Cos()))
	}
	const wide, tall, step = 118.0, 78.0, 6.0
	bottom, top := math.Floor(low/step)*step, math.Ceil(high/step)*step
	unit := niceStep(far)
	kx, ky := wide/far, tall/(top-bottom)
	at := func(x, y float64) xy { return xy{x * kx, (top - y) * ky} }
	for y := bottom; y <= top+1e-9; y += step {
		d.line(pen{0.13, nil, grey(0xB0)}, at(0, y), at(far, y))
		d.write(-1.5, at(0, y).y+d.capital()/2, shortest(y, 0, si.Nearest), alignRight)
	}
	for i := 0; float64(i)*unit <= far*(1+1e-9); i++ {
		x := float64(i) * unit
		d.line(pen{0.13, nil, grey(0xB0)}, at(x, bottom), at(x, top))
		d.write(at(x, 0).x, tall+3.8, strconv.FormatFloat(x, 'g', 6, 64), alignCentre)
	}
	d.line(outline(), at(0, bottom), at(far, bottom))
	d.line(outline(), at(0, bottom), at(0, top))
	name := map[bool]string{true: "in", false: "mm"}[inch]
	d.write(wide/2, tall+8.2, "sound path, "+name, alignCentre)
	d.write(-1.5, -3, "echo, dB", alignRight)
	if used < far*(1-1e-6) {
		d.line(dashed(), at(used, bottom), at(used, top))
		d.write(at(used, 0).x, at(0, top).y-1, "longest path used", alignCentre)
	}
	// Lines differ in their dashes, so that they stay apart in grey.
	var taken []float64
	for i, c := range g.Single.Charted {
		p := []pen{{0.5, nil, black()}, {0.4, []float64{3, 1}, black()}, {0.35, nil, accent()}, {0.4, []float64{1.2, 0.8}, accent()}, {0.35, []float64{4, 0.8, 0.6, 0.8}, accent()}}[i%5]
		var points []xy
		for _, q := range c.Points {
			points = append(points, at(in(q.Path), float64(q.Echo)))
		}
		d.line(p, points...)
		y := points[len(points)-1].y
		for _, other := range taken {
			if math.Abs(y-other) < 3.4 {
				y = other + 3.4
			}
		}
		taken = append(taken, y)
		d.write(wide+2, y+d.capital()/2, c.Name, alignLeft)
	}
	law := "from three near fields on"
	if g.Set.Method == "straight-beam" || !si.Known(g.Single.Probe.Diameter) {
		law = "from one near field on"
	}
	for i, text := range []string{
		fmt.Sprintf("Group %s: expected echoes, 0 dB that of a wall at the longest path used, without attenuation", g.Set.Name),
		"each is drawn " + law + "; a hole before a straight round probe from three",
	} {
		if i == 1 && g.Set.Method != "straight-beam" {
			text = "each is drawn " + law
		}
		d.write(-12, tall+13+noteRow*float64(i), text, alignLeft)
	}
	return Figure{
		Name:    "gain-" + g.Set.Name,
		Caption: "Group " + g.Set.Name + ": echoes of wall, hole and discs over sound path, by the laws of distance and size",
		Alt:     fmt.Sprintf("Expected echo in dB over sound path before the probe of group %s, for a wall, a side-drilled hole and discs.", g.Set.Name),
		Drawing: d.finish(),
	}, true
}
