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
	alive bool   // it met level wall only, and none on its last leg
	walls string // on which it turned
}

// edge is a straight piece of a wall.
type edge struct {
	x1, z1, x2, z2 float64
	level          bool
}

// outlineOf are the walls of a part as the job gives them, built piece by piece
// and as long as any ray goes.
func outlineOf(part *schema.Part) (edges []edge) {
	const far = 10.0
	t, off := float64(part.Thickness), float64(part.Weld.Misalignment)
	for _, bottom := range []bool{false, true} {
		z, down := 0.0, -1.0
		if bottom {
			z, down = t, 1
		}
		gap := float64(part.Weld.RootGap) / 2 // the edges of a misaligned joint are square in these tests
		line := [][2]float64{{-gap, z}, {gap, z + off}}
		for _, side := range []struct {
			tr   *schema.Transition
			sign float64
			z    float64
		}{{part.TransitionA, -1, z}, {part.TransitionB, 1, z + off}} {
			at := side.z
			var points [][2]float64
			if tr := side.tr; tr != nil && (tr.Surface == "both" || (tr.Surface != "top") == bottom) {
				more := float64(tr.Thickness - part.Thickness)
				if tr.Surface == "both" {
					more /= 2
				}
				at += down * more
				points = [][2]float64{{side.sign * float64(tr.Begins), side.z}, {side.sign * (float64(tr.Begins) + more/tr.Slope.Tan()), at}}
			}
			points = append(points, [2]float64{side.sign * far, at})
			for _, p := range points {
				if side.sign < 0 {
					line = append([][2]float64{p}, line...)
				} else {
					line = append(line, p)
				}
			}
		}
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			if a != b {
				edges = append(edges, edge{a[0], a[1], b[0], b[1], a[1] == b[1]})
			}
		}
	}
	return edges
}

// hit is how far along a ray an edge lies; infinite where it meets none.
func (e edge) hit(x, z, dx, dz float64) float64 {
	ex, ez := e.x2-e.x1, e.z2-e.z1
	det := dx*ez - dz*ex
	along := ((e.x1-x)*ez - (e.z1-z)*ex) / det
	share := ((e.x1-x)*dz - (e.z1-z)*dx) / det
	if det == 0 || !(along > 1e-9) || share < 0 || share > 1 {
		return math.Inf(1)
	}
	return along
}

func newTracer(part *schema.Part, way coverage.Way, z float64) *tracer {
	const rays = 3000
	t := &tracer{}
	edges := outlineOf(part)
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
			l := landing{alive: true}
			depth := edges[0].z1 // the surface on which the probe stands
			dx, dz := 0.0, 1.0
			for leg := range way.Course.Legs {
				dx = ratio(leg) * math.Sin(wedge)
				dz = math.Copysign(math.Sqrt(1-dx*dx), dz)
				length, met := math.Inf(1), -1
				for k, e := range edges {
					if far := e.hit(x, depth, dx, dz); far < length {
						length, met = far, k
					}
				}
				if leg == len(way.Course.Legs)-1 {
					l.x = x + (z-depth)/dz*dx
					l.alive = l.alive && (math.IsNaN(dz) || (z-depth)/dz <= length)
					if math.IsNaN(dz) && !math.IsNaN(x) {
						// The last ray of which the last leg exists runs along the surface,
						// farther than anything: those beyond stand for it.
						l.x = math.Inf(1)
					}
					break
				}
				if met < 0 {
					l.x, l.alive = math.NaN(), false
					break
				}
				x, depth = x+length*dx, depth+length*dz
				bead := part.Weld.Root
				if dz < 0 {
					bead = part.Weld.Cap
				}
				if !edges[met].level || bead.Condition == "as-welded" && math.Abs(x) < float64(bead.Width)/2 {
					l.alive = false
				}
				l.walls += string(rune('a' + met))
				dz = -dz
			}
			fan = append(fan, l)
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
			if fan[i-1].alive && fan[i].alive && fan[i-1].walls == fan[i].walls && fan[i-1].x <= x && x <= fan[i].x {
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
