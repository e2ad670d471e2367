package technique

import (
	"math"

	"soundwrit/internal/coverage"
	"soundwrit/internal/diag"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Compute works out everything that follows from a job and answers the rule
// books it names; house books come from the caller, who read them. It never
// fails: what it cannot compute, because the job does
// not give it, is NaN, and what is physically impossible is a finding.
func Compute(job *schema.Job, house ...HouseBook) *Technique {
	return compute(job, house, true)
}

// Sketch is Compute without what takes most of the time and decides no
// requirement of a code: the search of offsets, the maps and the images of
// points, and the range of sizes. It serves where many parts are looked at.
func Sketch(job *schema.Job, house ...HouseBook) *Technique {
	return compute(job, house, false)
}

// compute is Compute, in full, or Sketch.
func compute(job *schema.Job, house []HouseBook, full bool) *Technique {
	s := &sheet{Technique: &Technique{Job: job}, inch: inches(job), sketch: !full}
	s.Section = geometry.New(&job.Part)
	s.jointOnRing()
	s.part()
	s.temperatures()
	s.backWalls()
	s.instrument()
	for i := range job.Groups {
		s.group(&job.Groups[i])
	}
	for i := range s.Groups {
		s.omit(&s.Groups[i])
	}
	s.parents()
	s.cover()
	stateOffsets := func() {}
	if full {
		stateOffsets = s.offsets()
		s.maps()
	}
	s.speed()
	s.rasters()
	s.recording()
	if full {
		s.images()
	}
	stateOffsets()
	s.reference()
	s.singleGains()
	s.gains()
	s.radii()
	s.velocities()
	s.holeTolerances()
	s.qualification()
	s.control()
	s.judge(house)
	if full {
		s.ranges(house)
	}
	s.Findings = diag.Sort(s.Findings)
	return s.Technique
}

// part states what the part is. The values are the job's own, so that the
// formulas behind them can name them as inputs.
func (s *sheet) part() {
	part := &s.Job.Part
	s.length("part.thickness", "t", "thickness", part.Thickness, given())
	if part.Kind == "pipe" {
		s.length("part.outside_diameter", "D", "outside diameter", part.OutsideDiameter, given())
	}
	if part.Girth() {
		s.length("weld.length", "L", "length of weld, the outer circumference", weldLength(part), how{
			formula: "L = π D", inputs: []string{"part.outside_diameter"}, source: "geometry",
		})
	} else {
		s.length("weld.length", "L", "length of weld", weldLength(part), given())
	}
	s.sound("part.longitudinal", "c_L", "longitudinal velocity in the part", part.Material.Longitudinal, given())
	s.sound("part.transverse", "c_T", "transverse velocity in the part", part.Material.Transverse, given())
	s.layers()
	s.length("part.zone_width", "w_z", "parent metal examined on each side", part.Zone.Width, given())
	s.joint()
	s.walls()
	volume := coverage.Measure(s.Section, coverage.Rows{}).Volume
	s.add("volume.area", "A_v", "section of the volume to be examined", float64(volume), si.KindArea, area, how{
		formula: "area of the outline of weld and parent metal beside it", inputs: []string{"part.thickness", "part.zone_width"},
		source: "geometry, summed over rows of the section",
	})
}

// instrument states what the instrument can do, as far as the job says.
func (s *sheet) instrument() {
	in := &s.Job.Equipment.Instrument
	s.frequency("instrument.sampling", "f_s", "digitising rate", in.Sampling, megahertz, given())
	if si.Known(in.PulseRate) {
		s.frequency("instrument.pulse_rate", "f_p", "highest pulse rate", in.PulseRate, digits{"kHz", 2, "kHz", 2}, given())
	}
	s.averagingValues()
	if si.Known(in.Rearm) {
		s.time("instrument.rearm", "T_r", "end of a record to the next pulse", in.Rearm, micros, given())
	}
	if si.Known(in.FrameOverhead) {
		s.time("instrument.frame_overhead", "T_o", "time added at each scan position", in.FrameOverhead, millis, given())
	}
	if si.Known(in.DataRate) {
		s.add("instrument.data_rate", "b", "rate at which data are stored", float64(in.DataRate), si.KindByteRate, digits{"MB/s", 1, "MB/s", 1}, given())
	}
	if si.Known(si.Ratio(in.ReconstructionRate)) {
		s.add("instrument.reconstruction_rate", "r", "image points × A-scans in a second", in.ReconstructionRate, si.KindRate, digits{"M/s", 0, "M/s", 0}, given())
	}
	if m := in.Measured; m != nil {
		s.frequency("instrument.measured_rate", "R_m", "scan positions in a second, as measured", m.Rate, hertz, given())
		s.count("instrument.measured_firings", "n_fm", "firings of one position when it was measured", m.Firing*records(in), how{
			formula: "n_fm = firing elements × records of one position", source: "counting"})
		s.count("instrument.measured_a_scans", "n_am", "A-scans of one position when it was measured", m.Firing*m.Elements*records(in), how{
			formula: "n_am = firing elements × receiving elements × records of one position", source: "counting"})
		if m.GridPoints > 0 {
			s.count("instrument.measured_points", "n_gm", "image points of all groups when it was measured", m.GridPoints, given())
		}
	}
}

// weldLength is the length along which the probe moves.
func weldLength(part *schema.Part) si.Length {
	if part.Girth() {
		return math.Pi * part.OutsideDiameter
	}
	return part.Weld.Length
}

// problem adds a finding of the computation itself.
func (s *sheet) problem(path, rule, message, actual, limit, remedy string) {
	s.Findings = append(s.Findings, diag.Finding{
		Rule: rule, Level: diag.Error, At: s.Job.At(path), Path: path,
		Message: message, Actual: actual, Limit: limit, Remedy: remedy,
	})
}
