package technique

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/diag"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// seamByHand is the shipped girder rolled to a pipe of 406.4 mm, 16 mm thick, with
// the weld along it; the 60° probe is shaped to the outside.
var seamByHand = []string{
	"kind: plate", "kind: pipe\n  outside_diameter: 406.4 mm", "  thickness: 20 mm\n", "  thickness: 16 mm\n",
	"    length: 600 mm\n", "    length: 600 mm\n    seam: longitudinal\n", "dead_zone: 3 mm", "width: 12 mm\n      dead_zone: 3 mm",
	"      length: 24 mm\n      width: 14 mm\n", "      length: 24 mm\n      width: 14 mm\n      contour: 406.4 mm\n",
	"angle: 70 deg", "angle: 65 deg",
}

// inTheBore has all probes inside.
var inTheBore = append(slices.Clone(seamByHand), "surfaces: [top]", "surfaces: [bottom]", "contour: 406.4 mm", "contour: 374.4 mm",
	"    probe: ", "    surface: bottom\n    probe: ")

const pipeOutside, pipeBore = 0.2032, 0.1872

// about is a place in the plane about the pipe's axis, y down.
func about(s *geometry.Section, p geometry.Point) vec {
	q := s.True(p)
	return vec{float64(q.X), float64(q.Z) - pipeOutside}
}

// onCircle is where a line first meets a circle about the axis.
func onCircle(p, d vec, radius float64) vec {
	b := p.dot(d)
	root := math.Sqrt(b*b - p.dot(p) + radius*radius)
	u := -b - root
	if u < 1e-9 {
		u = -b + root
	}
	return p.at(d, u)
}

// walk follows a ray from a place on a surface over so much of its way, turned at
// the two circles as at mirrors.
func walk(p, d vec, way float64) vec {
	for {
		next, least := vec{}, math.Inf(1)
		for _, radius := range []float64{pipeOutside, pipeBore} {
			if q := onCircle(p, d, radius); p.to(q).length() > 1e-9 && p.to(q).dot(d) > 0 && p.to(q).length() < least {
				next, least = q, p.to(q).length()
			}
		}
		if least >= way*(1-1e-12) {
			return p.at(d, way)
		}
		n := next.unit()
		p, d, way = next, d.at(n, -2*d.dot(n)), way-least
	}
}

// bend refracts a direction at a surface with the normal n, which leads into the
// part.
func bend(d, n vec, ratio float64) vec {
	along := vec{d.x - d.dot(n)*n.x, d.y - d.dot(n)*n.y}
	along = vec{along.x * ratio, along.y * ratio}
	return along.at(n, math.Sqrt(1-along.dot(along)))
}

// The face touches the surface at the exit point; there the axis has its angle.
// The edges of the beam leave the element by their half angle beside the axis and
// are refracted where they come.
func TestSingleBeamInThePlane(t *testing.T) {
	for name, changes := range map[string][]string{"outside": seamByHand, "inside": inTheBore} {
		tech, found := read(t, "girder-manual", changes...)
		if len(found) > 0 {
			t.Fatal(name, found)
		}
		for _, g := range tech.Groups[1:] {
			probe, one := g.Single.Probe, g.Single
			for _, p := range g.Placements {
				exit, front, back := about(tech.Section, p.Exit), about(tech.Section, p.Front), about(tech.Section, p.Back)
				in, radius := exit.unit(), pipeBore
				if name == "outside" {
					in, radius = vec{-in.x, -in.y}, pipeOutside
				}
				forward := vec{-in.y, in.x}
				if forward.dot(exit.to(front)) < 0 {
					forward = vec{in.y, -in.x}
				}
				if got := forward.dot(exit.to(front)); math.Abs(got-float64(probe.FrontDistance)) > 1e-12 {
					t.Errorf("%s, %s: the front is %.6f mm before the exit point", name, g.Set.Name, got*1e3)
				}
				if got := forward.dot(back.to(front)); math.Abs(got-float64(probe.Length)) > 1e-12 {
					t.Errorf("%s, %s: the face is %.6f mm long", name, g.Set.Name, got*1e3)
				}
				if got := math.Abs(float64(p.Along(p.Front))); math.Abs(got-float64(one.Near)) > 1e-12 {
					t.Errorf("%s, %s: the front stands at %.6f mm", name, g.Set.Name, got*1e3)
				}
				// The axis in the wedge, and the element at its upper end.
				slow := 2730.0 / 3240
				sine := slow * math.Sin(float64(probe.Angle))
				axis := vec{}.at(forward, sine).at(in, math.Sqrt(1-sine*sine))
				element := exit.at(axis, -2730*float64(probe.Delay))
				half := 0.442 * 2730 / 4e6 / 8e-3
				for _, edge := range []struct {
					turn float64
					want si.Angle
				}{{0, probe.Angle}, {-math.Asin(half), one.Lower}, {math.Asin(half), one.Upper}} {
					// Turned forwards, away from the surface's normal.
					sin, cos := math.Sincos(edge.turn)
					level := vec{}.at(forward, math.Sqrt(1-sine*sine)).at(in, -sine)
					sent := vec{}.at(axis, cos).at(level, sin)
					at := onCircle(element, sent, radius)
					normal := at.unit()
					if name == "outside" {
						normal = vec{-normal.x, -normal.y}
					}
					inside := bend(sent, normal, 1/slow)
					if got := inside.angle(normal); math.Abs(got-float64(edge.want)) > 1e-4 { // 0.442 has three digits
						t.Errorf("%s, %s: an edge enters at %.4f°, stated %.4f°", name, g.Set.Name, got*180/math.Pi, float64(edge.want/si.Degree))
					}
					found := false
					for _, r := range p.Rays {
						if math.Abs(float64(r.Angle-edge.want)) > 1e-12 || about(tech.Section, r.Points[0]).to(at).length() > 5e-6 {
							continue
						}
						found = true
						way := 0.0
						for i := 1; i < len(r.Points); i++ {
							a, b := about(tech.Section, r.Points[i-1]), about(tech.Section, r.Points[i])
							way += a.to(b).length()
							if off := walk(at, inside, way).to(b).length(); off > 1e-4 {
								t.Errorf("%s, %s: the ray of %.2f° is %.4f mm off after %.1f mm", name, g.Set.Name, float64(r.Angle/si.Degree), off*1e3, way*1e3)
							}
						}
					}
					if !found {
						t.Errorf("%s, %s: no ray of %.2f° is drawn from where it enters", name, g.Set.Name, float64(edge.want/si.Degree))
					}
				}
			}
		}
	}
}

// The table turns a sound path into a place: walked in the plane, along straight
// pieces turned at mirrors.
func TestWayInThePlane(t *testing.T) {
	for name, changes := range map[string][]string{"outside": seamByHand, "inside": inTheBore, "turns": append(slices.Clone(seamByHand), "angle: 65 deg", "angle: 72 deg", "index: 7 mm}\n    legs: [1, 2]\n\n", "index: 7 mm}\n    legs: [1]\n\n")} {
		tech, found := read(t, "girder-manual", changes...)
		if len(found) > 0 {
			t.Fatal(name, found)
		}
		for _, g := range tech.Groups[1:] {
			radius, scanned := pipeOutside, 1.0
			if name == "inside" {
				radius, scanned = pipeBore, -1
			}
			sin, cos := math.Sincos(float64(g.Single.Probe.Angle))
			start, d := vec{0, -radius}, vec{sin, cos * scanned}
			if want := waySteps * g.legs(); len(g.Single.Way) != want {
				t.Errorf("%s, %s: %d lines, want %d", name, g.Set.Name, len(g.Single.Way), want)
			}
			for _, w := range g.Single.Way {
				at := walk(start, d, float64(w.Path))
				if got := (radius - at.length()) * scanned; math.Abs(got-float64(w.Depth)) > 1e-9 {
					t.Errorf("%s, %s: after %.3f mm the depth is %.6f mm, stated %.6f", name, g.Set.Name, w.Path*1e3, got*1e3, w.Depth*1e3)
				}
				if got := radius * math.Atan2(at.x, -at.y); math.Abs(got-float64(w.Along)) > 1e-9 {
					t.Errorf("%s, %s: after %.3f mm the arc is %.6f mm, stated %.6f", name, g.Set.Name, w.Path*1e3, got*1e3, w.Along*1e3)
				}
			}
			// What a set-up for a plate of 16 mm shows, by hand of the end of the first leg.
			if name == "outside" && g.Set.Name == "main" {
				w := g.Single.Way[waySteps-1]
				if shown := 32 - float64(w.Path)*1e3*0.5; math.Abs(float64(w.PlateDepth)*1e3-shown) > 1e-6 {
					t.Errorf("at the bore a plate shows %.3f mm, by hand %.3f", w.PlateDepth*1e3, shown)
				}
			}
		}
	}
}

// Row P149 of the published cases, of a pipe 219.1 mm by 12.7 mm at 60°.
func TestSinglePublishedPipe(t *testing.T) {
	tech, found := read(t, "girder-manual", append(slices.Clone(seamByHand), "406.4 mm", "219.1 mm", "  thickness: 16 mm\n", "  thickness: 12.7 mm\n")...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	for id, want := range map[string]float64{"main.round.middle.path": 35.307, "main.half_skip": 35.188, "main.full_skip": 2 * 35.188, "main.path": 2 * 35.307} {
		v, ok := tech.Value("groups." + id)
		if !ok || math.Abs(v.Q.SI*1e3-want) > 0.004 {
			t.Errorf("%s is %.3f mm, published %.3f", id, v.Q.SI*1e3, want)
		}
	}
}

// Each place of the volume is asked, in the plane, from where along the surface
// the axis comes to it, and whether strokes go there. Rows and places are so many
// that a tenth of a percent is left to the edges.
func TestSingleCoverageInThePlane(t *testing.T) {
	for name, changes := range map[string][]string{"outside": seamByHand, "inside": inTheBore} {
		tech, _ := read(t, "girder-manual", changes...)
		for _, g := range tech.Groups[1:] {
			f := frameOf(tech.Section, "A", g.Set.Surface, g.Single.Near)
			local := f.local(tech.Section)
			radius, scanned := pipeOutside, 1.0
			if name == "inside" {
				radius, scanned = pipeBore, -1
			}
			sin, cos := math.Sincos(float64(g.Single.Probe.Angle))
			start, d := vec{0, -radius}, vec{sin, cos * scanned}
			leg := float64(g.Single.Way[waySteps-1].Path)
			wall := radius * math.Atan2(walk(start, d, leg).x, -walk(start, d, leg).y)
			rootFrom, rootTo := local.RootSpan()
			touch := math.Asin(float64(g.Single.Probe.FrontDistance) / radius)
			far, near := -float64(g.Single.Far)-radius*touch, -float64(g.Single.Near)-radius*touch
			// The arc that the axis has gone at each depth, on each leg.
			const steps = 4000
			var arcs [2][]float64
			for k := range 2 {
				arcs[k] = make([]float64, 200)
				for i := range steps {
					at := walk(start, d, leg*(float64(k)+(float64(i)+0.5)/steps))
					row := int(math.Abs(radius-at.length()) / 16e-3 * 200)
					arcs[k][min(row, 199)] = radius * math.Atan2(at.x, -at.y)
				}
			}
			reached, whole := 0.0, 0.0
			for row := range 200 {
				z := si.Length(float64(row)+0.5) / 200 * 16e-3
				from, to := local.VolumeRow(z)
				scale := float64(local.Scale(z))
				for i := range 400 {
					x := float64(from) + (float64(i)+0.5)/400*float64(to-from)
					area := float64(to-from) / 400 * scale
					whole += area
					for k := range 2 {
						exit := x - arcs[k][row]
						turn := exit + wall
						if exit < far || exit > near || k == 1 && turn > float64(rootFrom) && turn < float64(rootTo) {
							continue
						}
						reached += area
						break
					}
				}
			}
			if got := float64(g.Placements[0].Coverage.Share); math.Abs(got-reached/whole) > 0.003 {
				t.Errorf("%s, %s: reaches %.4f, place by place %.4f", name, g.Set.Name, got, reached/whole)
			}
		}
	}
}

// A pipe so large that it is nearly flat gives what a plate gives.
func TestSingleOnLargePipeIsNearlyPlate(t *testing.T) {
	large := slices.Clone(seamByHand)
	for i := range large {
		large[i] = strings.ReplaceAll(large[i], "406.4 mm", "10 m")
	}
	pipe, found := read(t, "girder-manual", large...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	plate, _ := read(t, "girder-manual", "  thickness: 20 mm\n", "  thickness: 16 mm\n", "angle: 70 deg", "angle: 65 deg")
	for i, g := range pipe.Groups {
		if a, b := float64(g.Coverage.Share), float64(plate.Groups[i].Coverage.Share); math.Abs(a-b) > 0.01 {
			t.Errorf("group %s reaches %.4f around a pipe of 10 m, and %.4f in a plate", g.Set.Name, a, b)
		}
		for _, id := range []string{"edge_lower", "edge_upper", "path", "half_skip", "exit_to_centreline", "strip_to", "time_of_flight", "raster_time"} {
			a, ok := pipe.Value("groups." + g.Set.Name + "." + id)
			b, there := plate.Value("groups." + g.Set.Name + "." + id)
			if ok != there || ok && math.Abs(a.Q.SI/b.Q.SI-1) > 0.015 {
				t.Errorf("%s.%s is %v, in a plate %v", g.Set.Name, id, a.Text(), b.Text())
			}
		}
	}
}

// By hand: the back wall of the outside is convex to the beam, 10 lg(187.2 /
// 203.2) = −0.356 dB; from inside it gathers as much. The probe of 10 mm has its
// near field end at 16.9 mm, so that the part is made 20 mm thick: 10 lg(183.2 /
// 203.2) = −0.450 dB.
func TestStraightBeamAroundPipe(t *testing.T) {
	disc := func(changes []string) []string {
		return append(slices.Clone(changes), "reflector: back-wall\n", "reflector: disc\n    disc: 2 mm\n", "  thickness: 16 mm\n", "  thickness: 20 mm\n")
	}
	for name, c := range map[string]struct {
		changes []string
		wall    float64
	}{"outside": {disc(seamByHand), -0.450}, "inside": {append(disc(inTheBore), "374.4 mm", "366.4 mm"), 0.450}} {
		tech, found := read(t, "girder-manual", c.changes...)
		if len(found) > 0 {
			t.Fatal(name, found)
		}
		if v, ok := tech.Value("groups.parent.dgs.wall"); !ok || math.Abs(v.Q.SI-c.wall) > 0.001 {
			t.Errorf("%s: the wall's echo is %.3f dB against a flat one, by hand %.3f", name, v.Q.SI, c.wall)
		}
		if v, ok := tech.Value("groups.parent.shown_to"); !ok || math.Abs(v.Q.SI*1e3-18.52) > 1e-9 {
			t.Errorf("%s: depths are shown to %v", name, v.Text())
		}
	}
	// The strip ends where the farthest beam enters: 125 mm and the arc of 10.5 mm
	// on the scanned surface.
	for name, c := range map[string]struct {
		changes []string
		radius  float64
	}{"outside": {seamByHand, 203.2}, "inside": {inTheBore, 187.2}} {
		tech, _ := read(t, "girder-manual", c.changes...)
		want := 125 + c.radius*math.Asin(10.5/c.radius)
		if v, _ := tech.Value("groups.parent.strip_to"); math.Abs(v.Q.SI*1e3-want) > 1e-6 {
			t.Errorf("%s: the strip ends at %.4f mm, by hand %.4f", name, v.Q.SI*1e3, want)
		}
	}
}

// By hand: s(b, D) = D/2 − √(D²/4 − b²/4). The flat face of 23 mm on 406.4 mm stands
// off by 0.326 mm at its ends, in the bore by 0.354 mm in its middle, where its exit
// point, 10 mm behind the front, lies 1.5 mm off: asin(1.5 / 187.2) = 0.459°.
func TestFaceOfSingleProbeOnPipe(t *testing.T) {
	for _, c := range []struct {
		changes []string
		id      string
		want    float64
	}{
		{seamByHand, "steep.wedge_gap", 0.3257e-3}, {seamByHand, "main.wedge_gap", 0}, {seamByHand, "parent.wedge_gap", 0.0886e-3},
		{inTheBore, "steep.wedge_gap", 0.3536e-3}, {inTheBore, "main.wedge_gap", 0}, {inTheBore, "steep.lean", 0.4591 * math.Pi / 180},
	} {
		tech, _ := read(t, "girder-manual", c.changes...)
		v, ok := tech.Value("groups." + c.id)
		if !ok || math.Abs(v.Q.SI-c.want) > math.Max(1e-7, 1e-3*c.want) {
			t.Errorf("%s is %g, by hand %g", c.id, v.Q.SI, c.want)
		}
	}
	outside, _ := read(t, "girder-manual", seamByHand...)
	for _, id := range []string{"groups.steep.lean", "groups.main.lean"} {
		if _, ok := outside.Value(id); ok {
			t.Errorf("%s is stated from outside", id)
		}
	}
}

func TestSingleSetUpsAroundPipe(t *testing.T) {
	small := "kind: pipe\n  outside_diameter: "
	for name, c := range map[string]setUp{
		"never to the bore": {[]string{"angle: 65 deg", "angle: 72 deg"}, "never-reaches-wall"},
		"direct leg alone":  {[]string{"angle: 65 deg", "angle: 72 deg", "index: 7 mm}\n    legs: [1, 2]\n\n", "index: 7 mm}\n    legs: [1]\n\n"}, "good-practice/wall-reached"},
		// asin(203.2 / 187.2 × sin 60°) is 70.05°.
		"wall met too flat":    {nil, "iso-17640-2018/opposite-face"},
		"steep enough":         {[]string{"angle: 65 deg", "angle: 55 deg", "angle: 60 deg", "angle: 55 deg"}, ""},
		"a flat face too long": {[]string{"      length: 23 mm\n", "      length: 60 mm\n"}, "iso-17640-2018/wedge-gap"},
		"off the pipe":         {[]string{small + "406.4 mm", small + "80 mm", "contour: 406.4 mm", "contour: 80 mm", "front_distance: 10 mm\n      length: 23 mm", "front_distance: 10 mm\n      length: 70 mm"}, "wedge-off-pipe"},
	} {
		tech, found := read(t, "girder-manual", append(slices.Clone(seamByHand), c.replace...)...)
		var rules []string
		for _, f := range append(found, tech.Findings...) {
			rules = append(rules, f.Rule)
			if c.rule == "" && f.Level == diag.Error || f.At.Line == 0 {
				t.Errorf("%s: %s [%s]", name, f.Message, f.Rule)
			}
		}
		if !strings.Contains(strings.Join(rules, " "), c.rule) {
			t.Errorf("%s: %v", name, rules)
		}
	}
}

// A straight beam that examines a dressed weld shows a piece of the ring.
func TestStraightBeamOfASeam(t *testing.T) {
	tech, found := read(t, "girder-manual", append(slices.Clone(seamByHand), "target: parent", "target: weld", "{from: 20 mm, to: 138 mm", "{from: 0 mm, to: 40 mm",
		"cap: {condition: as-welded, width: 26 mm, height: 2 mm}", "cap: {condition: flush}")...)
	if len(found) > 0 {
		t.Fatal(found)
	}
	// Strokes are wider than the volume, which is as wide along each circle: what is
	// missed are the depths that are not shown, 3 mm above and 1.48 mm below.
	missed := 0.0
	for _, m := range tech.Groups[0].Coverage.Missed {
		missed += float64(m.Area)
	}
	area := func(from, to si.Length) float64 {
		const rows = 2000
		sum := 0.0
		for i := range rows {
			z := from + (to-from)*(si.Length(i)+0.5)/rows
			a, b := tech.Section.VolumeRow(z)
			sum += float64(b-a) * float64(tech.Section.Scale(z)) * float64(to-from) / rows
		}
		return sum
	}
	want := area(0, 3e-3) + area(16e-3-1.48e-3, 16e-3)
	// Rows that the limit cuts, of 0.04 mm, count as missed.
	if row := area(0, 16e-3) / coverage.DefaultRows; missed < want-1e-9 || missed > want+row {
		t.Errorf("missed %.3f mm², by rings %.3f mm²", missed*1e6, want*1e6)
	}
}

// Whatever is missing of such a job, what is left is computed, and no unknown
// number is stated of what was placed.
func TestUnknownFieldsOfASeamByHand(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(jobs, "girder-manual.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(seamByHand); i += 2 {
		text = bytes.ReplaceAll(text, []byte(seamByHand[i]), []byte(seamByHand[i+1]))
	}
	computed := 0
	for i := 0; ; i++ {
		changed, path := spoiled(t, text, i, "")
		if changed == nil {
			break
		}
		if !strings.HasPrefix(path, ".part.") && !strings.HasPrefix(path, ".groups.") && !strings.HasPrefix(path, ".equipment.single_probes.") {
			continue
		}
		func() {
			defer func() {
				if p := recover(); p != nil {
					t.Errorf("without %s: panic: %v", path, p)
				}
			}()
			job, _ := schema.Load("job.yaml", changed)
			if job == nil {
				return
			}
			for _, g := range Sketch(job).Groups {
				if g.Single == nil || len(g.Placements) == 0 {
					continue
				}
				computed++
				for _, w := range g.Single.Way {
					if !si.Known(w.Depth + w.Path + w.Along + w.PlateDepth + w.PlateAlong) {
						t.Errorf("without %s: %s states a place that is not known: %+v", path, g.Set.Name, w)
					}
				}
			}
		}()
	}
	if computed < 100 {
		t.Errorf("only %d groups were computed", computed)
	}
}
