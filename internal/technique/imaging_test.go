package technique

import (
	"math"
	"math/cmplx"
	"testing"

	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// The narrowest of the −6 dB widths through a point is that along the sound. It
// is found here from the job's numbers alone, by the sum over all pairs in 36
// directions: 64 elements of 0.45 mm, 0.5 mm apart on a wedge of 36°, every third
// of them firing, 5 MHz and 65 % of it as bandwidth in steel.
func TestStudyAgainstPairsOfTheJob(t *testing.T) {
	tech, _ := read(t, "vessel-seam")
	const tilt, thickness = 36 * math.Pi / 180, 16e-3
	type element struct{ x, height float64 }
	var array []element
	for i := range 64 {
		along := 0.5e-3 * float64(i)
		array = append(array, element{-30e-3 - 40e-3 + along*math.Cos(tilt), 5e-3 + along*math.Sin(tilt)})
	}
	for i, legs := range []int{1, 2} {
		time := func(e element, at geometry.Point) (seconds, weight float64) {
			depth := float64(at.Z)
			if legs == 2 {
				depth = 2*thickness - depth
			}
			path := ray.Between(at.X-si.Length(e.x), []ray.Layer{{Thickness: si.Length(e.height), Speed: 2330}, {Thickness: si.Length(depth), Speed: 3240}})
			u := math.Pi * 0.45e-3 * 5e6 / 2330 * math.Sin(float64(path.Angle(2330))-tilt)
			return float64(path.Time), math.Abs(math.Sin(u) / u)
		}
		study := tech.Groups[i].Study
		if study == nil || study.Side != "A" || len(study.Points) < 5 {
			t.Fatalf("group %d is studied as %+v", i, study)
		}
		for _, p := range study.Points[:3] {
			shown := func(at geometry.Point) float64 {
				var sum complex128
				peak := 0.0
				var late, weight [64]float64
				for k, e := range array {
					there, _ := time(e, at)
					own, w := time(e, p.At)
					late[k], weight[k] = there-own, w
				}
				for k := 0; k < 64; k += 3 {
					for j := range array {
						x := math.Pi * 0.65 * 5e6 * (late[k] + late[j]) / math.Sqrt(2*math.Ln2) / math.Sqrt2
						sum += cmplx.Rect(weight[k]*weight[j]*math.Exp(-x*x), 2*math.Pi*5e6*(late[k]+late[j]))
						peak += weight[k] * weight[j]
					}
				}
				return cmplx.Abs(sum) / peak
			}
			narrowest := narrowestLobe(0.3e-3, func(x, z float64) float64 {
				return shown(geometry.Point{X: p.At.X + si.Length(x), Z: p.At.Z + si.Length(z)})
			})
			// In steps of 5° the narrowest width is missed by up to 1/cos 2.5°, and a lobe
			// that is a little askew is narrower still.
			if math.Abs(float64(p.Along)/narrowest-1) > 0.01 {
				t.Errorf("legs %d, %s: %.4f mm along the sound, narrowest by pairs %.4f", legs, p.Place, p.Along*1e3, narrowest*1e3)
			}
		}
	}
}

// narrowestLobe is the least width, over directions 5° apart, of what an image
// shows of a point at half its peak or more; the edges lie within a distance.
func narrowestLobe(within float64, shown func(x, z float64) float64) float64 {
	narrowest := math.Inf(1)
	for d := range 36 {
		sin, cos := math.Sincos(math.Pi / 36 * float64(d))
		width := 0.0
		for _, side := range []float64{-1, 1} {
			inside, outside := 0.0, within
			for range 10 {
				if r := (inside + outside) / 2; shown(side*r*cos, side*r*sin) >= 0.5 {
					inside = r
				} else {
					outside = r
				}
			}
			width += inside
		}
		narrowest = min(narrowest, width)
	}
	return narrowest
}

// What is studied lies in the part, away from the walls, and in the region.
func TestStudiedPointsLieInTheRegion(t *testing.T) {
	for _, name := range shipped(t) {
		tech, _ := read(t, name)
		for _, g := range tech.Groups {
			if g.Study == nil {
				continue
			}
			margin := 1.5 * g.PartSpeed / si.Speed(g.Probe.Frequency)
			for _, p := range g.Study.Points {
				if p.At.Z < si.Length(margin)-1e-9 || p.At.Z > tech.Job.Part.Thickness-si.Length(margin)+1e-9 {
					t.Errorf("%s %s: %s lies at %g, nearer to a wall than %g", name, g.Set.Name, p.Place, p.At.Z, margin)
				}
				if g.Study.Side == "A" && (p.At.X < -g.Set.Region.Near-1e-9 || p.At.X > g.Set.Region.Far+1e-9) {
					t.Errorf("%s %s: %s lies at X = %g, outside the region", name, g.Set.Name, p.Place, p.At.X)
				}
			}
		}
	}
}

// Upper and lower are those of the document, from whichever surface is scanned.
func TestEdgesOfWhatIsReachedAreNamedAsDrawn(t *testing.T) {
	for _, changes := range [][]string{nil, {"surfaces: [top]", "surfaces: [top, bottom]", "    path: T-T\n", "    path: T-T\n    surface: bottom\n"}} {
		tech, _ := read(t, "vessel-seam", changes...)
		depth := map[string]si.Length{}
		for _, p := range tech.Groups[0].Study.Points {
			depth[p.ID] = p.At.Z
		}
		if upper, lower := depth["upper-near"], depth["lower-near"]; !(upper > 0 && upper < lower) {
			t.Errorf("%v: the upper edge lies at %g, the lower at %g", changes, upper, lower)
		}
	}
}

// Without a bandwidth there is no pulse, so that nothing of the image is stated.
func TestNoBandwidthNoStudy(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "      bandwidth: 65 %\n", "")
	for _, g := range tech.Groups {
		if g.Study != nil {
			t.Errorf("%s: studied as %+v", g.Set.Name, g.Study)
		}
	}
	if _, ok := tech.Value("groups.direct.grid_loss"); ok {
		t.Error("a loss between the points of an envelope image is stated")
	}
}

// At 1.5 MHz only a corner of the region lies 8 wavelengths from the point, and of
// its short pulse nothing comes there. No response has no level in dB: it is not
// stated, and no value is infinite, which the document could not print.
func TestWhatNothingComesToHasNoLevel(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "frequency: 5 MHz", "frequency: 1.5 MHz")
	for _, v := range tech.Values {
		if math.IsInf(v.Q.SI, 0) {
			t.Errorf("%s is %v", v.ID, v.Q.SI)
		}
	}
	if _, ok := tech.Value("groups.direct.artefact_beside"); !ok {
		t.Error("what stands beside the main lobe is not stated")
	}
}

// By the rule a grid of 0.15 mm loses (30.92 · 0.65² + 17.4) (0.15/0.648)² =
// 1.63 dB in any array; of 0.25 mm, more than a third of the wavelength, the rule
// knows nothing, and the array's own response alone speaks.
func TestGridLossIsTheLarger(t *testing.T) {
	loss := func(grid, id string) float64 {
		tech, _ := read(t, "vessel-seam", "grid: 0.1 mm", "grid: "+grid)
		v, ok := tech.Value("groups.direct." + id)
		if !ok {
			return math.NaN()
		}
		return v.Q.SI
	}
	if rule, larger, own := loss("0.15 mm", "grid_loss_rule"), loss("0.15 mm", "grid_loss"), loss("0.15 mm", "grid_loss_point"); math.Abs(rule-1.63) > 0.005 || larger != rule || !(own > 0 && own < rule) {
		t.Errorf("0.15 mm: %.3f dB by the rule, %.3f by the point, %.3f the larger", rule, own, larger)
	}
	if rule, larger, own := loss("0.25 mm", "grid_loss_rule"), loss("0.25 mm", "grid_loss"), loss("0.25 mm", "grid_loss_point"); !math.IsNaN(rule) || larger != own || !(own > 1) {
		t.Errorf("0.25 mm: %.3f dB by the rule, %.3f by the point, %.3f the larger", rule, own, larger)
	}
}

// The weld is symmetrical, so that side B sees it as side A does, mirrored.
func TestStudyFromTheOtherSide(t *testing.T) {
	a, _ := read(t, "vessel-seam")
	b, _ := read(t, "vessel-seam", "    path: TT-TT\n", "    path: TT-TT\n    sides: [B]\n")
	one, other := a.Groups[1].Study, b.Groups[1].Study
	if other == nil || other.Side != "B" || len(one.Points) != len(other.Points) {
		t.Fatalf("from A %+v, from B %+v", one, other)
	}
	for i, p := range one.Points {
		// Points on the faces change places: A's face is B's.
		q := other.Points[i]
		for _, o := range other.Points {
			if math.Hypot(float64(o.At.X+p.At.X), float64(o.At.Z-p.At.Z)) < 1e-9 {
				q = o
			}
		}
		if math.Abs(float64(p.At.X+q.At.X)) > 1e-9 || math.Abs(float64(p.Across-q.Across)) > 1e-9 || math.Abs(float64(p.Along-q.Along)) > 1e-9 {
			t.Errorf("from A %+v, from B %+v", p, q)
		}
	}
	if math.Abs(float64(one.Away-other.Away)) > 1e-6 || math.Abs(float64(one.Beside-other.Beside)) > 1e-6 {
		t.Errorf("artefacts from A %+v, from B %+v", one.Artefact, other.Artefact)
	}
}
