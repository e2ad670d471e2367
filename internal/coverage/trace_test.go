package coverage_test

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/schema"
)

// tracer answers which places of one row a way reaches, by following each of
// many rays from its emitter through the wedge and from wall to wall. It knows
// neither unfolded paths nor intervals of angles.
type tracer struct {
	rays [][]landing // by emitter, in the order of their angles in the wedge
}

// landing is where one ray comes through the row on its last leg.
type landing struct {
	x     float64
	alive bool // it met plain wall only
}

func newTracer(part *schema.Part, way coverage.Way, z float64) *tracer {
	const rays = 3000
	thickness := float64(part.Thickness)
	t := &tracer{}
	for _, e := range way.Emitters {
		// The fan is shot by its angles in the wedge. Waves of a kind that its sine
		// makes impossible do not exist.
		ratio := func(leg int) float64 {
			if way.Course.Legs[leg] == acoustics.Longitudinal {
				return 5920.0 / 2330
			}
			return 3240.0 / 2330
		}
		from, to := math.Asin(way.From.Sin()/ratio(0)), math.Asin(way.To.Sin()/ratio(0))
		var fan []landing
		for i := range rays + 1 {
			wedge := from + (to-from)*float64(i)/rays
			x := float64(e.X) + float64(e.Height)*math.Tan(wedge)
			dx, dz := 0.0, 1.0
			turn := func(leg int) {
				dx = ratio(leg) * math.Sin(wedge)
				dz = math.Copysign(math.Sqrt(1-dx*dx), dz)
			}
			depth, alive := 0.0, true
			turn(0)
			for leg := 1; leg < len(way.Course.Legs); leg++ {
				wall, bead := thickness, part.Weld.Root
				if dz < 0 {
					wall, bead = 0, part.Weld.Cap
				}
				length := (wall - depth) / dz
				x, depth = x+length*dx, wall
				if bead.Condition == "as-welded" && math.Abs(x) < float64(bead.Width)/2 {
					alive = false
				}
				if tr := part.TransitionA; dz > 0 && tr != nil && x < -float64(tr.Begins) {
					alive = false
				}
				if tr := part.TransitionB; dz > 0 && tr != nil && x > float64(tr.Begins) {
					alive = false
				}
				dz = -dz
				turn(leg)
			}
			// The last ray of which the last leg exists runs along the surface, farther
			// than anything: those beyond stand for it.
			at := x + (z-depth)/dz*dx
			if math.IsNaN(dz) && !math.IsNaN(x) {
				at = math.Inf(1)
			}
			fan = append(fan, landing{at, alive})
		}
		t.rays = append(t.rays, fan)
	}
	return t
}

// reached reports whether at least half of the emitters have two neighbouring
// rays, both alive, with x between them.
func (t *tracer) reached(x float64) bool {
	count := 0
	for _, fan := range t.rays {
		for i := 1; i < len(fan); i++ {
			if fan[i-1].alive && fan[i].alive && fan[i-1].x <= x && x <= fan[i].x {
				count++
				break
			}
		}
	}
	return 2*count >= len(t.rays)
}

// bruteRow answers for the row of a given height around depth z which X of the
// volume the views reach.
func bruteRow(part *schema.Part, section *geometry.Section, views []coverage.View, z, height float64) func(x float64) bool {
	type traced struct {
		region            *schema.Region
		transmit, receive *tracer
	}
	var all []traced
	for _, v := range views {
		if r := v.Region; r == nil || (z-height/2 >= float64(r.Top) && z+height/2 <= float64(r.Bottom)) {
			all = append(all, traced{v.Region, newTracer(part, v.Transmit, z), newTracer(part, v.Receive, z)})
		}
	}
	return func(x float64) bool {
		if !inside(section.Volume, x, z) {
			return false
		}
		for _, v := range all {
			imaged := v.region == nil || (-float64(v.region.Near) <= x && x <= float64(v.region.Far))
			if imaged && v.transmit.reached(x) && v.receive.reached(x) {
				return true
			}
		}
		return false
	}
}

// inside counts how often a line to the right crosses the outline.
func inside(outline geometry.Polygon, x, z float64) bool {
	in := false
	for i := range outline {
		a, b := outline[i], outline[(i+1)%len(outline)]
		if (float64(a.Z) > z) != (float64(b.Z) > z) &&
			x < float64(a.X)+(float64(b.X)-float64(a.X))*(z-float64(a.Z))/(float64(b.Z)-float64(a.Z)) {
			in = !in
		}
	}
	return in
}
