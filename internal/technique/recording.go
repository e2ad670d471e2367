package technique

import (
	"math"

	"soundwrit/internal/acquisition"
	"soundwrit/internal/si"
)

var kilohertz = digits{"kHz", 2, "kHz", 2}

// averages is how often a beam or element fires for one A-scan.
func (s *sheet) averages() int { return max(1, s.Job.Equipment.Instrument.Averages) }

// averagingValues states what averaging gains.
func (s *sheet) averagingValues() {
	if s.averages() == 1 {
		return
	}
	s.count("instrument.averages", "m", "firings that are averaged to one A-scan", s.averages(), given())
	s.gain("instrument.averaging_gain", "ΔS_m", "gain of signal to electronic noise by averaging", acquisition.AveragingGain(s.averages()), how{
		formula: "ΔS_m = 10 log₁₀ m", inputs: []string{"instrument.averages"}, side: si.Down, source: "averaging of independent noise; grain noise does not follow it"})
}

// averaged completes the counting of firings and A-scans where several firings
// make one A-scan.
func (s *sheet) averaged(firings, scans how) (how, how) {
	if s.averages() > 1 {
		firings.formula, scans.formula = firings.formula+", × m", scans.formula+", n_f without m"
		firings.inputs = []string{"instrument.averages"}
	}
	return firings, scans
}

// recordingValues states how fast the group pulses, how fast it may so that no
// echo of an earlier pulse comes in, and what the digitiser loses.
func (s *sheet) recordingValues(id string, g *Group) {
	if cycle, ok := s.Value(id + "cycle_time"); ok {
		s.frequency(id+"pulse_rate", "f_u", "pulse rate, by what the instrument states", si.Frequency(1/cycle.Q.SI), kilohertz, how{
			formula: "f_u = 1 / T_c", inputs: []string{id + "cycle_time"}, side: si.Up, source: "definition"})
	}
	if limit := acquisition.GhostRate(g.Load.TimeOfFlight); si.Known(limit) {
		s.frequency(id+"ghost_rate", "f_g", "pulse rate above which echoes of an earlier pulse may come in", limit, kilohertz, how{
			formula: "f_g = 1 / (3 T)", inputs: []string{id + "time_of_flight"}, side: si.Down, source: "common practice: three times the longest time of flight, no source"})
	}
	const least = 5 // samples in a period
	s.frequency(id+"sampling_least", "f_s0", "smallest digitising rate by good practice; a code may ask for more", least*g.frequency(), megahertz, how{
		formula: "f_s0 = 5 f", inputs: []string{id + "frequency"}, side: si.Up, source: "common practice; one code asks for five, another for six"})
	if loss := acquisition.SamplingLoss(g.frequency(), s.Job.Equipment.Instrument.Sampling); si.Known(loss) {
		s.add(id+"sampling_loss", "δ_f", "largest error of a peak between two samples", float64(loss), si.KindDecibel, digits{"dB", 2, "dB", 2}, how{
			formula: "δ_f = −20 log₁₀ cos(π f / f_s)", inputs: []string{id + "frequency", "instrument.sampling"}, side: si.Up,
			source: "own derivation: the nearest sample of a sine is at most half a step away"})
	}
}

// recording states how the encoder's counts fit the increment, and the time of
// the weld with what lies between the passes.
func (s *sheet) recording() {
	resolution, scan := s.Job.Equipment.Encoder.Resolution, &s.Job.Scan
	if _, ok := s.Value("scan.increment"); !ok {
		return
	}
	if off := acquisition.CountError(scan.Increment, resolution); si.Known(off) {
		s.add("encoder.resolution", "r", "way of one count of the encoder", float64(resolution), si.KindLength, fine, given())
		counts := plain
		if off < 1e-9 {
			counts = whole
		}
		s.add("scan.counts", "n_r", "counts of the encoder in an increment", float64(scan.Increment/resolution), si.Number, counts, how{
			formula: "n_r = Δy / r", inputs: []string{"scan.increment", "encoder.resolution"}, source: "definition"})
		s.share("scan.count_error", "ε_r", "error of the way if an increment is made of whole counts", off, how{
			formula: "ε_r = |n r / Δy − 1|, n the whole number nearest to n_r, at least 1", inputs: []string{"scan.counts"}, side: si.Up, source: "counting"})
	}
	moving, ok := s.Value("scan.time")
	if each := scan.SetupTime; ok && si.Known(each) {
		s.time("scan.setup_time", "T_s", "time that each scan costs beside the scanning", each, digits{"min", 1, "min", 1}, given())
		formula, inputs := "T_t = T_w + n_p T_s", []string{"scan.time", "scan.passes", "scan.setup_time"}
		if si.Known(scan.Stretch) {
			formula, inputs = "T_t = T_w + n_p n_s T_s", append(inputs, "scan.stretches")
		}
		total := si.Time(moving.Q.SI) + each*si.Time(len(s.Speed.Passes)*s.stretches())
		if !math.IsInf(float64(total), 0) {
			s.time("scan.total_time", "T_t", "time of one weld with setting up for each scan", total, minutes, how{
				formula: formula, inputs: inputs, side: si.Up, source: "definition"})
		}
	}
}
