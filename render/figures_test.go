package render

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// bottomTechnique scans from the inside.
func bottomTechnique() *technique.Technique {
	t := plateTechnique()
	flip := func(p geometry.Point) geometry.Point { return geometry.Point{X: p.X, Z: 25*mm - p.Z} }
	for i := range t.Groups {
		for j := range t.Groups[i].Placements {
			p := &t.Groups[i].Placements[j]
			p.Front, p.Back = flip(p.Front), flip(p.Back)
			for k := range p.Elements {
				p.Elements[k] = flip(p.Elements[k])
			}
			for k := range p.Rays {
				for n := range p.Rays[k].Points {
					p.Rays[k].Points[n] = flip(p.Rays[k].Points[n])
				}
			}
		}
	}
	for i := range t.Lines {
		t.Lines[i].Surface = "bottom"
	}
	return t
}

// placedTechnique has a curved block whose reflectors have places.
func placedTechnique() *technique.Technique {
	t := plateTechnique()
	b := &t.Job.Equipment.Blocks[0]
	b.Kind, b.NotchDepth, b.NotchLength, b.NotchWidth = "holes-and-notches", 2*mm, 25*mm, 1*mm
	b.Diameter, b.Width, b.Length = 219.1*mm, 200*mm, 300*mm
	b.Places = nil
	for i := range b.Reflectors() {
		b.Places = append(b.Places, si.Length(40+30*i)*mm)
	}
	return t
}

func techniques() map[string]*technique.Technique {
	inch := plateTechnique()
	inch.Job.Document.Units = "in"
	return map[string]*technique.Technique{
		"plate": plateTechnique(), "pipe": pipeTechnique(), "bottom": bottomTechnique(), "inch": inch, "thicker": thickerTechnique(),
		"placed": placedTechnique(),
	}
}

func TestFiguresFitAndTheirTextsAreApart(t *testing.T) {
	t.Parallel()
	for name, tech := range techniques() {
		figuresFit(t, name, Figures(tech))
	}
	for _, name := range shippedJobs(t) {
		figuresFit(t, name, document(t, computed(t, name), "A4").Figures)
	}
}

// figuresFit holds the figures to the page, their texts to be readable and apart,
// and lines to keep off the texts: no wide line and no arrowhead runs through
// one, and no line at all where it has no white behind it that interrupts the
// line.
func figuresFit(t *testing.T, name string, figures []Figure) {
	t.Helper()
	const smallest = 2.0 // height of a capital on the paper, millimetres
	if len(figures) < 4 {
		t.Errorf("%s: only %d figures", name, len(figures))
	}
	for _, f := range figures {
		d := f.Drawing
		if d.width > figureWidth || d.height > figureHeight {
			t.Errorf("%s %s: %.1f mm by %.1f mm does not fit the page", name, f.Name, d.width, d.height)
		}
		if f.Caption == "" || f.Alt == "" {
			t.Errorf("%s %s: caption or description is missing", name, f.Name)
		}
		page := box{0, 0, d.width, d.height}
		for i, x := range d.labels {
			b := x.bounds()
			if b.left < page.left || b.top < page.top || b.right > page.right || b.bottom > page.bottom {
				t.Errorf("%s %s: %q is outside the drawing", name, f.Name, x.text)
			}
			if high := 0.73 * x.size * 25.4 / 72; high < smallest { // DejaVu's capitals are 0.73 of its size
				t.Errorf("%s %s: %q is %.2f mm high", name, f.Name, x.text, high)
			}
			for _, y := range d.labels[i+1:] {
				if b.overlaps(y.bounds()) {
					t.Errorf("%s %s: %q and %q overlap", name, f.Name, x.text, y.text)
				}
			}
			thick, thin := d.crossings(x)
			if thick > 0 {
				t.Errorf("%s %s: %q stands over %d wide lines or arrowheads", name, f.Name, x.text, thick)
			}
			if thin > 0 && !x.box {
				t.Errorf("%s %s: %d lines run through %q", name, f.Name, thin, x.text)
			}
		}
	}
}

// What runs through a text is found, and what only passes it is not: the box of
// the word is 10 mm wide, and about 2.7 mm high.
func TestCrossingsOfAText(t *testing.T) {
	word := label{x: 0, y: 0, width: 10, size: 8, anchor: alignLeft}
	for what, c := range map[string]struct {
		shapes      []shape
		thick, thin int
	}{
		"an outline through it":       {[]shape{{points: []xy{{-5, -1}, {15, -1}}, pen: outline()}}, 1, 0},
		"a thin line through it":      {[]shape{{points: []xy{{5, -10}, {5, 10}}, pen: narrow()}}, 0, 1},
		"a line under it":             {[]shape{{points: []xy{{-5, 1}, {15, 1}}, pen: outline()}}, 0, 0},
		"a line that ends before it":  {[]shape{{points: []xy{{-5, -1}, {-1, -1}}, pen: outline()}}, 0, 0},
		"a slant past its corner":     {[]shape{{points: []xy{{-3, 0}, {3, -6}}, pen: outline()}}, 0, 0},
		"a slant across its corner":   {[]shape{{points: []xy{{-2, 0}, {4, -3}}, pen: outline()}}, 1, 0},
		"an arrowhead in it":          {[]shape{{points: []xy{{2, -1}, {4, -1.4}, {4, -0.6}}, closed: true, fill: solid(black())}}, 1, 0},
		"a line under an area below":  {[]shape{{points: []xy{{-5, -1}, {15, -1}}, pen: outline()}, {points: []xy{{-2, -5}, {12, -5}, {12, 5}, {-2, 5}}, closed: true, fill: white()}}, 0, 0},
		"a line over an area below":   {[]shape{{points: []xy{{-2, -5}, {12, -5}, {12, 5}, {-2, 5}}, closed: true, fill: white()}, {points: []xy{{-5, -1}, {15, -1}}, pen: outline()}}, 1, 0},
		"a black area under the word": {[]shape{{points: []xy{{-2, -5}, {12, -5}, {12, 5}, {-2, 5}}, closed: true, fill: solid(black())}}, 1, 0},
	} {
		d := Drawing{shapes: c.shapes}
		if thick, thin := d.crossings(word); thick != c.thick || thin != c.thin {
			t.Errorf("%s: %d wide and %d thin, want %d and %d", what, thick, thin, c.thick, c.thin)
		}
	}
}

func TestSVGIsWellFormed(t *testing.T) {
	for name, tech := range techniques() {
		for _, f := range Figures(tech) {
			svg := f.SVG()
			if !bytes.Equal(svg, f.SVG()) {
				t.Errorf("%s %s: two runs give different bytes", name, f.Name)
			}
			for _, bad := range []string{"NaN", "Inf", "e+", "e-0"} {
				if i := bytes.Index(svg, []byte(bad)); i >= 0 {
					t.Errorf("%s %s: %s in ...%s...", name, f.Name, bad, svg[max(0, i-30):i+10])
				}
			}
			decoder := xml.NewDecoder(bytes.NewReader(svg))
			titles := 0
			for {
				token, err := decoder.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Fatalf("%s %s: %v", name, f.Name, err)
				}
				if e, ok := token.(xml.StartElement); ok && (e.Name.Local == "title" || e.Name.Local == "desc") {
					titles++
				}
			}
			if titles != 2 {
				t.Errorf("%s %s: title or desc is missing", name, f.Name)
			}
		}
	}
}

// A technique in which something is unknown is not drawn as if it were known.
func TestUnknownIsNotDrawn(t *testing.T) {
	spoil := map[string]func(*technique.Technique){
		"front": func(t *technique.Technique) { t.Groups[0].Placements[0].Front.X = si.Unknown[si.Length]() },
		"ray":   func(t *technique.Technique) { t.Groups[0].Placements[0].Rays[1].Points[1].X = si.Unknown[si.Length]() },
		"wedge": func(t *technique.Technique) { t.Groups[0].Wedge.FirstElementHeight = si.Unknown[si.Length]() },
		"face":  func(t *technique.Technique) { t.Section.Faces[0].Upper.X = si.Unknown[si.Length]() },
		"line":  func(t *technique.Technique) { t.Lines[0].Front = si.Unknown[si.Length]() },
		"hole":  func(t *technique.Technique) { t.Job.Equipment.Blocks[0].HoleDepths[1] = si.Unknown[si.Length]() },
		"speed": func(t *technique.Technique) { t.Speed.Alternatives[0].Limit = si.Unknown[si.Speed]() },
	}
	for name, f := range spoil {
		tech := plateTechnique()
		f(tech)
		refused := 0
		for _, figure := range Figures(tech) {
			if bytes.Contains(figure.SVG(), []byte("NaN")) {
				t.Errorf("%s: figure %s writes NaN", name, figure.Name)
			}
			if figure.Drawing.check() != nil {
				refused++
				if !bytes.Contains(figure.SVG(), []byte("not drawn")) {
					t.Errorf("%s: figure %s does not say that it is not drawn", name, figure.Name)
				}
			}
		}
		if refused == 0 {
			t.Errorf("%s is unknown, and every figure was drawn", name)
		}
	}
	tech := plateTechnique()
	tech.Section = geometry.New(&plateJob().Part)
	tech.Section.Volume = nil
	Figures(tech) // has no section to draw, and must not panic
	Figures(nil)
	Figures(&technique.Technique{})
}

// The section is to scale: the paper distance of two lines is the length they
// stand for times the scale that the caption states.
func TestSectionIsToScale(t *testing.T) {
	for _, c := range []struct {
		tech             *technique.Technique
		name             string
		thickness, front float64 // mm, as put into the job
	}{
		{plateTechnique(), "section-upper", 25, 19},
		{plateTechnique(), "section-root", 25, 20},
		{pipeTechnique(), "section-main", 9.53, 9},
	} {
		var f Figure
		for _, g := range Figures(c.tech) {
			if g.Name == c.name {
				f = g
			}
		}
		scales := map[string]float64{"2:1": 2, "1:1": 1, "1:2": 0.5}
		scale := scales[f.Caption[strings.LastIndex(f.Caption, " ")+1:]]
		if scale == 0 {
			t.Fatalf("%s: no scale in %q", c.name, f.Caption)
		}
		// The longest wide lines that are level are the surfaces; the vertical
		// dash-dotted line is the centreline.
		var levels []float64
		centre := math.NaN()
		for _, s := range f.Drawing.shapes {
			if len(s.points) != 2 || s.closed {
				continue
			}
			a, b := s.points[0], s.points[1]
			if s.pen.width == outline().width && a.y == b.y && math.Abs(a.x-b.x) > 15 {
				levels = append(levels, a.y)
			}
			if len(s.pen.dash) == 4 && a.x == b.x {
				centre = a.x
			}
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, y := range levels {
			low, high = min(low, y), max(high, y)
		}
		// Only float noise of a few shifts and scalings is tolerated.
		const tolerance = 1e-9
		if got := high - low; math.Abs(got-c.thickness*scale) > tolerance {
			t.Errorf("%s: the surfaces are %.6f mm apart on the paper, want %.6f mm", c.name, got, c.thickness*scale)
		}
		foot := math.Inf(-1) // of the wedge's front: the place nearest to the centreline
		for _, s := range f.Drawing.shapes {
			if s.closed && s.fill == white() && s.pen.width == outline().width {
				_, right := reachX(s.points)
				foot = max(foot, right)
			}
		}
		if got := centre - foot; math.Abs(got-c.front*scale) > tolerance {
			t.Errorf("%s: the wedge front is %.6f mm from the centreline on the paper, want %.6f mm", c.name, got, c.front*scale)
		}
	}
}

// Hatch lines measure an area: their length times their distance. The area of a
// triangle is known without them.
func TestHatchFillsTheArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(n string) xy {
			return xy{rapid.Float64Range(-40, 40).Draw(t, n+"x"), rapid.Float64Range(-40, 40).Draw(t, n+"y")}
		}
		a, b, c := at("a"), at("b"), at("c")
		want := math.Abs((b.x-a.x)*(c.y-a.y)-(c.x-a.x)*(b.y-a.y)) / 2
		const spacing = 0.05
		d := draft{}
		d.hatch(hatching(), spacing, []xy{a, b, c})
		got := 0.0
		for _, s := range d.shapes {
			got += math.Hypot(s.points[1].x-s.points[0].x, s.points[1].y-s.points[0].y) * spacing
		}
		// A line at each end of the triangle may be missing or too many.
		if tolerance := spacing * 120; math.Abs(got-want) > tolerance {
			t.Fatalf("hatched %.3f mm², the triangle has %.3f mm²", got, want)
		}
	})
}

// Pieces that touch are hatched as one.
func TestHatchJoinsPieces(t *testing.T) {
	whole, halves := draft{}, draft{}
	whole.hatch(hatching(), 1, []xy{{0, 0}, {20, 0}, {20, 10}, {0, 10}})
	halves.hatch(hatching(), 1, []xy{{0, 0}, {20, 0}, {20, 5}, {0, 5}}, []xy{{0, 5}, {20, 5}, {20, 10}, {0, 10}})
	if a, b := len(whole.shapes), len(halves.shapes); a != b {
		t.Errorf("%d lines for the whole, %d for its halves", a, b)
	}
}

func TestNoSpeedFigureWithoutAlternatives(t *testing.T) {
	tech := plateTechnique()
	tech.Speed.Alternatives = tech.Speed.Alternatives[:1]
	for _, f := range Figures(tech) {
		if f.Name == "speed" {
			t.Error("one transmission scheme is compared with nothing")
		}
	}
}

// Limits are printed on the safe side: 18.34 mm/s as 18.3, 36.38 as 36.3, and a
// share of 3.12 % not reached as 3.2.
func TestFiguresRoundToTheSafeSide(t *testing.T) {
	tech := plateTechnique()
	tech.Speed.Alternatives[1].Limit = 0.03638
	var texts []string
	for _, f := range Figures(tech) {
		for _, l := range f.Drawing.labels {
			texts = append(texts, l.text)
		}
	}
	all := strings.Join(texts, "\n")
	for _, want := range []string{"18.3 mm/s", "36.3 mm/s", ": 3.2 %"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not in the figures", want)
		}
	}
}

func TestUnitsOfTheDocument(t *testing.T) {
	for units, want := range map[string]string{"mm": "25 mm", "in": "0.984 in", "both": "25 mm (0.984 in)"} {
		if got := (artist{units: units}).length(25 * mm); got != want {
			t.Errorf("%s: %q, want %q (25 / 25.4 = 0.98425)", units, got, want)
		}
	}
}
