package technique

import (
	"math"
	"strings"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/field"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

const predicted = "own computation: sum over the aperture of directivity, contact face, walls, attenuation and spreading of each ray; held against Rayleigh's integral"

// mapValues states what the map of a group says of its volume and of the fusion
// faces, and reports whether it says anything.
func (s *sheet) mapValues(id string, g *Group, m *Map, hole si.Length) bool {
	allowance := given()
	if !si.Known(s.Job.Reference.MapAllowance) {
		allowance = how{source: "own choice: half the amplitude; the job may set reference.map_allowance"}
	}
	least, at, above := m.Hole.least(m.Allowance)
	if !si.Known(least) || math.IsInf(float64(least), 0) {
		return false
	}
	m.Worst = at
	s.gain(id+"allowance", "δ_m", "lowest predicted echo that the technique allows, against the reference reflector", m.Allowance, allowance)
	s.length(id+"step", "Δ_m", "distance between the places at which echoes are predicted", m.Hole.rows.Height, how{
		formula: "Δ_m = t / rows, so that some 600 places fill the volume", inputs: []string{"part.thickness"}, source: "own choice"})
	in := []string{"groups." + g.Set.Name + ".wavelength", "groups." + g.Set.Name + ".element"}
	formula := "E = |F(x, z)|² / |F(axis)|², F the field of the law of the nearest beam, on its axis at the same time of flight and leg"
	if g.Set.Method == "tfm" {
		formula = "E = Σ_t Σ_r a_t a_r at the place, over the largest at the same depth in the region imaged, within the angles used"
	}
	s.gain(id+"least", "E_1", "smallest predicted echo of a small or round reflector in the volume that the group reaches, against the same one where time-corrected gain is set", least, how{
		formula: formula, inputs: in, source: predicted, side: si.Down})
	s.length(id+"worst_x", "x_m", "position across the weld of the smallest echo", at.X, how{formula: "place of E_1", inputs: []string{id + "least"}, source: predicted})
	s.length(id+"worst_z", "z_m", "depth of the smallest echo", at.Z, how{formula: "place of E_1", inputs: []string{id + "least"}, source: predicted})
	s.placesShare(id+"above", "C_m", "share of the volume reached where the echo is not below the allowance", above, how{
		formula: "C_m = places with E ≥ δ_m / all places reached", inputs: []string{id + "allowance"}, source: predicted, side: si.Down})
	if !(hole > 0) {
		return true
	}
	flaw := given()
	if !si.Known(s.Job.Reference.MapFlaw) {
		flaw = how{source: "own choice; the job may set reference.map_flaw"}
	}
	s.length(id+"flaw", "h_f", "height of the flat flaw whose echo is predicted", m.Height, flaw)
	s.length(id+"hole", "d_h", "diameter of the hole against which it is stated", hole, given())
	s.gain(id+"square", "E_s", "echo of that flaw met square, against the hole", field.FacetOverHole(m.Height, acoustics.Wavelength(g.meeting(), g.Probe.Frequency), hole), how{
		formula: "E_s = 20 log₁₀ (2 h_f / √(λ d_h))", inputs: []string{id + "flaw", id + "hole", in[0]},
		source: "own derivation: a strip by Kirchhoff's integral, a hole by ray tubes; agrees with the equivalence of disc and hole of EN ISO 16811 (from memory)"})
	for i, face := range s.Section.Faces {
		if f, ok := mapFace(face, m.met[i], m.Allowance); ok {
			m.Faces = append(m.Faces, f)
			s.mapFaceValues(id+"faces."+faceID(face)+".", f, how{
				formula: "E_f = |∫ F² dh| R cos ε / (√λ √(d_h / 4) |F(axis)|²) over the flaw's height, R of a free face met at ε; of an image F_t F_r for F²; −20 dB stands for anything lower",
				inputs:  []string{id + "flaw", id + "hole"}, side: si.Down,
				source: predicted + "; the flaw by Kirchhoff's integral, its ends and waves of another kind left out"})
		}
	}
	return true
}

// mapTogether states what the maps of all groups say together, each place by the
// group that shows it highest.
func (s *sheet) mapTogether(all MapValues) {
	least, at, above := all.least(s.mapAllowance())
	if !si.Known(least) || math.IsInf(float64(least), 0) {
		return
	}
	s.gain("map.least", "E_1", "smallest predicted echo of a small or round reflector in the volume reached, at each place by the group that shows it highest", least, how{
		formula: "E_1 = smallest over the places of the largest of the groups", source: predicted, side: si.Down})
	s.length("map.worst_x", "x_m", "position across the weld of the smallest echo of all groups", at.X, how{formula: "place of E_1", inputs: []string{"map.least"}, source: predicted})
	s.length("map.worst_z", "z_m", "depth of the smallest echo of all groups", at.Z, how{formula: "place of E_1", inputs: []string{"map.least"}, source: predicted})
	s.placesShare("map.above", "C_m", "share of the volume reached where that echo is not below the allowance", above, how{
		formula: "C_m = places with E ≥ allowance / all places reached", inputs: []string{"map.least"}, source: predicted, side: si.Down})
}

// mapFace sums up the echo of a flat flaw over the places of a face, and reports
// whether any is reached.
func mapFace(face geometry.Face, met [facePlaces]si.Decibel, allowance si.Decibel) (MapFace, bool) {
	f := MapFace{Face: face.Name, Least: si.Unknown[si.Decibel](), Most: si.Unknown[si.Decibel]()}
	reached, above := 0, 0
	for _, x := range met {
		if !si.Known(x) {
			continue
		}
		x = max(x, MapFloor)
		if reached++; x >= allowance {
			above++
		}
		if f.Most = larger(f.Most, x); !(x >= f.Least) {
			f.Least = x
		}
	}
	f.Above = si.Ratio(float64(above) / float64(reached))
	return f, reached > 0
}

// mapFaceValues states the echo of a flat flaw in a face.
func (s *sheet) mapFaceValues(at string, f MapFace, h how) {
	h.of = "fusion face " + strings.TrimSpace(f.Face)
	s.gain(at+"least", "E_f1", "smallest predicted echo of a flat flaw in the face, over the part reached, against the hole", f.Least, h)
	s.gain(at+"most", "E_f2", "largest predicted echo of a flat flaw in the face, against the hole", f.Most, h)
	s.placesShare(at+"above", "C_f", "share of the part of the face reached where that echo is not below the allowance", f.Above, how{of: h.of,
		formula: "C_f = places with E_f ≥ allowance / all places reached", inputs: []string{at + "least"}, source: predicted, side: si.Down})
}

// placesShare states a share of places, of which there are hundreds at most: so
// no tenths of a percent.
func (s *sheet) placesShare(id, symbol, name string, x si.Ratio, h how) {
	s.add(id, symbol, name, float64(x), si.KindRatio, digits{"%", 0, "%", 0}, h)
}
