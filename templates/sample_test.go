package templates

import (
	"math"

	"soundwrit/internal/acquisition"
	cover "soundwrit/internal/coverage"
	"soundwrit/internal/diag"
	"soundwrit/internal/geometry"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// sample is a small technique made by hand: one sectorial group from two sides
// and one tfm group from one. Its numbers belong to no weld; they only have to
// be known.
func sample(edit ...func(*schema.Job)) *technique.Technique {
	mm := func(x float64) si.Length { return si.Length(x) * si.Millimetre }
	deg := func(x float64) si.Angle { return si.Angle(x) * si.Degree }
	nan := math.NaN()
	job := &schema.Job{
		File: "sample.yaml",
		Document: schema.Document{
			Number: "KB-UT-7", Title: "Butt welds of a footbridge", Revision: "2", Date: "2026-02-03", Status: "for approval", Units: "mm",
			Client: "Karsk Bridge Trust", Project: "Footbridge", Contractor: "Halvard Weld Examination",
			Purpose: "Volumetric examination.\n\nIt takes the place of radiography.",
			People: []schema.Person{
				{Task: "prepares", Name: "A. Writer", Qualification: "UT level 3", Level: 3, Certificate: "C-1"},
				{Task: "approves", Name: "B. Signer", Qualification: "UT level 3", Level: 3, Certificate: "C-2"},
				{Task: "scans", Qualification: "UT level 2", Level: 2, Training: "phased array, recorded"},
				{Task: "evaluates", Qualification: "UT level 2", Level: 2, Training: "phased array, recorded"},
			},
			History:      []schema.Revision{{Revision: "2", Date: "2026-02-03", Change: "Second group", By: "A. Writer"}},
			Distribution: []string{"Client", "Crew"}, Limitations: []string{"Not within 30 mm of the run-off plates"}, Safety: []string{"Work over water: life jackets."},
		},
		Codes: schema.Codes{
			Procedure:  []schema.Code{{Code: "ISO 13588", Edition: "2019", Level: "B"}},
			Acceptance: []schema.Code{{Code: "ISO 19285", Edition: "2017", Level: "2"}},
		},
		Part: schema.Part{
			Kind: "plate", Description: "Deck plates", Thickness: mm(12), OutsideDiameter: si.Length(nan),
			Material: schema.Material{Name: "S355", Group: "ferritic", Longitudinal: 5920, Transverse: 3240},
			Weld: schema.Weld{
				Numbers: []string{"D1", "D2"}, Process: "submerged arc", Stage: "after 24 h", Length: mm(2400), Preparation: "single-V", Opens: "top",
				BevelAngle: deg(30), LowerAngle: deg(30), UpperDepth: si.Length(nan), RootFace: mm(1.5), RootGap: mm(3),
				Cap: schema.Reinforcement{Condition: "as-welded", Width: mm(18), Height: mm(2)}, Root: schema.Reinforcement{Condition: "as-welded", Width: mm(6), Height: mm(1.5)},
				Flaws: []string{"lack of fusion", "slag"}, Transverse: "By a scan of its own.",
			},
			Zone:  schema.Zone{Width: mm(10), Boundary: "straight", Basis: "the contract"},
			Sides: []string{"A", "B"}, Surfaces: []string{"top"}, Temperature: schema.TemperatureRange{From: 10, To: 35},
			Surface: schema.Surface{Condition: "free of spatter", Roughness: 6.3 * si.Micrometre, Coating: "none"}, ParentMaterial: "Straight beam before the first scan.",
		},
		Equipment: schema.Equipment{
			Instrument: schema.Instrument{Description: "64 channels", Channels: 64, Sampling: 50e6, SampleBytes: 2, PulseRate: 10e3, Rearm: 20e-6, FrameOverhead: 1e-3, DataRate: 30e6, Image: "envelope",
				Measured: &schema.MeasuredRate{Rate: 22, Elements: 64, Firing: 64, Groups: 2, GridPoints: 1500}},
			Probes:  []schema.Probe{{Name: "P5", Frequency: 5e6, Bandwidth: .6, Elements: 64, Pitch: mm(.6), Gap: mm(.1), Elevation: mm(10)}, {Name: "spare"}},
			Wedges:  []schema.Wedge{{Name: "W55", Angle: deg(36.1), Velocity: 2330, FirstElementHeight: mm(5), FrontDistance: mm(30), Length: mm(45), Width: mm(25), Contour: si.Length(nan), UsableFrom: deg(38), UsableTo: deg(72)}},
			Blocks:  []schema.Block{{Name: "B15", Kind: "side-drilled-holes", Material: "S355", Thickness: mm(15), Diameter: si.Length(nan), HoleDiameter: mm(3), HoleDepths: []si.Length{mm(4), mm(8)}, NotchDepth: si.Length(nan)}},
			Scanner: schema.Scanner{Description: "frame", Drive: "hand", Guide: "rail"}, Encoder: schema.Encoder{Description: "wheel", Resolution: mm(.05)}, Couplant: "Gel",
		},
		Groups: []schema.Group{
			{Name: "upper", Method: "sectorial", Purpose: "Whole volume", Probe: "P5", Wedge: "W55", Sides: []string{"A", "B"}, Surface: "top", WedgeFront: mm(20),
				Wave: "transverse", Angles: schema.AngleRange{From: deg(45), To: deg(70), Step: deg(1)}, Aperture: schema.Aperture{First: 9, Count: 16}, Focus: schema.Focus{Kind: "none"}, Legs: []int{1, 2}, Grid: si.Length(nan), Fidelity: si.Decibel(nan)},
			{Name: "image", Method: "tfm", Purpose: "Root", Probe: "P5", Wedge: "W55", Sides: []string{"A"}, Surface: "top", WedgeFront: mm(18), Path: "TT-T",
				Region: schema.Region{Near: mm(15), Far: mm(15), Top: 0, Bottom: mm(12)}, Grid: mm(.12), Fidelity: si.Decibel(nan), Transmission: schema.Transmission{Scheme: "every-nth", Every: 3}, Store: "matrix"},
		},
		Reference: schema.Reference{Block: "B15", Reflector: "side-drilled-hole", Level: .8, ScanningGain: 6, EvaluationLevel: -14, Transfer: "Measured at three places.", TemperatureDifference: 10,
			Checks: schema.Checks{Interval: 4 * si.Hour, Occasions: []string{"at the start", "at the end"}, Sensitivity: 2, Range: mm(.5), RangeShare: .02, Encoder: .01, EncoderLength: mm(500)}},
		Scan:          schema.Scan{Increment: mm(1), Overlap: mm(25), LineOverlap: .1, Speed: 50e-3, SpeedSpread: .2, Pass: "line", Datum: "Punch mark", Direction: "North", MissingShare: .05, MissingPerLength: -1, MissingAdjacent: 0, CouplingLoss: "Scan again.", Storage: "A-scans"},
		Qualification: schema.Qualification{Block: "Q1", Flaws: []string{"notch"}, Record: "R-1", Result: "all found"},
		Deviations:    []schema.Deviation{{Rule: "b/3", Reason: "short part", Measure: "second scan", AgreedBy: "Client", Date: "2026-01-09"}},
	}
	for _, change := range edit {
		change(job)
	}
	t := &technique.Technique{Job: job}
	addValues(t)
	for i := range job.Groups {
		g := technique.Group{Set: &job.Groups[i], Probe: &job.Equipment.Probes[0], Wedge: &job.Equipment.Wedges[0], Coverage: cover.Result{Share: .987}}
		for _, side := range g.Set.Sides {
			sign := si.Length(-1)
			if side == "B" {
				sign = 1
			}
			g.Placements = append(g.Placements, technique.Placement{Side: side, Front: geometry.Point{X: sign * mm(20)}, Back: geometry.Point{X: sign * mm(65)}, Exit: geometry.Point{X: sign * mm(31)},
				Elements: []geometry.Point{{X: sign * mm(50), Z: mm(-5)}}, Active: [2]int{9, 24}, Coverage: cover.Result{Share: .7}})
			g.Faces = append(g.Faces,
				technique.FaceIncidence{Side: side, Face: geometry.Face{Name: "A"}, Square: deg(60), SquareLegs: "direct", Best: deg(.2), Worst: deg(8), Reached: .95},
				technique.FaceIncidence{Side: side, Face: geometry.Face{Name: "A root face"}, Square: si.Angle(nan), Best: si.Angle(nan), Worst: si.Angle(nan)})
		}
		if g.Set.Method == "sectorial" {
			for a := 45; a <= 70; a++ {
				g.Laws = append(g.Laws, technique.Law{Angle: deg(float64(a)), WedgeAngle: deg(30), Exit: mm(11), WedgePath: mm(12), Delays: make([]si.Time, 16), Path: mm(40), NearField: mm(20), Focus: si.Length(nan)})
			}
		}
		t.Groups = append(t.Groups, g)
	}
	t.Coverage = cover.Result{Share: .995, Missed: []cover.Missed{{From: geometry.Point{X: mm(-2.31), Z: 0}, To: geometry.Point{X: mm(1.44), Z: mm(.52)}, Share: .005}}}
	t.Lines = []technique.Line{{Side: "A", Surface: "top", Front: mm(-20), Groups: []string{"upper", "image"}}, {Side: "B", Surface: "top", Front: mm(20), Groups: []string{"upper"}}}
	frame := acquisition.Frame{Firings: 22, AScans: 1408, Data: 5.6e6, Time: .0123, LimitedBy: "data rate", Scaled: true}
	t.Speed = technique.Speed{
		Passes: []technique.Pass{{Lines: []int{0}, Frame: frame, Limit: 81e-3}, {Lines: []int{1}, Frame: frame, Limit: 90e-3}},
		Alternatives: []technique.Alternative{
			{Name: "full matrix", Every: 1, Firings: 64, AScans: 4096, Data: 16e6, LimitedBy: "data rate", Limit: 30e-3, Minutes: 300, Noise: 0, Pitch: 1.3},
			{Name: "every 3rd element fires", Every: 3, Chosen: true, Firings: 22, AScans: 1408, Data: 5.6e6, LimitedBy: "data rate", Limit: 81e-3, Minutes: 100, Noise: -4.6, Pitch: 3.9},
		},
	}
	t.Rules = []rules.Result{
		{Book: "b", Rule: "1", Code: "ISO 13588:2019", Clause: "7.3", Asks: "increment by thickness", Level: diag.Shall, Sure: "from memory", Verdict: rules.Met, Actual: "1 mm", Limit: "at most 1 mm", AnsweredIn: "11.1", Essential: true},
		{Book: "b", Rule: "2", Code: "ISO 13588:2019", Clause: "8", Asks: "pitch", Level: diag.Should, Sure: "seen", Subject: "upper", Verdict: rules.Unchecked, Actual: "unknown", AnsweredIn: "9", Why: "a value was not given"},
		{Book: "b", Rule: "3", Code: "ISO 13588:2019", Clause: "9", Asks: "block", Level: diag.Shall, Sure: "from memory", Verdict: rules.NotMet, Actual: "15 mm", Limit: "at least 16 mm", AnsweredIn: "10.1.7"},
	}
	t.Acceptance = []technique.AcceptanceTable{{Title: "Level 2", Code: "ISO 19285:2017", Clause: "table", Sure: "from memory", Head: []string{"Thickness", "Length"}, Rows: [][]string{{"6 to 15 mm", "12 mm"}}, Notes: []string{"Group neighbours."}}}
	t.Curve = []technique.CurvePoint{{Depth: mm(4), Leg: 1, Unfolded: mm(4), PathFrom: mm(5.7), PathTo: mm(11.7)}}
	t.Findings = []diag.Finding{{Rule: "c/1", Level: diag.Note, Message: "the surface waviness must be confirmed", Clause: "6", Code: "ISO 13588:2019"}}
	return t
}

// addValues gives the technique every value that the text names.
func addValues(t *technique.Technique) {
	add := func(id string, kind si.Kind, unit string) {
		t.Add(technique.Value{ID: id, Symbol: "x_" + id[len(id)-1:], Name: "value of " + id, Q: si.Quantity{SI: .5, Kind: kind}, Unit: unit, Decimals: 1,
			Formula: "a / b", Inputs: []technique.Input{{Symbol: "a", Q: si.Quantity{SI: .0123456789, Kind: si.KindLength}, Unit: "mm"}}, Source: "A handbook, p. 1"})
	}
	for _, id := range []string{"part.thickness", "part.longitudinal", "part.transverse", "weld.length", "volume.area", "coverage.share",
		"scan.increment", "scan.frame_time", "scan.rate", "scan.speed_limit", "scan.speed", "scan.speed_spread", "scan.expected_loss", "scan.overlap",
		"scan.positions", "scan.passes", "scan.time", "scan.data_position", "scan.data_metre", "scan.data_weld"} {
		add(id, si.KindLength, "mm")
	}
	for _, g := range t.Job.Groups {
		for _, id := range []string{"frequency", "wavelength", "pitch_ratio", "pitch_limit", "exit_distance", "exit_to_centreline", "first_element_to_centreline", "toe_clearance", "offset_from", "offset_to"} {
			add(valuePrefix(g.Name)+id, si.KindLength, "mm")
		}
		own := []string{"angle_from", "angle_to", "angle_step", "grating_angle"}
		if g.Method == "tfm" {
			own = []string{"grid", "grid_points"}
		}
		for _, id := range own {
			add(valuePrefix(g.Name)+id, si.KindLength, "mm")
		}
	}
}
