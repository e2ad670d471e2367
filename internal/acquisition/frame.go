package acquisition

import (
	"math"

	"soundwrit/internal/si"
)

// Load is the work of one group at one scan position.
type Load struct {
	Firings      int
	AScans       int
	GridPoints   int     // of the image computed while scanning; 0 where none is
	TimeOfFlight si.Time // round trip to the deepest point used, wedge included
	Data         si.Bytes
}

// Limits is what is stated of the instrument. An unknown value (NaN) is one
// that nobody has stated; Measured is nil where no rate was measured.
type Limits struct {
	PulseRate          si.Frequency
	Rearm              si.Time // from the end of a record to the next pulse
	Overhead           si.Time // per scan position
	DataRate           si.ByteRate
	ReconstructionRate float64 // ratio: grid points times A-scans per second
	Measured           *Measured
}

// Measured is one rate, and the set-up in which it was measured. All its groups
// are taken to be alike.
type Measured struct {
	Rate       si.Frequency // scan positions per second
	Firing     int          // elements, or beams, that fire in a group
	Receiving  int          // elements that receive in a group
	Groups     int
	GridPoints int // of all groups together; 0 where none are computed
}

// The words of Frame.LimitedBy.
const (
	byPulseRate      = "pulse rate"
	byTimeOfFlight   = "time of flight"
	byDataRate       = "data rate"
	byReconstruction = "image reconstruction"
	byMeasured       = "measured rate"
)

// FrameOf returns the time that one scan position takes with all groups of a
// pass, and what sets it. Firing, moving data and computing images run side by
// side, so the slowest of them sets the pace; so does a measured rate, scaled to
// the set-up.
//
//	firing = Σ firings × max(time of flight + rearm, 1 / pulse rate) + overhead
//	data = Σ bytes / data rate; image = Σ grid points × A-scans / reconstruction rate
//	measured = (1 / rate) × the largest of the ratios of firings, A-scans and
//	grid points × A-scans, set-up over measured set-up
//
// Of a measured rate one cannot know what held the instrument back, so the
// ratio that gains least is taken. Grid points count only where both set-ups
// have them. A limit that is not stated is left out; the time of flight never
// is, since no instrument can beat it.
//
// Valid: firings, A-scans and time of flight of every group known, its data too
// where a data rate is stated; and a measured rate, a pulse rate or a rearm time
// stated, since time of flight alone is no honest estimate. Time is NaN
// otherwise, and LimitedBy empty.
// Source: sum of durations; published cases P203 and P205 in package acoustics.
// The scaling is common practice.
func FrameOf(groups []Load, limits Limits) Frame {
	f := Frame{Time: si.Unknown[si.Time]()}
	var pulsed, flown, work float64
	sound := len(groups) > 0
	for _, g := range groups {
		f.Firings += g.Firings
		f.AScans += g.AScans
		f.Data += g.Data
		work += float64(g.GridPoints) * float64(g.AScans)
		sound = sound && g.Firings > 0 && g.AScans > 0 && g.TimeOfFlight > 0

		flight := float64(g.TimeOfFlight) + stated(limits.Rearm)
		period := 0.0
		if limits.PulseRate > 0 {
			period = 1 / float64(limits.PulseRate)
		}
		if period > flight {
			pulsed += float64(g.Firings) * period
		} else {
			flown += float64(g.Firings) * flight
		}
	}
	if !sound || limits.Measured == nil && !(limits.PulseRate > 0) && !si.Known(limits.Rearm) {
		return f
	}

	longest := pulsed + flown + stated(limits.Overhead)
	f.LimitedBy = byTimeOfFlight
	if pulsed > flown {
		f.LimitedBy = byPulseRate
	}
	if limits.DataRate > 0 {
		// Data that nobody could compute makes the time unknown, not short.
		if d := float64(f.Data) / float64(limits.DataRate); d > longest || math.IsNaN(d) {
			longest, f.LimitedBy = d, byDataRate
		}
	}
	if limits.ReconstructionRate > 0 {
		if d := work / limits.ReconstructionRate; d > longest {
			longest, f.LimitedBy = d, byReconstruction
		}
	}
	if limits.Measured != nil {
		d, scaled := limits.Measured.scale(f.Firings, f.AScans, work)
		if d > longest || math.IsNaN(d) {
			longest, f.LimitedBy, f.Scaled = d, byMeasured, scaled
		}
	}
	f.Time = si.Time(longest)
	if math.IsNaN(longest) {
		f.LimitedBy, f.Scaled = "", false
	}
	return f
}

// scale returns the frame time that a measured rate gives for another set-up,
// and whether it is another one.
func (m Measured) scale(firings, ascans int, work float64) (seconds float64, scaled bool) {
	fired := float64(m.Firing) * float64(m.Groups)
	each := float64(m.Firing) * float64(m.Receiving)
	if !(m.Rate > 0 && fired > 0 && each > 0) {
		return math.NaN(), false
	}
	ratio := math.Max(float64(firings)/fired, float64(ascans)/(each*float64(m.Groups)))
	if m.GridPoints > 0 && work > 0 {
		measured := float64(m.GridPoints) * each
		ratio = math.Max(ratio, work/measured)
		scaled = work != measured
	}
	scaled = scaled || float64(firings) != fired || float64(ascans) != each*float64(m.Groups)
	return ratio / float64(m.Rate), scaled
}

// stated is the value of a duration, or zero where it is not stated.
func stated(t si.Time) float64 {
	if !si.Known(t) {
		return 0
	}
	return float64(t)
}

// SpeedLimit returns the scan speed at which the instrument finishes each
// position just as the next one comes.
//
//	v = increment / frame time
//
// Valid: increment > 0, frame time > 0, else NaN.
// Source: definition; published cases P203 and P205 in package acoustics.
func SpeedLimit(increment si.Length, frame si.Time) si.Speed {
	if !(increment > 0 && frame > 0) {
		return si.Unknown[si.Speed]()
	}
	return si.Speed(float64(increment) / float64(frame))
}
