package technique

import (
	"math"
	"sync"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/field"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Map is the echo that a group is predicted to receive from a reflector at
// places of the volume that it reaches, in dB against that of the hole of the
// block after time-corrected gain. The places stand in rows of equal height,
// from the top down, as far from each other as the rows.
type Map struct {
	Hole        MapValues // of a reflector that sends back alike in all directions; best of the sides
	Face        string    // whose tilt the strip of Facet has; none where it is not predicted
	Side        string    // from which it is met
	Height      si.Length // of the strip, in the section
	Allowance   si.Decibel
	Worst       geometry.Point // where Hole is smallest
	Contact     bool           // the share that passes the contact face is counted
	Attenuation bool           // of wedge or part is counted
	Faces       []MapFace      // those reached

	met    [][facePlaces]si.Decibel // by face of the section
	facets []facetView
}

// facetView is one way to look at the strip of Facet.
type facetView struct {
	eye     *eye
	strip   field.Facet
	reached coverage.Rows
	frame   frame
}

// Facet is the echo of a strip with the tilt of Face, from Side; without rows
// where there is none. A strip answers in lobes, and what lies between two is
// narrower than the rows of Hole are apart: so each row for drawing has places of
// its own. Only a drawing needs them, and they take as long as all else of a map,
// so that they are worked out when they are asked for.
func (m *Map) Facet() MapValues {
	var all MapValues
	for i := range m.facets {
		v := &m.facets[i]
		values := newMapValues(v.reached, v.reached, v.frame.scale)
		values.places(func(j, k int) { values.set(j, k, v.eye.facet(values.place(j, k), v.strip)) })
		all = best(all, values.onto(v.frame))
	}
	return all
}

// MapFace is the predicted echo of a strip that lies in a fusion face, best of
// the sides. MapFloor stands for anything lower.
type MapFace struct {
	Face        string
	Least, Most si.Decibel
	Above       si.Ratio // share of the part reached where it is not below the allowance
}

// MapFloor is the lowest echo of a strip that is stated. What is lower is not
// reflected but diffracted at the strip's ends, which is not predicted.
const MapFloor = si.Decibel(-20)

// defaults of the map, where the job says nothing.
const (
	mapAllowance = si.Decibel(-6)
	mapFlaw      = 3 * si.Millimetre
	// mapPlaces is about how many places a volume has: few enough to be quick, and
	// enough that they lie closer than a beam is wide.
	mapPlaces  = 600
	facePlaces = 24
)

// maps predicts the echoes of every group.
func (s *sheet) maps() {
	together := unmet(len(s.Section.Faces))
	var holes []MapValues
	found := make([]*Map, len(s.Groups))
	var predictions sync.WaitGroup
	for i := range s.Groups {
		switch g := &s.Groups[i]; {
		case len(g.Placements) == 0 || g.Single != nil: // a moved single beam brings its axis to each place
		case g.Pair != nil:
			predictions.Go(func() { found[i] = s.diffracted(g) })
		default:
			predictions.Go(func() { found[i] = s.predict(g) })
		}
	}
	predictions.Wait()
	for i := range s.Groups {
		g := &s.Groups[i]
		m, id := found[i], "groups."+g.Set.Name+".map."
		if m != nil && g.Pair != nil && s.diffractedValues(id, g, m) {
			g.Map = m // what is timed is no echo of a mirror, and none of the others
			continue
		}
		if m == nil || g.Pair != nil || !s.mapValues(id, g, m, s.mapStrip(m).Hole) {
			continue
		}
		g.Map = m
		holes = append(holes, g.Map.Hole)
		for f := range g.Map.met {
			for j, x := range g.Map.met[f] {
				together[f][j] = larger(together[f][j], x)
			}
		}
	}
	s.mapTogether(best(holes...))
	for i, face := range s.Section.Faces {
		if f, ok := mapFace(face, together[i], s.mapAllowance()); ok {
			s.MapFaces = append(s.MapFaces, f)
			s.mapFaceValues("map.faces."+faceID(face)+".", f, how{
				formula: "E_f = largest of the groups at each place of the face", source: predicted, side: si.Down})
		}
	}
}

// mapAllowance is the lowest predicted echo that the technique allows.
func (s *sheet) mapAllowance() si.Decibel {
	if a := s.Job.Reference.MapAllowance; si.Known(a) {
		return a
	}
	return mapAllowance
}

// unmet is that no place of any face is reached.
func unmet(faces int) [][facePlaces]si.Decibel {
	met := make([][facePlaces]si.Decibel, faces)
	for i := range met {
		for j := range met[i] {
			met[i][j] = si.Unknown[si.Decibel]()
		}
	}
	return met
}

// mapStrip is the flat flaw of a map, and the hole that it is held against:
// unknown where sensitivity is not set on a hole.
func (s *sheet) mapStrip(m *Map) field.Facet {
	strip := field.Facet{Height: m.Height, Hole: si.Unknown[si.Length]()}
	if b := s.block(); b != nil && s.Job.Reference.Reflector == "side-drilled-hole" {
		strip.Hole = b.HoleDiameter
	}
	return strip
}

// predict predicts the echoes of one group, or nothing where it has no beams.
// What is predicted of a hole in the probe's own frame is the same from all
// sides, and computed once. It only reads what was computed before, so that
// groups are predicted side by side.
func (s *sheet) predict(g *Group) *Map {
	media := s.media(g)
	model := field.New(media)
	eyes := g.eyes(model, g.stand(g.Set.WedgeFront))
	rows := s.mapRows()
	if len(eyes) == 0 || rows == 0 || s.raised(g) || g.Set.OnFlange() {
		return nil
	}
	m := &Map{Allowance: s.mapAllowance(), Height: s.Job.Reference.MapFlaw, Contact: model.PassesKnown(), met: unmet(len(s.Section.Faces))}
	m.Attenuation = media.InWedge > 0 || s.partAttenuation(g) > 0
	if !si.Known(m.Height) {
		m.Height = mapFlaw
	}
	strip := s.mapStrip(m)
	side, face := g.bestFace()
	var all []MapValues
	known := make([]MapValues, len(eyes))
	for _, from := range g.Set.Sides {
		f := frameOf(s.Section, from, g.Set.Surface, g.Set.WedgeFront)
		local := f.local(s.Section)
		for e := range eyes {
			eye := &eyes[e]
			eye.view.Transmit.OneThickness, eye.view.Receive.OneThickness = true, true
			views := []coverage.View{eye.view}
			reached, fine := coverage.Reach(local, views, rows), coverage.Reach(local, views, fineRows*rows)
			if local.Flange != nil { // the field knows no depth outside the web's surfaces
				reached, fine = reached.Between(0, local.Thickness), fine.Between(0, local.Thickness)
			}
			holes := newMapValues(reached, fine, f.scale)
			holes.places(func(j, k int) {
				x := known[e].at(j, k)
				if !si.Known(x) {
					x = eye.hole(holes.place(j, k))
				}
				holes.set(j, k, x)
			})
			known[e] = holes
			all = append(all, holes.onto(f))
			if from == side && strip.Hole > 0 {
				tilted := strip
				_, tilted.NormalX, tilted.NormalZ = local.Faces[face].At(0.5)
				m.facets = append(m.facets, facetView{eye, tilted, fine, f})
				m.Face, m.Side = s.Section.Faces[face].Name, side
			}
			for i := range m.met {
				if strip.Hole > 0 {
					eye.meet(&m.met[i], local.Faces[i], f.flipped, strip, fine)
				}
			}
		}
	}
	m.Hole = best(all...)
	return m
}

// mapRows is how many rows of places a map has, so that as many as mapPlaces fill
// the volume; none where it is empty.
func (s *sheet) mapRows() int {
	area := float64(s.Section.Area(s.Section.Volume))
	if !(area > 0) {
		return 0
	}
	from, to := s.Section.Volume[0].Z, s.Section.Volume[0].Z
	for _, p := range s.Section.Volume {
		from, to = min(from, p.Z), max(to, p.Z)
	}
	return max(4, int(math.Ceil(float64(to-from)/math.Sqrt(area/mapPlaces))))
}

// media is what the sound of a group goes through.
func (s *sheet) media(g *Group) field.Media {
	m, w, f := &s.Job.Part.Material, g.Wedge, g.Probe.Frequency
	return field.Media{
		Wedge: acoustics.Medium{Density: w.Density, Longitudinal: w.Velocity, Transverse: w.Transverse}, Coating: g.Coating, Part: g.Part,
		Frequency: f, Tilt: w.Angle, Touch: g.stand(g.Set.WedgeFront).level(), Element: g.Probe.Pitch - g.Probe.Gap,
		InWedge:      si.Attenuation(acoustics.AttenuationLoss(w.Attenuation, w.AttenuationAt, f, si.Metre)),
		Longitudinal: si.Attenuation(acoustics.AttenuationLoss(s.attenuationOf(acoustics.Longitudinal), m.AttenuationAt, f, si.Metre)),
		Transverse:   si.Attenuation(acoustics.AttenuationLoss(s.attenuationOf(acoustics.Transverse), m.AttenuationAt, f, si.Metre)),
	}
}

// bestFace is the straight fusion face that the group meets best, by the share
// met square and then by the smallest angle, and the side from which it does; no
// side where it meets none.
func (g *Group) bestFace() (side string, face int) {
	var best FaceIncidence
	count := len(g.Faces) / max(1, len(g.Set.Sides))
	for i, f := range g.Faces {
		if f.Face.RootFace || f.Face.Radius > 0 || !(f.Reached > 0) {
			continue
		}
		if side == "" || f.Within > best.Within || f.Within == best.Within && f.Best < best.Best {
			side, face, best = f.Side, i%count, f
		}
	}
	return side, face
}
