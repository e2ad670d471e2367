package technique

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// RangePoint is what the technique comes to on a part of one size in the range
// that it covers.
type RangePoint struct {
	Thickness, Diameter si.Length // diameter NaN of a plate
	Nominal             bool      // the part of the job itself
	Coverage            si.Ratio
	Square              si.Ratio // least share of a fusion face met square; NaN where none is met
	SpeedLimit          si.Speed
	Time                si.Time  // of scanning one weld
	Open                []string // requirements not met, as rule and subject
	Changed             bool     // what is open differs from the size before

	findings []diag.Finding
}

// rangeSteps is into how many steps a range of thicknesses is cut; between two
// of them at which different requirements are open, the place of the change is
// searched for.
const (
	rangeSteps  = 6
	rangeSearch = 5 // halvings of one step
)

// ranges works the technique out over the sizes that it covers. The search for
// offsets, the maps and the images of points stay those of the job's own part.
func (s *sheet) ranges(house []HouseBook) {
	r := &s.Job.Part.Range
	if !r.Stated() || s.Job.Partial || slices.ContainsFunc(s.Findings, func(f diag.Finding) bool { return f.Level == diag.Error }) {
		return
	}
	sizes := s.sizes()
	points := make([]RangePoint, len(sizes))
	var all sync.WaitGroup
	for i, size := range sizes {
		all.Go(func() { points[i] = s.sized(size, house) })
	}
	all.Wait()
	// The nominal part was worked out in full; requirements that need what is
	// left out for the others are not compared.
	var list []RangePoint
	for i, p := range points {
		if i > 0 && p.Diameter == points[i-1].Diameter || i > 0 && !si.Known(p.Diameter) {
			if before := points[i-1]; !slices.Equal(before.Open, p.Open) {
				list = append(list, s.between(before, p, house)...)
			}
		}
		list = append(list, p)
	}
	for i := range list {
		list[i].Changed = i > 0 && !slices.Equal(list[i-1].Open, list[i].Open)
	}
	s.Range = list
	s.rangeValues()
	s.rangeFindings()
}

// sizes lists the parts to work out, by diameter, then thickness.
func (s *sheet) sizes() []RangePoint {
	p := &s.Job.Part
	thicknesses := []si.Length{p.Thickness}
	if from, to := p.Range.ThicknessFrom, p.Range.ThicknessTo; si.Known(from) && si.Known(to) {
		for i := range rangeSteps + 1 {
			thicknesses = append(thicknesses, from+(to-from)*si.Length(i)/rangeSteps)
		}
	}
	diameters := []si.Length{p.OutsideDiameter}
	for _, d := range []si.Length{p.Range.DiameterFrom, p.Range.DiameterTo} {
		if si.Known(d) {
			diameters = append(diameters, d)
		}
	}
	var list []RangePoint
	for _, d := range ordered(diameters) {
		for _, t := range ordered(thicknesses) {
			list = append(list, RangePoint{Thickness: t, Diameter: d})
		}
	}
	return list
}

// ordered sorts lengths and drops what differs by float noise alone.
func ordered(list []si.Length) []si.Length {
	list = slices.Sorted(slices.Values(list))
	return slices.CompactFunc(list, func(a, b si.Length) bool { return math.Abs(float64(a-b)) <= 1e-9*float64(b) })
}

// sized works the technique out for a part of one size. Where that cannot be, the
// reason is all that is said of it: what rules miss then follows from it.
func (s *sheet) sized(size RangePoint, house []HouseBook) RangePoint {
	p := size
	p.Nominal = size.Thickness == s.Job.Part.Thickness && (size.Diameter == s.Job.Part.OutsideDiameter || !si.Known(size.Diameter))
	p.Coverage, p.Square = si.Unknown[si.Ratio](), si.Unknown[si.Ratio]()
	p.SpeedLimit, p.Time = si.Unknown[si.Speed](), si.Unknown[si.Time]()
	job := s.Job.Sized(size.Thickness, size.Diameter)
	if p.leave(job.Misfit()) {
		return p
	}
	t := compute(job, house, false)
	if p.leave(slices.DeleteFunc(slices.Clone(t.Findings), func(f diag.Finding) bool { return f.Level != diag.Error })) {
		return p
	}
	p.leave(slices.DeleteFunc(t.Findings, func(f diag.Finding) bool { return !f.Open() }))
	p.Coverage = t.Coverage.Share
	for _, f := range t.Faces {
		if !f.Face.RootFace && !(f.Within >= p.Square) {
			p.Square = f.Within
		}
	}
	if v, ok := t.Value("scan.speed_limit"); ok {
		p.SpeedLimit = si.Speed(v.Q.SI)
	}
	if v, ok := t.Value("scan.time"); ok {
		p.Time = si.Time(v.Q.SI)
	}
	return p
}

// leave takes over what is open, and reports whether anything is.
func (p *RangePoint) leave(open []diag.Finding) bool {
	p.findings = open
	for _, f := range open {
		p.Open = append(p.Open, strings.TrimSpace(f.Rule+" "+f.Subject))
	}
	slices.Sort(p.Open)
	p.Open = slices.Compact(p.Open)
	return len(open) > 0
}

// between searches for the sizes at which what is open changes, and returns the
// two that stand closest to the change.
func (s *sheet) between(a, b RangePoint, house []HouseBook) []RangePoint {
	first, last := a, b
	for range rangeSearch {
		middle := a
		middle.Thickness = (a.Thickness + b.Thickness) / 2
		middle = s.sized(RangePoint{Thickness: middle.Thickness, Diameter: a.Diameter}, house)
		if slices.Equal(middle.Open, a.Open) {
			a = middle
		} else {
			b = middle
		}
	}
	var list []RangePoint
	if a.Thickness != first.Thickness {
		list = append(list, a)
	}
	if b.Thickness != last.Thickness {
		list = append(list, b)
	}
	return list
}

// rangeValues states the ends and the worst cases.
func (s *sheet) rangeValues() {
	r := &s.Job.Part.Range
	if si.Known(r.ThicknessFrom) {
		s.length("range.thickness_from", "t_1", "smallest thickness covered", r.ThicknessFrom, given())
		s.length("range.thickness_to", "t_2", "largest thickness covered", r.ThicknessTo, given())
	}
	if si.Known(r.DiameterFrom) {
		s.length("range.diameter_from", "D_1", "smallest outside diameter covered", r.DiameterFrom, given())
	}
	if si.Known(r.DiameterTo) {
		s.length("range.diameter_to", "D_2", "largest outside diameter covered", r.DiameterTo, given())
	}
	// Where one size is not known, nobody knows the smallest: what is unknown stays so.
	worst := s.Range[0]
	speed, square := worst.SpeedLimit, worst.Square
	for _, p := range s.Range {
		if p.Coverage < worst.Coverage || !si.Known(p.Coverage) {
			worst = p
		}
		speed, square = min(speed, p.SpeedLimit), min(square, p.Square)
	}
	over := fmt.Sprintf("the technique worked out anew for %d sizes of the range", len(s.Range))
	if si.Known(worst.Coverage) {
		s.share("range.coverage", "C_r", "smallest share of the volume reached, over the range", worst.Coverage, how{
			formula: "C_r = smallest C over the range", inputs: []string{"coverage.share"}, side: si.Down, source: over})
		s.length("range.coverage_at", "t_C", "thickness at which the coverage is smallest", worst.Thickness, how{
			formula: "thickness of C_r", inputs: []string{"range.coverage"}, source: over})
	}
	if si.Known(square) {
		s.share("range.square", "C_q", "smallest share of a fusion face met within 10° of its normal, over the range, root faces apart", square, how{
			formula: "smallest over the range and the faces", side: si.Down, source: over})
	}
	if si.Known(speed) {
		s.add("range.speed_limit", "v_r", "smallest speed above which scan lines are lost, over the range", float64(speed), si.KindSpeed, movement, how{
			formula: "v_r = smallest v_0 over the range", inputs: []string{"scan.speed_limit"}, side: si.Down, source: over})
	}
}

// rangeFindings reports what is open elsewhere in the range and not on the part
// that is drawn: a requirement once, with the sizes at which it is.
func (s *sheet) rangeFindings() {
	type key struct{ rule, subject string }
	var order []key
	first, last, sample := map[key]RangePoint{}, map[key]RangePoint{}, map[key]diag.Finding{}
	for _, p := range s.Range {
		for _, f := range p.findings {
			k := key{f.Rule, f.Subject}
			if slices.ContainsFunc(s.Findings, func(g diag.Finding) bool { return g.Rule == f.Rule && g.Subject == f.Subject && g.Open() }) {
				continue // told of the part that is drawn
			}
			if _, known := first[k]; !known {
				order, first[k], sample[k] = append(order, k), p, f
			}
			last[k] = p
		}
	}
	path := "part.range"
	for _, k := range order {
		f := sample[k]
		a, b := first[k], last[k]
		at := a.Thickness
		f.Message = fmt.Sprintf("on a part %s thick: %s", s.fromTo(a.Thickness, b.Thickness), f.Message)
		if si.Known(a.Diameter) && si.Known(s.Job.Part.Range.DiameterFrom) {
			f.Message = fmt.Sprintf("on a pipe of diameter %s, %s thick: %s", s.fromTo(a.Diameter, b.Diameter), s.fromTo(a.Thickness, b.Thickness), sample[k].Message)
			at = a.Diameter
		}
		f.Also = append([]diag.Also{{At: f.At, Message: f.Path + " decides it"}}, f.Also...)
		f.At, f.Path = s.Job.At(path), path
		if f.Actual != "" {
			f.Actual += " at " + s.mm(at, si.Nearest)
		}
		f.Remedy = "narrow the range, or: " + f.Remedy
		if sample[k].Level == diag.Error {
			f.Level = diag.Shall // the part that is drawn can be computed with
		}
		s.Findings = append(s.Findings, f)
	}
}

// fromTo prints one length or from one to another.
func (s *sheet) fromTo(a, b si.Length) string {
	if a > b {
		a, b = b, a
	}
	if s.mm(a, si.Nearest) == s.mm(b, si.Nearest) {
		return s.mm(a, si.Nearest)
	}
	return s.mm(a, si.Down) + " to " + s.mm(b, si.Up)
}
