package rules

import (
	"math"
	"strconv"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/si"
)

// aspects is a limit of an indication's size a by its slenderness a over
// length, as a share of the thickness. Between two values of the slenderness,
// and between two ranges of thickness, it is interpolated linearly; a stouter
// indication than the last has the limit of the last.
type aspects struct {
	half  bool      // a is half the height, not the height
	at    []float64 // a over length, ascending
	steps []aspectStep
}

// aspectStep is the limits for a range of thickness, one for each slenderness.
// The first begins, and the last ends, where the table is asked at all.
type aspectStep struct {
	from, to, fromInch, toInch float64
	limits                     []float64 // a over thickness
}

func (s aspectStep) ends(inch bool) (from, to float64) {
	if inch {
		return s.fromInch, s.toInch
	}
	return s.from, s.to
}

// share is the largest a over thickness of a slenderness; NaN outside the
// thicknesses of the table.
func (a *aspects) share(aspect, thickness float64, inch bool) float64 {
	last := math.NaN()
	lastTo := math.NaN()
	for _, s := range a.steps {
		from, to := s.ends(inch)
		here := a.along(aspect, s.limits)
		switch {
		case !atMost(from, thickness):
			return last + (here-last)*(thickness-lastTo)/(from-lastTo)
		case atMost(thickness, to):
			return here
		}
		last, lastTo = here, to
	}
	return math.NaN()
}

// along interpolates the limits of one range of thickness.
func (a *aspects) along(aspect float64, limits []float64) float64 {
	if math.IsNaN(aspect) || aspect < a.at[0] {
		return math.NaN()
	}
	for i := 1; i < len(a.at); i++ {
		if atMost(aspect, a.at[i]) {
			return limits[i-1] + (limits[i]-limits[i-1])*(aspect-a.at[i-1])/(a.at[i]-a.at[i-1])
		}
	}
	return limits[len(limits)-1]
}

// height is the height through the wall of an indication of size a.
func (a *aspects) height(size float64) float64 {
	if a.half {
		return 2 * size
	}
	return size
}

// size is a for a height.
func (a *aspects) size(height float64) float64 {
	if a.half {
		return height / 2
	}
	return height
}

// An AspectLimit is the largest indication of one slenderness that is accepted.
type AspectLimit struct {
	Aspect si.Ratio  // a over length
	Share  si.Ratio  // a over thickness
	Height si.Length // through the wall
	Length si.Length // that it has at this height; NaN where it is long without end
	Text   struct{ Aspect, Share, Height, Length string }
}

// worked are the limits at each slenderness of the table, rounded down.
func (a *aspects) worked(thickness si.Length, inch bool) []AspectLimit {
	m := lengthMeasure(inch)
	plain := measure{kind: si.Number, decimals: 4}
	var list []AspectLimit
	for _, aspect := range a.at {
		share := a.share(aspect, float64(thickness), inch)
		if math.IsNaN(share) {
			return nil
		}
		size := share * float64(thickness)
		l := AspectLimit{Aspect: si.Ratio(aspect), Share: si.Ratio(share), Height: si.Length(a.height(size)), Length: si.Unknown[si.Length]()}
		l.Text.Aspect, l.Text.Share = plain.text(aspect, si.Nearest, inch), plain.text(share, si.Down, inch)
		l.Text.Height = m.text(float64(l.Height), si.Down, inch)
		if aspect > 0 {
			l.Length = si.Length(size / aspect)
			l.Text.Length = m.text(float64(l.Length), si.Down, inch)
		}
		list = append(list, l)
	}
	return list
}

func (r *reader) aspects(node *yaml.Node) *aspects {
	const what = "aspects of an acceptance row"
	f := r.fields(node, what, "half", "at", "steps")
	numbers := func(f fields, key string) []float64 {
		var list []float64
		for _, n := range f.nodes(key) {
			x, err := strconv.ParseFloat(n.Value, 64)
			if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
				r.fail(n, "book-aspects", key+" of "+what+" holds something that is no number", n.Value, "numbers, such as 0.05")
				x = 0
			}
			list = append(list, x)
		}
		return list
	}
	a := &aspects{half: f.flag("half"), at: numbers(f, "at")}
	for i := range a.at {
		if i > 0 && a.at[i] <= a.at[i-1] {
			r.fail(f.of["at"], "book-aspects", "at of "+what+" does not ascend", f.of["at"].Content[i].Value, "each above the one before")
			break
		}
	}
	steps := f.nodes("steps")
	for i, n := range steps {
		g := r.fields(n, "a step of "+what, "from", "from_inch", "to", "to_inch", "limits")
		length := func(key string, usual float64) float64 { // NaN: it must be there
			if !g.has(key) && !math.IsNaN(usual) {
				return usual
			}
			text := g.text(key, true)
			x, err := si.Parse(text, si.KindLength)
			if err != nil && g.has(key) {
				r.fail(g.of[key], "book-aspects", key+" of "+what+" is no length", text, "such as 25 mm")
			}
			return x
		}
		s := aspectStep{limits: numbers(g, "limits")}
		least, most := math.NaN(), math.NaN()
		if i == 0 {
			least = 0
		}
		if i == len(steps)-1 {
			most = math.Inf(1)
		}
		s.from, s.to = length("from", least), length("to", most)
		s.fromInch, s.toInch = length("from_inch", s.from), length("to_inch", s.to)
		before := aspectStep{to: math.Inf(-1), toInch: math.Inf(-1)}
		if len(a.steps) > 0 {
			before = a.steps[len(a.steps)-1]
		}
		if s.to <= s.from || s.toInch <= s.fromInch || s.from <= before.to || s.fromInch <= before.toInch {
			r.fail(n, "book-aspects", "the steps of "+what+" do not ascend", "", "from below to, and each step above the one before; from may lack in the first, to in the last")
		}
		if len(s.limits) != len(a.at) {
			r.fail(n, "book-aspects", "a step of "+what+" has not one limit for each value of at", strconv.Itoa(len(s.limits)), strconv.Itoa(len(a.at)))
		}
		a.steps = append(a.steps, s)
	}
	if len(a.at) < 2 || len(a.steps) == 0 {
		r.fail(node, "book-aspects", what+" holds no table", "", "at, two numbers or more, and steps with from, to and limits")
	}
	return a
}
