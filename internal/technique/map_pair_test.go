package technique

import (
	"math"
	"testing"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// The map of a pair is that of what it covers, alike on both sides of the middle,
// 0 dB where the axes cross, and no part of what the maps of echoes say together.
func TestMapOfAPair(t *testing.T) {
	tech, _ := read(t, "drum-tofd")
	m := mapped(t, tech, "timing")
	g := &tech.Groups[0]
	places, row := 0, 0
	nearest := si.Length(math.Inf(1))
	m.Hole.places(func(j, k int) {
		places++
		if a, b := m.Hole.at(j, k), m.Hole.at(j, -k); math.Abs(float64(a-b)) > 1e-3 {
			t.Fatalf("%.3f dB at row %d, column %d, and %.3f dB opposite", a, j, k, b)
		}
		if away := m.Hole.place(j, k).Z - g.Pair.Crossing; si.Length(math.Abs(float64(away))) < nearest {
			nearest, row = si.Length(math.Abs(float64(away))), j
		}
	})
	if places < 100 {
		t.Errorf("only %d places", places)
	}
	// Half a row, 0.8 mm, beside the crossing.
	if x := m.Hole.at(row, 0); math.Abs(float64(x)) > 0.3 {
		t.Errorf("%.2f dB beside the crossing of the axes", x)
	}
	least, _ := tech.Value("groups.timing.map.least")
	together, _ := tech.Value("map.least")
	if !(least.Q.SI < together.Q.SI) || m.Face != "" || len(m.Faces) > 0 {
		t.Errorf("the pair's smallest %.2f dB, all groups' %.2f dB: the two are no like things", least.Q.SI, together.Q.SI)
	}
}

// Plane waves have a map.
func TestMapOfPlaneWaves(t *testing.T) {
	tech, _ := read(t, "vessel-seam", "transmission: {scheme: every-nth, n: 3}\n    store: matrix\n  skip", "transmission: {scheme: plane-wave, from: 45 deg, to: 70 deg, count: 11}\n    store: matrix\n  skip")
	all, _ := read(t, "vessel-seam")
	waves, matrix := mapped(t, tech, "direct"), mapped(t, all, "direct")
	// The waves pass the middle of what is reached; at its edges fewer do.
	better := 0
	waves.Hole.places(func(j, k int) {
		if x := waves.Hole.at(j, k); si.Known(matrix.Hole.at(j, k)) && x > matrix.Hole.at(j, k)+3 {
			better++
		}
	})
	if better > 0 {
		t.Errorf("%d places are shown better by plane waves than by all elements", better)
	}
}

// Around a pipe the same, worked out anew in the plane: rays as vectors, refracted
// at the surface by Snell's law; how far two of them come apart that leave a little
// to both sides; Bessel's function for what the round element sends. The places are
// those of the map, a few of them.
func TestMapOfAPairAroundPipeInThePlane(t *testing.T) {
	tech, _ := read(t, "header-seam", timedRing...)
	if len(tech.Groups[0].Omitted) > 0 {
		t.Errorf("left out: %v", tech.Groups[0].Omitted)
	}
	mapOfAPairInThePlane(t, tech, headerRadius)
}

func TestMapOfAPairInTheBoreInThePlane(t *testing.T) {
	tech, _ := read(t, "header-seam", timedBore...)
	mapOfAPairInThePlane(t, tech, -headerBore)
}

// mapOfAPairInThePlane has the scanned surface at y = 0 midway and the metal below
// it, at y > 0: the axis lies at y = radius, over the bore at less than 0.
func mapOfAPairInThePlane(t *testing.T, tech *Technique, radius float64) {
	t.Helper()
	m := mapped(t, tech, "timing")
	const cw, c, path, diameter, lambda = 2400.0, 5920.0, 3.1e-6 * 2400, 3e-3, 2400 / 10e6
	phi := 0.03 / radius
	exit := vec{-radius * math.Sin(phi), radius * (1 - math.Cos(phi))}
	into := func(p vec) vec { return vec{-p.x / radius, (radius - p.y) / radius} }
	inward := into(exit)
	onward := vec{inward.y, -inward.x}
	sin, cos := math.Sincos(math.Asin(cw / c * math.Sin(70*math.Pi/180)))
	axis := vec{cos*inward.x + sin*onward.x, cos*inward.y + sin*onward.y}
	source := exit.at(axis, -path)
	leave := func(turn float64) (at, way vec) { // where a ray enters, and how it goes on
		s, k := math.Sincos(turn)
		d := vec{axis.x*k - axis.y*s, axis.x*s + axis.y*k}
		at = meetsCircle(vec{source.x, source.y + headerRadius - radius}, d, math.Abs(radius))
		at.y -= headerRadius - radius
		n := into(at)
		along := vec{(d.x - d.dot(n)*n.x) * c / cw, (d.y - d.dot(n)*n.y) * c / cw}
		return at, along.at(n, math.Sqrt(1-along.dot(along)))
	}
	last := 0.0 // that still enters, a little past the axis
	for _, way := leave(last - 1e-6); !math.IsNaN(way.x); _, way = leave(last - 1e-6) {
		last -= 1e-6
	}
	off := func(turn float64, p vec) float64 { // how far a ray passes beside a place
		at, way := leave(turn)
		to := at.to(p)
		return to.x*way.y - to.y*way.x
	}
	amplitude := func(p vec) float64 {
		low, high := 0.35, last // from steep to what still enters
		for range 100 {
			if middle := (low + high) / 2; (off(middle, p) > 0) == (off(low, p) > 0) {
				low = middle
			} else {
				high = middle
			}
		}
		at, _ := leave(low)
		tube := math.Abs(off(low+1e-6, p)-off(low-1e-6, p)) / 2e-6
		across := source.to(at).length() + at.to(p).length()*c/cw
		x := math.Pi * diameter * math.Abs(math.Sin(low)) / lambda
		return math.Abs(2*math.J1(x)/x) / math.Sqrt(tube*across)
	}
	at := func(p geometry.Point, side float64) vec {
		q := plane(tech.Section, p)
		if radius < 0 {
			q.y = headerRadius - headerBore - q.y
		}
		return vec{side * q.x, q.y}
	}
	crossing, _ := tech.Value("groups.timing.crossing")
	reference := amplitude(vec{0, crossing.Q.SI})
	compared := 0
	m.Hole.places(func(j, k int) {
		// From the bore, columns of the section lie between those of the probe: at the
		// ends of a row there is but one beside.
		if radius < 0 && !si.Known(m.Hole.at(j, k-1)+m.Hole.at(j, k+1)) {
			return
		}
		p := m.Hole.place(j, k)
		got := float64(m.Hole.at(j, k))
		want := 20 * math.Log10(amplitude(at(geometry.Point(p), 1))*amplitude(at(geometry.Point(p), -1))/(reference*reference))
		if compared++; math.Abs(got-want) > 0.1 && want > -24 {
			t.Errorf("at %v: %.3f dB, in the plane %.3f", p, got, want)
		}
	})
	if compared < 60 {
		t.Errorf("only %d places are compared", compared)
	}
}
