package templates

import (
	"fmt"
	"math"
	"strings"

	"soundwrit/internal/acquisition"
	cover "soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// coverage is what is reached of the volume, and the regions that are not.
type coverage struct {
	Share   md
	Missed  []missed
	Smaller int // regions left out of the list
	Rest    md  // their share together
}

type missed struct{ Across, Depth, Share md }

// longest is how many missed regions are listed; they come largest first.
const longest = 10

func seeCoverage(p *printer, r cover.Result) coverage {
	if !finite(float64(r.Share)) {
		p.refused = append(p.refused, "share of the volume that is reached")
	}
	v := coverage{Share: p.computed(ratioOf(r.Share), percentOne, si.Down)}
	var rest si.Ratio
	for i, m := range r.Missed {
		if i >= longest {
			v.Smaller++
			rest += m.Share
			continue
		}
		v.Missed = append(v.Missed, missed{
			Across: p.span(m.From.X, m.To.X),
			Depth:  p.computed(lengthOf(m.From.Z), positionUnit, si.Down) + " to " + p.computed(lengthOf(m.To.Z), positionUnit, si.Up),
			Share:  p.computed(ratioOf(m.Share), percentOne, si.Up),
		})
	}
	v.Rest = p.computed(ratioOf(rest), percentOne, si.Up)
	return v
}

type reference struct {
	Block                             block
	Reflector, Level, Gain, Evaluated md
	Transfer, Temperature             md
	Interval, Sensitivity, Range      md
	Evaluate, Span                    md // Evaluated and Range in short
	Encoder, EncoderLength            md
	Occasions                         []md
	Curve                             []point
}

// point is one reflector of the time-corrected gain.
type point struct{ Depth, Leg, Unfolded, From, To md }

func seeReference(p *printer, t *technique.Technique) reference {
	r := t.Job.Reference
	c := r.Checks
	v := reference{
		Block:       seeBlock(p, t.Job),
		Reflector:   reflector(r.Reflector),
		Level:       p.needed("reference.level", ratioOf(r.Level), percentUnit, si.Nearest),
		Gain:        p.needed("reference.scanning_gain", gainOf(r.ScanningGain), decibelUnit, si.Nearest),
		Evaluated:   p.relative(r.EvaluationLevel),
		Transfer:    esc(r.Transfer),
		Temperature: p.given(si.Quantity{SI: float64(r.TemperatureDifference), Kind: si.KindKelvin}, kelvinUnit, si.Down),
		Interval:    p.given(timeOf(c.Interval), hourUnit, si.Down),
		Sensitivity: p.given(gainOf(c.Sensitivity), decibelUnit, si.Down),
		Encoder:     p.given(ratioOf(c.Encoder), percentUnit, si.Down), EncoderLength: p.given(lengthOf(c.EncoderLength), lengthUnit, si.Up),
		Occasions: listed(c.Occasions),
	}
	if !finite(float64(r.EvaluationLevel)) {
		p.refused = append(p.refused, "reference.evaluation_level")
	}
	length, share := finite(float64(c.Range)), finite(float64(c.RangeShare))
	switch v.Range = notStated; {
	case length && share:
		// Which of the two holds is not said by the job: the smaller is on the safe side.
		v.Range = p.given(lengthOf(c.Range), lengthUnit, si.Down) + " or " + p.given(ratioOf(c.RangeShare), percentUnit, si.Down) + " of the reading, whichever is smaller"
	case length:
		v.Range = p.given(lengthOf(c.Range), lengthUnit, si.Down)
	case share:
		v.Range = p.given(ratioOf(c.RangeShare), percentUnit, si.Down) + " of the reading"
	}
	v.Evaluate = md(strings.TrimPrefix(string(v.Evaluated), "a level "))
	if v.Span = v.Range; length && share {
		v.Span = p.given(lengthOf(c.Range), lengthUnit, si.Down) + ", at most " + p.given(ratioOf(c.RangeShare), percentUnit, si.Down)
	}
	for _, c := range t.Curve {
		v.Curve = append(v.Curve, point{
			Depth: p.length(c.Depth), Leg: md(fmt.Sprint(c.Leg)),
			Unfolded: p.computed(lengthOf(c.Unfolded), positionUnit, si.Nearest),
			From:     p.computed(lengthOf(c.PathFrom), positionUnit, si.Nearest),
			To:       p.computed(lengthOf(c.PathTo), positionUnit, si.Nearest),
		})
	}
	return v
}

type scan struct {
	Datum, Direction, Carries, LineOverlap       md
	MissingShare, PerLength, Adjacent            md
	CouplingLoss, Storage, LimitedBy, LinesWords md
	Scaled                                       bool
	Lines                                        []line
	Passes                                       []pass
	Alternatives                                 []alternative
	Waves                                        bool // plane waves are among them
	Compared                                     md   // the group by whose image the alternatives are compared
	Strip                                        []strip
}

type line struct{ Number, Side, Surface, Front, Groups md }

type pass struct{ Number, Lines, Firings, AScans, Data, Time, LimitedBy, Limit md }

type alternative struct {
	Name, Firings, AScans, Data, LimitedBy, Limit, Time, Noise, Pitch md
	Width, Beside, Away                                               md // of the image of a point
}

// strip is the band under the probe on one side of the weld.
type strip struct {
	Side, From, To md
	Outer          bool // of a flange
}

func seeScan(p *printer, t *technique.Technique) scan {
	s := t.Job.Scan
	v := scan{
		Datum: or(esc(s.Datum), notStated), Direction: or(esc(s.Direction), notStated), Carries: carries(s.Pass),
		LineOverlap:  p.given(ratioOf(s.LineOverlap), percentUnit, si.Up),
		MissingShare: p.given(ratioOf(s.MissingShare), percentUnit, si.Down),
		PerLength:    lines(s.MissingPerLength), Adjacent: lines(s.MissingAdjacent),
		CouplingLoss: esc(s.CouplingLoss), Storage: esc(s.Storage),
		Strip: strips(p, t),
	}
	for i, l := range t.Lines {
		v.Lines = append(v.Lines, line{
			Number: md(fmt.Sprint(i + 1)), Side: esc(sideOf(l.Side)), Surface: esc(surface(t.Job.Part.Kind, l.Surface)),
			Front: p.signed(l.Front, lengthUnit, si.Nearest, trim), Groups: p.list(l.Groups),
		})
		if l.Pair {
			v.Lines[i].Front = "±" + p.computed(lengthOf(abs(l.Front)), positionUnit, si.Nearest)
		}
	}
	v.LinesWords = plural(len(t.Lines), "scan line")
	for i, one := range t.Speed.Passes {
		v.Passes = append(v.Passes, seePass(p, i, one))
		if i == t.Speed.Limiting {
			v.LimitedBy, v.Scaled = limitedBy(one.Frame), one.Frame.Scaled
		}
	}
	if len(t.Speed.Alternatives) > 1 {
		for _, a := range t.Speed.Alternatives {
			v.Alternatives = append(v.Alternatives, seeAlternative(p, a))
			v.Waves = v.Waves || a.Waves > 0
			if a.Image != nil {
				v.Compared = esc(t.Speed.Compared)
			}
		}
	}
	return v
}

func seePass(p *printer, i int, one technique.Pass) pass {
	var numbers []string
	for _, n := range one.Lines {
		numbers = append(numbers, fmt.Sprint(n+1))
	}
	if !finite(float64(one.Limit)) || !finite(float64(one.Frame.Time)) {
		p.refused = append(p.refused, fmt.Sprintf("speed of pass %d", i+1))
	}
	return pass{
		Number: md(fmt.Sprint(i + 1)), Lines: p.list(numbers),
		Firings: md(fmt.Sprint(one.Frame.Firings)), AScans: md(fmt.Sprint(one.Frame.AScans)), Data: p.data(one.Frame.Data),
		Time:      p.computed(timeOf(one.Frame.Time), millisecond, si.Up),
		LimitedBy: limitedBy(one.Frame), Limit: p.computed(speedOf(one.Limit), speedUnit, si.Down),
	}
}

func limitedBy(f acquisition.Frame) md { return or(esc(f.LimitedBy), notStated) }

func seeAlternative(p *printer, a technique.Alternative) alternative {
	v := alternative{
		Name: esc(a.Name), Firings: md(fmt.Sprint(a.Firings)), AScans: md(fmt.Sprint(a.AScans)), Data: p.data(a.Data),
		LimitedBy: esc(a.LimitedBy), Limit: p.computed(speedOf(a.Limit), speedUnit, si.Down), Time: p.duration(a.Minutes),
		Noise: p.computed(gainOf(a.Noise), unit{metric: "dB", decimals: 1}, si.Nearest),
		Pitch: md(p.tongue.comma(si.Quantity{SI: float64(a.Pitch)}.Digits("", 2, si.Nearest))),
	}
	if !finite(float64(a.Pitch)) {
		v.Pitch = notStated
	}
	if a.Image != nil {
		v.Width, v.Beside, v.Away = or(known(p, lengthOf(a.Image.Across), lobeUnit, si.Up), "–"), or(response(p, a.Image.Beside), "–"), or(response(p, a.Image.Away), "–")
	}
	if a.Chosen {
		v.Name = "**" + v.Name + "** (chosen)"
	}
	return v
}

func carries(pass string) md {
	switch pass {
	case "line":
		return "one scan line"
	case "side":
		return "all scan lines of one side"
	case "all":
		return "all scan lines of both sides"
	}
	return or(esc(pass), notStated)
}

// lines writes a permitted number of lines out; -1 is not stated.
func lines(n int) md {
	switch {
	case n < 0:
		return notStated
	case n == 0:
		return "none"
	}
	return md(fmt.Sprint(n))
}

func plural(n int, what string) md {
	if n == 1 {
		return md("1 " + what)
	}
	return md(fmt.Sprintf("%d %ss", n, what))
}

// strips gives the band on each side on which a wedge of any group stands: what is
// negative across the weld lies on side A, or on a flange to the web's top.
func strips(p *printer, t *technique.Technique) []strip {
	var all []strip
	for _, side := range []struct {
		name   string
		sign   si.Length
		flange bool
	}{{"A", -1, false}, {"B", 1, false}, {"top", -1, true}, {"bottom", 1, true}} {
		from, to := si.Length(math.Inf(1)), si.Length(0)
		for _, g := range t.Groups {
			for _, pl := range g.Placements {
				least, most := si.Length(math.Inf(1)), si.Length(math.Inf(-1))
				for _, q := range append([]geometry.Point{pl.Front, pl.Back}, pl.Far...) {
					if x := side.sign * pl.Along(q); finite(float64(x)) {
						least, most = min(least, x), max(most, x)
					}
				}
				if (pl.Flange != nil) == side.flange && most > 0 {
					from, to = min(from, max(0, least)), max(to, most)
				}
			}
		}
		if to > 0 {
			all = append(all, strip{esc(side.name), p.computed(lengthOf(from), positionUnit, si.Down), p.computed(lengthOf(to), positionUnit, si.Up), side.flange})
		}
	}
	return all
}

func abs(l si.Length) si.Length { return max(l, -l) }
