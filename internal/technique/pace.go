package technique

import (
	"fmt"
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// speed lays out the scan lines and works out how fast they may be scanned.
func (s *sheet) speed() {
	s.lines()
	in, scan := &s.Job.Equipment.Instrument, &s.Job.Scan
	limits := acquisition.Limits{
		PulseRate: in.PulseRate, Rearm: in.Rearm, Overhead: in.FrameOverhead,
		DataRate: in.DataRate, ReconstructionRate: in.ReconstructionRate,
	}
	if m := in.Measured; m != nil {
		limits.Measured = &acquisition.Measured{Rate: m.Rate, Firing: m.Firing, Receiving: m.Elements, Groups: records(in), GridPoints: m.GridPoints}
	}
	slowest := si.Speed(math.Inf(1))
	for i := range s.Speed.Passes {
		p := &s.Speed.Passes[i]
		p.Frame = acquisition.FrameOf(s.loads(p, nil), limits)
		p.Limit = acquisition.SpeedLimit(scan.Increment, p.Frame.Time)
		if !(p.Limit >= slowest) {
			slowest, s.Speed.Limiting = p.Limit, i
		}
	}
	if len(s.Speed.Passes) == 0 {
		return
	}
	s.paceValues(slowest)
	s.alternatives(limits)
}

// records is how many records of one position were made when the rate of the
// instrument was measured.
func records(in *schema.Instrument) int {
	if in.SharesMatrix {
		return min(1, in.Measured.Groups)
	}
	return in.Measured.Groups
}

// lines finds the distinct paths of the probe: groups that share probe, wedge
// and position are recorded together.
func (s *sheet) lines() {
	type key struct {
		side, surface, probe, wedge string
		front                       si.Length
	}
	index := map[key]int{}
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Pair != nil && len(g.Placements) > 0 {
			s.Lines = append(s.Lines, Line{Side: pairDirection, Surface: g.Set.Surface, Front: g.Placements[0].Along(g.Placements[0].Front), Pair: true, Groups: []string{g.Set.Name}})
			continue
		}
		if g.Single != nil && g.Single.Raster {
			continue // strokes are no line along the weld
		}
		for _, p := range g.Placements {
			k := key{p.Side, g.Set.Surface, g.Set.Probe, g.Set.Wedge, g.Set.WedgeFront}
			n, ok := index[k]
			if !ok {
				n = len(s.Lines)
				index[k] = n
				s.Lines = append(s.Lines, Line{Side: p.Side, Surface: g.Set.Surface, Front: p.Along(p.Front)})
			}
			s.Lines[n].Groups = append(s.Lines[n].Groups, g.Set.Name)
		}
	}
	pass := map[string]int{}
	for i, line := range s.Lines {
		name := fmt.Sprint(i)
		switch s.Job.Scan.Pass {
		case "side":
			name = line.Side + line.Surface
		case "all":
			name = ""
		}
		n, ok := pass[name]
		if !ok {
			n = len(s.Speed.Passes)
			pass[name] = n
			s.Speed.Passes = append(s.Speed.Passes, Pass{})
		}
		s.Speed.Passes[n].Lines = append(s.Speed.Passes[n].Lines, i)
	}
}

// loads lists what is recorded at each position of a pass. With a change, it
// is applied to every tfm group: the alternatives of the table. Where the
// instrument computes all images of a probe position from one record, the tfm
// groups of a line that fire alike are one load.
func (s *sheet) loads(p *Pass, change func(g *Group) acquisition.Load) []acquisition.Load {
	var list []acquisition.Load
	for _, l := range p.Lines {
		shared := map[schema.Transmission]int{}
		for _, name := range s.Lines[l].Groups {
			g := s.groupNamed(name)
			load, tfm := g.Load, g.Set.Method == "tfm"
			if change != nil && tfm {
				load = change(g)
			}
			if i, again := shared[g.Set.Transmission]; again && tfm && s.Job.Equipment.Instrument.SharesMatrix {
				list[i] = together(list[i], load)
				continue
			}
			if tfm {
				shared[g.Set.Transmission] = len(list)
			}
			list = append(list, load)
		}
	}
	return list
}

// together is the load of two images computed from one record. What is stored
// is counted as the larger of both, since a stored matrix serves either.
func together(a, b acquisition.Load) acquisition.Load {
	a.GridPoints += b.GridPoints
	a.TimeOfFlight = max(a.TimeOfFlight, b.TimeOfFlight)
	a.Data = max(a.Data, b.Data)
	return a
}

func (s *sheet) groupNamed(name string) *Group {
	i := slices.IndexFunc(s.Groups, func(g Group) bool { return g.Set.Name == name })
	return &s.Groups[i]
}

// allowance is the share of lines that may be missing, by the job.
func (s *sheet) allowance() (si.Ratio, string) {
	scan := &s.Job.Scan
	if si.Known(scan.MissingShare) {
		return scan.MissingShare, "q_0 = the tolerated share of missing lines"
	}
	if scan.MissingPerLength >= 0 {
		// The code counts in 25 mm or in 1 in, and the longer one allows less.
		return si.Ratio(float64(scan.MissingPerLength) * float64(scan.Increment/si.Inch)), "q_0 = tolerated missing lines in 25 mm (1 in) × Δy / 25.4 mm"
	}
	return si.Unknown[si.Ratio](), ""
}

func (s *sheet) paceValues(limit si.Speed) {
	scan := &s.Job.Scan
	p := &s.Speed.Passes[s.Speed.Limiting]
	s.add("scan.increment", "Δy", "scan increment", float64(scan.Increment), si.KindLength, step, given())
	s.length("scan.overlap", "y_o", "overlap of successive scans", scan.Overlap, given())
	why, from := "Σ n_f T_c + T_o", []string{"firings", "cycle_time"}
	also := []string{"instrument.frame_overhead"}
	switch {
	case p.Frame.Scaled:
		why = "1 / R_m × the largest of the ratios of firings, A-scans and image work (points × A-scans) to those measured"
		from, also = []string{"firings", "a_scans", "grid_points"}, []string{"instrument.measured_rate", "instrument.measured_firings", "instrument.measured_a_scans", "instrument.measured_points"}
	case p.Frame.LimitedBy == "measured rate":
		why = "1 / R_m, measured in this configuration"
		from, also = nil, []string{"instrument.measured_rate"}
	case p.Frame.LimitedBy == "data rate":
		why = "Σ B_g / b"
		from, also = []string{"data_position"}, []string{"instrument.data_rate"}
	case p.Frame.LimitedBy == "image reconstruction":
		why = "Σ n_g n_a / r"
		from, also = []string{"grid_points", "a_scans"}, []string{"instrument.reconstruction_rate"}
	}
	var inputs []string
	for _, l := range p.Lines {
		for _, g := range s.Lines[l].Groups {
			for _, quantity := range from {
				id := "groups." + g + "." + quantity
				if _, ok := s.Value(id); ok && !slices.Contains(inputs, id) {
					inputs = append(inputs, id)
				}
			}
		}
	}
	for _, id := range also {
		if _, ok := s.Value(id); ok {
			inputs = append(inputs, id)
		}
	}
	s.time("scan.frame_time", "T_f", "time of one scan position on the slowest pass, limited by "+p.Frame.LimitedBy, p.Frame.Time, millis, how{
		formula: "T_f = " + why, inputs: inputs, side: si.Up, source: "counting; what the instrument states or was measured to do"})
	s.frequency("scan.rate", "R", "scan positions in a second", 1/si.Frequency(p.Frame.Time), hertz, how{
		formula: "R = 1 / T_f", inputs: []string{"scan.frame_time"}, side: si.Down, source: "definition"})
	s.movement("scan.speed_limit", "v_0", "speed above which scan lines are lost", limit, how{
		formula: "v_0 = Δy R", inputs: []string{"scan.increment", "scan.rate"}, side: si.Down, source: "one position each increment"})
	s.movement("scan.speed", "v", "working speed: way over time", scan.Speed, given())
	s.share("scan.speed_spread", "σ_v", "spread of the speed: standard deviation over mean", scan.SpeedSpread, given())
	allowed, formula := s.allowance()
	if si.Known(allowed) {
		s.share("scan.allowance", "q_0", "share of scan lines that may be missing", allowed, how{formula: formula, inputs: []string{"scan.increment"}, side: si.Down, source: "job, checked against the code"})
	}
	// A crew knows its mean speed as way over time. The mean over the way is
	// larger by 1 + σ², since slow stretches take more of the time.
	overWay := si.Speed(1 + scan.SpeedSpread*scan.SpeedSpread)
	pace := acquisition.Pace{Mean: scan.Speed * overWay, Spread: scan.SpeedSpread}
	at := []string{"scan.speed_limit", "scan.speed", "scan.speed_spread"}
	s.share("scan.expected_loss", "q", "share of scan lines expected to be lost at the working speed", pace.Lost(limit), how{
		formula: "q = E[1 − v_0/V; V > v_0], V lognormal over the way with spread σ_v and mean v (1 + σ_v²), so that way over time is v", inputs: at, side: si.Up,
		source: "at a speed v over v_0 a share 1 − v_0/v of the lines is lost; spread over the way"})
	s.add("scan.adjacent_loss", "q_2", "share of the way on which neighbouring lines are expected to be lost", float64(pace.LostTogether(limit)), si.KindRatio, digits{"%", 3, "%", 3}, how{
		formula: "q_2 = P(V > 2 v_0)", inputs: at, side: si.Up, source: "two lines in a row are lost once two increments pass during a frame"})
	if si.Known(allowed) {
		s.movement("scan.fastest_mean", "v_max", "highest mean speed, way over time, that keeps the expected loss within the allowance", acquisition.FastestMean(limit, scan.SpeedSpread, allowed)/overWay, how{
			formula: "the v at which q = q_0", inputs: []string{"scan.speed_limit", "scan.speed_spread", "scan.allowance"}, side: si.Down, source: "as for q"})
	}
	s.wholeWeld()
}

// wholeWeld states time and data of the weld at the working speed.
func (s *sheet) wholeWeld() {
	scan := &s.Job.Scan
	length, overlaps := weldLength(&s.Job.Part), s.overlaps()
	passes, stretches := len(s.Speed.Passes), s.stretches()
	s.count("scan.lines", "n_l", "scan lines", len(s.Lines), how{formula: "sides × positions of the probe", source: "counting"})
	s.count("scan.passes", "n_p", "passes along the weld", passes, how{formula: "scan lines / lines carried by one pass", inputs: []string{"scan.lines"}, source: "counting"})
	// A weld scanned in one needs no word of stretches.
	over, also := "y_o", []string{"weld.length", "scan.overlap"}
	if si.Known(scan.Stretch) {
		s.add("scan.stretch", "l_s", "longest way of one scan", float64(scan.Stretch), si.KindLength, digits{"mm", 0, "in", 1}, how{source: "job", side: si.Down})
		s.count("scan.stretches", "n_s", "stretches in which a pass is scanned", stretches, how{
			formula: "n_s = L / (l_s − y_o), rounded up", inputs: []string{"weld.length", "scan.stretch", "scan.overlap"}, side: si.Up,
			source: "each stretch scans an overlap besides its share of the weld"})
		over, also = "n_s y_o", append(also, "scan.stretches")
	}
	positions := int(math.Ceil(float64((length+overlaps)/scan.Increment) * (1 - 1e-9)))
	if !si.Known(length + overlaps + scan.Increment) {
		positions = 0
	}
	s.count("scan.positions", "n_y", "scan positions of one pass", positions, how{
		formula: "n_y = (L + " + over + ") / Δy, rounded up", inputs: append([]string{"scan.increment"}, also...), source: "counting"})
	s.time("scan.time", "T_w", "time of scanning one weld at the working speed, without setting up", acquisition.ScanTime(length, overlaps, scan.Speed, passes), minutes, how{
		formula: "T_w = n_p (L + " + over + ") / v", inputs: append([]string{"scan.passes", "scan.speed"}, also...), side: si.Up, source: "definition"})
	var perPosition, slow si.Bytes
	for i, p := range s.Speed.Passes {
		perPosition += p.Frame.Data
		if i == s.Speed.Limiting {
			slow = p.Frame.Data
		}
	}
	s.bytes("scan.data_position", "B", "data of one position on the slowest pass", slow, megabytes, how{formula: "sum over its groups", source: "counting"})
	s.bytes("scan.data_metre", "B_m", "data of one metre of weld, all passes", acquisition.DataOver(1*si.Metre, scan.Increment, perPosition), gigabytes, how{
		formula: "B_m = 1 m / Δy × data of all passes at one position", inputs: []string{"scan.increment"}, side: si.Up, source: "counting"})
	s.bytes("scan.data_weld", "B_w", "data of one weld", acquisition.DataOver(length+overlaps, scan.Increment, perPosition), gigabytes, how{
		formula: "B_w = n_y × data of all passes at one position", inputs: []string{"scan.positions"}, side: si.Up, source: "counting"})
}

// stretches is in how many scans one pass covers the weld.
func (s *sheet) stretches() int {
	if scan := &s.Job.Scan; si.Known(scan.Stretch) {
		return acquisition.Stretches(weldLength(&s.Job.Part), scan.Overlap, scan.Stretch)
	}
	return 1
}

// overlaps is what one pass scans twice: the overlap of each stretch with the
// next, or of the end over the start.
func (s *sheet) overlaps() si.Length {
	n := s.stretches()
	if n < 1 {
		return si.Unknown[si.Length]()
	}
	return si.Length(n) * s.Job.Scan.Overlap
}

// alternatives compares transmission schemes on the slowest pass: full matrix,
// half matrix, and every n-th element, until fewer than four elements fire or
// nothing is gained any more.
func (s *sheet) alternatives(limits acquisition.Limits) {
	pass := &s.Speed.Passes[s.Speed.Limiting]
	var g *Group // the tfm group of the slowest pass with the most elements
	for _, l := range pass.Lines {
		for _, name := range s.Lines[l].Groups {
			if c := s.groupNamed(name); c.Set.Method == "tfm" && (g == nil || active(c) > active(g)) {
				g = c
			}
		}
	}
	if g == nil {
		return
	}
	s.Speed.Compared = g.Set.Name
	last := si.Speed(0)
	add := func(name string, scheme acquisition.Scheme, every int) bool {
		a := s.alternative(g, scheme, every, limits)
		a.Name = name
		if scheme == acquisition.PlaneWave {
			a.Every, a.Waves = 1, every
			s.Speed.Alternatives = append(s.Speed.Alternatives, a)
			return true
		}
		if every > 1 && acquisition.Firings(active(g), scheme, every) < 4 && !a.Chosen {
			return false
		}
		if every > 2 && !(a.Limit > last*(1+1e-9)) && !a.Chosen {
			return false
		}
		last = max(last, a.Limit)
		s.Speed.Alternatives = append(s.Speed.Alternatives, a)
		return true
	}
	add("full matrix", acquisition.FullMatrix, 1)
	add("half matrix", acquisition.HalfMatrix, 1)
	chosen := g.every()
	if n := len(g.waves()); n > 0 {
		add(fmt.Sprintf("%d plane waves", n), acquisition.PlaneWave, n)
	}
	for n := 2; n <= active(g); n++ {
		if !add("every "+ordinal(n)+" element fires", acquisition.EveryNth, n) && n >= chosen {
			break
		}
	}
	for _, a := range s.Speed.Alternatives {
		id := "scan.alternatives." + alternativeID(a) + "."
		s.count(id+"firings", "n_f", "firings", a.Firings, how{of: a.Name, formula: "counting", source: "combinatorial"})
		s.count(id+"a_scans", "n_a", "A-scans", a.AScans, how{of: a.Name, formula: "counting", source: "combinatorial"})
		s.movement(id+"speed_limit", "v_0", "speed limit", a.Limit, how{of: a.Name, formula: "v_0 = Δy / T_f", inputs: []string{"scan.increment"}, side: si.Down, source: "as for the chosen scheme"})
		if !si.Known(a.Noise) {
			continue // of plane waves: all elements send at once, so that the rule for single ones does not hold
		}
		s.gain(id+"noise", "Δ_SNR", "signal to electronic noise against full matrix", a.Noise, how{of: a.Name,
			formula: "10 log₁₀(n_t / n), or −10 log₁₀(2 − 1/n) for the half matrix", source: "averaging of independent noise; grain noise does not follow it"})
	}
}

func alternativeID(a Alternative) string {
	switch a.Name {
	case "full matrix":
		return "full"
	case "half matrix":
		return "half"
	}
	if a.Waves > 0 {
		return "waves"
	}
	return fmt.Sprintf("every-%d", a.Every)
}

// active is how many elements a tfm group uses.
func active(g *Group) int {
	if g.Set.Aperture.Count > 0 {
		return g.Set.Aperture.Count
	}
	return g.Probe.Elements
}

func (s *sheet) alternative(chosen *Group, scheme acquisition.Scheme, every int, limits acquisition.Limits) Alternative {
	n := active(chosen)
	loads := s.loads(&s.Speed.Passes[s.Speed.Limiting], func(g *Group) acquisition.Load { return s.rescheme(g, scheme, every) })
	frame := acquisition.FrameOf(loads, limits)
	a := Alternative{
		Every: every, Firings: frame.Firings, AScans: frame.AScans, Data: frame.Data, LimitedBy: frame.LimitedBy,
		Limit:  acquisition.SpeedLimit(s.Job.Scan.Increment, frame.Time),
		Chosen: string(scheme) == chosen.Set.Transmission.Scheme && (scheme != acquisition.EveryNth || every == chosen.every()),
		Pitch:  si.Ratio(float64(every) * float64(chosen.Probe.Pitch/acoustics.Wavelength(chosen.Wedge.Velocity, chosen.Probe.Frequency))),
	}
	a.Minutes = acquisition.ScanTime(weldLength(&s.Job.Part), s.overlaps(), a.Limit, len(s.Speed.Passes))
	switch scheme {
	case acquisition.HalfMatrix:
		a.Noise = acquisition.HalfMatrixNoise(n)
	case acquisition.PlaneWave:
		a.Noise, a.Pitch = si.Unknown[si.Decibel](), si.Unknown[si.Ratio]()
	default:
		a.Noise = acquisition.SparseNoise(acquisition.Firings(n, scheme, every), n)
	}
	return a
}

// rescheme is the load of a tfm group with another transmission scheme.
func (s *sheet) rescheme(g *Group, scheme acquisition.Scheme, every int) acquisition.Load {
	load := g.Load
	load.Firings, load.AScans = s.averages()*acquisition.Firings(active(g), scheme, every), acquisition.AScans(active(g), scheme, every)
	if g.Set.Store != "image" && g.Load.AScans > 0 {
		load.Data = g.Load.Data * si.Bytes(load.AScans) / si.Bytes(g.Load.AScans)
	}
	return load
}

func ordinal(n int) string {
	suffix := "th"
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		suffix = "st"
	case n%10 == 2:
		suffix = "nd"
	case n%10 == 3:
		suffix = "rd"
	}
	return fmt.Sprint(n, suffix)
}
