package templates

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// approvalLists is how many open findings and deviations the approval page has
// room for.
const approvalLists = 5

// view is what a template sees: words and numbers ready to print, and nothing
// of the types they come from.
type view struct {
	p *printer

	Document   document
	Procedure  []code
	Acceptance []code
	House      []code // house rule books
	People     people
	Part       part
	Weld       weld
	Equipment  equipment
	Groups     []group
	Together   md // number of the section on all groups together
	Coverage   coverage
	Faces      []face // met by any group from any side
	NotSquare  []face // of them: fusion faces not wholly met square
	RootFaces  []face // of them: root faces not wholly met square
	Reference  reference
	Scan       scan

	Evaluation    evaluation
	Qualification qualification

	Books      []book
	Apart      []differing
	Linearity  linearity
	Essential  []variable
	OnChange   []consequence
	Uncovered  []md // codes named, for which there is no rule book
	FromMemory int
	Unchecked  int // requirements
	Open       []finding
	Confirm    []finding
	Advice     []finding
	Deviations []agreed
	Overleaf   bool // open findings and deviations are too many for the approval page
	Criteria   []criteria
	Range      []size // of parts that the technique covers; nil where it is for one
	Chapters   []chapter
	Sources    []md
	Since      *since // what changed since an earlier revision; nil where none is named

	LeastSquare                                                                                  md // least share of a fusion face that is met square
	TFM, Sectorial, Linear, TOFD, Beams, Singles, Pipe, Girth, Seam, OneSided, Draft, Superseded bool
	Lateral, InBore                                                                              bool // of pairs: one has a lateral wave, one stands in a bore
}

type document struct {
	Number, Title, Revision, Date, Status, Units md
	Client, Project, Contractor                  md
	Purpose                                      []md // paragraphs
	History                                      []revision
	Comments                                     []comment
	Returns                                      []returned
	Start                                        md // whether work may start, where the client returned this revision
	Distribution, Limitations, Safety            []md
}

type revision struct{ Revision, Date, Change, By md }

type code struct{ Code, Edition, Level, Cite md }

type people []person

type person struct {
	task                                   string
	Task, Role, Name, Qualification, Level md
	Certificate, Training, Short, Entry    md
	Signs                                  bool
}

// For lists those who have one of the tasks.
func (p people) For(tasks ...string) people {
	var some people
	for _, one := range p {
		for _, t := range tasks {
			if one.task == t {
				some = append(some, one)
			}
		}
	}
	return some
}

// Signing lists those who sign the document.
func (p people) Signing() people { return p.For("prepares", "reviews", "approves", "accepts") }

// roles says what a task is called beside a signature, and in the list of tasks.
var roles = []struct{ task, signs, does string }{
	{"prepares", "Prepared by", "Prepares the technique"},
	{"reviews", "Reviewed by", "Reviews the technique"},
	{"approves", "Approved by", "Approves the technique"},
	{"accepts", "Accepted by", "Accepts the technique for the client"},
	{"scans", "", "Sets up, checks and scans"},
	{"evaluates", "", "Evaluates the data and reports"},
}

type part struct {
	Thickness, Diameter                        md
	Kind, Description, Material, MaterialGroup md
	Zone, Boundary, Basis, Sides, Surfaces     md
	From, To, Condition, Roughness, Coating    md
	ParentMaterial                             md
	Density, LongChange, TransChange           md
	LongAttenuation, TransAttenuation          md
	CapAsWelded, RootAsWelded                  bool
	Clad                                       md // the surface that is clad, "" where none is
	Transitions                                []transition
	Misaligned                                 bool
	Flange, FlangeOffset                       md   // of a T-butt weld, "" of a butt weld
	Outer                                      bool // the outer face of the flange is accessible
}

// transition is where the wall of one side grows thicker.
type transition struct {
	Side, What                        md // what ends where it begins
	Begins, Slope, Thickness, Surface md
}

type weld struct {
	Numbers, Process, Stage, Preparation, Opens, Bevel, Lower, Upper md
	RootFace, RootGap, BevelledSide, Cap, Root, Flaws, Transverse    md
	Outer, Break, Radius                                             md // "" where the preparation has none
	Double, Square                                                   bool
}

type criteria struct {
	Title, Code, Clause, Sure md
	grid
	Slender grid // limits by slenderness
	Notes   []md
}

// grid is a table as the technique has it.
type grid struct {
	Head []md
	Rows [][]md
}

func seeGrid(head []string, rows [][]string) grid {
	var g grid
	for _, h := range head {
		g.Head = append(g.Head, esc(capital(h)))
	}
	for _, r := range rows {
		var row []md
		for _, cell := range r {
			row = append(row, esc(minus(cell)))
		}
		g.Rows = append(g.Rows, row)
	}
	return g
}

// evaluation is how the job says that indications are told apart and sized;
// empty where it does not.
type evaluation struct{ Geometry, Length, Height md }

func seeEvaluation(e schema.Evaluation) evaluation {
	return evaluation{Geometry: esc(e.Geometry), Length: esc(e.Length), Height: esc(e.Height)}
}

type qualification struct {
	Block, Record, Result md
	Flaws                 []md
	Given                 bool
}

// see builds the view of a technique. It refuses one that lacks a number the
// document cannot do without.
func see(t *technique.Technique, tongue *Tongue) (*view, error) {
	if n := diag.Count(t.Findings).Error; n > 0 {
		return nil, fmt.Errorf("%s in the job to be put right first", plural(n, "error"))
	}
	t = tongue.restate(once(t))
	p := &printer{system: t.Job.Document.Units, tongue: tongue}
	x := values{t, p}
	j := t.Job
	v := &view{
		p:             p,
		Document:      seeDocument(j.Document),
		Procedure:     codes(j.Codes.Procedure),
		Acceptance:    codes(j.Codes.Acceptance),
		House:         houses(t.House),
		People:        seePeople(j.Document.People),
		Part:          seePart(p, j.Part),
		Weld:          seeWeld(p, j.Part.Weld, j.Part.Flange != nil),
		Equipment:     seeEquipment(p, t),
		Groups:        seeGroups(x),
		Together:      md(fmt.Sprintf("9.%d", len(t.Groups)+1)),
		Coverage:      seeCoverage(p, t.Coverage),
		Range:         seeSizes(p, t.Range),
		Reference:     seeReference(p, t),
		Scan:          seeScan(p, t),
		Evaluation:    seeEvaluation(j.Evaluation),
		Qualification: seeQualification(j.Qualification),
		Books:         books(t),
		Apart:         apart(t),
		Linearity:     seeLinearity(t.Linearity),
		Essential:     variables(t),
		OnChange:      consequences(t),
		Uncovered:     uncovered(t),
		FromMemory:    fromMemory(t),
		Unchecked:     verdicts(t.Rules)[rules.Unchecked],
		Open:          findings(t, diag.Finding.Open),
		Confirm:       findings(t, func(f diag.Finding) bool { return f.Level == diag.Note }),
		Advice:        findings(t, func(f diag.Finding) bool { return f.Level == diag.Should }),
		Deviations:    deviations(t),
		Criteria:      seeCriteria(t.Acceptance),
		Pipe:          j.Part.Kind == "pipe",
		Girth:         j.Part.Girth(),
		Seam:          j.Part.Longitudinal(),
		OneSided:      len(j.Part.Sides) == 1,
		Superseded:    j.Document.Status == "superseded",
	}
	for _, g := range v.Groups {
		v.TFM, v.Sectorial, v.Linear = v.TFM || g.TFM, v.Sectorial || g.Sectorial, v.Linear || g.Linear
		v.Lateral, v.InBore = v.Lateral || g.TOFD && !g.InBore, v.InBore || g.TOFD && g.InBore
		v.TOFD, v.Beams, v.Singles = v.TOFD || g.TOFD, v.Beams || g.Beams, v.Singles || g.Single
	}
	v.seeFaces(p, t.Faces)
	v.Overleaf = len(v.Open)+len(v.Deviations) > approvalLists
	v.Draft = len(v.Open) > 0 || j.Document.Status == "draft"
	var err error
	if v.Chapters, v.Sources, err = x.calculations(); err != nil {
		return nil, err
	}
	if tongue != nil {
		for _, printed := range []any{&v.Books, &v.Apart, &v.Essential, &v.Open, &v.Confirm, &v.Advice, &v.Criteria} {
			tongue.decimals(reflect.ValueOf(printed).Elem())
		}
	}
	if len(p.refused) > 0 {
		return nil, fmt.Errorf("not known, and the document cannot do without: %s", strings.Join(p.refused, ", "))
	}
	return v, nil
}

// seeFaces shows the fusion faces as all groups together meet them. A root face
// stands upright: that it is not met square is a limitation, and no fault of
// the set-up.
func (v *view) seeFaces(p *printer, all []technique.FaceIncidence) {
	least := si.Ratio(1)
	for _, f := range all {
		one := seeFace(p, f)
		v.Faces = append(v.Faces, one)
		if f.Face.RootFace {
			if f.Within < 1 {
				v.RootFaces = append(v.RootFaces, one)
			}
			continue
		}
		least = min(least, f.Within)
		v.LeastSquare = p.computed(ratioOf(least), percentOne, si.Down)
		if f.Within < 1 {
			v.NotSquare = append(v.NotSquare, one)
		}
	}
}

func seeDocument(d schema.Document) document {
	units := map[string]md{
		"in":   "inch, °F; other quantities in SI units",
		"both": "millimetre, with inch in brackets; the millimetre value governs",
	}[d.Units]
	v := document{
		Number: or(esc(d.Number), notStated), Title: or(esc(d.Title), "Ultrasonic examination of welds"),
		Revision: or(esc(d.Revision), notStated), Date: or(esc(d.Date), notStated), Status: or(esc(d.Status), notStated),
		Units:  or(units, "millimetre; other quantities in SI units"),
		Client: or(esc(d.Client), notStated), Project: or(esc(d.Project), notStated), Contractor: or(esc(d.Contractor), notStated),
		Distribution: listed(d.Distribution), Limitations: listed(d.Limitations), Safety: listed(d.Safety),
	}
	for _, p := range strings.Split(strings.ReplaceAll(d.Purpose, "\r\n", "\n"), "\n\n") {
		if text := esc(p); text != "" {
			v.Purpose = append(v.Purpose, text)
		}
	}
	for _, h := range d.History {
		v.History = append(v.History, revision{esc(h.Revision), esc(h.Date), esc(h.Change), esc(h.By)})
	}
	v.comments(&d)
	return v
}

func codeNames(cs []schema.Code) []string {
	var names []string
	for _, c := range cs {
		names = append(names, c.Code)
	}
	return names
}

func codes(cs []schema.Code) []code {
	var all []code
	for _, c := range cs {
		all = append(all, code{esc(c.Code), or(esc(c.Edition), notStated), esc(c.Level), esc(rules.Cite(c.Code, c.Edition))})
	}
	return all
}

func houses(heads []rules.Head) []code {
	var all []code
	for _, h := range heads {
		all = append(all, code{Code: esc(h.Code), Edition: esc(h.Edition)})
	}
	return all
}

func seePeople(ps []schema.Person) people {
	var all people
	for _, r := range roles {
		for _, p := range ps {
			if p.Task != r.task {
				continue
			}
			one := person{
				task: p.Task, Task: md(r.does), Role: md(r.signs), Name: esc(p.Name),
				Qualification: or(esc(p.Qualification), notStated), Level: "–",
				Certificate: esc(p.Certificate), Training: or(esc(p.Training), "–"), Signs: r.signs != "",
			}
			if p.Level > 0 {
				one.Level = md(fmt.Sprint(p.Level))
			}
			one.Entry = or(one.Name, "named on the record")
			one.Short = or(one.Name, one.Qualification)
			all = append(all, one)
		}
	}
	return all
}

// clad names the surface that is clad.
func clad(part0 schema.Part) md {
	if part0.Cladding == nil {
		return ""
	}
	return esc(surface(part0.Kind, part0.Cladding.Surface))
}

func seePart(p *printer, part0 schema.Part) part {
	m := part0.Material
	var flange, face md
	if part0.Flange != nil {
		flange, face = p.length(part0.Flange.Thickness), p.length(part0.Weld.RootGap/2)
	}
	return part{
		Flange: flange, FlangeOffset: face,
		Kind: esc(part0.Kind), Description: or(esc(part0.Description), notStated),
		Material: or(esc(part0.Material.Name), notStated), MaterialGroup: esc(part0.Material.Group),
		Thickness: p.needed("part.thickness", lengthOf(part0.Thickness), lengthUnit, si.Nearest), Diameter: p.length(part0.OutsideDiameter),
		Zone:        p.length(part0.Zone.Width),
		Transitions: seeTransitions(p, part0), Misaligned: part0.Weld.Misalignment != 0 && si.Known(part0.Weld.Misalignment),
		Boundary: boundary(part0.Zone.Boundary, part0.Weld.RootRadius > 0), Basis: or(esc(part0.Zone.Basis), notStated),
		Sides: p.list(part0.Sides), Surfaces: p.list(surfaces(part0.Kind, slices.DeleteFunc(slices.Clone(part0.Surfaces), func(s string) bool { return s == "flange" }))),
		Outer:     slices.Contains(part0.Surfaces, "flange"),
		From:      p.given(celsiusOf(part0.Temperature.From), celsiusUnit, si.Up),
		To:        p.given(celsiusOf(part0.Temperature.To), celsiusUnit, si.Down),
		Condition: or(esc(part0.Surface.Condition), notStated),
		Roughness: p.given(lengthOf(part0.Surface.Roughness), micrometre, si.Down),
		Coating:   or(esc(part0.Surface.Coating), notStated), ParentMaterial: esc(part0.ParentMaterial),
		Density:          p.given(densityOf(m.Density), densityUnit, si.Nearest),
		LongChange:       p.given(changeOf(m.LongitudinalChange), changeUnit, si.Nearest),
		TransChange:      p.given(changeOf(m.TransverseChange), changeUnit, si.Nearest),
		LongAttenuation:  p.attenuation(m.LongitudinalAttenuation, m.AttenuationAt),
		TransAttenuation: p.attenuation(m.TransverseAttenuation, m.AttenuationAt),
		CapAsWelded:      part0.Weld.Cap.Condition == "as-welded",
		RootAsWelded:     part0.Weld.Root.Condition == "as-welded",
		Clad:             clad(part0),
	}
}

// surfaces adds what top and bottom are on a pipe.
func surfaces(kind string, names []string) []string {
	var all []string
	for _, s := range names {
		all = append(all, surface(kind, s))
	}
	return all
}

func surface(kind, name string) string {
	if name == "flange" {
		return "outer face of the flange"
	}
	if kind == "pipe" {
		switch name {
		case "top":
			return "top (outside)"
		case "bottom":
			return "bottom (inside)"
		}
	}
	return name
}

func boundary(kind string, radius bool) md {
	switch kind {
	case "parallel":
		if radius {
			return "parallel to the fusion face, and upright from the end of a radius to the root"
		}
		return "parallel to the fusion face"
	case "straight", "":
		return "straight through the thickness, from the widest point of the weld"
	}
	return esc(kind)
}

func seeWeld(p *printer, w schema.Weld, tee bool) weld {
	reinforcement := func(r schema.Reinforcement) md {
		if r.Condition != "as-welded" {
			return or(esc(r.Condition), notStated)
		}
		if tee {
			return "as welded, a fillet with a leg of " + p.length(r.Width) + " along the web and of " + p.length(r.Height) + " along the flange"
		}
		return "as welded, " + p.length(r.Width) + " wide, " + p.length(r.Height) + " high"
	}
	v := weld{
		Numbers: or(p.list(w.Numbers), "by the weld list of the order"), Process: or(esc(w.Process), notStated),
		Stage: or(esc(w.Stage), notStated), Preparation: or(esc(w.Preparation), notStated), Opens: esc(w.Opens),
		Bevel: p.given(angleOf(w.BevelAngle), angleUnit, si.Nearest), Lower: p.given(angleOf(w.LowerAngle), angleUnit, si.Nearest),
		Upper: p.length(w.UpperDepth), RootFace: p.length(w.RootFace), RootGap: p.length(w.RootGap),
		BevelledSide: esc(w.BevelledSide), Cap: reinforcement(w.Cap), Root: reinforcement(w.Root),
		Flaws: or(p.list(w.Flaws), notStated), Transverse: esc(w.Transverse), Double: w.Double(), Square: w.Preparation == "square",
	}
	if w.RootRadius > 0 {
		v.Radius = p.length(w.RootRadius)
	}
	if w.Preparation == "compound-bevel" {
		v.Outer, v.Break = p.given(angleOf(w.OuterAngle), angleUnit, si.Nearest), p.length(w.BreakHeight)
	}
	return v
}

func seeTransitions(p *printer, part0 schema.Part) []transition {
	var list []transition
	angle := func(a si.Angle) md { return p.given(angleOf(a), angleUnit, si.Nearest) }
	add := func(side md, t *schema.Transition, bore *schema.Counterbore) {
		if t != nil {
			surface := md(t.Surface + " surface")
			switch t.Surface {
			case "":
				surface = "bottom surface"
			case "both":
				surface = "two surfaces alike"
			}
			list = append(list, transition{side, "a slope of " + angle(t.Slope) + " of the " + surface, p.length(t.Begins) + " from the weld centreline", angle(t.Slope), p.length(t.Thickness), surface})
		}
		if bore != nil {
			list = append(list, transition{side, "a counterbore with a taper of " + angle(bore.Taper), p.length(bore.Length) + " from the edge of the root gap", angle(bore.Taper), p.length(part0.Thickness + bore.Depth), "inside"})
		}
	}
	add("A", part0.TransitionA, part0.CounterboreA)
	add("B", part0.TransitionB, part0.CounterboreB)
	return list
}

func seeQualification(q schema.Qualification) qualification {
	return qualification{
		Block: or(esc(q.Block), notStated), Record: or(esc(q.Record), notStated), Result: or(esc(q.Result), notStated),
		Flaws: listed(q.Flaws), Given: q.Block != "" || q.Record != "" || q.Trials > 0,
	}
}

func seeCriteria(tables []technique.AcceptanceTable) []criteria {
	var all []criteria
	for _, t := range tables {
		c := criteria{
			Title: esc(t.Title), Code: esc(t.Code), Clause: esc(t.Clause), Sure: or(esc(t.Sure), notStated), Notes: listed(t.Notes),
			grid: seeGrid(t.Head, t.Rows), Slender: seeGrid(t.Slender.Head, t.Slender.Rows),
		}
		all = append(all, c)
	}
	return all
}
