package technique

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// inWaves is the shipped tfm job with 16 plane waves from 45° to 70°.
func inWaves(t *testing.T) *Technique {
	t.Helper()
	tech, found := read(t, "vessel-seam", "scheme: every-nth, n: 3", "scheme: plane-wave, from: 45 deg, to: 70 deg, count: 16")
	for _, f := range append(found, tech.Findings...) {
		if f.Open() {
			t.Errorf("%s: %s [%s]", f.At, f.Message, f.Rule)
		}
	}
	return tech
}

// Numbers by hand: 16 waves, each received by 64 elements; measured 22 Hz with
// 64 firings, so that a quarter of them is four times as fast.
func TestPlaneWavesByHand(t *testing.T) {
	tech := inWaves(t)
	for id, want := range map[string]float64{
		"groups.direct.firings": 16, "groups.direct.a_scans": 1024, "groups.direct.wave_step": 25.0 / 15,
		"scan.speed_limit": 88, "scan.alternatives.waves.speed_limit": 88, "scan.alternatives.full.speed_limit": 22,
	} {
		v, ok := tech.Value(id)
		if !ok {
			t.Errorf("there is no %s", id)
			continue
		}
		u, _ := si.UnitNamed(v.Unit, v.Q.Kind)
		if got := v.Q.In(u); math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s = %g, by hand %g", id, got, want)
		}
	}
	chosen := 0
	for _, a := range tech.Speed.Alternatives {
		if a.Chosen {
			chosen++
			if a.Waves != 16 {
				t.Errorf("chosen is %q", a.Name)
			}
		}
	}
	if chosen != 1 {
		t.Errorf("%d chosen transmissions", chosen)
	}
}

// A wave passes a point when the first of the delayed pulses of all elements
// gets there: their rays touch the wave's front from behind.
func TestWavesArriveWithTheirFirstPulse(t *testing.T) {
	tech := inWaves(t)
	g := &tech.Groups[1]
	st := g.stand(g.Set.WedgeFront)
	course := g.straight(1)
	var elements []ray.Element
	for _, e := range st.active(1) {
		elements = append(elements, ray.Element(e))
	}
	random := rand.New(rand.NewPCG(7, 8))
	compared := 0
	for range 300 {
		at := geometry.Point{X: si.Length(40*random.Float64()-20) * si.Millimetre, Z: si.Length(16*random.Float64()) * si.Millimetre}
		depth := 2*tech.Job.Part.Thickness - at.Z
		one := *g
		set := *g.Set
		set.Transmission.Count, one.Set = 2, &set
		for _, angle := range g.wavesAt(&geometry.Section{Thickness: tech.Job.Part.Thickness}, at) {
			set.Transmission.From, set.Transmission.To = angle, angle
			delays := course.Steer(elements, angle)
			first := math.Inf(1)
			for i, e := range elements {
				path := ray.Between(at.X-e.X, []ray.Layer{{Thickness: e.Height, Speed: g.Wedge.Velocity}, {Thickness: depth, Speed: g.PartSpeed}})
				first = min(first, float64(delays[i]+path.Time))
			}
			compared++
			// Between two elements the front is touched by neither: 0.25 mm off over some
			// 50 mm of path is 0.6 µm, 0.2 ns.
			if got := float64(one.wavesArrive(st, at.X, at.Z)); !(math.Abs(got-first) <= 0.5e-9) {
				t.Fatalf("%v, %.1f°: arrives after %.4f µs, the first pulse after %.4f", at, angle/si.Degree, got*1e6, first*1e6)
			}
		}
	}
	if compared < 500 {
		t.Errorf("only %d arrivals compared", compared)
	}
}

// Which waves reach a point is asked again by following rays from 2000 places
// along the array, wall by wall.
func TestWavesThatReachAPoint(t *testing.T) {
	tech := inWaves(t)
	g := &tech.Groups[1] // TT-TT
	st := g.stand(g.Set.WedgeFront)
	first, last := st.element(st.first), st.element(st.first+st.count-1)
	thickness := float64(tech.Job.Part.Thickness)
	rootWidth := float64(tech.Job.Part.Weld.Root.Width)
	random := rand.New(rand.NewPCG(9, 10))
	reachedSome, missedSome := false, false
	for range 200 {
		at := geometry.Point{X: si.Length(44*random.Float64()-22) * si.Millimetre, Z: si.Length(16*random.Float64()) * si.Millimetre}
		reached := map[si.Angle]bool{}
		for _, angle := range g.wavesAt(tech.Section, at) {
			reached[angle] = true
		}
		for _, angle := range g.waves() {
			inWedge := math.Asin(2330.0 / 3240 * math.Sin(float64(angle)))
			nearest, sure := math.Inf(1), true
			for i := range 2001 {
				u := float64(i) / 2000
				x := float64(first.X) + u*float64(last.X-first.X) + (float64(first.Height)+u*float64(last.Height-first.Height))*math.Tan(inWedge)
				x += thickness * math.Tan(float64(angle)) // at the bottom
				if math.Abs(math.Abs(x)-rootWidth/2) < 0.05e-3 {
					continue // at the toe of the root: either answer would do
				}
				end := x + (thickness-float64(at.Z))*math.Tan(float64(angle))
				if math.Abs(x) > rootWidth/2 {
					nearest = min(nearest, math.Abs(end-float64(at.X)))
				}
				if (i == 0 || i == 2000) && math.Abs(end-float64(at.X)) < 0.05e-3 {
					sure = false // at the wave's border
				}
			}
			// Neighbouring rays are 0.02 mm apart; at a toe 0.05 mm are left out.
			hit := nearest < 0.02e-3
			if near := nearest < 0.12e-3; near != hit || !sure {
				continue
			}
			reachedSome, missedSome = reachedSome || hit, missedSome || !hit
			if hit != reached[angle] {
				t.Errorf("%v, %.1f°: reached %v, by rays %v (nearest %.3f mm)", at, angle/si.Degree, reached[angle], hit, nearest*1e3)
			}
		}
	}
	if !reachedSome || !missedSome {
		t.Error("the points do not tell waves that reach them from waves that do not")
	}
}
