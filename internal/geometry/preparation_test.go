package geometry_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// preparations is every form that a job can name.
var preparations = []string{
	"square", "single-V", "double-V", "single-bevel", "double-bevel", "single-U", "double-U", "single-J", "double-J",
	"compound-bevel", "narrow-gap",
}

// anyPart draws a joint that can be built.
func anyPart(t *rapid.T) *schema.Part {
	length := func(name string, from, to float64) si.Length {
		return si.Length(rapid.Float64Range(from, to).Draw(t, name)) * mm
	}
	angle := func(name string) si.Angle { return si.Angle(rapid.Float64Range(0, 60).Draw(t, name)) * si.Degree }
	bead := func(name string) schema.Reinforcement {
		if rapid.Bool().Draw(t, name+" flush") {
			return schema.Reinforcement{Condition: "flush"}
		}
		return schema.Reinforcement{Condition: "as-welded", Width: length(name+" width", 1, 40), Height: length(name+" height", 0.1, 4)}
	}
	share := func(name string) si.Length { return si.Length(rapid.Float64Range(0, 1).Draw(t, name)) }
	thickness := length("thickness", 6, 60)
	land := share("land") / 2 * thickness
	part := &schema.Part{
		Thickness: thickness,
		Weld: schema.Weld{
			Preparation:  rapid.SampledFrom(preparations).Draw(t, "preparation"),
			Opens:        rapid.SampledFrom([]string{"top", "bottom"}).Draw(t, "opens"),
			BevelledSide: rapid.SampledFrom([]string{"A", "B"}).Draw(t, "bevelled side"),
			BevelAngle:   angle("bevel"), LowerAngle: angle("lower"), OuterAngle: angle("outer"),
			BreakHeight: land + share("break")*(thickness-land),
			UpperDepth:  share("upper depth") * (thickness - land),
			RootFace:    land, RootGap: length("gap", 0, 6),
			Cap: bead("cap"), Root: bead("root"),
		},
		Zone: schema.Zone{
			Width:    length("zone", 0, 20),
			Boundary: rapid.SampledFrom([]string{"straight", "parallel"}).Draw(t, "boundary"),
		},
	}
	// A radius no higher than the shallowest groove fits whatever the angles.
	w := &part.Weld
	depth := thickness - land
	if strings.HasPrefix(w.Preparation, "double") {
		depth = min(w.UpperDepth, depth-w.UpperDepth)
	}
	w.RootRadius = share("radius") * depth
	return part
}

func singleU() *schema.Part {
	return flushPart(30*mm, schema.Weld{
		Preparation: "single-U", Opens: "top", BevelAngle: 10 * si.Degree, RootRadius: 6 * mm, RootFace: 2 * mm, RootGap: 2 * mm,
	})
}

func doubleU() *schema.Part {
	return flushPart(40*mm, schema.Weld{
		Preparation: "double-U", BevelAngle: 10 * si.Degree, LowerAngle: 12 * si.Degree, UpperDepth: 20 * mm,
		RootRadius: 6 * mm, RootFace: 3 * mm, RootGap: 3 * mm,
	})
}

func singleJ() *schema.Part {
	return flushPart(20*mm, schema.Weld{
		Preparation: "single-J", Opens: "top", BevelledSide: "A", BevelAngle: 15 * si.Degree, RootRadius: 8 * mm, RootFace: 2 * mm, RootGap: 2 * mm,
	})
}

func compound() *schema.Part {
	return flushPart(30*mm, schema.Weld{
		Preparation: "compound-bevel", Opens: "top", BevelAngle: 30 * si.Degree, OuterAngle: 10 * si.Degree, BreakHeight: 20 * mm,
		RootFace: 2 * mm, RootGap: 3 * mm,
	})
}

func as(preparation string) func(*schema.Part) {
	return func(p *schema.Part) { p.Weld.Preparation = preparation }
}

// One side of a groove with a radius measures, beyond the edge of its root face,
//
//	h (R cos β + ½ h tan β) + ½ R² (½π − β − sin β cos β),  h = depth − R (1 − sin β)
//
// a trapezoid, and the half of a segment between circle and vertical. The
// outline's chords lie inside the circle, so that it may measure less, by no
// more than 0.05 %, and never more.
func TestWeldAreaOfEachPreparation(t *testing.T) {
	for name, c := range map[string]struct {
		part *schema.Part
		mm2  float64
	}{
		"square": {with(singleV(), as("square")), 3 * 20},
		// gap·t + ½ (12² tan 30° + 15² tan 45°) = 60 + 41.569219 + 112.5
		"double-bevel": {with(doubleV(), func(p *schema.Part) {
			p.Weld.Preparation, p.Weld.BevelledSide = "double-bevel", "A"
		}), 214.069219},
		// gap·t + 18² tan 30° + 2 · 10 · 18 tan 30° + 10² tan 10° = 90 + 187.061487 + 207.846097 + 17.632698
		"compound-bevel":        {compound(), 502.540282},
		"compound from bottom":  {with(compound(), func(p *schema.Part) { p.Weld.Opens = "bottom" }), 502.540282},
		"narrow gap, no radius": {with(singleV(), as("narrow-gap")), 247.061487},                                 // as the V
		"U":                     {singleU(), 2*205.014069 + 2*30},                                                // depth 28: 182.959509 + 22.054560
		"U from bottom":         {with(singleU(), func(p *schema.Part) { p.Weld.Opens = "bottom" }), 470.028138}, // the same
		"double-U":              {doubleU(), 2*(130.882506+108.664592) + 3*40},                                   // depths 20 and 17
		"J":                     {singleJ(), 146.681830 + 2*20},                                                  // depth 18: 112.793928 + 33.887902
		"double-J": {with(doubleU(), func(p *schema.Part) {
			p.Weld.Preparation, p.Weld.BevelledSide = "double-J", "B"
		}), 130.882506 + 108.664592 + 3*40},
		// depth 48: 210.468977 + 12.008092
		"narrow gap": {flushPart(50*mm, schema.Weld{
			Preparation: "narrow-gap", Opens: "top", BevelAngle: 2 * si.Degree, RootRadius: 4 * mm, RootFace: 2 * mm, RootGap: 3 * mm,
		}), 2*222.477069 + 3*50},
	} {
		got := float64(geometry.New(c.part).Weld.Area()) * 1e6
		if got > c.mm2+2e-6 || got < c.mm2*(1-5e-4) { // worked out to six decimals
			t.Errorf("%s: weld area %.7f mm², by hand %.6f", name, got, c.mm2)
		}
	}
}

// The formula above holds for every radius and bevel, whichever surface the
// groove opens at.
func TestAreaBesideRadius(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := anyPart(t)
		w := &part.Weld
		w.Preparation = "single-U"
		depth, r, beta := float64(part.Thickness-w.RootFace), float64(w.RootRadius), float64(w.BevelAngle)
		sin, cos := math.Sincos(beta)
		h := depth - r*(1-sin)
		side := h*(r*cos+h*math.Tan(beta)/2) + r*r/2*(math.Pi/2-beta-sin*cos)
		want := float64(w.RootGap*part.Thickness) + 2*side
		got := float64(geometry.New(part).Weld.Area())
		if got > want*(1+1e-9) || got < want*(1-5e-4) {
			t.Fatalf("weld area %v m², by the formula %v", got, want)
		}
	})
}

// The width at the surface, twice over: the U is
// 2 (1 + 6 cos 10° + (28 − 6 (1 − sin 10°)) tan 10°) = 2 · (1 + 9.971753) wide.
func TestOpeningOfU(t *testing.T) {
	s := geometry.New(singleU())
	from, to := s.WeldRow(0)
	if math.Abs(float64(to-from)*1e3-21.943506) > 1e-6 { // worked out to six decimals
		t.Errorf("%v m wide at the top, by hand 21.943506 mm", to-from)
	}
	// 3 mm over the edge of the root face the circle is √(6² − 3²) = 5.196152
	// beyond it; chords leave the circle by 2.1 µm, seen flat there.
	_, to = s.WeldRow(25 * mm)
	if d := float64(to)*1e3 - (1 + 5.196152); d > 1e-6 || d < -0.003 {
		t.Errorf("circle at %v m, by hand 6.196152 mm", to)
	}
}

func TestFacesOfEachPreparation(t *testing.T) {
	k := with(doubleV(), func(p *schema.Part) { p.Weld.Preparation, p.Weld.BevelledSide = "double-bevel", "A" })
	for name, c := range map[string]struct {
		part *schema.Part
		want string
	}{
		"square":        {with(singleV(), as("square")), "A square, B square"},
		"double-bevel":  {k, "A upper, A root face, A lower, B square"},
		"U":             {singleU(), "A, A radius, A root face, B, B radius, B root face"},
		"U from bottom": {with(singleU(), func(p *schema.Part) { p.Weld.Opens = "bottom" }), "A root face, A radius, A, B root face, B radius, B"},
		"double-U": {doubleU(), "A upper, A upper radius, A root face, A lower radius, A lower, " +
			"B upper, B upper radius, B root face, B lower radius, B lower"},
		"J":                    {singleJ(), "A, A radius, A root face, B square"},
		"compound":             {compound(), "A upper, A lower, A root face, B upper, B lower, B root face"},
		"compound from bottom": {with(compound(), func(p *schema.Part) { p.Weld.Opens = "bottom" }), "A root face, A upper, A lower, B root face, B upper, B lower"},
		"narrow gap":           {with(singleU(), as("narrow-gap")), "A, A radius, A root face, B, B radius, B root face"},
		// A radius that takes the whole depth leaves no bevel.
		"radius only": {with(singleU(), func(p *schema.Part) { p.Weld.BevelAngle, p.Weld.RootRadius = 0, 28*mm }), "A radius, A root face, B radius, B root face"},
	} {
		var names []string
		for _, f := range geometry.New(c.part).Faces {
			names = append(names, f.Name)
		}
		if d := cmp.Diff(c.want, strings.Join(names, ", ")); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// The radius of the U turns from the surface's direction to the bevel's: it is
// 6 · 80° long, its normal points straight down at the root face and 10° under
// the horizontal at the bevel, where the bevel's own normal points.
func TestRadius(t *testing.T) {
	s := geometry.New(singleU())
	bevel, radius := s.Faces[3], s.Faces[4]
	if radius.Name != "B radius" || radius.RootFace || si.Known(radius.Inclination()) {
		t.Fatalf("%+v", radius)
	}
	if want := 6e-3 * 80 * math.Pi / 180; math.Abs(float64(radius.Length())-want) > noise {
		t.Errorf("%v m long, by hand %v", radius.Length(), want)
	}
	if angle, leg := radius.SquareAngle("A"); si.Known(angle) || leg != 0 {
		t.Errorf("met square at %v on leg %d", angle, leg)
	}
	for _, c := range []struct {
		share   si.Ratio
		x, z    float64 // by hand, mm: 1 + 6 sin φ, 28 − 6 (1 − cos φ)
		degrees float64 // of the normal under the horizontal
	}{{0, 1 + 6*math.Sin(80*math.Pi/180), 22 + 6*math.Cos(80*math.Pi/180), 10}, {0.5, 1 + 6*math.Sin(40*math.Pi/180), 22 + 6*math.Cos(40*math.Pi/180), 50}, {1, 1, 28, 90}} {
		p, x, z := radius.At(c.share)
		if math.Abs(float64(p.X)*1e3-c.x)+math.Abs(float64(p.Z)*1e3-c.z) > 1e-9 {
			t.Errorf("at %v: %v, by hand %v, %v mm", c.share, p, c.x, c.z)
		}
		if under := math.Atan2(float64(z), float64(x)) * 180 / math.Pi; math.Abs(under-c.degrees) > 1e-9 {
			t.Errorf("at %v: normal %v° under the horizontal, by hand %v°", c.share, under, c.degrees)
		}
	}
	_, x, z := bevel.At(1)
	if d := math.Abs(float64(x)-math.Cos(10*math.Pi/180)) + math.Abs(float64(z)-math.Sin(10*math.Pi/180)); d > noise {
		t.Errorf("normal of the bevel %v, %v", x, z)
	}
}

// The zone beside a radius: 10 mm beside the bevel of the U, and upright from
// where it ends, (1 + 6 cos 10° + 10) mm out, down to the root.
func TestZoneBesideRadius(t *testing.T) {
	for _, part := range []*schema.Part{
		with(singleU(), func(p *schema.Part) { p.Zone.Boundary = "parallel" }),
		with(singleU(), func(p *schema.Part) { p.Zone.Boundary, p.Weld.Opens = "parallel", "bottom" }),
	} {
		s := geometry.New(part)
		end := 23.041889 // mm: 28 − 6 (1 − sin 10°), worked out to six decimals
		for depth, want := range map[float64]float64{0: 20.971753, end: 16.908847, 27: 16.908847, 30: 16.908847} {
			z := si.Length(depth) * mm
			if part.Weld.Opens == "bottom" {
				z = s.Thickness - z
			}
			if from, to := s.VolumeRow(z); math.Abs(float64(to)*1e3-want)+math.Abs(float64(from)*1e3+want) > 4e-6 {
				t.Errorf("opens at the %s, %v mm: volume from %v to %v, by hand ±%v mm", part.Weld.Opens, depth, from, to, want)
			}
		}
	}
	// Of a double-U whose radii end 6 cos 10° and 6 cos 12° out, the wider counts.
	s := geometry.New(with(doubleU(), func(p *schema.Part) { p.Zone.Boundary = "parallel" }))
	if _, to := s.VolumeRow(25 * mm); math.Abs(float64(to)*1e3-(1.5+5.908847+10)) > 1e-6 {
		t.Errorf("volume of the double-U to %v, by hand 17.408847 mm", to)
	}
}

func TestPreparationsThatDoNotFit(t *testing.T) {
	nan := si.Unknown[si.Length]()
	for name, c := range map[string]struct {
		part  *schema.Part
		spoil func(*schema.Weld)
	}{
		"radius unknown":      {singleU(), func(w *schema.Weld) { w.RootRadius = nan }},
		"radius negative":     {singleU(), func(w *schema.Weld) { w.RootRadius = -1 * mm }},
		"radius too large":    {singleU(), func(w *schema.Weld) { w.RootRadius = 34 * mm }}, // 34 (1 − sin 10°) = 28.1 > 28
		"narrow gap unknown":  {singleU(), func(w *schema.Weld) { w.Preparation, w.RootRadius = "narrow-gap", nan }},
		"lower half too low":  {doubleU(), func(w *schema.Weld) { w.UpperDepth = 33 * mm }}, // leaves 4 mm
		"no depth left":       {doubleU(), func(w *schema.Weld) { w.UpperDepth = 38 * mm }},
		"J without side":      {singleJ(), func(w *schema.Weld) { w.BevelledSide = "" }},
		"outer angle unknown": {compound(), func(w *schema.Weld) { w.OuterAngle = si.Unknown[si.Angle]() }},
		"break unknown":       {compound(), func(w *schema.Weld) { w.BreakHeight = nan }},
		"break in root face":  {compound(), func(w *schema.Weld) { w.BreakHeight = 1 * mm }},
		"break over part":     {compound(), func(w *schema.Weld) { w.BreakHeight = 31 * mm }},
		"unknown form":        {singleU(), func(w *schema.Weld) { w.Preparation = "single-W" }},
	} {
		c.spoil(&c.part.Weld)
		if geometry.New(c.part).Known() {
			t.Errorf("%s: the section is known", name)
		}
	}
}

// A flipped joint that is prepared from both surfaces is the joint with its
// halves exchanged.
func TestFlipExchangesHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := anyPart(t)
		w := &part.Weld
		w.Preparation = rapid.SampledFrom([]string{"double-V", "double-bevel", "double-U", "double-J"}).Draw(t, "double preparation")
		w.RootRadius = min(w.RootRadius, w.UpperDepth, part.Thickness-w.RootFace-w.UpperDepth)
		w.RootRadius = max(w.RootRadius, 0)
		exchanged := *part
		e := &exchanged.Weld
		e.BevelAngle, e.LowerAngle = w.LowerAngle, w.BevelAngle
		e.UpperDepth = part.Thickness - w.RootFace - w.UpperDepth
		e.Cap, e.Root = w.Root, w.Cap
		got, want := geometry.New(part).Flip(), geometry.New(&exchanged)
		if !got.Known() || !want.Known() {
			t.Fatal("not known")
		}
		for _, z := range []si.Length{0, 0.1, 0.35, 0.5, 0.8, 1} {
			a, b := got.WeldRow(z * part.Thickness)
			c, d := want.WeldRow(z * part.Thickness)
			// Where a chord is all but flat, the rounding of a depth is seen a
			// hundredfold.
			if math.Abs(float64(a-c))+math.Abs(float64(b-d)) > 100*noise {
				t.Fatalf("at %v of the depth: %v to %v, want %v to %v", z, a, b, c, d)
			}
		}
		names := func(s *geometry.Section) (list []string) {
			for _, f := range s.Faces {
				list = append(list, f.Name)
			}
			slices.Sort(list)
			return list
		}
		if d := cmp.Diff(names(want), names(got)); d != "" {
			t.Fatal(d)
		}
	})
}
