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

// flangeJoint is a T-butt weld of any size, in millimetres: the web, the flange,
// and how far along it the fillets go at both surfaces of the web.
func flangeJoint(r *rand.Rand) (section *geometry.Section, web, flange float64, legs [2]float64) {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	web, flange = between(10, 40), between(10, 50)
	part := &schema.Part{Thickness: si.Length(web) * mm, Flange: &schema.Flange{Thickness: si.Length(flange) * mm}}
	part.Weld = schema.Weld{
		Preparation: "single-bevel", Opens: []string{"top", "bottom"}[r.Intn(2)], BevelledSide: "A", BevelAngle: si.Angle(between(0, 50)) * si.Degree,
		RootGap: si.Length(between(0, 4)) * mm,
	}
	for i, fillet := range []*schema.Reinforcement{&part.Weld.Cap, &part.Weld.Root} {
		fillet.Condition = "flush"
		if r.Intn(4) > 0 {
			legs[i] = between(2, 15)
			*fillet = schema.Reinforcement{Condition: "as-welded", Width: si.Length(between(3, 20)) * mm, Height: si.Length(legs[i]) * mm}
		}
	}
	part.Zone = schema.Zone{Width: si.Length(between(2, 12)) * mm, Boundary: []string{"straight", "parallel"}[r.Intn(2)]}
	return geometry.New(part), web, flange, legs
}

// Beams from the outer face place by place: from each place of the volume the one
// ray of a leg is drawn back to the probe, through walls unfolded one under the
// other, and asked where it turned and where it passed from the flange into the
// web. It shares nothing with the rows.
func TestReachFromFlange(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	judged, hits, inWeb := 0, 0, 0
	for range 60 {
		drawn, web, flange, fillets := flangeJoint(r)
		section := drawn.FromFlange()
		from := between(0, 60)
		to := from + between(1, 20)
		x0, leg := -between(0, 90), 1+r.Intn(3)
		got := reach(section, []coverage.View{same(contact(leg, si.Angle(from)*si.Degree, si.Angle(to)*si.Degree, si.Length(x0)*mm))}, 60)
		for k := range got.Row {
			z := (float64(got.Top) + (float64(k)+0.5)*float64(got.Height)) * 1e3
			for i := range 80 {
				left, right := section.VolumeRow(si.Length(z) * mm)
				x := (float64(left) + float64(right-left)*(float64(i)+0.5)/80) * 1e3
				want, sure := seenFromFlange(x, z, x0, web, flange, fillets, leg, from, to)
				if !sure || z > flange && math.Abs(x) > web/2 {
					continue // what is no metal is no place
				}
				judged++
				if want {
					hits++
					if z > flange {
						inWeb++
					}
				}
				if contains(got.Row[k], x/1e3) != want {
					t.Fatalf("web %.1f, flange %.1f, fillets %.1f, probe at %.1f, leg %d, %.1f to %.1f°: (%.2f, %.2f) reached %v, by its own ray %v",
						web, flange, fillets, x0, leg, from, to, x, z, !want, want)
				}
			}
		}
	}
	if hits < 5000 || inWeb < 1000 || judged-hits < 5000 {
		t.Errorf("%d places judged, %d reached, %d of them in the web", judged, hits, inWeb)
	}
}

// seenFromFlange draws the ray of a leg from a place back to the probe at x0 on the
// outer face, in millimetres and degrees. It is not sure within a little of any edge.
func seenFromFlange(x, z, x0, web, flange float64, fillets [2]float64, leg int, from, to float64) (reached, sure bool) {
	reached, sure = true, true
	hold := func(margin float64) { // of what must be positive
		reached = reached && margin > 0
		sure = sure && math.Abs(margin) > 1e-6
	}
	unfolded := float64(leg-1)*flange + z
	if leg%2 == 0 {
		unfolded = float64(leg)*flange - z
		hold(flange - z) // it turned at the inner face
	}
	tan := (x - x0) / unfolded
	angle := math.Atan2(x-x0, unfolded) * 180 / math.Pi
	hold(angle - from)
	hold(to - angle)
	for turn := 1; turn < leg; turn += 2 { // at the inner face, beside the fillets
		at := x0 + float64(turn)*flange*tan
		hold(math.Max(-web/2-fillets[0]-at, at-web/2-fillets[1]))
	}
	if z > flange && leg%2 == 1 {
		hold(web/2 - math.Abs(x0+float64(leg)*flange*tan)) // through the gap in it
	}
	return reached, sure
}

// What is reached from the flange is the same seen in the section: as much of the
// volume, and each place where it is. A column counts by its middle, so a place
// within half a column of an edge may differ.
func TestRowsFromFlange(t *testing.T) {
	r := rand.New(rand.NewSource(8))
	for range 30 {
		section, _, _, _ := flangeJoint(r)
		seen := section.FromFlange()
		views := []coverage.View{same(contact(1, 20*si.Degree, 60*si.Degree, -si.Length(10+60*r.Float64())*mm))}
		rows := coverage.Reach(seen, views, 400)
		drawn := rows.FromFlange(section)
		var a, b float64
		for i, row := range drawn.Row {
			z := drawn.Top + drawn.Height*(si.Length(i)+0.5)
			for _, s := range row {
				a += float64(s.To-s.From) * float64(drawn.Height)
				p := section.Flange.Seen(geometry.Point{X: (s.From + s.To) / 2, Z: z})
				k, in := int((p.Z-rows.Top)/rows.Height), false
				for _, near := range rows.Row[max(0, k-1):min(len(rows.Row), k+2)] {
					in = in || contains(near, float64(p.X))
				}
				if !in {
					t.Fatalf("%v is reached in the section, and not as seen", p)
				}
			}
		}
		for _, row := range rows.Row {
			for _, s := range row {
				b += float64(s.To-s.From) * float64(rows.Height)
			}
		}
		// A row or a column more or less along the edges.
		if math.Abs(a-b) > 0.005*float64(section.Volume.Area()) {
			t.Errorf("%v m² in the section, %v m² as seen", a, b)
		}
	}
}
