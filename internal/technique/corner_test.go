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

// On TT-T around a pipe, wall and flaw are met at angles that go by r sin β. The
// worst is sought again by following chords in the plane from the outside to the
// bore and back up to the depth of the flaw, with the closed form of the
// reflection.
func TestTandemCornerInThePlane(t *testing.T) {
	tech := imaged(t, "20 mm")
	kept := func(b float64) float64 {
		const k = 5920.0 / 3240
		sine := k * math.Sin(b)
		if sine >= 1 {
			return 1
		}
		one := 2 * sine * math.Sqrt(1-sine*sine) * math.Sin(2*b)
		two := math.Pow(k*math.Cos(2*b), 2)
		return math.Abs((one - two) / (one + two))
	}
	worst := 0.0
	for alpha := 38.0; alpha <= 72; alpha += 0.02 {
		sin, cos := math.Sincos(alpha * math.Pi / 180)
		start, axis := vec{0, 0}, vec{0, headerRadius}
		d := vec{sin, cos}
		off := d.x*(axis.y-start.y) - d.y*(axis.x-start.x) // how far it passes from the axis
		if math.Abs(off) >= headerBore {
			continue
		}
		bore := meetsCircle(start, d, headerBore)
		n := vec{bore.x, bore.y - headerRadius}.unit()
		gamma := math.Acos(math.Abs(d.dot(n)))
		up := vec{d.x - 2*d.dot(n)*n.x, d.y - 2*d.dot(n)*n.y}
		for z := 0.0; z <= 16e-3; z += 0.1e-3 {
			at := meetsCircle(bore, up, headerRadius-z-1e-12)
			beta := math.Acos(math.Abs(up.dot(vec{at.x, at.y - headerRadius}.unit())))
			worst = math.Max(worst, -20*math.Log10(kept(gamma)*kept(math.Pi/2-beta)))
		}
	}
	// Steps of 0.02° and 0.1 mm here, of 0.09° and 0.4 mm there, where the loss
	// changes by some dB in a degree.
	closeTo(t, "largest loss", value(t, tech, "groups.image.corner.worst"), worst, 0.2)
	gamma, z := value(t, tech, "groups.image.corner.worst_angle")*math.Pi/180, value(t, tech, "groups.image.corner.worst_depth")*1e-3
	beta := math.Asin(math.Sin(gamma) * headerBore / (headerRadius - z))
	closeTo(t, "loss at the place named", -20*math.Log10(kept(gamma)*kept(math.Pi/2-beta)), value(t, tech, "groups.image.corner.worst"), 1e-6)
	if v, ok := tech.Value("groups.image.corner.free_to"); ok {
		t.Errorf("one range of angles is stated for two faces: %s", v.Text())
	}
}
