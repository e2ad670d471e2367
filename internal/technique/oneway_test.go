package technique

import (
	"math"
	"strings"
	"testing"
)

// lossOfRow are the losses of one row, in dB.
func lossOfRow(t *testing.T, tech *Technique, group, end string, names ...string) []float64 {
	t.Helper()
	var list []float64
	for _, name := range names {
		list = append(list, value(t, tech, "groups."+group+".losses."+end+"."+name))
	}
	return list
}

func closeTo(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.6g, want %.6g", what, got, want)
	}
}

// leastWay is where a way from the middle of the array to a place meets the surface
// and the wall: least time over a net of places that grows finer about the best.
func leastWay(flight func(entry, bounce float64) float64, entry, bounce float64) (float64, float64) {
	best := flight(entry, bounce)
	for step := 8e-3; step > 1e-11; step /= 1.5 {
		for again := true; again; {
			again = false
			e, b := entry, bounce
			for _, to := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
				if f := flight(e+to[0]*step, b+to[1]*step); f < best {
					best, entry, bounce, again = f, e+to[0]*step, b+to[1]*step, true
				}
			}
		}
	}
	return entry, bounce
}

// On TL-T each row is a place. Its two ways, and the neighbours of each, are found
// by least time over places of entry and of bounce, without a ray of the program:
// what lies between the neighbours at the place, over the angle between them at
// the array, is the spread. What the wall sends on as a longitudinal wave is what
// it does not keep, by the closed form; 24 dB/m and 10 dB/m at 5 MHz, the
// frequency of the probe.
func TestLossesOfConvertedPathAgainstMinimisation(t *testing.T) {
	tech, found := read(t, "vessel-seam", "path: TT-TT", "path: TL-T", "usable_angles: {from: 38 deg, to: 72 deg}", "usable_angles: {from: 15 deg, to: 70 deg}", "wedge_front: 30 mm", "wedge_front: 14 mm",
		"transverse: 24 dB/m", "longitudinal: 10 dB/m, transverse: 24 dB/m")
	if len(found) > 0 {
		t.Fatal(found)
	}
	g := &tech.Groups[1]
	c := g.stand(g.Set.WedgeFront).centre()
	x0, h := float64(c.X), float64(c.Height)
	z := float64(g.Set.Region.Top+g.Set.Region.Bottom) / 2
	const thickness, cL, cT, cw = 16e-3, 5920.0, 3240.0, 2330.0
	var spreads, stated []float64
	for _, end := range LossEnds() {
		v := lossOfRow(t, tech, "skip", end, "angle", "angle_back", "path", "walls", "part", "spread")
		alpha := v[0] * math.Pi / 180
		x := x0 + h*math.Tan(math.Asin(cw/cT*math.Sin(alpha))) + thickness*math.Tan(alpha) + (thickness-z)*math.Tan(math.Asin(cL/cT*math.Sin(alpha)))
		out := func(x, z float64) (entry, bounce float64) {
			return leastWay(func(e, b float64) float64 {
				return math.Hypot(e-x0, h)/cw + math.Hypot(b-e, thickness)/cT + math.Hypot(x-b, thickness-z)/cL
			}, x0+h/2, x0+h/2+thickness/2)
		}
		home := func(x, z float64) float64 {
			e, _ := leastWay(func(e, _ float64) float64 { return math.Hypot(e-x0, h)/cw + math.Hypot(x-e, z)/cT }, x0+h, 0)
			return e
		}
		entry, bounce := out(x, z)
		closeTo(t, end+", angle out", math.Atan2(bounce-entry, thickness), alpha, 1e-6)
		back := home(x, z)
		closeTo(t, end+", angle back", v[1], math.Atan2(x-back, z)*180/math.Pi, 1e-4)
		down, up, direct := math.Hypot(bounce-entry, thickness), math.Hypot(x-bounce, thickness-z), math.Hypot(x-back, z)
		closeTo(t, end+", path", v[2], (down+up+direct)/2*1e3, 1e-4)
		closeTo(t, end+", attenuation", v[4], 24*(down+direct)+10*up, 1e-5)

		k, sinA := cL/cT, cL/cT*math.Sin(alpha)
		one := 2 * sinA * math.Sqrt(1-sinA*sinA) * math.Sin(2*alpha)
		two := k * k * math.Pow(math.Cos(2*alpha), 2)
		closeTo(t, end+", walls", v[3], -10*math.Log10(1-math.Pow((one-two)/(one+two), 2)), 1e-4)

		// Neighbours lie 0.02 mm to both sides, square to the ray; across the section
		// each piece counts by its speed.
		const d = 2e-5
		ahead, dive := (x-bounce)/up, (thickness-z)/up // upwards
		e1, _ := out(x+d*dive, z+d*ahead)
		e2, _ := out(x-d*dive, z-d*ahead)
		s1 := 2 * d / math.Abs(math.Atan2(e1-x0, h)-math.Atan2(e2-x0, h)) * (math.Hypot(entry-x0, h) + (down*cT+up*cL)/cw)
		ahead, dive = (x-back)/direct, z/direct
		b1, b2 := home(x+d*dive, z-d*ahead), home(x-d*dive, z+d*ahead)
		s2 := 2 * d / math.Abs(math.Atan2(b1-x0, h)-math.Atan2(b2-x0, h)) * (math.Hypot(back-x0, h) + direct*cT/cw)
		spreads, stated = append(spreads, 10*math.Log10(s1)+10*math.Log10(s2)), append(stated, v[5])
	}
	// Places of least time are good to some nanometres, 1e-3 of the neighbours.
	closeTo(t, "spread, first to middle", stated[1]-stated[0], spreads[1]-spreads[0], 0.02)
	closeTo(t, "spread, middle to last", stated[2]-stated[1], spreads[2]-spreads[1], 0.02)
}

// The sound may go the same path the other way: what is lost is the same.
func TestLossesAreReciprocal(t *testing.T) {
	there, _ := read(t, "clad-shell")
	back, _ := read(t, "clad-shell", "path: LT-L", "path: L-TL")
	for _, end := range LossEnds() {
		a := lossOfRow(t, there, "upright", end, "angle", "angle_back", "contact", "element", "wedge", "walls", "bonds", "spread", "sum")
		b := lossOfRow(t, back, "upright", end, "angle_back", "angle", "contact", "element", "wedge", "walls", "bonds", "spread", "sum")
		for i := range a {
			closeTo(t, end, b[i], a[i], 1e-9)
		}
	}
}

// A cladding of the base metal is none.
func TestCladdingOfTheSameMetalLosesNothing(t *testing.T) {
	const same = "\n  cladding: {surface: bottom, thickness: 3 mm, longitudinal: 5920 m/s, transverse: 3240 m/s, density: 7850 kg/m³, attenuation: {at: 5 MHz, transverse: 24 dB/m}}\n  parent_material:"
	plain, _ := read(t, "vessel-seam")
	clad, found := read(t, "vessel-seam", "\n  parent_material:", same)
	if len(found) > 0 {
		t.Fatal(found)
	}
	for _, group := range []string{"direct", "skip"} {
		for _, end := range LossEnds() {
			names := []string{"angle", "path", "contact", "element", "wedge", "part", "walls", "spread", "sum"}
			a, b := lossOfRow(t, plain, group, end, names...), lossOfRow(t, clad, group, end, names...)
			for i := range a {
				closeTo(t, group+" "+end+" "+names[i], b[i], a[i], 1e-6)
			}
			closeTo(t, "bond", lossOfRow(t, clad, group, end, "bonds")[0], 0, 1e-6)
		}
	}
}

// At 1° the bond passes what it passes square, to a thousandth: 4 Z Z' / (Z + Z')²,
// Z = ρ c, twice on each way. What is not known of the cladding is left out.
func TestBondByHand(t *testing.T) {
	edits := []string{"angle: 36 deg", "angle: 8 deg", "path: TT-TT", "path: LL-LL", "usable_angles: {from: 38 deg, to: 72 deg}", "usable_angles: {from: 38 deg, to: 72 deg}\n      usable_longitudinal: {from: 1 deg, to: 50 deg}", "\n  parent_material:"}
	const cladding = "\n  cladding: {surface: bottom, thickness: 3 mm, longitudinal: 4500 m/s, transverse: 2500 m/s, density: 5000 kg/m³}\n  parent_material:"
	tech, found := read(t, "vessel-seam", append(edits, cladding)...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	z, other := 7850*5920.0, 5000*4500.0
	closeTo(t, "bond", lossOfRow(t, tech, "skip", "from", "bonds")[0], -40*math.Log10(4*z*other/(z+other)/(z+other)), 0.01)
	tech, _ = read(t, "vessel-seam", append(edits, strings.Replace(cladding, ", density: 5000 kg/m³", "", 1))...)
	if v, ok := tech.Value("groups.skip.losses.from.bonds"); ok {
		t.Errorf("a bond to a metal of unknown density loses %s", v.Text())
	}
	lossOfRow(t, tech, "skip", "from", "sum")
	if _, said := tech.OmittedValue("groups.direct.corner.worst"); !said {
		t.Error("a corner in two metals is left out and not named")
	}
}

// Where a pipe is so large that it is flat, its losses are those of the plate, of
// beams and of images: over 50 mm a diameter of 100 km sags by 6 nm.
func TestLossesOfLargePipeAreThoseOfPlate(t *testing.T) {
	beams, _ := read(t, "header-seam")
	for name, tech := range map[string]*Technique{"beams": beams, "image": imaged(t, "20 mm")} {
		tech.Job.Part.OutsideDiameter = 100e3
		pipe := Compute(tech.Job)
		flat := *tech.Job
		flat.Part.Kind = "plate"
		rows := 0
		for _, v := range Compute(&flat).Values {
			if !strings.Contains(v.ID, ".losses.") {
				continue
			}
			rows++
			got, ok := pipe.Value(v.ID)
			if !ok || math.Abs(got.Q.SI-v.Q.SI) > 1e-3*math.Max(math.Abs(v.Q.SI), 0.1) {
				t.Errorf("%s: %s is %v, in a plate %v", name, v.ID, got.Q, v.Q)
			}
		}
		if rows < 20 {
			t.Errorf("%s: only %d values", name, rows)
		}
	}
}

// 72° never reaches the bore of this pipe: the beam is used to where it turns, at
// a path of 254 cos 72° = 78.5 mm, or to the end of the volume before. An image
// over two legs has no such ray, and that is said.
func TestLossesOfRaysThatTurn(t *testing.T) {
	tech, _ := read(t, "header-seam", "{from: 45 deg, to: 66 deg", "{from: 45 deg, to: 72 deg")
	path := lossOfRow(t, tech, "direct", "to", "path", "sum")[0]
	if !(path > 40 && path < 78.5) {
		t.Errorf("the beam that turns is used over %v mm", path)
	}
	closeTo(t, "path", path, value(t, tech, "groups.direct.laws.72.path"), 1e-6)
	if o, said := tech.OmittedValue("groups.direct.losses.to.sum"); said {
		t.Errorf("stated, and said to be left out: %v", o)
	}
	tech = imaged(t, "20 mm")
	tech.Job.Groups[0].Path = "TT-TT"
	tech = Compute(tech.Job)
	if _, stated := tech.Value("groups.image.losses.to.sum"); stated {
		t.Error("a ray of 72° comes back from the bore")
	}
	if _, said := tech.OmittedValue("groups.image.losses.to.sum"); !said {
		t.Error("a row is left out and not named")
	}
	lossOfRow(t, tech, "image", "middle", "sum")
}

// An image whose ways differ is stated where the middle of the array meets places
// at permitted angles both ways, or said to have none.
func TestLossesWhereNoPlaceIsMet(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "path: TT-TT", "path: TT-T", "usable_angles: {from: 38 deg, to: 72 deg}", "usable_angles: {from: 50 deg, to: 60 deg}")
	for _, v := range tech.Values {
		if strings.HasPrefix(v.ID, "groups.skip.losses.") {
			t.Errorf("%s is stated", v.ID)
		}
	}
	if _, said := tech.OmittedValue("groups.skip.losses.middle.sum"); !said {
		t.Error("nothing is stated, and nothing is said of it")
	}
}
