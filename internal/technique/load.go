package technique

import (
	"slices"
	"strings"

	"soundwrit/internal/acquisition"
	"soundwrit/internal/si"
)

// loadValues states what one scan position costs.
func (s *sheet) loadValues(id string, g *Group) {
	in := &s.Job.Equipment.Instrument
	load := &g.Load
	samples := acquisition.Samples(load.TimeOfFlight, in.Sampling)
	load.Data = acquisition.Data(load.AScans, samples, in.SampleBytes)
	if g.Set.Method == "tfm" && g.Set.Store == "image" {
		load.Data = acquisition.Data(1, load.GridPoints, in.SampleBytes)
	}
	load.Firings *= s.averages()
	fired, scanned := s.averaged(how{formula: g.firingFormula(), source: "counting"}, how{formula: g.scanFormula(), source: "counting"})
	s.count(id+"firings", "n_f", "firings for one scan position", load.Firings, fired)
	s.count(id+"a_scans", "n_a", "A-scans of one scan position", load.AScans, scanned)
	s.flightValues(id, g)
	s.recordingValues(id, g)
	s.count(id+"samples", "n_s", "samples of an A-scan", samples, how{
		formula: "n_s = T f_s, rounded up", inputs: []string{id + "time_of_flight", "instrument.sampling"}, source: "definition"})
	s.bytes(id+"data_position", "B_g", "data of one scan position", load.Data, megabytes, how{
		formula: "B_g = n_a n_s × bytes of a sample, or n_g × bytes where only the image is kept", inputs: []string{id + "a_scans", id + "samples"}, source: "counting"})
}

// flightValues states the longest time of flight of a group, and of one firing.
func (s *sheet) flightValues(id string, g *Group) {
	s.time(id+"time_of_flight", "T", "longest time of flight, wedge and part, there and back", g.Load.TimeOfFlight, micros, how{
		formula: g.flightFormula(), inputs: s.stated(id + "wedge_velocity"), source: "Fermat's principle", side: si.Up})
	if cycle, formula, inputs := s.cycle(id, g.Load.TimeOfFlight); si.Known(cycle) {
		s.time(id+"cycle_time", "T_c", "time of one firing, by what the instrument states", cycle, micros, how{
			formula: formula, inputs: inputs, source: "definition", side: si.Up})
	}
}

// stated are those of the ids that have a value.
func (s *sheet) stated(ids ...string) []string {
	return slices.DeleteFunc(ids, func(id string) bool { _, ok := s.Value(id); return !ok })
}

// cycle is the time of one firing by what the instrument states of itself;
// unknown where it states nothing.
func (s *sheet) cycle(id string, flight si.Time) (cycle si.Time, formula string, inputs []string) {
	in := &s.Job.Equipment.Instrument
	inputs = []string{id + "time_of_flight"}
	switch rearm, pulses := si.Known(in.Rearm), si.Known(in.PulseRate); {
	case rearm && pulses:
		return max(flight+in.Rearm, si.Time(1/in.PulseRate)), "T_c = the longer of T + T_r and 1 / f_p", append(inputs, "instrument.rearm", "instrument.pulse_rate")
	case rearm:
		return flight + in.Rearm, "T_c = T + T_r", append(inputs, "instrument.rearm")
	case pulses:
		return max(flight, si.Time(1/in.PulseRate)), "T_c = the longer of T and 1 / f_p", append(inputs, "instrument.pulse_rate")
	}
	return si.Unknown[si.Time](), "", nil
}

func (g *Group) flightFormula() string {
	if g.Pair != nil {
		return "T = T_2, the end of the time window"
	}
	if g.Single != nil {
		return "T = 2 (t_0 + s / c) + t_p, s the longest path; t_0 = 0 without wedge or delay line"
	}
	if g.Set.Method == "tfm" {
		return "T = largest sum of the times out and back, from the first or last element over a corner of the region"
	}
	return "T = 2 (L_w / c_w + s / c), the largest over the beams"
}

func (g *Group) firingFormula() string {
	switch g.Set.Method {
	case "tofd", "angle-beam", "straight-beam":
		return "n_f = 1: one probe sends"
	case "tfm":
		return "n_f = n_t"
	case "linear":
		return "n_f = apertures × fixed angles"
	}
	return "n_f = (α_2 − α_1) / Δα + 1"
}

func (g *Group) scanFormula() string {
	switch {
	case g.Set.Method != "tfm":
		return "n_a = n_f"
	case g.Set.Transmission.Scheme == "half-matrix":
		return "n_a = n (n + 1) / 2"
	case g.Set.Transmission.Scheme == "plane-wave":
		return "n_a = n_w n"
	}
	return "n_a = n_f n"
}

func passage(path si.Length, speed si.Speed) si.Time { return si.Time(float64(path) / float64(speed)) }

// trimNumber prints a number as short as it is exact to a thousandth: "45", "45.5".
func trimNumber(x float64) string {
	return strings.TrimRight(strings.TrimRight(si.Round(x, 3, si.Nearest), "0"), ".")
}
