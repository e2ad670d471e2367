package technique

import (
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Places of a ring are looked at here in its plane, where straight is straight:
// y is down, and the axis lies at (0, R).

type vec struct{ x, y float64 }

func (a vec) to(b vec) vec            { return vec{b.x - a.x, b.y - a.y} }
func (a vec) dot(b vec) float64       { return a.x*b.x + a.y*b.y }
func (a vec) length() float64         { return math.Hypot(a.x, a.y) }
func (a vec) unit() vec               { return vec{a.x / a.length(), a.y / a.length()} }
func (a vec) angle(b vec) float64     { return math.Acos(math.Min(1, a.unit().dot(b.unit()))) }
func (a vec) at(d vec, u float64) vec { return vec{a.x + u*d.x, a.y + u*d.y} }

func plane(s *geometry.Section, p geometry.Point) vec {
	q := s.True(p)
	return vec{float64(q.X), float64(q.Z)}
}

// fromInside is the shipped header with its probes in the bore.
var fromInside = []string{
	"surfaces: [top]", "surfaces: [top, bottom]", "    legs: [1, 2]\n", "    legs: [1, 2]\n    surface: bottom\n",
	"    legs: [2]\n", "    legs: [2]\n    surface: bottom\n", "contour: 508 mm", "contour: 476 mm",
}

const headerRadius, headerBore = 0.254, 0.238

// meetsCircle is onCircle about the axis of the header.
func meetsCircle(p, d vec, radius float64) vec {
	q := onCircle(vec{p.x, p.y - headerRadius}, d, radius)
	return vec{q.x, q.y + headerRadius}
}

// The array of a shaped wedge is straight and stiff, and stands as the wedge's
// dimensions say over the level that touches the surface where the ray from the
// middle of the array, square to it, enters the part.
func TestShapedWedgeInThePlane(t *testing.T) {
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside} {
		tech, _ := read(t, "header-seam", changes...)
		radius := headerRadius
		if name == "inside" {
			radius = headerBore
		}
		g := &tech.Groups[0]
		for _, p := range g.Placements {
			var e []vec
			for _, q := range p.Elements {
				e = append(e, plane(tech.Section, q))
			}
			along := e[0].to(e[31]).unit()
			for i := 1; i < len(e); i++ {
				if got := e[i-1].to(e[i]); math.Abs(got.length()-0.5e-3) > 1e-12 || math.Abs(got.unit().dot(along)-1) > 1e-9 {
					t.Fatalf("%s, side %s: elements %d and %d are %v apart, pitch 0.5 mm", name, p.Side, i, i+1, got)
				}
			}
			middle := vec{(e[0].x + e[31].x) / 2, (e[0].y + e[31].y) / 2}
			square := vec{-along.y, along.x}
			foot := plane(tech.Section, p.Front)
			if square.dot(middle.to(foot)) < 0 {
				square = vec{along.y, -along.x}
			}
			touch := meetsCircle(middle, square, radius)
			normal := vec{touch.x, touch.y - headerRadius}.unit() // away from the axis
			if name == "outside" {
				normal = vec{-normal.x, -normal.y} // into the part
			}
			if got := square.angle(normal); math.Abs(got-float64(36.1*si.Degree)) > 1e-9 {
				t.Errorf("%s, side %s: the square ray stands %.6f° from the normal, wedge 36.1°", name, p.Side, got*180/math.Pi)
			}
			level := vec{-normal.y, normal.x}
			if level.dot(touch.to(foot)) < 0 {
				level = vec{normal.y, -normal.x}
			}
			if got := -normal.dot(touch.to(e[0])); math.Abs(got-6e-3) > 1e-12 {
				t.Errorf("%s, side %s: element 1 is %.6f mm over the level", name, p.Side, got*1e3)
			}
			if got := level.dot(e[0].to(foot)); math.Abs(got-32e-3) > 1e-12 {
				t.Errorf("%s, side %s: the front is %.6f mm before element 1", name, p.Side, got*1e3)
			}
			if got := math.Abs(float64(p.Along(p.Front))); math.Abs(got-12e-3) > 1e-12 {
				t.Errorf("%s, side %s: the front stands %.6f mm along the surface, set to 12", name, p.Side, got*1e3)
			}
		}
	}
}

// The rays of the figures are refracted at the surface by their angle, and turned
// at the walls as by mirrors.
func TestRaysOfFigureInThePlane(t *testing.T) {
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside} {
		tech, _ := read(t, "header-seam", changes...)
		for _, p := range tech.Groups[0].Placements {
			for _, r := range p.Rays {
				var q []vec
				for _, at := range r.Points {
					q = append(q, plane(tech.Section, at))
				}
				if len(q) != 4 {
					t.Fatalf("%s: a ray of two legs has %d points", name, len(q))
				}
				inWedge, first := q[0].to(q[1]), q[1].to(q[2])
				normal := vec{0, headerRadius}.to(q[1])
				if name == "outside" {
					normal = q[1].to(vec{0, headerRadius})
				}
				if got := first.angle(normal); math.Abs(got-float64(r.Angle)) > 1e-9 {
					t.Errorf("%s: the ray of %.1f° is refracted to %.6f°", name, float64(r.Angle/si.Degree), got*180/math.Pi)
				}
				if got := math.Sin(inWedge.angle(normal)) / math.Sin(float64(r.Angle)); math.Abs(got-2330.0/3240) > 1e-9 {
					t.Errorf("%s: sines are as %.6f, speeds as %.6f", name, got, 2330.0/3240)
				}
				wall := vec{0, headerRadius}.to(q[2])
				if in, out := first.angle(wall), q[2].to(q[3]).angle(wall); math.Abs(in-(math.Pi-out)) > 1e-9 {
					t.Errorf("%s: met at %.6f° and left at %.6f° from the wall's normal", name, in*180/math.Pi, out*180/math.Pi)
				}
			}
		}
	}
}

// Beams without focus leave as plane waves of the wedge, square to the central
// ray; beams with one bring all elements together at it, each by the way of least
// time over the circle.
func TestDelaysAroundPipe(t *testing.T) {
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside} {
		tech, _ := read(t, "header-seam", changes...)
		g := &tech.Groups[0]
		p := &g.Placements[0]
		elements := func(law Law) (e []vec, middle vec) {
			for i := range law.Delays {
				e = append(e, plane(tech.Section, p.Elements[law.First-1+i]))
			}
			a, b := e[0], e[len(e)-1]
			return e, vec{(a.x + b.x) / 2, (a.y + b.y) / 2}
		}
		exit := func(law Law) vec {
			return plane(tech.Section, geometry.Point{X: p.Front.X - law.Exit/si.Length(p.Scale), Z: p.Front.Z})
		}
		for _, law := range g.Laws {
			e, middle := elements(law)
			ray := middle.to(exit(law)).unit()
			if got := float64(law.WedgePath); math.Abs(got-middle.to(exit(law)).length()) > 1e-9 {
				t.Errorf("%s: path in the wedge %v, in the plane %v", name, got, middle.to(exit(law)).length())
			}
			for i, d := range law.Delays {
				front := float64(d) - e[i].dot(ray)/2330
				if first := float64(law.Delays[0]) - e[0].dot(ray)/2330; math.Abs(front-first) > 1e-13 || d < 0 {
					t.Fatalf("%s, %.0f°: element %d is %.3g s off the plane wave", name, float64(law.Angle/si.Degree), i+1, front-first)
				}
			}
		}

		focused, _ := read(t, "header-seam", append([]string{"focus: {none: true}", "focus: {path: 14 mm}"}, changes...)...)
		g, p = &focused.Groups[0], &focused.Groups[0].Placements[0]
		radius := headerRadius
		if name == "inside" {
			radius = headerBore
		}
		for _, law := range g.Laws {
			e, middle := elements(law)
			at := exit(law)
			// The refracted ray, by its angle from the normal, away from the array.
			normal := vec{at.x, at.y - headerRadius}.unit()
			if name == "outside" {
				normal = vec{-normal.x, -normal.y}
			}
			along := vec{-normal.y, normal.x}
			if along.dot(middle.to(at)) < 0 {
				along = vec{normal.y, -normal.x}
			}
			sin, cos := math.Sincos(float64(law.Angle))
			focus := at.at(vec{cos*normal.x + sin*along.x, cos*normal.y + sin*along.y}, 14e-3)
			first := 0.0
			for i, d := range law.Delays {
				time := leastTime(e[i], focus, radius)
				if i == 0 {
					first = time + float64(d)
				}
				if math.Abs(time+float64(d)-first) > 1e-12 {
					t.Fatalf("%s, %.0f°: element %d comes to the focus %.3g s late", name, float64(law.Angle/si.Degree), i+1, time+float64(d)-first)
				}
			}
		}
	}
}

// leastTime is that of the way over the surface from an element to a place, by
// narrowing down on where it crosses.
func leastTime(from, to vec, radius float64) float64 {
	phi := func(p vec) float64 { return math.Atan2(p.x, headerRadius-p.y) }
	return leastBetween(from, to, radius, math.Min(phi(from), phi(to)), math.Max(phi(from), phi(to)))
}

// leastBetween is that of a way that crosses the surface between two angles about
// the axis.
func leastBetween(from, to vec, radius, low, high float64) float64 {
	time := func(phi float64) float64 {
		sin, cos := math.Sincos(phi)
		c := vec{radius * sin, headerRadius - radius*cos}
		return from.to(c).length()/2330 + c.to(to).length()/3240
	}
	golden := (math.Sqrt(5) - 1) / 2
	for range 100 {
		a, b := high-golden*(high-low), low+golden*(high-low)
		if time(a) < time(b) {
			high = b
		} else {
			low = a
		}
	}
	return time((low + high) / 2)
}

// Rows P148, P149 and P151 of the published cases, and a pipe from inside by
// hand: R 254, r 238, 60°: sin γ = 238/254 sin 60° = 0.811473, γ 54.240°; √(254² −
// 206.114²) − 119 = 29.435; arc 238 (60° − 54.240°) = 23.926.
func TestBeamsAroundPipe(t *testing.T) {
	small := func(diameter, thickness string) []string {
		return []string{
			"outside_diameter: 508 mm", "outside_diameter: " + diameter, "  thickness: 16 mm", "  thickness: " + thickness, "contour: 508 mm", "contour: " + diameter,
			"upper_depth: 8 mm", "upper_depth: 4 mm", "{from: 45 deg, to: 66 deg", "{from: 45 deg, to: 60 deg", "cap: {condition: as-welded, width: 15 mm", "cap: {condition: as-welded, width: 10 mm",
		}
	}
	inside := append([]string{"{from: 45 deg, to: 66 deg", "{from: 45 deg, to: 60 deg"}, fromInside...)
	for _, c := range []struct {
		source  string
		changes []string
		id      string
		want    float64 // mm, degrees
		by      float64
	}{
		{"P148", small("219.1 mm", "12.7 mm"), "round.from.wall_angle", 53.114, 0.001},
		{"P148", small("219.1 mm", "12.7 mm"), "round.from.path", 19.332, 0.001},
		{"P148", small("219.1 mm", "12.7 mm"), "round.from.half_skip", 15.514, 0.001},
		{"P149", small("219.1 mm", "12.7 mm"), "round.to.wall_angle", 78.404, 0.001},
		{"P149", small("219.1 mm", "12.7 mm"), "round.to.path", 35.307, 0.001},
		{"P149", small("219.1 mm", "12.7 mm"), "round.to.half_skip", 35.188, 0.001},
		{"asin(1 − 25.4/219.1)", small("219.1 mm", "12.7 mm"), "reach_angle", 62.137, 0.001},
		{"35.307 / 25.4 − 1", small("219.1 mm", "12.7 mm"), "round.to.excess", 0.3900, 0.0001},
		{"P145", small("219.1 mm", "12.7 mm"), "round.to.wall_limit", 0.0670, 0.0001},
		{"P151", append(small("114.3 mm", "8.56 mm"), "legs: [1, 2]", "legs: [1]", "legs: [2]", "legs: [1]"), "round.to.turn", 7.657, 0.002},
		{"by hand", inside, "round.to.wall_angle", 54.240, 0.001},
		{"by hand", inside, "round.to.path", 29.435, 0.001},
		{"by hand", inside, "round.to.half_skip", 23.926, 0.001},
	} {
		tech, found := read(t, "header-seam", c.changes...)
		v, ok := tech.Value("groups.direct." + c.id)
		if !ok {
			t.Errorf("%s: there is no %s: %v %v", c.source, c.id, found, tech.Findings)
			continue
		}
		got := v.Q.SI
		switch v.Q.Kind {
		case si.KindLength:
			got *= 1e3
		case si.KindAngle:
			got *= 180 / math.Pi
		}
		if math.Abs(got-c.want) > c.by {
			t.Errorf("%s: %s is %.5f, expected %.5f", c.source, c.id, got, c.want)
		}
	}
}

// A pipe so large that it is nearly flat is covered as a plate is.
func TestLargePipeIsNearlyPlate(t *testing.T) {
	pipe, _ := read(t, "header-seam", "outside_diameter: 508 mm", "outside_diameter: 10 m", "contour: 508 mm", "contour: 10 m")
	plate, _ := read(t, "header-seam", "kind: pipe", "kind: plate", "  outside_diameter: 508 mm\n", "", "    seam: longitudinal\n", "")
	for i, g := range pipe.Groups {
		a, b := float64(g.Coverage.Share), float64(plate.Groups[i].Coverage.Share)
		if math.Abs(a-b) > 0.015 {
			t.Errorf("group %s reaches %.4f around a pipe of 10 m, and %.4f in a plate", g.Set.Name, a, b)
		}
		for j, law := range g.Laws {
			other := plate.Groups[i].Laws[j]
			for k, d := range law.Delays {
				if math.Abs(float64(d-other.Delays[k])) > 3e-9 {
					t.Fatalf("delay %v, in a plate %v", d, other.Delays[k])
				}
			}
			if math.Abs(float64(law.Exit-other.Exit)) > 0.1e-3 || math.Abs(float64(law.Path/other.Path)-1) > 0.02 {
				t.Errorf("%v°: exit %v and path %v, in a plate %v and %v", law.Angle/si.Degree, law.Exit, law.Path, other.Exit, other.Path)
			}
		}
	}
}

// What cannot be around a pipe is said where the job asks for it, and what is not
// computed is left out.
func TestWhatIsNotAroundPipe(t *testing.T) {
	steep, _ := read(t, "header-seam", "{from: 45 deg, to: 66 deg", "{from: 70 deg, to: 72 deg")
	long, _ := read(t, "header-seam", "outside_diameter: 508 mm", "outside_diameter: 100 mm", "contour: 508 mm", "contour: 100 mm", "  length: 45 mm", "  length: 99 mm", "front_distance: 32 mm", "front_distance: 60 mm",
		"{from: 45 deg, to: 66 deg", "{from: 30 deg, to: 40 deg")
	if !slices.ContainsFunc(long.Findings, func(f diag.Finding) bool { return f.Rule == "wedge-off-pipe" && f.At.Line > 0 }) {
		t.Errorf("a wedge too long for its pipe: %v", long.Findings)
	}
	small, _ := read(t, "header-seam", "outside_diameter: 508 mm", "outside_diameter: 40 mm", "contour: 508 mm", "contour: 50 mm", "cap: {condition: as-welded, width: 15 mm", "cap: {condition: as-welded, width: 11 mm")
	if !slices.ContainsFunc(small.Findings, func(f diag.Finding) bool { return f.Rule == "joint-off-pipe" && f.At.Line > 0 }) {
		t.Errorf("a joint that the pipe is too small for: %v", small.Findings)
	}
	unknown, _ := read(t, "header-seam", "seam: longitudinal", "seam: lengthwise")
	if unknown.Section.Known() || len(unknown.Groups[0].Placements) > 0 {
		t.Error("it is not known how the weld runs, and something is computed of it")
	}
	told := 0
	for _, f := range steep.Findings {
		if f.Rule == "never-reaches-wall" && strings.HasSuffix(f.Path, ".angles.from") && f.At.Line > 0 {
			told++
		}
	}
	if told != 2 {
		t.Errorf("%d groups are told that no beam reaches the inner wall", told)
	}
	tech, _ := read(t, "header-seam")
	for _, v := range tech.Values {
		for _, flat := range []string{"near_field", ".disc", "transfer_distance"} {
			if strings.Contains(v.ID, flat) {
				t.Errorf("%s is stated of a ring", v.ID)
			}
		}
	}
	width, ok := tech.Value("groups.direct.width_overlap")
	if got, known := (&sheet{Technique: tech}).factsOf(&tech.Groups[0])["group.beam_overlap"].(si.Quantity); !ok || !known || got.SI != width.Q.SI {
		t.Errorf("rules are asked of an overlap of %v, by the widths %v", got, width.Q)
	}
	flat, _ := read(t, "header-seam", "      diameter: 508 mm\n", "")
	if _, stated := flat.Value("groups.direct.gain_span"); stated {
		t.Error("a gain is stated on a block of which it is not known how it is curved")
	}
}

// The gap under a wedge lies along the beam here: the sagitta of 45 mm on a
// circle, by hand 254 − √(254² − 22.5²) = 0.9985 mm, and from inside 238 − √(238² −
// 22.5²) = 1.0660 mm.
func TestGapUnderWedgeAroundPipe(t *testing.T) {
	for _, c := range []struct {
		changes []string
		mm      float64
	}{
		{[]string{"      contour: 508 mm\n", ""}, 0.9985},
		{append(append([]string{}, fromInside[:len(fromInside)-2]...), "      contour: 508 mm\n", ""), 1.0660},
		{fromInside[:len(fromInside)-2], 0.0675}, // shaped for the outside, and used in the bore
	} {
		tech, _ := read(t, "header-seam", c.changes...)
		v, ok := tech.Value("groups.direct.wedge_gap")
		if !ok || math.Abs(v.Q.SI*1e3-c.mm) > 0.0001 {
			t.Errorf("gap %.4f mm, by hand %.4f", v.Q.SI*1e3, c.mm)
		}
	}
}

// imaged is the shipped header with one tfm group in place of its own.
func imaged(t *testing.T, far string, changes ...string) *Technique {
	text, err := os.ReadFile(filepath.Join(jobs, "header-seam.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	_, groups, _ := strings.Cut(string(text), "groups:\n")
	groups, _, _ = strings.Cut(groups, "reference:\n")
	tech, found := read(t, "header-seam", append([]string{groups, `  image:
    method: tfm
    purpose: All of it
    probe: P4-32
    wedge: W55-508
    wedge_front: 14 mm
    path: TT-T
    region: {near: 20 mm, far: ` + far + `, top: 0 mm, bottom: 16 mm}
    grid: 0.1 mm
    transmission: {scheme: full-matrix}

`}, changes...)...)
	if len(changes) == 0 && len(found) > 0 {
		t.Fatal(found)
	}
	return tech
}

// An image whose region ends where no ray comes is recorded as long as one whose
// region ends before.
func TestImageAroundPipe(t *testing.T) {
	near, far := imaged(t, "20 mm"), imaged(t, "90 mm")
	a, b := near.Groups[0].Load.TimeOfFlight, far.Groups[0].Load.TimeOfFlight
	if !(a > 30e-6 && b >= a) {
		t.Errorf("the image to 20 mm takes %v s, that to 90 mm %v s", a, b)
	}
	if share := near.Groups[0].Coverage.Share; !(share > 0.3 && share < 1) {
		t.Errorf("the image reaches %v of the volume", share)
	}
}

// The width along the sound is the narrowest through a point. It is found in the
// plane of the section by the sum over all pairs: 32 elements where the figure has
// them, 4 MHz and 60 % of it as bandwidth, the way out over the bore, each time the
// least over the places where the surface is crossed and the bore is met. Elements
// count alike here, which changes a width along the sound by little.
func TestImageOfAPointInThePlane(t *testing.T) {
	tech := imaged(t, "20 mm")
	g := &tech.Groups[0]
	if g.Study == nil || len(g.Study.Points) < 3 {
		t.Fatalf("studied as %+v", g.Study)
	}
	var array []vec
	for _, e := range g.Placements[0].Elements {
		array = append(array, plane(tech.Section, e))
	}
	onBore := func(phi float64) vec {
		return vec{headerBore * math.Sin(phi), headerRadius - headerBore*math.Cos(phi)}
	}
	overBore := func(from, to vec) float64 {
		a, b := math.Atan2(from.x, headerRadius-from.y), math.Atan2(to.x, headerRadius-to.y)
		for range 40 {
			p, q := a+0.381966*(b-a), a+0.618034*(b-a)
			if leastTime(from, onBore(p), headerRadius)+onBore(p).to(to).length()/3240 < leastTime(from, onBore(q), headerRadius)+onBore(q).to(to).length()/3240 {
				b = q
			} else {
				a = p
			}
		}
		return leastTime(from, onBore(a), headerRadius) + onBore(a).to(to).length()/3240
	}
	for _, p := range g.Study.Points[:2] {
		at := plane(tech.Section, p.At)
		// Times near the point are those of a quadratic form through nine of them: over
		// a third of a wavelength they curve by little.
		const h = 0.25e-3
		form := func(time func(vec) float64) func(u vec) float64 {
			var v [3][3]float64
			for i := range v {
				for k := range v[i] {
					v[i][k] = time(vec{at.x + h*float64(i-1), at.y + h*float64(k-1)})
				}
			}
			return func(u vec) float64 {
				x, y := u.x/h, u.y/h
				return x*(v[2][1]-v[0][1])/2 + y*(v[1][2]-v[1][0])/2 + x*x*(v[2][1]+v[0][1]-2*v[1][1])/2 +
					y*y*(v[1][2]+v[1][0]-2*v[1][1])/2 + x*y*(v[2][2]+v[0][0]-v[2][0]-v[0][2])/4
			}
		}
		var out, back []func(vec) float64
		for _, e := range array {
			out = append(out, form(func(r vec) float64 { return overBore(e, r) }))
			back = append(back, form(func(r vec) float64 { return leastTime(e, r, headerRadius) }))
		}
		shown := func(u vec) float64 {
			var sum complex128
			for _, a := range out {
				for _, b := range back {
					late := a(u) + b(u)
					x := math.Pi * 0.6 * 4e6 * late / math.Sqrt(2*math.Ln2) / math.Sqrt2
					sum += cmplx.Rect(math.Exp(-x*x), 2*math.Pi*4e6*late)
				}
			}
			return cmplx.Abs(sum) / 32 / 32
		}
		narrowest := narrowestLobe(0.5e-3, func(x, z float64) float64 { return shown(vec{x, z}) })
		if math.Abs(float64(p.Along)/narrowest-1) > 0.015 {
			t.Errorf("%s: %.4f mm along the sound, narrowest by pairs %.4f", p.Place, p.Along*1e3, narrowest*1e3)
		}
	}
	for _, id := range []string{"artefact_beside", "artefact_away", "grid_loss_point"} {
		if v, ok := tech.Value("groups.image." + id); !ok {
			t.Errorf("%s is not stated: %v", id, v)
		}
	}
}

// Two rays a little to both sides of one of the figure are refracted and mirrored
// as vectors in the plane, and their distance square to it is measured.
func TestTubeOfRaysInThePlane(t *testing.T) {
	const half = 1e-6
	unit := func(circle vec) vec { return vec{0, headerRadius}.to(circle).unit() }
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside} {
		tech, _ := read(t, "header-seam", changes...)
		g := &tech.Groups[0]
		near, far := headerRadius, headerBore
		if name == "inside" {
			near, far = far, near
		}
		st := g.stand(g.Set.WedgeFront)
		for _, r := range g.Placements[0].Rays {
			var q []vec
			for _, at := range r.Points {
				q = append(q, plane(tech.Section, at))
			}
			trace := func(turn float64) (first, second, down, up vec) {
				d := q[0].to(q[1]).unit()
				sin, cos := math.Sincos(turn)
				d = vec{d.x*cos - d.y*sin, d.x*sin + d.y*cos}
				at := meetsCircle(q[0], d, near)
				n := unit(at)
				if d.dot(n) < 0 {
					n = vec{-n.x, -n.y}
				}
				along := vec{d.x - d.dot(n)*n.x, d.y - d.dot(n)*n.y}
				along = vec{along.x * 3240 / 2330, along.y * 3240 / 2330}
				d = along.at(n, math.Sqrt(1-along.dot(along)))
				first = meetsCircle(at, d, far)
				n = unit(first)
				up = d.at(n, -2*d.dot(n))
				return first, meetsCircle(first, up, near), d, up
			}
			a1, a2, a3, a4 := trace(-half)
			b1, b2, b3, b4 := trace(half)
			turns := [][2]vec{{a3, b3}, {a4, b4}}
			for leg, ends := range [][2]vec{{a1, b1}, {a2, b2}} {
				way, apart := q[leg+1].to(q[leg+2]).unit(), ends[0].to(ends[1])
				want := math.Abs(apart.x*way.y-apart.y*way.x) / (2 * half)
				z := si.Length(0)
				if leg == 0 {
					z = tech.Section.Thickness
				}
				// Across the section nothing turns the rays: each piece counts by its speed.
				path := q[1].to(q[2]).length()
				if leg == 1 {
					path += q[2].to(q[3]).length()
				}
				want = math.Sqrt(want * (q[0].to(q[1]).length() + path*3240/2330))
				if got := float64(st.over(leg+1).Leave(st.centre(), r.Angle).Spread(leg+1, z)); math.Abs(got/want-1) > 1e-4 {
					t.Errorf("%s, %v°, leg %d: a spread as over %.6f m, in the plane %.6f", name, r.Angle/si.Degree, leg+1, got, want)
				}
				a, b := turns[leg][0], turns[leg][1]
				turned := math.Abs(a.x*b.y-a.y*b.x) / (2 * half)
				if _, got := st.wavefront(r.Angle, leg+1, z); math.Abs(got-turned) > 1e-4*turned {
					t.Errorf("%s, %v°, leg %d: rays turned by %.6f a radian, in the plane %.6f", name, r.Angle/si.Degree, leg+1, got, turned)
				}
			}
		}
	}
}

// At another temperature the delays of a law stay. In the plane, with the warm
// velocities, the two elements beside the middle of the aperture must then be in
// step far along the beam that is stated; and the exit point has moved as far as
// the places lie apart at which rays of the middle angle enter. Steps of 5e-11 s
// between the elements are 0.01°.
func TestWarmBeamsAroundPipe(t *testing.T) {
	for name, changes := range map[string][]string{"outside": nil, "inside": fromInside} {
		tech, _ := read(t, "header-seam", changes...)
		g, radius, inwards := &tech.Groups[0], headerRadius, -1.0
		if name == "inside" {
			radius, inwards = headerBore, 1
		}
		p, law := &g.Placements[0], g.Laws[len(g.Laws)-1]
		n := len(law.Delays) / 2
		e := []vec{plane(tech.Section, p.Elements[law.First-2+n]), plane(tech.Section, p.Elements[law.First-1+n])}
		middle := vec{(e[0].x + e[1].x) / 2, (e[0].y + e[1].y) / 2}
		on := func(phi float64) vec { return vec{radius * math.Sin(phi), headerRadius - radius*math.Cos(phi)} }
		// enters halves on the place at which the ray from the middle is refracted to an
		// angle, and returns the way onwards.
		enters := func(angle, cw, c float64) (phi float64, onwards vec) {
			low, high := -0.2, 0.2
			for range 100 {
				phi = (low + high) / 2
				at := on(phi)
				normal := vec{inwards * at.x, inwards * (at.y - headerRadius)}.unit()
				along := vec{math.Cos(phi), math.Sin(phi)}
				sin, cos := math.Sincos(angle * math.Pi / 180)
				onwards = vec{cos*normal.x + sin*along.x, cos*normal.y + sin*along.y}
				if middle.to(at).unit().dot(along)*c/cw > sin {
					high = phi
				} else {
					low = phi
				}
			}
			return phi, onwards
		}
		const id = "groups.direct.temperature.high."
		cw, c := value(t, tech, id+"wedge_velocity"), value(t, tech, id+"part_velocity")
		phi, onwards := enters(value(t, tech, id+"steepest"), cw, c)
		to := on(phi).at(onwards, 10e-3)
		time := func(from vec) float64 {
			least := math.Inf(1)
			for u := -2e-3; u <= 2e-3; u += 1e-6 {
				q := on(phi + u/radius)
				least = math.Min(least, from.to(q).length()/cw+q.to(to).length()/c)
			}
			return least
		}
		if late := float64(law.Delays[n-1]-law.Delays[n]) + time(e[0]) - time(e[1]); math.Abs(late) > 5e-11 {
			t.Errorf("%s: neighbours come %.3g s apart", name, late)
		}
		angle := value(t, tech, "groups.direct.middle_angle")
		before, _ := enters(angle, 2330, 3240)
		now, _ := enters(angle, cw, c)
		closeTo(t, name+", exit point", value(t, tech, id+"exit"), (now-before)*radius*1e3, 1e-6)
	}
}
