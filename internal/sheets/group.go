package sheets

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// Master is the job that is applied to a list.
type Master struct {
	Text  []byte
	Job   *schema.Job
	House []technique.HouseBook
}

// Sheet is one technique, and the welds it covers.
type Sheet struct {
	Name      string // "01"
	Text      []byte // the job: the master with what the group needs
	Welds     []Weld
	Technique *technique.Technique
}

// Left is a weld that no sheet covers, and why.
type Left struct {
	Weld
	Why string
}

// Totals is what scanning all welds of the sheets takes.
type Totals struct {
	Time si.Time  // at the working speed, without setting up
	Data si.Bytes // stored
}

// size is what tells the welds of a list apart for a technique.
type size struct {
	thickness, diameter     si.Length // diameter unknown in a plate
	joint, access, material string
}

// class is the welds of one size.
type class struct {
	size
	welds []Weld
}

// Group puts welds into sheets. Welds of one preparation, material and access
// are one sheet as far as the master, worked out over the range of their sizes,
// meets every requirement: a size at which it does not splits the range, or is
// left out with the reason. Every weld is in one sheet, or left.
func Group(m *Master, welds []Weld, progress func(done, of int)) ([]Sheet, []Left) {
	var left []Left
	classes := map[size]*class{}
	var order []*class
	for _, w := range welds {
		s, why := m.size(w)
		if why != "" {
			left = append(left, Left{w, why})
			continue
		}
		c := classes[s]
		if c == nil {
			c = &class{size: s}
			classes[s] = c
			order = append(order, c)
		}
		c.welds = append(c.welds, w)
	}
	reasons := m.reasons(order, progress)
	var good []*class
	for i, c := range order {
		if reasons[i] == "" {
			good = append(good, c)
			continue
		}
		for _, w := range c.welds {
			left = append(left, Left{w, reasons[i]})
		}
	}
	slices.SortStableFunc(good, func(a, b *class) int {
		return cmp.Or(cmp.Compare(a.joint, b.joint), cmp.Compare(a.material, b.material), cmp.Compare(a.access, b.access),
			cmp.Compare(a.thickness, b.thickness), cmp.Compare(a.diameter, b.diameter))
	})
	var sheets []Sheet
	for len(good) > 0 {
		n := 1
		for n < len(good) && good[n].joint == good[0].joint && good[n].material == good[0].material && good[n].access == good[0].access {
			n++
		}
		made, cannot := m.split(good[:n])
		sheets, left, good = append(sheets, made...), append(left, cannot...), good[n:]
	}
	named := sheets[:0]
	for _, s := range sheets {
		if err := m.name(&s, fmt.Sprintf("%02d", len(named)+1)); err != nil {
			for _, w := range s.Welds {
				left = append(left, Left{w, err.Error()})
			}
			continue
		}
		named = append(named, s)
	}
	slices.SortStableFunc(left, func(a, b Left) int { return cmp.Compare(a.Row, b.Row) })
	return named, left
}

// size is what a weld is to the master, or why the master says nothing of it.
func (m *Master) size(w Weld) (size, string) {
	p := &m.Job.Part
	s := size{w.Thickness, si.Unknown[si.Length](), p.Weld.Preparation, strings.Join(p.Sides, ", "), p.Material.Name}
	if w.Joint != "" && !strings.EqualFold(w.Joint, p.Weld.Preparation) {
		return s, fmt.Sprintf("its preparation is %s, and the master is for %s", w.Joint, p.Weld.Preparation)
	}
	if w.Material != "" && !strings.EqualFold(w.Material, p.Material.Name) && !strings.EqualFold(w.Material, p.Material.Group) {
		return s, fmt.Sprintf("its material is %s, and the master is for %s", w.Material, p.Material.Name)
	}
	if w.Access != "" {
		s.access = w.Access
	}
	switch {
	case p.Kind == "pipe" && !si.Known(w.Diameter):
		return s, "the list gives no diameter, and the master is for pipe"
	case p.Kind == "plate" && si.Known(w.Diameter):
		return s, "the list gives a diameter, and the master is for plate"
	case p.Kind == "pipe" && w.Diameter <= 2*w.Thickness:
		return s, "a pipe of this diameter and thickness has no bore"
	case p.Kind == "pipe":
		s.diameter = w.Diameter
	}
	return s, ""
}

// reasons says of each class why the master does not cover it; empty where it
// does. The classes are worked out side by side.
func (m *Master) reasons(classes []*class, progress func(done, of int)) []string {
	reasons := make([]string, len(classes))
	var done int
	var count sync.Mutex
	next := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				reasons[i] = m.reason(classes[i].size)
				count.Lock()
				done++
				progress(done, len(classes))
				count.Unlock()
			}
		})
	}
	for i := range classes {
		next <- i
	}
	close(next)
	workers.Wait()
	return reasons
}

func (m *Master) reason(s size) string {
	job := m.Job.Sized(s.thickness, s.diameter)
	sides := strings.Split(s.access, ", ")
	job.Part.Sides = sides
	for i := range job.Groups {
		g := &job.Groups[i]
		if g.OnFlange() {
			continue // its sides are not those of the list
		}
		if g.Sides = both(g.Sides, sides); len(g.Sides) == 0 {
			return fmt.Sprintf("group %s looks from a side without access", g.Name)
		}
	}
	if misfit := job.Misfit(); len(misfit) > 0 {
		return misfit[0].Message
	}
	return open(technique.Sketch(job, m.House...))
}

// both is what two lists of sides have in common.
func both(a, b []string) []string {
	var common []string
	for _, side := range a {
		if slices.Contains(b, side) {
			common = append(common, side)
		}
	}
	return common
}

// open is the first requirement that a technique does not meet, in words.
func open(t *technique.Technique) string {
	for _, f := range t.Findings {
		if !f.Open() {
			continue
		}
		why := f.Message
		if f.Actual != "" && f.Limit != "" {
			why += fmt.Sprintf(": %s, expected %s", f.Actual, f.Limit)
		}
		if f.Clause != "" {
			return fmt.Sprintf("%s (%s, %s)", why, f.Code, f.Clause)
		}
		return fmt.Sprintf("%s (%s)", why, f.Rule)
	}
	return ""
}

// split makes one sheet of classes that differ in size alone, or halves them
// until each half can be one.
func (m *Master) split(classes []*class) ([]Sheet, []Left) {
	s, why := m.sheet(classes)
	if why == "" {
		return []Sheet{s}, nil
	}
	if len(classes) == 1 {
		var left []Left
		for _, w := range classes[0].welds {
			left = append(left, Left{w, why})
		}
		return nil, left
	}
	at := widest(classes)
	a, cannot := m.split(classes[:at])
	b, nor := m.split(classes[at:])
	return append(a, b...), append(cannot, nor...)
}

// widest is where to halve: at the largest step in thickness among the middle
// half of the classes, so that sizes which are alike stay together.
func widest(classes []*class) int {
	at := len(classes) / 2
	for i := max(1, len(classes)/4); i < len(classes)-len(classes)/4; i++ {
		if classes[i].thickness-classes[i-1].thickness > classes[at].thickness-classes[at-1].thickness {
			at = i
		}
	}
	return at
}

// sheet writes the job of some classes and works it out; why says which
// requirement it does not meet.
func (m *Master) sheet(classes []*class) (s Sheet, why string) {
	thick := classes[len(classes)-1]
	least, most := thick.diameter, thick.diameter
	for _, c := range classes {
		least, most = min(least, c.diameter), max(most, c.diameter)
		s.Welds = append(s.Welds, c.welds...)
	}
	slices.SortStableFunc(s.Welds, func(a, b Weld) int { return cmp.Compare(a.Row, b.Row) })
	edits := []schema.Edit{{Path: "part.thickness", Value: m.length(thick.thickness)}}
	var ranges []string
	if thin := classes[0].thickness; thin < thick.thickness {
		ranges = append(ranges, fmt.Sprintf("thickness: {from: %s, to: %s}", m.length(thin), m.length(thick.thickness)))
	}
	if si.Known(thick.diameter) {
		edits = append(edits, schema.Edit{Path: "part.outside_diameter", Value: m.length(thick.diameter)})
		if least < most {
			ranges = append(ranges, fmt.Sprintf("outside_diameter: {from: %s, to: %s}", m.length(least), m.length(most)))
		}
	}
	if ranges != nil {
		edits = append(edits, schema.Edit{Path: "part.range", Value: "{" + strings.Join(ranges, ", ") + "}"})
	}
	sides := strings.Split(thick.access, ", ")
	edits = append(edits, schema.Edit{Path: "part.access.sides", Value: "[" + thick.access + "]"})
	sized := m.Job.Sized(thick.thickness, thick.diameter)
	for i, g := range sized.Groups {
		path := "groups." + g.Name
		if m.Job.Has(path+".sides") && !g.OnFlange() {
			edits = append(edits, schema.Edit{Path: path + ".sides", Value: "[" + strings.Join(both(g.Sides, sides), ", ") + "]"})
		}
		if was := m.Job.Groups[i]; g.Region.Bottom != was.Region.Bottom && si.Known(g.Region.Bottom) {
			edits = append(edits, schema.Edit{Path: path + ".region.bottom", Value: m.length(g.Region.Bottom)})
		}
		if was := m.Job.Groups[i]; g.DepthZone.To != was.DepthZone.To && si.Known(g.DepthZone.To) {
			edits = append(edits, schema.Edit{Path: path + ".depth_zone.to", Value: m.length(g.DepthZone.To)})
		}
	}
	text, err := schema.Set(m.Text, edits...)
	if err != nil {
		return s, "the master cannot be written for it: " + err.Error()
	}
	s.Text = text
	return s, m.compute(&s)
}

// compute works out the job of a sheet.
func (m *Master) compute(s *Sheet) (why string) {
	job, findings := schema.Load(m.Job.File, s.Text)
	if job.Partial {
		return findings[0].Message
	}
	s.Technique = technique.Compute(job, m.House...)
	s.Technique.Findings = append(s.Technique.Findings, findings...)
	return open(s.Technique)
}

// mostNumbers is how many welds a sheet names itself.
const mostNumbers = 40

// name gives a sheet its number, in its job too, with the welds it is for.
func (m *Master) name(s *Sheet, name string) error {
	s.Name = name
	var numbers []string
	for _, w := range s.Welds {
		numbers = append(numbers, quoted(w.Number))
	}
	if len(numbers) > mostNumbers {
		numbers = []string{quoted(fmt.Sprintf("%d welds, listed in the index of the sheets", len(numbers)))}
	}
	edits := []schema.Edit{{Path: "part.weld.numbers", Value: "[" + strings.Join(numbers, ", ") + "]"}}
	if n := m.Job.Document.Number; n != "" {
		edits = append(edits, schema.Edit{Path: "document.number", Value: quoted(n + "-" + name)})
	}
	text, err := schema.Set(s.Text, edits...)
	if err != nil {
		return err
	}
	s.Text = text
	if why := m.compute(s); why != "" {
		return errors.New(why)
	}
	return nil
}

// quoted is a text as YAML takes it whatever it holds.
func quoted(s string) string { return fmt.Sprintf("%q", s) }

// length writes a length as the master does, without losing a digit.
func (m *Master) length(l si.Length) string {
	if m.Job.Document.Units == "in" {
		return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.6f", float64(l/si.Inch)), "0"), ".") + " in"
	}
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.6f", float64(l)*1e3), "0"), ".") + " mm"
}

// Takes adds up what scanning the welds of a sheet takes.
func (s *Sheet) Takes() Totals {
	var t Totals
	number := func(id string) float64 {
		v, ok := s.Technique.Value(id)
		if !ok {
			return 0
		}
		return v.Q.SI
	}
	speed, overlap, passes, metre := number("scan.speed"), number("scan.overlap"), number("scan.passes"), number("scan.data_metre")
	for _, w := range s.Welds {
		l := float64(w.Length)
		switch {
		case si.Known(w.Length):
		case si.Known(w.Diameter):
			l = math.Pi * float64(w.Diameter)
		default:
			l = number("weld.length")
		}
		if speed > 0 {
			t.Time += si.Time(passes * (l + overlap) / speed)
		}
		t.Data += si.Bytes(metre * (l + overlap))
	}
	return t
}
