package technique

import (
	"soundwrit/internal/coverage"
	"soundwrit/internal/diag"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Compute works out everything that follows from a job and answers the rule
// books it names. It never fails: what it cannot compute, because the job does
// not give it, is NaN, and what is physically impossible is a finding.
func Compute(job *schema.Job) *Technique {
	s := &sheet{Technique: &Technique{Job: job}, inch: inches(job)}
	s.Section = geometry.New(&job.Part)
	s.part()
	for i := range job.Groups {
		s.group(&job.Groups[i])
	}
	s.cover()
	s.speed()
	s.reference()
	s.judge()
	s.Findings = diag.Sort(s.Findings)
	return s.Technique
}

// part states what the part is. The values are the job's own, so that the
// formulas behind them can name them as inputs.
func (s *sheet) part() {
	part := &s.Job.Part
	s.length("part.thickness", "t", "thickness", part.Thickness, given())
	if si.Known(part.OutsideDiameter) {
		s.length("part.outside_diameter", "D", "outside diameter", part.OutsideDiameter, given())
		s.length("weld.length", "L", "length of weld, the outer circumference", weldLength(part), how{
			formula: "L = π D", inputs: []string{"part.outside_diameter"}, source: "geometry",
		})
	} else {
		s.length("weld.length", "L", "length of weld", weldLength(part), given())
	}
	s.sound("part.longitudinal", "c_L", "longitudinal velocity in the part", part.Material.Longitudinal, given())
	s.sound("part.transverse", "c_T", "transverse velocity in the part", part.Material.Transverse, given())
	s.length("part.zone_width", "w_z", "parent metal examined on each side", part.Zone.Width, given())
	volume := coverage.Measure(s.Section, coverage.Rows{}).Volume
	s.add("volume.area", "A_v", "section of the volume to be examined", float64(volume), si.KindArea, area, how{
		formula: "area of the outline of weld and parent metal beside it", inputs: []string{"part.thickness", "part.zone_width"},
		source: "geometry, summed over rows of the section",
	})
}

// weldLength is the length along which the probe moves.
func weldLength(part *schema.Part) si.Length {
	if part.Kind == "pipe" {
		return part.OutsideDiameter * pi
	}
	return part.Weld.Length
}

const pi = 3.14159265358979323846

// problem adds a finding of the computation itself.
func (s *sheet) problem(path, rule, message, actual, limit, remedy string) {
	s.Findings = append(s.Findings, diag.Finding{
		Rule: rule, Level: diag.Error, At: s.Job.At(path), Path: path,
		Message: message, Actual: actual, Limit: limit, Remedy: remedy,
	})
}
