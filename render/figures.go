package render

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/templates"
)

// Figures draws the figures of a technique: wedges, joint, section-<group> and
// map-<group> for each group, section-all, positions, plan, strokes, gain-<group> for each
// single-element probe, gains, speed and block. One
// that the technique has nothing to show for is left out.
func Figures(t *technique.Technique) []Figure {
	if t == nil || t.Job == nil {
		return nil
	}
	a := artist{Technique: t, letters: newTypeface(), units: t.Job.Document.Units, tongue: templates.Of(t.Job)}
	var figures []Figure
	add := func(f Figure, ok bool) {
		if ok {
			f.Caption, f.Alt = say(a.tongue, f.Caption), say(a.tongue, f.Alt)
			figures = append(figures, f)
		}
	}
	if t.Section != nil && t.Section.Known() {
		add(a.wedgeViews())
		add(a.joint())
		for i := range t.Groups {
			add(a.groupSection(&t.Groups[i]))
			add(a.predicted(&t.Groups[i]))
		}
		add(a.allSection())
		add(a.positions())
		add(a.plan())
		add(a.strokes())
	}
	for i := range t.Groups {
		add(a.echoes(&t.Groups[i]))
	}
	add(a.speedLimits())
	add(a.expectedGain())
	add(a.referenceBlock())
	return figures
}

// artist draws the figures of one technique.
type artist struct {
	*technique.Technique
	letters *typeface
	units   string // mm, in, both
	tongue  *templates.Tongue
}

const (
	figureWidth  = 165.0 // millimetres that a figure may be wide
	figureHeight = 185.0
	figureSize   = 8 // of its text, points: capitals of 2 mm
)

func (a artist) draft() *draft { return &draft{fonts: a.letters, size: figureSize, tongue: a.tongue} }

// scale is a scale of the series of ISO 5455.
type scale struct {
	factor float64
	text   string
}

// fitted draws at the largest scale at which the drawing fits, and returns the
// drawing with the scale's name.
func fitted(largest float64, draw func(scale) *draft) (Drawing, string) {
	return fittedIn(largest, figureWidth, figureHeight, draw)
}

// fittedIn is fitted with a width and height of one's own.
func fittedIn(largest, width, height float64, draw func(scale) *draft) (Drawing, string) {
	scales := []scale{{10, "10:1"}, {5, "5:1"}, {2, "2:1"}, {1, "1:1"}, {0.5, "1:2"}, {0.2, "1:5"}, {0.1, "1:10"},
		{0.05, "1:20"}, {0.02, "1:50"}, {0.01, "1:100"}}
	var d Drawing
	var name string
	for _, s := range scales {
		if s.factor > largest {
			continue
		}
		d, name = draw(s).finish(), s.text
		if d.width <= width && d.height <= height {
			break
		}
	}
	return d, name
}

// say is a text of a figure in the language of the document.
func say(tongue *templates.Tongue, text string) string { return tongue.Decimal(tongue.Say(text)) }

// pipe reports whether the part is a pipe, whose surfaces have other names, and
// girth whether the weld runs around it, so that the scan closes on itself.
func (a artist) pipe() bool  { return a.Job.Part.Kind == "pipe" }
func (a artist) girth() bool { return a.pipe() && !a.Job.Part.Longitudinal() }

// surfaces names the upper and the lower surface of the section.
func (a artist) surfaces() (upper, lower string) {
	if a.pipe() {
		return "outside", "inside"
	}
	return "top", "bottom"
}

// length prints a dimension in the units of the document.
func (a artist) length(l si.Length) string { return a.dimension(l, 2) }

// worked prints a dimension that was worked out, as the text does.
func (a artist) worked(l si.Length) string { return a.dimension(l, 1) }

func (a artist) dimension(l si.Length, places int) string {
	mm := shortest(float64(l/si.Millimetre), places, si.Nearest) + " mm"
	in := shortest(float64(l/si.Inch), 3, si.Nearest) + " in"
	return a.inUnits(mm, in)
}

// across prints a position across the weld with its sign: negative on side A.
// Both units carry it.
func (a artist) across(x si.Length) string { return plus(x, a.length(x)) }

// front prints where a wedge front stands, as the text does: that of a pair is
// worked out from the separation.
func (a artist) front(p *technique.Placement) string {
	x := p.Along(p.Front)
	for i := range a.Groups {
		if g := &a.Groups[i]; g.Pair != nil && slices.ContainsFunc(g.Placements, func(q technique.Placement) bool { return q.Front == p.Front }) {
			return plus(x, a.worked(x))
		}
	}
	return a.across(x)
}

func plus(x si.Length, text string) string {
	if x > 0 {
		text = "+" + strings.Replace(text, "(", "(+", 1)
	}
	return text
}

// speed prints a speed, rounded to the side given.
func (a artist) speed(v si.Speed, side si.Side) string {
	mm := si.Round(float64(v)*1000, 1, side) + " mm/s"
	in := si.Round(float64(v)/float64(si.Inch), 2, side) + " in/s"
	return a.inUnits(mm, in)
}

// inUnits chooses among the same quantity in both unit systems.
func (a artist) inUnits(mm, in string) string {
	switch a.units {
	case "in":
		return in
	case "both":
		return mm + " (" + in + ")"
	}
	return mm
}

// shortest prints a number with at most the given decimals.
func shortest(x float64, places int, side si.Side) string {
	text := si.Round(x, places, side)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if x < 0 {
		text = strings.Replace(text, "-", "−", 1)
	}
	return text
}

// degrees prints an angle.
func degrees(a si.Angle) string { return shortest(float64(a/si.Degree), 1, si.Nearest) + "°" }

// missedText says what a coverage does not reach. The share is never printed
// smaller than it is.
func missedText(c coverage.Result, by string) string {
	if !(c.Share < 1-1e-9) || len(c.Missed) == 0 {
		return "no part of the volume is missed"
	}
	regions := "regions"
	if len(c.Missed) == 1 {
		regions = "region"
	}
	return "not reached " + by + ": " + si.Round(float64(1-c.Share)*100, 1, si.Up) + " % of the volume, in " +
		si.Round(float64(len(c.Missed)), 0, si.Nearest) + " " + regions
}

// view maps the section to the paper at a scale: places of a bent section to
// where they truly lie.
type view struct {
	k       float64
	section *geometry.Section
}

func (a artist) viewAt(s scale) view { return view{s.factor * 1000, a.Section} }

func (v view) at(p geometry.Point) xy {
	p = v.section.True(p)
	return xy{float64(p.X) * v.k, float64(p.Z) * v.k}
}

func (v view) length(l si.Length) float64 { return float64(l) * v.k }

// outline maps a closed outline, whose edges may be bent.
func (v view) outline(p geometry.Polygon) []xy {
	shape := v.section.Shape(p)
	out := make([]xy, len(shape))
	for i, q := range shape {
		out[i] = xy{float64(q.X) * v.k, float64(q.Z) * v.k}
	}
	return out
}

// line maps places that straight lines join, such as those of a ray.
func (v view) line(points []geometry.Point) []xy {
	out := make([]xy, len(points))
	for i, p := range points {
		out[i] = v.at(p)
	}
	return out
}

// reachX returns the smallest and largest x of places.
func reachX(points []xy) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range points {
		low, high = min(low, p.x), max(high, p.x)
	}
	return low, high
}
