package technique

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/imaging"
	"soundwrit/internal/si"
)

// Shown is how the image of a tfm group shows a point.
type Shown struct {
	ID    string         // part of the values' ids: groups.<group>.image.<id>.along and so on
	Place string         // in words
	At    geometry.Point // in the section
	imaging.Spread
}

// Study is how the image of a tfm group shows points from one of its sides.
type Study struct {
	Side      string
	Points    []Shown // the middle of what the group reaches first
	Converted bool    // one kind of wave meets the point, the other is heard
	imaging.Artefact
	Against imaging.Artefact // with all elements firing
}

const lobeFormula = "between the points at which the envelope of the point response is half its peak"

const imagingSource = "own computation of the point response: A-scans of Gaussian pulses of a point that sends back alike in all directions, added up as the image does; elements send as strips, interfaces, grain and other paths left out; C. Holmes, B. Drinkwater, P. Wilcox, NDT&E International 38 (2005) 701"

// images studies how the tfm groups show a point. The group whose ways to
// transmit are compared is studied for each of them. A job that has errors is
// not written, and goes without: the study takes longest of all.
func (s *sheet) images() {
	seen := make([]look, len(s.Groups))
	var looks sync.WaitGroup
	studied := func(g *Group) bool { return g.Set.Method == "tfm" && len(g.Placements) > 0 }
	for i := range s.Groups {
		if g := &s.Groups[i]; studied(g) && !s.Job.Partial {
			looks.Go(func() { seen[i] = s.look(g) })
		}
	}
	looks.Wait()
	for i := range s.Groups {
		if g := &s.Groups[i]; studied(g) {
			if seen[i].artefacts != nil {
				s.study(g, seen[i])
			}
			s.gridLoss(g)
		}
	}
}

// image is the image of a group as its array sees the part.
func (s *sheet) image(g *Group) *imaging.Image {
	st, r := g.stand(g.Set.WedgeFront), g.Set.Region
	im := &imaging.Image{
		Pulse: imaging.Pulse{Frequency: g.Probe.Frequency, Bandwidth: g.Probe.Bandwidth},
		Array: imaging.Array{Tilt: g.Wedge.Angle, Width: g.Probe.Pitch - g.Probe.Gap, Level: st.level()},
		From:  imaging.Point{X: -r.Near, Z: r.Top}, To: imaging.Point{X: r.Far, Z: r.Bottom},
	}
	im.Out, im.Back = g.ways()
	im.Array.Elements = st.active(1)
	return im
}

// look is how the image of a group shows points, by each way to transmit that
// is compared: the first is all elements, own the group's.
type look struct {
	study     Study
	artefacts []imaging.Artefact // nil where no main lobe is known
	index     map[int]int        // of the artefacts, by n of every n-th element
	own       int
}

// look computes main lobes and artefacts. It only reads what was computed
// before, so that groups are looked at side by side.
func (s *sheet) look(g *Group) look {
	im := s.image(g)
	met, heard := im.Out.Legs[len(im.Out.Legs)-1], im.Back.Legs[len(im.Back.Legs)-1]
	seen := look{study: Study{Side: g.Placements[0].Side, Converted: met != heard}, index: map[int]int{1: 0}}
	f := frameOf(s.Section, seen.study.Side, g.Set.Surface, g.Set.WedgeFront)
	for _, p := range s.places(g, f) {
		local := f.seen(p.At)
		p.Spread = im.Spread(imaging.Point{X: local.X, Z: local.Z}, g.transmission(f.local(s.Section), local))
		seen.study.Points = append(seen.study.Points, p)
	}
	if !slices.ContainsFunc(seen.study.Points, func(p Shown) bool { return si.Known(p.Area) }) {
		return seen
	}
	middle := f.seen(seen.study.Points[0].At)
	// All elements first, then the group's own, then the alternatives; half a
	// matrix shows what the whole one does, since sender and receiver may be
	// exchanged.
	sent := []imaging.Transmission{imaging.Every(1, active(g))}
	for n := 2; n <= active(g); n++ {
		if n == g.every() || g.Set.Name == s.Speed.Compared && slices.ContainsFunc(s.Speed.Alternatives, func(a Alternative) bool { return a.Every == n }) {
			seen.index[n] = len(sent)
			sent = append(sent, imaging.Every(n, active(g)))
		}
	}
	seen.own = seen.index[g.every()]
	if len(g.waves()) > 0 {
		seen.own = len(sent)
		sent = append(sent, g.transmission(f.local(s.Section), middle))
	}
	seen.artefacts = im.Artefacts(imaging.Point{X: middle.X, Z: middle.Z}, sent)
	return seen
}

// study states what was seen of a group, and of the ways to transmit.
func (s *sheet) study(g *Group, seen look) {
	study, artefacts, index, own := seen.study, seen.artefacts, seen.index, seen.own
	id := "groups." + g.Set.Name + "."
	s.share(id+"bandwidth", "b", "bandwidth of the pulse at −6 dB, over the frequency", g.Probe.Bandwidth, given())
	for _, p := range study.Points {
		s.shownValues(id, &p)
	}
	study.Against, study.Artefact = artefacts[0], artefacts[own]
	s.artefactValues(id, "", study.Artefact)
	if rise := study.rise(); own != 0 && si.Known(rise) {
		s.gain(id+"artefact_rise", "ΔG", "by how much the responses outside the main lobe exceed those with all elements firing, the larger of both zones", rise, how{
			formula: "ΔG = the larger of the differences of G_8 and of G_12", side: si.Up, source: imagingSource})
	}
	if noise := s.noise(g); si.Known(noise) {
		s.gain(id+"noise", "Δ_SNR", "signal to electronic noise against all elements firing", noise, how{
			formula: "10 log₁₀(n_t / n), or −10 log₁₀(2 − 1/n) for the half matrix", inputs: []string{id + "elements_firing", id + "active_elements"},
			source: "averaging of independent noise; grain noise does not follow it"})
	}
	g.Study = &study
	if g.Set.Name != s.Speed.Compared {
		return
	}
	for i := range s.Speed.Alternatives {
		a := &s.Speed.Alternatives[i]
		if a.Image = &artefacts[index[a.Every]]; a.Waves > 0 {
			a.Image = &artefacts[own]
		}
		id := "scan.alternatives." + alternativeID(*a) + "."
		if si.Known(a.Image.Across) {
			s.width(id+"across", "b_q", "width across the sound", a.Image.Across, how{of: study.Points[0].Place + ": " + a.Name,
				formula: lobeFormula, source: imagingSource})
		}
		s.artefactValues(id, a.Name, *a.Image)
	}
}

// rise is the larger of the differences of both zones, as far as they are known.
func (s *Study) rise() si.Decibel {
	beside, away := s.Beside-s.Against.Beside, s.Away-s.Against.Away
	switch {
	case !si.Known(beside):
		return away
	case !si.Known(away):
		return beside
	}
	return max(beside, away)
}

func (s *sheet) shownValues(id string, p *Shown) {
	if !si.Known(p.Area) {
		return
	}
	at := id + "image." + p.ID + "."
	lobe := how{of: p.Place, formula: lobeFormula, inputs: []string{id + "wavelength", id + "bandwidth"}, source: imagingSource}
	s.width(at+"along", "b_s", "width along the sound", p.Along, lobe)
	s.width(at+"across", "b_q", "width across the sound", p.Across, lobe)
	s.ratio(at+"area", "A_6/λ²", "area above half the peak over the wavelength squared", p.Area, how{of: p.Place,
		formula: "½ ∮ r² dφ / λ² of the outline at half the peak", inputs: []string{id + "wavelength", id + "bandwidth"}, source: imagingSource})
}

// width adds a width of a main lobe, a fraction of a millimetre.
func (s *sheet) width(id, symbol, name string, x si.Length, h how) {
	s.add(id, symbol, name, float64(x), si.KindLength, step, h)
}

func (s *sheet) artefactValues(id, of string, a imaging.Artefact) {
	if si.Known(a.Beside) {
		s.gain(id+"artefact_beside", "G_8", "largest response beside the main lobe", a.Beside, how{of: of,
			formula: "20 log₁₀ max |E| / peak, outside the −6 dB outline enlarged 2.5 times, within 8 λ", side: si.Up, source: imagingSource})
	}
	if si.Known(a.Away) {
		s.gain(id+"artefact_away", "G_12", "largest response away from the main lobe", a.Away, how{of: of,
			formula: "20 log₁₀ max |E| / peak, from 8 λ to 12 λ", side: si.Up, source: imagingSource})
	}
}

// noise is the change of signal to noise by the group's transmission.
func (s *sheet) noise(g *Group) si.Decibel {
	switch acquisition.Scheme(g.Set.Transmission.Scheme) {
	case acquisition.HalfMatrix:
		return acquisition.HalfMatrixNoise(active(g))
	case acquisition.PlaneWave:
		return si.Unknown[si.Decibel]() // all elements send at once
	}
	return acquisition.SparseNoise(acquisition.Firings(active(g), acquisition.EveryNth, g.every()), active(g))
}

// transmission is what a group sends to a point of the section as its probe
// sees it.
func (g *Group) transmission(section *geometry.Section, at geometry.Point) imaging.Transmission {
	if len(g.waves()) > 0 {
		return imaging.Transmission{Waves: g.wavesAt(section, at)}
	}
	return imaging.Every(g.every(), active(g))
}

// gridLoss states what a reflector between image points may lose: by the rule
// for any array and by the point response of this one where it is sharpest. The
// larger of both counts.
func (s *sheet) gridLoss(g *Group) {
	id := "groups." + g.Set.Name + "."
	lambda := acoustics.Wavelength(g.meeting(), g.Probe.Frequency)
	oscillating := s.Job.Equipment.Instrument.Image == "oscillating"
	rule := how{inputs: []string{id + "grid", id + "wavelength"}, side: si.Up}
	var loss si.Decibel
	if oscillating {
		loss = acoustics.OscillatingGridLoss(g.Set.Grid, lambda)
		rule.formula, rule.source = "−20 log₁₀ |cos(2π Δ / λ)|", "own derivation: two-way phase of half a step in depth"
	} else {
		loss = acoustics.EnvelopeGridLoss(g.Set.Grid, lambda, g.Probe.Bandwidth)
		rule.formula = "(30.92 b² + 17.4) (Δ / λ)² dB, b the bandwidth over the frequency"
		rule.source = "own computation of the point response, nearest image point"
	}
	if math.IsInf(float64(loss), 0) {
		return // the signal may vanish between the points
	}
	larger := how{formula: "δ = the larger of δ_r and δ_p, as far as they are known", side: si.Up, source: "own convention; no substitute for the measurement on a block"}
	if si.Known(loss) {
		s.gain(id+"grid_loss_rule", "δ_r", "loss between image points by the rule for any array", loss, rule)
		larger.inputs = append(larger.inputs, id+"grid_loss_rule")
	}
	if own := s.ownGridLoss(g, oscillating); si.Known(own) {
		s.gain(id+"grid_loss_point", "δ_p", "loss between image points by the point response of this array, where it is sharpest", own, how{
			formula: "−20 log₁₀ of what the best image point shows of a reflector at its worst place between them",
			inputs:  []string{id + "grid", id + "wavelength", id + "bandwidth"}, side: si.Up, source: imagingSource})
		larger.inputs = append(larger.inputs, id+"grid_loss_point")
		if !(loss >= own) {
			loss = own
		}
	}
	if si.Known(loss) {
		s.gain(id+"grid_loss", "δ", "expected loss of amplitude between image points", loss, larger)
	}
}

func (s *sheet) ownGridLoss(g *Group, oscillating bool) si.Decibel {
	if g.Study == nil {
		return si.Unknown[si.Decibel]()
	}
	sharpest := g.Study.Points[0]
	for _, p := range g.Study.Points {
		if si.Known(p.Area) && !(p.Area >= sharpest.Area) {
			sharpest = p
		}
	}
	f := frameOf(s.Section, g.Study.Side, g.Set.Surface, g.Set.WedgeFront)
	at := f.seen(sharpest.At)
	return s.image(g).GridLoss(imaging.Point{X: at.X, Z: at.Z}, g.transmission(f.local(s.Section), at), g.Set.Grid, oscillating)
}

// places are the points at which a group's image is studied, of what its first
// side reaches: the middle, the corners, the middle of each fusion face. They
// keep one and a half wavelengths from the walls, at which a main lobe would be
// cut.
func (s *sheet) places(g *Group, f frame) []Shown {
	reached := f.seenRows(g.Placements[0].Coverage.Rows())
	margin := 1.5 * acoustics.Wavelength(g.meeting(), g.Probe.Frequency)
	deep := func(i int) si.Length { return reached.Top + reached.Height*(si.Length(i)+0.5) }
	var within []int
	var area, middle si.Length
	for i, row := range reached.Row {
		if len(row) == 0 || !(deep(i) >= margin && deep(i) <= s.Section.Thickness-margin) {
			continue
		}
		within = append(within, i)
		for _, x := range row {
			area += x.To - x.From
			middle += (x.To - x.From) * deep(i)
		}
	}
	if len(within) == 0 {
		return nil
	}
	place := func(id, words string, x, z si.Length) Shown {
		return Shown{ID: id, Place: words, At: f.point(geometry.Point{X: x, Z: z})}
	}
	central := slices.MinFunc(within, func(a, b int) int {
		return int(math.Copysign(1, math.Abs(float64(deep(a)-middle/area))-math.Abs(float64(deep(b)-middle/area))))
	})
	widest := slices.MaxFunc(reached.Row[central], func(a, b coverage.Interval) int {
		return int(math.Copysign(1, float64((a.To-a.From)-(b.To-b.From))))
	})
	list := []Shown{place("middle", "middle of the area reached", (widest.From+widest.To)/2, deep(central))}
	far, near := "lower", "upper"
	if f.flipped {
		far, near = near, far
	}
	for _, edge := range []struct {
		row  int
		name string
	}{{within[len(within)-1], far}, {within[0], near}} {
		row := reached.Row[edge.row]
		list = append(list,
			place(edge.name+"-near", edge.name+" edge of it, towards the probe", row[0].From, deep(edge.row)),
			place(edge.name+"-far", edge.name+" edge of it, away from the probe", row[len(row)-1].To, deep(edge.row)))
	}
	list = append(list, s.onFaces(g, margin)...)
	// Edges meet at a corner, and faces at an edge: one of two neighbours is enough.
	apart := margin * 2 / 3
	var kept []Shown
	for _, p := range list {
		if !slices.ContainsFunc(kept, func(k Shown) bool {
			return si.Length(math.Hypot(float64(k.At.X-p.At.X), float64(k.At.Z-p.At.Z))) < apart
		}) {
			kept = append(kept, p)
		}
	}
	return kept
}

// onFaces are the middles of what the first side reaches of each fusion face.
func (s *sheet) onFaces(g *Group, margin si.Length) []Shown {
	var list []Shown
	for i, face := range s.Section.Faces {
		if face.RootFace {
			continue
		}
		var met []geometry.Point
		points := g.Faces[i].meeting.Points
		for k, p := range points {
			u := si.Length((float64(k) + 0.5) / float64(len(points)))
			at := geometry.Point{X: face.Upper.X + u*(face.Lower.X-face.Upper.X), Z: face.Upper.Z + u*(face.Lower.Z-face.Upper.Z)}
			if p.Reached && at.Z >= margin && at.Z <= s.Section.Thickness-margin {
				met = append(met, at)
			}
		}
		if len(met) > 0 {
			list = append(list, Shown{ID: "face-" + faceID(face), Place: fmt.Sprintf("fusion face %s", strings.TrimSpace(face.Name)), At: met[len(met)/2]})
		}
	}
	return list
}
