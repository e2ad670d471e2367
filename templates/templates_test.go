package templates

import (
	"bytes"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	tables "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

var drawings = []Figure{
	{Name: "section-upper", Caption: "Section of group upper", Alt: "section"}, {Name: "section-image", Caption: "Section of group image", Alt: "section"},
	{Name: "section-all", Caption: "All groups", Alt: "section"}, {Name: "plan", Caption: "Plan of the scan", Alt: "plan"}, {Name: "speed", Caption: "Speed", Alt: "bars"}, {Name: "block", Caption: "Block", Alt: "block"},
}

func written(t *testing.T, tech *technique.Technique, figures []Figure) string {
	t.Helper()
	b, err := Markdown(files, tech, figures)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// parse reads the document with a Markdown reader that shares no code with
// this package.
func parse(source string) ast.Node {
	md := goldmark.New(goldmark.WithExtensions(extension.GFM))
	return md.Parser().Parse(text.NewReader([]byte(source)))
}

func plainText(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, in bool) (ast.WalkStatus, error) {
		if !in {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			b.Write(unescape(n.Segment.Value(source)))
			if n.SoftLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

var backslash = regexp.MustCompile(`\\([[:punct:]])`)

func unescape(s []byte) []byte { return backslash.ReplaceAll(s, []byte("$1")) }

type heading struct {
	level int
	text  string
}

func headings(source string) []heading {
	var all []heading
	_ = ast.Walk(parse(source), func(n ast.Node, in bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && in {
			all = append(all, heading{h.Level, plainText(h, []byte(source))})
		}
		return ast.WalkContinue, nil
	})
	return all
}

func TestSectionsStandInOrder(t *testing.T) {
	want := []string{
		"Approval", "Approver's checklist", "Revision record", "Contents", "1 Scope", "2 References", "3 Terms", "4 Safety", "5 Personnel",
		"6 Equipment", "7 Part", "8 Surface", "9 Technique", "10 Reference block", "11 Scanning", "12 Checks", "13 Evaluation", "14 Report",
		"15 Essential", "Annex A", "Annex B", "Annex C", "Annex D",
	}
	hs := headings(written(t, sample(), drawings))
	if hs[0] != (heading{1, "Butt welds of a footbridge"}) {
		t.Errorf("the document begins with %v", hs[0])
	}
	i := 0
	for _, h := range hs[1:] {
		if h.level == 1 {
			t.Errorf("second title %q", h.text)
		}
		if h.level != 2 {
			continue
		}
		if i >= len(want) || !strings.HasPrefix(h.text, want[i]) {
			t.Fatalf("section %d is %q, want %v", i, h.text, want[i:])
		}
		i++
	}
	if i != len(want) {
		t.Errorf("sections missing: %v", want[i:])
	}
}

func TestSubsectionsThatRuleBooksName(t *testing.T) {
	source := written(t, sample(), drawings)
	for _, n := range []string{"6.1", "6.2", "6.3", "6.4", "7.1", "7.2", "7.3", "7.4", "7.5", "9.1", "9.2", "9.3", "10.1", "10.2", "10.3", "10.4", "11.1", "11.2", "11.3", "11.4", "13.1"} {
		if !strings.Contains(source, "\n### "+n+" ") {
			t.Errorf("there is no section %s", n)
		}
	}
}

// steers are the comments that the layout reads.
var steers = map[string]bool{"<!-- page -->": true, "<!-- contents -->": true, "<!-- sheet -->": true, "<!-- signatures -->": true, "<!-- small -->": true, "<!-- key -->": true}

// whole checks what holds for every document, whatever the job.
func whole(t *testing.T, source string) {
	t.Helper()
	for _, bad := range []string{"NaN", "unknown", "<no value>", "%!", "map[", "\n\n\n", " \n", "..\n", "#section:"} {
		if i := strings.Index(source, bad); i >= 0 {
			t.Errorf("the document holds %q: %q", bad, source[max(0, i-60):min(len(source), i+40)])
		}
	}
	root := parse(source)
	anchors := map[string]bool{}
	for _, h := range headings(source) {
		anchors[githubAnchor(h.text)] = true
	}
	var last ast.Node
	_ = ast.Walk(root, func(n ast.Node, in bool) (ast.WalkStatus, error) {
		if !in {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Link:
			if d := string(n.Destination); !strings.HasPrefix(d, "#") || !anchors[d[1:]] {
				t.Errorf("link to %q, which is no heading", d)
			}
		case *ast.AutoLink, *ast.RawHTML, *ast.CodeSpan, *ast.CodeBlock, *ast.FencedCodeBlock:
			t.Errorf("%s in the document", n.Kind())
		case *ast.HTMLBlock:
			line := n.Lines().At(0)
			if s := strings.TrimSpace(string(line.Value([]byte(source)))); !steers[s] {
				t.Errorf("HTML in the document: %s", s)
			}
		case *tables.Table:
			width := n.FirstChild().ChildCount()
			if n.ChildCount() < 2 {
				t.Errorf("empty table %q", plainText(n, []byte(source)))
			}
			for row := n.FirstChild(); row != nil; row = row.NextSibling() {
				if row.ChildCount() != width {
					t.Errorf("row %q has %d cells, its head %d", plainText(row, []byte(source)), row.ChildCount(), width)
				}
			}
		}
		if h, ok := n.(*ast.Heading); ok {
			if before, ok := last.(*ast.Heading); ok && before.Level >= h.Level {
				t.Errorf("section %q is empty", plainText(before, []byte(source)))
			}
		}
		if n.Type() == ast.TypeBlock && n.Parent() == root {
			last = n
		}
		return ast.WalkContinue, nil
	})
	// goldmark pads short rows and cuts long ones, so count the bars as well.
	for _, block := range regexp.MustCompile(`(?m)(^\|.*\n)+`).FindAllString(source, -1) {
		rows := strings.Split(strings.TrimSpace(block), "\n")
		bars := func(s string) int { return strings.Count(strings.ReplaceAll(s, `\|`, ""), "|") }
		for _, r := range rows {
			if bars(r) != bars(rows[0]) {
				t.Errorf("row %q has %d bars, its head %d", r, bars(r), bars(rows[0]))
			}
		}
	}
}

func githubAnchor(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ':
			return '-'
		case r == '-', r == '_', unicode.In(r, unicode.L, unicode.N, unicode.M):
			return unicode.ToLower(r)
		}
		return -1
	}, text)
}

func TestDocumentsAreWhole(t *testing.T) {
	edits := map[string]func(*schema.Job){
		"full":   func(*schema.Job) {},
		"inch":   func(j *schema.Job) { j.Document.Units = "in" },
		"both":   func(j *schema.Job) { j.Document.Units = "both" },
		"pipe":   func(j *schema.Job) { j.Part.Kind, j.Part.OutsideDiameter, j.Part.Weld.Seam = "pipe", 0.2191, "girth" },
		"double": func(j *schema.Job) { j.Part.Weld.Preparation, j.Part.Weld.UpperDepth = "double-V", 0.005 },
		"square": func(j *schema.Job) { j.Part.Weld.Preparation, j.Part.Weld.RootFace = "square", si.Length(math.NaN()) },
		"thicker": func(j *schema.Job) {
			j.Part.TransitionB = &schema.Transition{Begins: 0.06, Slope: 0.25, Thickness: 2 * j.Part.Thickness}
		},
		"radius": func(j *schema.Job) { j.Part.Weld.Preparation, j.Part.Weld.RootRadius = "single-U", 0.006 },
		"compound": func(j *schema.Job) {
			w := &j.Part.Weld
			w.Preparation, w.OuterAngle, w.BreakHeight = "compound-bevel", 0.17, 0.008
		},
		"sparse": sparse,
		"image only": func(j *schema.Job) {
			j.Groups = j.Groups[1:]
			j.Groups[0].Fidelity = 1.1
		},
	}
	for name, edit := range edits {
		t.Run(name, func(t *testing.T) {
			tech := sample(edit)
			whole(t, written(t, tech, drawings))
			tech.Coverage.Missed, tech.Curve, tech.Acceptance, tech.Rules, tech.Findings = nil, nil, nil, nil, nil
			tech.Speed.Alternatives = tech.Speed.Alternatives[:1]
			whole(t, written(t, tech, nil))
		})
	}
}

// sparse leaves out everything that a job may leave out.
func sparse(j *schema.Job) {
	nan := si.Length(math.NaN())
	d := &j.Document
	d.Purpose, d.Title, d.Client, d.People, d.History, d.Distribution, d.Limitations, d.Safety = "", "", "", nil, nil, nil, nil, nil
	j.Codes = schema.Codes{}
	p := &j.Part
	p.Description, p.ParentMaterial, p.Sides, p.Surfaces, p.Zone.Basis = "", "", p.Sides[:1], nil, ""
	p.Surface = schema.Surface{Roughness: nan}
	p.Temperature = schema.TemperatureRange{From: si.Celsius(math.NaN()), To: si.Celsius(math.NaN())}
	p.Weld.Flaws, p.Weld.Numbers, p.Weld.Transverse, p.Weld.Root = nil, nil, "", schema.Reinforcement{Condition: "flush", Width: nan, Height: nan}
	j.Equipment.Instrument = schema.Instrument{Sampling: si.Frequency(math.NaN()), PulseRate: si.Frequency(math.NaN()), Rearm: si.Time(math.NaN()), FrameOverhead: si.Time(math.NaN()), DataRate: si.ByteRate(math.NaN())}
	j.Equipment.Blocks, j.Equipment.Couplant, j.Equipment.Encoder.Resolution = nil, "", nan
	j.Reference.Transfer = ""
	j.Reference.Checks = schema.Checks{Interval: si.Time(math.NaN()), Sensitivity: si.Decibel(math.NaN()), Range: nan, RangeShare: si.Ratio(math.NaN()), Encoder: si.Ratio(math.NaN()), EncoderLength: nan}
	j.Scan.CouplingLoss, j.Scan.Storage, j.Scan.MissingShare = "", "", si.Ratio(math.NaN())
	j.Qualification, j.Deviations = schema.Qualification{}, nil
}

const hostile = "**x** <script>alert(1)</script> | pipes | [a](http://b.example) `tick` &lt; $y$ ~~s~~ _u_ :smile: www.evil.example a@b.example <!-- page --> \\| {#id} # 1."

// chosen are the texts of a job that the schema takes from a list.
var chosen = map[string]bool{"Units": true, "Task": true, "Kind": true, "Preparation": true, "Opens": true, "BevelledSide": true, "Condition": true, "Boundary": true, "Sides": true, "Surfaces": true, "Surface": true,
	"Image": true, "Drive": true, "Method": true, "Wave": true, "Path": true, "Scheme": true, "Store": true, "Reflector": true, "Pass": true, "Status": true, "Probe": true, "Wedge": true, "Block": true}

// fill puts the hostile text into every text of the job that a person writes.
func fill(v reflect.Value) (n int) {
	switch v.Kind() {
	case reflect.String:
		v.SetString("- " + hostile + "\n\n# h\n")
		return 1
	case reflect.Pointer:
		if !v.IsNil() {
			return fill(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			n += fill(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.IsExported() && (!chosen[f.Name] || f.Type.Kind() == reflect.Struct) {
				n += fill(v.Field(i))
			}
		}
	}
	return n
}

func TestHostileTextStandsLiterally(t *testing.T) {
	filled := 0
	tech := sample(func(j *schema.Job) {
		probe, wedge, block := j.Equipment.Probes[0].Name, j.Equipment.Wedges[0].Name, j.Equipment.Blocks[0].Name
		filled = fill(reflect.ValueOf(j).Elem())
		j.Equipment.Probes[0].Name, j.Equipment.Wedges[0].Name, j.Equipment.Blocks[0].Name = probe, wedge, block
		j.Groups[0].Name, j.Groups[1].Name = "*a* [b](c) `d` <i>", "e|f"
	})
	if filled < 60 {
		t.Fatalf("only %d texts were filled", filled)
	}
	for i := range tech.Rules {
		fill(reflect.ValueOf(&tech.Rules[i].Asks).Elem())
		fill(reflect.ValueOf(&tech.Rules[i].Actual).Elem())
	}
	fill(reflect.ValueOf(&tech.Acceptance[0].Rows[0][0]).Elem())
	fill(reflect.ValueOf(&tech.Findings[0].Message).Elem())
	figures := append([]Figure(nil), drawings...)
	figures[3].Caption, figures[3].Alt = hostile, hostile
	source := written(t, tech, figures)
	whole(t, source)

	literal := strings.Count(plainText(parse(source), []byte(source)), hostile)
	// The names of unused equipment and a few texts are not printed; most of what was filled is.
	if literal < filled*3/4 {
		t.Errorf("%d texts were filled, %d stand in the document literally", filled, literal)
	}
	var found bool
	for _, h := range headings(source) {
		found = found || h.text == "9.1 Group *a* [b](c) `d` <i>"
	}
	if !found {
		t.Error("the heading of the group does not show its name")
	}
}

func TestViewHoldsOnlyEscapedText(t *testing.T) {
	seen := map[reflect.Type]bool{}
	var check func(reflect.Type, string)
	check = func(ty reflect.Type, path string) {
		if seen[ty] {
			return
		}
		seen[ty] = true
		switch ty.Kind() {
		case reflect.Bool, reflect.Int:
		case reflect.Slice, reflect.Pointer:
			check(ty.Elem(), path)
		case reflect.Struct:
			for i := range ty.NumField() {
				if f := ty.Field(i); f.IsExported() || f.Anonymous {
					check(f.Type, path+"."+f.Name)
				}
			}
			for i := range ty.NumMethod() {
				check(ty.Method(i).Type.Out(0), path+"."+ty.Method(i).Name+"()")
			}
		default:
			if ty != reflect.TypeFor[md]() {
				t.Errorf("%s is a %s", path, ty)
			}
		}
	}
	check(reflect.TypeFor[view](), "view")
}

func TestUnknownNumbersAreRefused(t *testing.T) {
	// Every value the text names, one after the other.
	for _, v := range sample().Values {
		tech := sample()
		for i := range tech.Values {
			if tech.Values[i].ID == v.ID {
				tech.Values[i].Q.SI = math.NaN()
			}
		}
		if _, err := Markdown(files, tech, drawings); err == nil || !strings.Contains(err.Error(), v.ID) {
			t.Errorf("with %s unknown: error %v", v.ID, err)
		}
	}
	nan := math.NaN()
	for path, spoil := range map[string]func(*technique.Technique){
		"part.thickness":           func(t *technique.Technique) { t.Job.Part.Thickness = si.Length(nan) },
		"reference.level":          func(t *technique.Technique) { t.Job.Reference.Level = si.Ratio(nan) },
		"reference.scanning_gain":  func(t *technique.Technique) { t.Job.Reference.ScanningGain = si.Decibel(math.Inf(1)) },
		"evaluation_level":         func(t *technique.Technique) { t.Job.Reference.EvaluationLevel = si.Decibel(nan) },
		"groups.upper.wedge_front": func(t *technique.Technique) { t.Job.Groups[0].WedgeFront = si.Length(nan) },
		"probes.P5.pitch":          func(t *technique.Technique) { t.Job.Equipment.Probes[0].Pitch = si.Length(nan) },
		"wedges.W55.velocity":      func(t *technique.Technique) { t.Job.Equipment.Wedges[0].Velocity = si.Speed(nan) },
		"beam 3":                   func(t *technique.Technique) { t.Groups[0].Laws[2].Path = si.Length(nan) },
		"delay of element 10":      func(t *technique.Technique) { t.Groups[0].Laws[0].Delays[1] = si.Time(nan) },
		"side B":                   func(t *technique.Technique) { t.Groups[0].Placements[1].Exit.X = si.Length(nan) },
		"pass 2":                   func(t *technique.Technique) { t.Speed.Passes[1].Limit = si.Speed(nan) },
		"share of the volume":      func(t *technique.Technique) { t.Coverage.Share = si.Ratio(nan) },
		"1 error in the job": func(t *technique.Technique) {
			t.Findings = append(t.Findings, diag.Finding{Level: diag.Error, Message: "wrong"})
		},
		"input a": func(t *technique.Technique) { t.Values[0].Inputs[0].Q.SI = nan },
	} {
		tech := sample()
		spoil(tech)
		if _, err := Markdown(files, tech, drawings); err == nil || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: error %v", path, err)
		}
	}
}

func TestFaultsOfTemplatesNameFileAndCause(t *testing.T) {
	for name, c := range map[string]struct{ source, want string }{
		"missing value":   {"\n{{v \"scan.nothing\"}}", "templates/01-x.md:2:3: there is no value scan.nothing"},
		"group value":     {"{{range .Groups}}{{.V \"nothing\"}}{{end}}", "templates/01-x.md:1:20: there is no value groups.upper.nothing"},
		"missing section": {"{{ref \"3.9\"}}", "refers to section 3.9, which the document does not have"},
		"short row":       {"## 1 A\n\n| a | b |\n| --- | --- |\n| 1 |", "table under \"## 1 A\""},
		"empty table":     {"| a | b |\n| --- | --- |", "no rows"},
		"no such field":   {"{{.Nothing}}", "01-x.md:1:3: there is nothing called .Nothing here"},
	} {
		_, err := write(fstest.MapFS{"01-x.md": {Data: []byte(c.source)}}, sample(), nil, "*.md", nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", name, err, c.want)
		}
	}
}

func TestFiguresAreNumberedInOrder(t *testing.T) {
	source := written(t, sample(), []Figure{drawings[4], drawings[3], drawings[0]})
	want := []string{"![section](section-upper.svg)\n\n*Figure 1. Section of group upper*", "![plan](plan.svg)\n\n*Figure 2. Plan of the scan*", "![bars](speed.svg)\n\n*Figure 3. Speed*"}
	at := 0
	for _, w := range want {
		i := strings.Index(source[at:], "\n\n"+w+"\n\n")
		if i < 0 {
			t.Fatalf("%q is not in its place", w)
		}
		at += i
	}
	if n := strings.Count(source, "!["); n != 3 {
		t.Errorf("%d figures, want 3", n)
	}
}

func TestSameTechniqueSameBytes(t *testing.T) {
	if a, b := written(t, sample(), drawings), written(t, sample(), drawings); !bytes.Equal([]byte(a), []byte(b)) {
		t.Error("two runs differ")
	}
}

func TestStatesOfTheDocument(t *testing.T) {
	open := func(t *technique.Technique) {
		t.Findings = append(t.Findings, diag.Finding{Level: diag.Shall, Message: "scan lines are too far apart", Actual: "2 mm", Limit: "at most 1 mm"})
	}
	agreed := func(t *technique.Technique) {
		open(t)
		t.Findings[len(t.Findings)-1].Deviation = "d1"
	}
	for _, c := range []struct {
		name, status string
		change       func(*technique.Technique)
		banner       string
	}{
		{"clean", "approved", func(*technique.Technique) {}, ""},
		{"open", "approved", open, "**Draft:"},
		{"agreed", "approved", agreed, ""},
		{"draft", "draft", func(*technique.Technique) {}, "**Draft:"},
		{"superseded", "superseded", func(*technique.Technique) {}, "**Superseded:"},
	} {
		tech := sample(func(j *schema.Job) { j.Document.Status = c.status })
		c.change(tech)
		source := written(t, tech, nil)
		first, _, _ := strings.Cut(source, "## Approval")
		for _, b := range []string{"**Draft:", "**Superseded:"} {
			if strings.Contains(first, b) != (b == c.banner) {
				t.Errorf("%s: banner %q: %v", c.name, b, strings.Contains(first, b))
			}
		}
		if c.name == "open" && !strings.Contains(source, "- Scan lines are too far apart: 2 mm; required: at most 1 mm.") {
			t.Error("the open finding is not listed")
		}
	}
}

// The sheet that is handed out alone says what the document says.
func TestSheetIsThatOfTheDocument(t *testing.T) {
	figures := []Figure{{Name: "section-upper", Caption: "elsewhere", Alt: "elsewhere"}, {Name: "positions", Caption: "Where the wedges stand", Alt: "wedges"}}
	whole, err := Markdown(files, sample(), figures)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := Sheet(files, sample(), figures)
	if err != nil {
		t.Fatal(err)
	}
	_, annex, _ := strings.Cut(string(whole), "## Annex C")
	annex, _, _ = strings.Cut(annex, "<!-- page -->")
	_, alone, _ := strings.Cut(string(sheet), "## Annex C")
	for _, text := range []*string{&annex, &alone} {
		*text = regexp.MustCompile(`Figure \d+`).ReplaceAllString(*text, "Figure")
		*text = regexp.MustCompile(`\[section 4\]\(.*?\)|section 4 of the technique`).ReplaceAllString(*text, "section 4")
	}
	if strings.TrimSpace(annex) != strings.TrimSpace(alone) {
		t.Errorf("the sheet alone differs:\n%s\nfrom that in the document:\n%s", alone, annex)
	}
}
