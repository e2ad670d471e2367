package technique

import (
	"math"
	"testing"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Where a ray from the top surface meets a slope of 45° from 20 to 26 mm depth
// that begins 40 mm beside the centreline, or the wall behind it: two straight
// lines, by hand.
func TestRayBeyondTransition(t *testing.T) {
	const mm = si.Millimetre
	point := func(x, z si.Length) geometry.Point { return geometry.Point{X: x * mm, Z: z * mm} }
	a := geometry.Transition{Side: "A", Begins: point(-40, 20), Ends: point(-46, 26)}
	b := geometry.Transition{Side: "B", Begins: point(40, 20), Ends: point(46, 26)}
	step := geometry.Transition{Side: "A", Begins: point(-40, 20), Ends: point(-40, 26)}
	for name, c := range map[string]struct {
		t       geometry.Transition
		x       si.Length // mm
		degrees si.Angle
		want    geometry.Point
	}{
		"slope on the probe's side":   {a, -70, 45, point(-45, 25)},         // x = z − 70, z = 20 + (−40 − x)
		"wall on the probe's side":    {a, -75, 45, point(-49, 26)},         // 26 mm on
		"slope on the other side":     {b, 30, 30, point(43.6603, 23.6603)}, // x = 30 + 0.57735 z, z = 20 + (x − 40)
		"wall on the other side":      {b, 22, 45, point(48, 26)},           // as steep as the slope, which it never meets
		"step, the ray meets its top": {step, -62, 45, point(-40, 22)},      // 22 mm on
	} {
		got := beyond(c.t, c.x*mm, c.degrees*si.Degree)
		if math.Hypot(float64(got.X-c.want.X), float64(got.Z-c.want.Z)) > 1e-7 { // worked out to 0.0001 mm
			t.Errorf("%s: %v, by hand %v", name, got, c.want)
		}
	}
}

// A wall that grows thicker behind every bounce changes nothing; nearer, it
// costs coverage; inside the volume, 25 mm wide on each side, it is refused.
func TestTransitionOfJob(t *testing.T) {
	const zone = "  heat_affected_zone: {width"
	job := func(begins string) *Technique {
		tech, found := read(t, "plate-seam", zone, "  transition:\n    A: {begins: "+begins+", slope: 14 deg, thickness: 50 mm}\n"+zone)
		for _, f := range found {
			t.Errorf("%s: %s", begins, f.Message)
		}
		return tech
	}
	plain, _ := read(t, "plate-seam")
	far, near, inside := job("150 mm"), job("60 mm"), job("24 mm")
	// The group that looks after one reflection, from its two sides.
	from := func(tech *Technique, side int) si.Ratio { return tech.Groups[1].Placements[side].Coverage.Share }
	if from(far, 0) != from(plain, 0) || from(near, 1) != from(plain, 1) {
		t.Errorf("coverage %v with a transition behind every bounce, %v without", from(far, 0), from(plain, 0))
	}
	if !(from(near, 0) < from(plain, 0)-0.01) {
		t.Errorf("coverage %v with a transition among the bounces, %v without", from(near, 0), from(plain, 0))
	}
	refused := func(tech *Technique) (n int) {
		for _, f := range tech.Findings {
			if f.Rule == "transition-in-volume" && f.Path == "part.transition.A.begins" {
				n++
			}
		}
		return n
	}
	if refused(near) != 0 || refused(inside) != 1 || refused(job("25 mm")) != 0 {
		t.Errorf("refused %d times outside the volume, %d inside, %d at its edge", refused(near), refused(inside), refused(job("25 mm")))
	}
}
