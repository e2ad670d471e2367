package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// The ray to the corner at the bore is found in the plane by trying places of the
// surface under the wedge: the way from the middle of the aperture through each of
// them to the toe of the root that takes least time, for Fermat, and its angle to
// the radius at the toe. No ray of the program is used.
func TestCornerOfRingInThePlane(t *testing.T) {
	tech, _ := read(t, "header-seam")
	g := &tech.Groups[0]
	p := &g.Placements[0]
	e := []vec{plane(tech.Section, p.Elements[p.Active[0]-1]), plane(tech.Section, p.Elements[p.Active[1]-1])}
	middle := vec{(e[0].x + e[1].x) / 2, (e[0].y + e[1].y) / 2}
	// The root is 12 mm wide along the bore; side A is at negative X.
	lean := -6e-3 / headerBore
	toe := vec{headerBore * math.Sin(lean), headerRadius - headerBore*math.Cos(lean)}
	least, met := math.Inf(1), 0.0
	for x := -80e-3; x < 0; x += 1e-6 {
		through := vec{headerRadius * math.Sin(x/headerRadius), headerRadius - headerRadius*math.Cos(x/headerRadius)}
		if time := middle.to(through).length()/2330 + through.to(toe).length()/3240; time < least {
			least, met = time, through.to(toe).angle(toe.to(vec{0, headerRadius}))
		}
	}
	v, ok := tech.Value("groups.direct.corner.far.angle")
	if !ok {
		t.Fatalf("no corner, as if it lay outside the angles: by trial %.2f° at the bore", met*180/math.Pi)
	}
	if math.Abs(v.Q.SI-met) > 1e-4 {
		t.Errorf("the corner at the bore is met at %.3f°, in the plane %.3f°", v.Q.SI*180/math.Pi, met*180/math.Pi)
	}
	// 66° at the outside is asin(254 sin 66° / 238) = 77.13° at the bore.
	worst, _ := tech.Value("groups.direct.corner.worst_angle")
	if at := si.Angle(worst.Q.SI) / si.Degree; !(at > 45 && at < 77.2) {
		t.Errorf("worst corner at %v°", at)
	}
}
