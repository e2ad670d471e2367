package coverage_test

import (
	"math"
	"math/rand"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// A T-butt weld place by place: from each place of a raster the one ray of a leg is
// drawn back to the probe, through walls unfolded one under the other, and asked
// where it turned and where it left the web. It shares nothing with the rows, their
// bundles and their corners.
func TestReachInTee(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	const rows, columns = 60, 80
	judged, hits, beyond := 0, 0, 0
	for range 40 {
		thick, gap := between(10, 40), between(0, 4)
		part := &schema.Part{Thickness: si.Length(thick) * mm, Flange: &schema.Flange{Thickness: si.Length(between(8, 50)) * mm}}
		part.Weld = schema.Weld{
			Preparation: "single-bevel", Opens: []string{"top", "bottom"}[r.Intn(2)], BevelledSide: "A", BevelAngle: si.Angle(between(0, 50)) * si.Degree,
			RootGap: si.Length(gap) * mm,
		}
		toes := [2]float64{gap / 2, gap / 2}
		for i, fillet := range []*schema.Reinforcement{&part.Weld.Cap, &part.Weld.Root} {
			fillet.Condition = "flush"
			if r.Intn(4) > 0 {
				leg := between(3, 20)
				*fillet = schema.Reinforcement{Condition: "as-welded", Width: si.Length(leg) * mm, Height: si.Length(between(0, 15)) * mm}
				toes[i] = gap/2 - leg
			}
		}
		part.Zone = schema.Zone{Width: si.Length(between(2, 12)) * mm, Boundary: []string{"straight", "parallel"}[r.Intn(2)]}
		section := geometry.New(part)
		from, to := between(20, 60), between(61, 80)
		x0, legs := -between(20, 120), 1+r.Intn(4)
		got := reach(section, []coverage.View{same(contact(legs, si.Angle(from)*si.Degree, si.Angle(to)*si.Degree, si.Length(x0)*mm))}, rows)
		for k := range rows {
			z := (float64(got.Top) + (float64(k)+0.5)*float64(got.Height)) * 1e3
			left, right := section.VolumeRow(si.Length(z) * mm)
			for i := range columns {
				x := (float64(left) + float64(right-left)*(float64(i)+0.5)/columns) * 1e3
				want, sure := seenInTee(x, z, x0, thick, gap/2, toes, legs, from, to)
				if !sure {
					continue
				}
				judged++
				if want {
					hits++
					if z < 0 || z > thick {
						beyond++
					}
				}
				if contains(got.Row[k], x/1e3) != want {
					t.Fatalf("web %.1f, face %.2f, toes %.2f, probe at %.1f, leg %d, %.1f to %.1f°: (%.2f, %.2f) reached %v, by its own ray %v",
						thick, gap/2, toes, x0, legs, from, to, x, z, !want, want)
				}
			}
		}
	}
	if hits < 5000 || beyond < 300 || judged-hits < 5000 {
		t.Errorf("%d places judged, %d reached, %d of them above or below the web", judged, hits, beyond)
	}
}

// seenInTee draws the ray of a leg from a place back to the probe at x0 on the top,
// in millimetres and degrees. It is not sure within a little of any edge.
func seenInTee(x, z, x0, t, face float64, toes [2]float64, leg int, from, to float64) (reached, sure bool) {
	reached, sure = true, true
	hold := func(margin float64) { // of what must be positive
		reached = reached && margin > 0
		sure = sure && math.Abs(margin) > 1e-6
	}
	unfolded := float64(leg-1)*t + z // down
	if leg%2 == 0 {
		unfolded = float64(leg)*t - z
	}
	tan := (x - x0) / unfolded
	angle := math.Atan2(x-x0, unfolded) * 180 / math.Pi
	hold(angle - from)
	hold(to - angle)
	for turn := 1; turn < leg; turn++ {
		hold(toes[turn%2] - (x0 + float64(turn)*t*tan)) // the first at the bottom, whose toe is the second
	}
	// Above or below the web only what goes on beyond the face counts.
	out := func(surface float64) { hold(x0 + surface*tan - face) }
	switch down := leg%2 == 1; {
	case z > t && down:
		out(float64(leg) * t)
	case z < 0 && !down:
		out(float64(leg) * t)
	case z > t || z < 0:
		return false, true
	}
	return reached, sure
}

// By hand: web of 20 mm without fillets, no gap, flange of 30 mm, zone of 10 mm. A
// ray of 60° from X = −25 is 17.32 mm on at 10 mm depth, and passes the face at
// 25 / tan 60° = 14.43 mm depth; at X = 10 it lies at 35 / tan 60° = 20.21 mm, in
// the flange below the web. At 45° from −25 it turns at X = −5 and would pass the
// top surface at +15, beyond the face: in the flange it passes X = 10 at depth 5.
func TestRaysGoOnIntoTheFlange(t *testing.T) {
	part := &schema.Part{Thickness: 20 * mm, Flange: &schema.Flange{Thickness: 30 * mm}}
	part.Weld = schema.Weld{Preparation: "single-bevel", Opens: "top", BevelledSide: "A"}
	part.Weld.Cap.Condition, part.Weld.Root.Condition = "flush", "flush"
	part.Zone = schema.Zone{Width: 10 * mm, Boundary: "straight"}
	section := geometry.New(part)
	for _, c := range []struct {
		legs          int
		degrees, x, z float64
		want          bool
	}{
		{1, 60, -7.68, 10, true}, {1, 60, 9.6, 20, true}, {1, 60, 9.9, 20.18, true}, {2, 45, 9.5, 5.5, true}, {2, 45, 4.8, 10.2, true},
		{1, 45, 5, 30, false}, // at the bottom of the web it is at −5: it turns
		{2, 45, 5, 30, false}, // that is where it would come from, had it not turned
	} {
		way := contact(c.legs, si.Angle(c.degrees-2)*si.Degree, si.Angle(c.degrees+2)*si.Degree, -25*mm)
		got, in := reach(section, []coverage.View{same(way)}, 400), false
		k := int((si.Length(c.z)*mm - got.Top) / got.Height)
		if k >= 0 && k < len(got.Row) {
			in = contains(got.Row[k], c.x/1e3)
		}
		if in != c.want {
			t.Errorf("leg %d of %v° at (%v, %v): reached %v", c.legs, c.degrees, c.x, c.z, in)
		}
	}
}
