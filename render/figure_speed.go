package render

import (
	"fmt"
	"math"
	"strconv"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// speedLimits draws, for each transmission scheme, the speed above which scan
// positions are lost. It shows nothing where there is nothing to compare.
func (a artist) speedLimits() (Figure, bool) {
	list := a.Speed.Alternatives
	if len(list) < 2 {
		return Figure{}, false
	}
	inch := a.units == "in"
	in := func(v si.Speed) float64 {
		if inch {
			return float64(v) / float64(si.Inch)
		}
		return float64(v) * 1000
	}
	working := in(a.Job.Scan.Speed)
	most := 0.0
	for _, alternative := range list {
		most = max(most, in(alternative.Limit))
	}
	if si.Known(a.Job.Scan.Speed) {
		most = max(most, working)
	}
	d := a.draft()
	if !(most > 0) || math.IsInf(most, 1) {
		d.width = math.NaN() // an unknown speed is not drawn
		return Figure{Name: "speed", Drawing: d.Drawing}, true
	}
	step := niceStep(most)
	end := math.Ceil(most/step-1e-9) * step

	const widestName = 60.0
	names := 0.0
	for _, alternative := range list {
		for _, row := range d.wrap(alternative.Name, widestName) {
			names = max(names, d.fonts.width(row, bold, d.size))
		}
	}
	texts := 0.0
	for _, alternative := range list {
		texts = max(texts, d.fonts.width(a.limitText(alternative), regular, d.size))
	}
	// The bars get what names and texts leave; where that is little, the texts
	// go under the bars' names.
	const bar = 4.0
	row := 8.5
	axis := figureWidth - names - 10
	beside := axis-texts-6 >= 60
	under := 1 // rows of text over a bar
	if beside {
		axis -= texts + 6
	} else {
		for _, alternative := range list {
			under = max(under, len(d.wrap(a.limitText(alternative), axis)))
		}
		row = 7 + 3.5*float64(under)
	}
	k := axis / end
	height := row * float64(len(list))
	for i := range int(math.Round(end/step)) + 1 {
		x := float64(i) * step
		d.line(pen{0.13, nil, grey(0xB0)}, xy{x * k, 0}, xy{x * k, height})
		d.write(x*k, height+3.6, strconv.FormatFloat(x, 'g', 6, 64), alignCentre)
	}
	unit := "mm/s"
	if inch {
		unit = "in/s"
	}
	d.write(0, height+8, "largest scan speed without lost positions, "+unit, alignLeft)
	for i, alternative := range list {
		y := row*float64(i+1) - bar - 2
		fill, line := solid(grey(0xDD)), thin()
		if alternative.Chosen {
			fill, line = solid(accent()), pen{0.25, nil, accent()}
		}
		x := in(alternative.Limit) * k
		d.area(line, fill, xy{0, y}, xy{x, y}, xy{x, y + bar}, xy{0, y + bar})
		name := d.wrap(alternative.Name, widestName)
		for n, row := range name {
			t := d.write(-2, y+bar/2+d.capital()/2+3.4*(float64(n)-float64(len(name)-1)/2), row, alignRight)
			if alternative.Chosen {
				t.style = bold
				t.width = d.fonts.width(t.text, bold, t.size)
			}
		}
		if beside {
			d.write(axis+4, y+bar/2+d.capital()/2, a.limitText(alternative), alignLeft)
			continue
		}
		rows := d.wrap(a.limitText(alternative), axis)
		for n, text := range rows {
			d.write(1, y-1-3.5*float64(len(rows)-1-n), text, alignLeft).box = true
		}
	}
	d.line(outline(), xy{0, 0}, xy{0, height})
	if si.Known(a.Job.Scan.Speed) {
		d.line(pen{0.5, []float64{2, 1}, black()}, xy{working * k, -1.5}, xy{working * k, height})
		text := "working speed " + a.speed(a.Job.Scan.Speed, si.Nearest)
		half := d.fonts.width(say(d.tongue, text), regular, d.size) / 2
		d.write(min(working*k, max(axis, texts)-half), -2.5, text, alignCentre)
	}
	return Figure{
		Name:    "speed",
		Caption: "Speed limit by transmission scheme, for the pass that limits the speed",
		Alt:     a.speedAlt(list),
		Drawing: d.finish(),
	}, true
}

// limitText is what stands beside a bar. The limit is rounded down.
func (a artist) limitText(x technique.Alternative) string {
	return a.speed(x.Limit, si.Down) + ", limited by " + x.LimitedBy
}

func (a artist) speedAlt(list []technique.Alternative) string {
	text := "Largest scan speed by transmission scheme: "
	for i, x := range list {
		if i > 0 {
			text += "; "
		}
		text += fmt.Sprintf("%s %s", x.Name, a.limitText(x))
		if x.Chosen {
			text += " (chosen)"
		}
	}
	return text + "."
}

// niceStep is a step of the series 1, 2, 5 that divides a range into about six.
func niceStep(most float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(most/6)))
	for _, m := range []float64{1, 2, 5} {
		if most/(m*unit) <= 7 {
			return m * unit
		}
	}
	return 10 * unit
}
