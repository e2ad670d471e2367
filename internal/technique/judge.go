package technique

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// practiceBook holds what is good practice whatever the code; every job is
// held against it.
const practiceBook = "good-practice"

// carried is the shelf of the books that are part of the program. Reading and
// compiling a book takes longer than answering it.
var carried = sync.OnceValues(func() (*rules.Shelf, []diag.Finding) { return rules.Open(schema.Books(), Vocabulary()) })

// judge answers every rule of the books that the job names.
func (s *sheet) judge(house []HouseBook) {
	shelf, faults := carried()
	s.Findings = append(s.Findings, faults...) // a book that is part of the program has none: a test sees to it
	if shelf == nil {
		return
	}
	broken := slices.ContainsFunc(s.Findings, func(f diag.Finding) bool { return f.Level == diag.Error })
	in := rules.Input{
		Facts: s.facts(), Subjects: map[string][]rules.Subject{"group": s.groupFacts()},
		Partial: s.Job.Partial || broken, Inch: s.inch, Levels: map[string]string{}, At: s.Job.At,
	}
	var books []*rules.Book
	add := func(path string, c schema.Code) {
		if c.Code == "" || c.Edition == "" {
			return // reported when the job was read
		}
		book, faults := shelf.Find(c.Code, c.Edition)
		s.Findings = append(s.Findings, faults...)
		if book == nil {
			s.problem(path+".code", "unknown-code", "there is no rule book for "+rules.Cite(c.Code, c.Edition), rules.Cite(c.Code, c.Edition),
				"one of "+strings.Join(names(shelf), ", "), "name a code and edition of the list, as the contract asks; soundwrit rules shows what each book holds")
			return
		}
		in.Levels[book.ID] = c.Level
		books = append(books, book)
	}
	for i, c := range s.Job.Codes.Procedure {
		add(fmt.Sprintf("codes.procedure.%d", i), c)
	}
	for i, c := range s.Job.Codes.Acceptance {
		add(fmt.Sprintf("codes.acceptance.%d", i), c)
	}
	if book, faults := shelf.Book(practiceBook); book != nil {
		s.Findings = append(s.Findings, faults...)
		books = append(books, book)
	}
	books = append(books, s.house(shelf, books, house)...)
	if !s.sketch {
		s.serves(books, in)
	}
	s.scannerBlock(books)
	if follows(books, "ASME V Article 4") {
		s.Linearity = ScreenHeights()
	}
	for _, book := range books {
		s.Books = append(s.Books, book.Head)
		results, findings := book.Check(in)
		s.Rules = append(s.Rules, results...)
		s.Findings = append(s.Findings, findings...)
		if book.Kind == "acceptance" {
			s.accept(book, in.Levels[book.ID])
		}
	}
	s.requiredValues()
	s.deviate()
}

func names(shelf *rules.Shelf) []string {
	var list []string
	for _, h := range shelf.Heads {
		if h.ID != practiceBook {
			list = append(list, h.Cite())
		}
	}
	slices.Sort(list)
	return list
}

// requiredValues makes the limits of the rules values that can be explained.
func (s *sheet) requiredValues() {
	vocabulary := map[si.Kind]digits{
		si.KindLength: {"mm", 2, "in", 4}, si.KindAngle: degrees, si.KindSpeed: movement, si.KindDecibel: decibels,
		si.KindRatio: percent, si.Number: plain, si.KindTime: {"h", 1, "h", 1}, si.KindKelvin: {"K", 0, "degF", 0},
		si.KindCelsius: {"degC", 0, "degF", 0}, si.KindFrequency: megahertz,
	}
	for _, r := range s.Rules {
		id := "rules." + r.Book + "." + r.Rule
		if r.Subject != "" {
			id += "." + r.Subject
		}
		for _, end := range []struct {
			suffix, name string
			q            si.Quantity
			side         si.Side
		}{{".least", "least value", r.Low, si.Up}, {".most", "largest value", r.High, si.Down}} {
			d, ok := vocabulary[end.q.Kind]
			if !ok || !end.q.Known() {
				continue
			}
			if _, twice := s.Value(id + end.suffix); twice {
				continue
			}
			source := strings.TrimSuffix(strings.Join([]string{r.Code, r.Clause}, ", "), ", ")
			s.add(id+end.suffix, "", end.name+" by this rule: "+r.Asks, end.q.SI, end.q.Kind, d, how{source: source + " (" + r.Sure + ")", side: end.side})
		}
	}
}

// facts is everything that exists once, by the names of Vocabulary.
func (s *sheet) facts() map[string]any {
	job := s.Job
	part, weld, ref, scan, eq := &job.Part, &job.Part.Weld, &job.Reference, &job.Scan, &job.Equipment
	f := map[string]any{}
	length := func(name string, x si.Length) { f[name] = si.Quantity{SI: float64(x), Kind: si.KindLength} }
	speed := func(name string, x si.Speed) { f[name] = si.Quantity{SI: float64(x), Kind: si.KindSpeed} }
	share := func(name string, x si.Ratio) { f[name] = si.Quantity{SI: float64(x), Kind: si.KindRatio} }
	gain := func(name string, x si.Decibel) { f[name] = si.Quantity{SI: float64(x), Kind: si.KindDecibel} }
	number := func(name string, n int) { f[name] = si.Quantity{SI: float64(n), Kind: si.Number} }
	stated := func(name string, n int) { // -1: not stated
		if n >= 0 {
			number(name, n)
		}
	}
	for name, text := range map[string]string{
		"document.number": job.Document.Number, "document.revision": job.Document.Revision, "document.date": job.Document.Date,
		"document.status": job.Document.Status, "document.client": job.Document.Client, "document.purpose": job.Document.Purpose,
		"part.kind": part.Kind, "part.seam": seamOf(part), "part.material_group": part.Material.Group, "part.material": part.Material.Name,
		"part.zone_basis": part.Zone.Basis, "part.surface_condition": part.Surface.Condition, "part.coating": part.Surface.Coating,
		"part.parent_material": part.ParentMaterial, "weld.preparation": preparationOf(part), "weld.process": weld.Process,
		"weld.stage": weld.Stage, "weld.transverse": weld.Transverse, "weld.cap": weld.Cap.Condition, "weld.root": weld.Root.Condition,
		"instrument.description": eq.Instrument.Description, "instrument.image": eq.Instrument.Image,
		"encoder.description": eq.Encoder.Description, "couplant.description": eq.Couplant, "scanner.drive": eq.Scanner.Drive,
		"scanner.guide": eq.Scanner.Guide, "block.name": ref.Block, "reference.reflector": ref.Reflector, "reference.transfer": ref.Transfer,
		"instrument.software": eq.Instrument.Software, "scan.direction": scan.Direction, "evaluation.geometry": job.Evaluation.Geometry,
		"evaluation.length": job.Evaluation.Length, "evaluation.height": job.Evaluation.Height,
		"scan.datum": scan.Datum, "scan.coupling_loss": scan.CouplingLoss, "scan.storage": scan.Storage,
		"qualification.block": job.Qualification.Block, "qualification.record": job.Qualification.Record,
	} {
		f[name] = text
	}
	f["job.pairs_only"] = !slices.ContainsFunc(job.Groups, func(g schema.Group) bool { return g.Method != "tofd" })
	f["part.cladding"] = "none"
	if part.Cladding != nil {
		f["part.cladding"] = part.Cladding.Surface
	}
	number("document.limitations", len(job.Document.Limitations))
	speed("part.longitudinal", part.Material.Longitudinal)
	speed("part.transverse", part.Material.Transverse)
	length("part.thickness", part.Thickness)
	length("part.outside_diameter", part.OutsideDiameter)
	number("part.side_count", len(part.Sides))
	number("part.surface_count", len(part.Surfaces))
	length("part.zone_width", part.Zone.Width)
	f["part.temperature_from"] = si.Quantity{SI: float64(part.Temperature.From), Kind: si.KindCelsius}
	f["part.temperature_to"] = si.Quantity{SI: float64(part.Temperature.To), Kind: si.KindCelsius}
	length("part.roughness", part.Surface.Roughness)
	length("weld.length", weldLength(part))
	length("weld.cap_width", weld.Cap.Width)
	length("weld.root_width", weld.Root.Width)
	f["instrument.sampling"] = si.Quantity{SI: float64(eq.Instrument.Sampling), Kind: si.KindFrequency}
	length("encoder.resolution", eq.Encoder.Resolution)
	if b := s.block(); b != nil {
		f["block.kind"], f["block.material"] = b.Kind, b.Material
		length("block.thickness", b.Thickness)
		f["block.curved"] = si.Known(b.Diameter)
		length("block.diameter", b.Diameter)
		length("block.hole_diameter", b.HoleDiameter)
		number("block.hole_count", len(b.HoleDepths))
		length("block.notch_depth", b.NotchDepth)
		length("block.notch_length", b.NotchLength)
		length("block.notch_width", b.NotchWidth)
		length("block.length", b.Length)
		length("block.width", b.Width)
	}
	share("reference.level", ref.Level)
	gain("reference.scanning_gain", ref.ScanningGain)
	gain("reference.evaluation_level", ref.EvaluationLevel)
	f["reference.temperature_difference"] = si.Quantity{SI: float64(ref.TemperatureDifference), Kind: si.KindKelvin}
	f["reference.check_interval"] = si.Quantity{SI: float64(ref.Checks.Interval), Kind: si.KindTime}
	f["reference.check_occasions"] = ref.Checks.Occasions
	gain("reference.sensitivity_tolerance", ref.Checks.Sensitivity)
	length("reference.range_tolerance", ref.Checks.Range)
	share("reference.range_share", ref.Checks.RangeShare)
	share("reference.encoder_tolerance", ref.Checks.Encoder)
	length("reference.encoder_length", ref.Checks.EncoderLength)
	length("scan.increment", scan.Increment)
	length("scan.overlap", scan.Overlap)
	share("scan.line_overlap", scan.LineOverlap)
	speed("scan.speed", scan.Speed)
	share("scan.missing_share", scan.MissingShare)
	stated("scan.missing_per_length", scan.MissingPerLength)
	stated("scan.missing_adjacent", scan.MissingAdjacent)
	// What a group that could not be computed would reach, nobody knows.
	if !slices.ContainsFunc(s.Groups, func(g Group) bool { return len(g.Placements) == 0 }) {
		share("coverage.share", s.Coverage.Share)
		number("coverage.missed", len(s.Coverage.Missed))
		share("coverage.faces", s.squareShare())
	}
	f["scan.strokes_only"] = len(job.Groups) > 0 && !slices.ContainsFunc(job.Groups, func(g schema.Group) bool { return !g.Single() || !si.Known(g.Raster.To) })
	angles := s.singleAngles()
	number("groups.single_angles", len(angles))
	gap := si.Unknown[si.Angle]()
	for i := 1; i < len(angles); i++ {
		if d := angles[i] - angles[i-1]; !(d >= gap) {
			gap = d
		}
	}
	f["groups.angle_gap"] = si.Quantity{SI: float64(gap), Kind: si.KindAngle}
	number("qualification.flaws", len(job.Qualification.Flaws))
	f["instrument.pulse_rate"] = si.Quantity{SI: float64(eq.Instrument.PulseRate), Kind: si.KindFrequency}
	gain("instrument.gain_span", eq.Instrument.GainSpan)
	for name, id := range map[string]string{"coverage.map_least": "map.least", "coverage.map_above": "map.above"} {
		if v, ok := s.Value(id); ok {
			f[name] = v.Q
		}
	}
	for _, id := range []string{"scan.count_error", "scan.speed_limit", "scan.fastest_mean", "scan.expected_loss", "reference.curve_reach", "weld.width_top", "weld.width_bottom"} {
		if v, ok := s.Value(id); ok {
			f[id] = v.Q
		}
	}
	s.peopleFacts(f, number)
	return f
}

// squareShare is the smallest share, over the fusion faces, of a face that some
// beam meets square enough. The land between the bevels is not counted: no
// beam of a single probe meets it square.
func (s *sheet) squareShare() si.Ratio {
	least := si.Unknown[si.Ratio]()
	for _, f := range s.Faces {
		if f.Face.RootFace || len(f.meeting.Points) == 0 {
			continue
		}
		if !(f.Within >= least) {
			least = f.Within
		}
	}
	return least
}

func (s *sheet) peopleFacts(f map[string]any, number func(string, int)) {
	prepares := 0
	for _, p := range s.Job.Document.People {
		if p.Task == "prepares" && p.Name != "" {
			prepares++
		}
	}
	number("people.prepares", prepares)
	for _, task := range []string{"approves", "scans", "evaluates"} {
		least, trained := math.MaxInt, ""
		for _, p := range s.Job.Document.People {
			if p.Task != task {
				continue
			}
			if first := least == math.MaxInt; first || trained != "" {
				trained = p.Training // empty as soon as one of them lacks it
			}
			least = min(least, p.Level)
		}
		if least != math.MaxInt && least > 0 {
			number("people."+task+"_level", least)
		}
		if task != "approves" {
			f["people."+task+"_training"] = trained
		}
	}
}

// groupFacts is what the rules may ask about each group.
func (s *sheet) groupFacts() []rules.Subject {
	var list []rules.Subject
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Pair != nil {
			list = append(list, rules.Subject{Name: g.Set.Name, Path: "groups." + g.Set.Name, Facts: s.pairFacts(g)})
			continue
		}
		if g.Single != nil {
			list = append(list, rules.Subject{Name: g.Set.Name, Path: "groups." + g.Set.Name, Facts: s.singleFacts(g)})
			continue
		}
		if g.Probe == nil || g.Wedge == nil {
			continue
		}
		list = append(list, rules.Subject{Name: g.Set.Name, Path: "groups." + g.Set.Name, Facts: s.factsOf(g)})
	}
	return list
}

// focusText says where beams are focused, for the rules that only ask whether
// it is stated.
func focusText(f schema.Focus) string {
	switch {
	case f.Kind == "none":
		return "none"
	case f.Kind != "" && si.Known(f.At):
		return f.Kind + " " + si.Quantity{SI: float64(f.At), Kind: si.KindLength}.Text("mm", 1, si.Nearest)
	}
	return ""
}

// anglesText lists angles; empty where one is not known, or there is none.
func anglesText(angles ...si.Angle) string {
	var list []string
	for _, a := range angles {
		if !si.Known(a) {
			return ""
		}
		list = append(list, si.Quantity{SI: float64(a), Kind: si.KindAngle}.Text("deg", 1, si.Nearest))
	}
	return strings.Join(list, ", ")
}

// seamOf is how the weld of a pipe runs, and empty for a plate.
func seamOf(part *schema.Part) string {
	if part.Kind != "pipe" {
		return ""
	}
	return part.Weld.Seam
}

func (s *sheet) factsOf(g *Group) map[string]any {
	set := g.Set
	f := map[string]any{
		"group.probe": cmp.Or(g.Probe.Description, g.Probe.Name), "group.wedge": cmp.Or(g.Wedge.Description, g.Wedge.Name), "group.fidelity_by": set.FidelityBy,
		"group.method": set.Method, "group.path": set.Path, "group.transmission": set.Transmission.Scheme, "group.store": set.Store,
		"group.surface": set.Surface,
	}
	f["group.focused"] = s.focused(g)
	f["group.reflector"] = s.Job.Reference.Reflector
	f["group.wave"] = "transverse"
	if g.PartSpeed == s.Job.Part.Material.Longitudinal {
		f["group.wave"] = "longitudinal"
	}
	number := func(name string, n int) { f["group."+name] = si.Quantity{SI: float64(n), Kind: si.Number} }
	f["group.elevation"] = si.Quantity{SI: float64(g.Probe.Elevation), Kind: si.KindLength}
	if set.Aperture.First > 0 {
		number("first_element", set.Aperture.First)
	}
	f["group.wedge_front"] = si.Quantity{SI: float64(set.WedgeFront), Kind: si.KindLength}
	f["group.angle_range"], f["group.angle_list"] = anglesText(g.Angles.From, g.Angles.To, g.Angles.Step), anglesText(set.FixedAngles...)
	f["group.focus"] = focusText(set.Focus)
	number("elements", g.Probe.Elements)
	number("side_count", len(set.Sides))
	if set.Method == "tfm" {
		number("every", g.every())
	}
	for name, id := range map[string]string{
		"frequency": "frequency", "pitch": "pitch", "pitch_ratio": "pitch_ratio", "angle_step": "angle_step",
		"beam_overlap": "beam_overlap", "aperture_overlap": "aperture_overlap", "fixed_angles": "fixed_angles", "focus_ratio": "focus_ratio", "toe_clearance": "toe_clearance", "wedge_gap": "wedge_gap",
		"grid": "grid", "grid_loss": "grid_loss", "fidelity": "fidelity", "sampling_ratio": "sampling_ratio", "pulse_rate": "pulse_rate", "ghost_rate": "ghost_rate", "gain_span": "gain_span",
		"element_width": "element", "gap": "gap", "aperture_height": "aperture", "natural_angle": "natural_angle",
		"coverage": "coverage", "aperture": "active_elements", "temperature_shift": "temperature_shift",
		"artefact_rise": "artefact_rise", "reach_angle": "reach_angle",
	} {
		if v, ok := s.Value("groups." + set.Name + "." + id); ok {
			f["group."+name] = v.Q
		}
	}
	if v, ok := s.Value("groups." + set.Name + ".width_overlap"); ok {
		// Near a focus a beam is narrower than its spread says, near the probe wider.
		// Around a pipe there are its widths alone.
		if far, ok := f["group.beam_overlap"].(si.Quantity); !ok || v.Q.SI < far.SI {
			f["group.beam_overlap"] = v.Q
		}
	}
	if v, ok := s.Value("groups." + set.Name + ".grid_ratio"); ok {
		f["group.grid_ratio"] = si.Quantity{SI: 1 / v.Q.SI, Kind: si.Number}
	}
	if len(g.Placements) == 0 {
		return f
	}
	number("legs", g.legs())
	angle := func(name string, x si.Angle) { f["group."+name] = si.Quantity{SI: float64(x), Kind: si.KindAngle} }
	angle("angle_from", g.Angles.From)
	angle("angle_to", g.Angles.To)
	angle("wall_from", g.atWall(g.Angles.From))
	angle("wall_to", g.atWall(g.Angles.To))
	f["group.grating_lobe"] = g.gratingEnters(g.stand(set.WedgeFront))
	if usable := g.usable(g.Sent()); si.Known(usable.From + usable.To) {
		f["group.usable_angles"] = g.Angles.From >= usable.From-1e-9 && g.Angles.To <= usable.To+1e-9
	}
	best := si.Unknown[si.Angle]()
	for _, in := range g.Faces {
		if !in.Face.RootFace && !(in.Best >= best) {
			best = in.Best
		}
	}
	angle("face_best", best)
	return f
}
