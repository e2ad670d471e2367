package acquisition

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// nothing is an instrument of which nothing is stated.
func nothing() Limits {
	return Limits{
		PulseRate: si.Unknown[si.Frequency](), Rearm: si.Unknown[si.Time](), Overhead: si.Unknown[si.Time](),
		DataRate: si.Unknown[si.ByteRate](), ReconstructionRate: math.NaN(),
	}
}

func load(elements int, scheme Scheme, every, grid int) Load {
	return Load{
		Firings: Firings(elements, scheme, every), AScans: AScans(elements, scheme, every),
		GridPoints: grid, TimeOfFlight: 60e-6, Data: 1e6,
	}
}

func TestFrameOf(t *testing.T) {
	two := []Load{
		{Firings: 64, AScans: 4096, GridPoints: 20000, TimeOfFlight: 50e-6, Data: 8e6},
		{Firings: 30, AScans: 30, TimeOfFlight: 150e-6, Data: 1e6},
	}
	for _, c := range []struct {
		name   string
		change func(*Limits)
		want   float64
		by     string
	}{
		{"pulse rate over time of flight", func(l *Limits) { l.PulseRate = 5000 }, 94 * 200e-6, "pulse rate"},
		{"time of flight in the deeper group, pulse rate in the other", func(l *Limits) { l.PulseRate = 10000 }, 64*100e-6 + 30*150e-6, "pulse rate"},
		{"rearm time alone", func(l *Limits) { l.Rearm = 30e-6 }, 64*80e-6 + 30*180e-6, "time of flight"},
		{"no rearm needed", func(l *Limits) { l.Rearm = 0 }, 64*50e-6 + 30*150e-6, "time of flight"},
		{"rearm longer than the period", func(l *Limits) { l.PulseRate, l.Rearm = 10000, 100e-6 }, 64*150e-6 + 30*250e-6, "time of flight"},
		{"overhead", func(l *Limits) { l.PulseRate, l.Overhead = 5000, 0.01 }, 94*200e-6 + 0.01, "pulse rate"},
		{"slow data", func(l *Limits) { l.PulseRate, l.DataRate = 5000, 90e6 }, 0.1, "data rate"},
		{"fast data", func(l *Limits) { l.PulseRate, l.DataRate = 5000, 900e6 }, 94 * 200e-6, "pulse rate"},
		{"slow image", func(l *Limits) { l.PulseRate, l.ReconstructionRate = 5000, 819.2e6 }, 0.1, "image reconstruction"},
	} {
		limits := nothing()
		c.change(&limits)
		got := FrameOf(two, limits)
		if math.Abs(float64(got.Time)-c.want) > 1e-12 || got.LimitedBy != c.by || got.Scaled {
			t.Errorf("%s: got %v by %q, want %v by %q", c.name, got.Time, got.LimitedBy, c.want, c.by)
		}
		if got.Firings != 94 || got.AScans != 4126 || got.Data != 9e6 {
			t.Errorf("%s: sums are %d, %d, %v", c.name, got.Firings, got.AScans, got.Data)
		}
	}
}

// A practitioner measured 11 mm/s with two full matrices of 64 elements, and
// 31 mm/s with every third element firing, at the same increment (common
// practice, no source). Speeds to the millimetre a second: 5 %.
func TestMeasuredRateScalesAsSeenOnSite(t *testing.T) {
	limits := nothing()
	limits.Measured = &Measured{Rate: 11, Firing: 64, Receiving: 64, Groups: 2, GridPoints: 40000}
	third := load(64, EveryNth, 3, 20000)
	got := FrameOf([]Load{third, third}, limits)
	if speed := float64(SpeedLimit(1*si.Millimetre, got.Time)) * 1e3; math.Abs(speed-31) > 0.05*31 {
		t.Errorf("every third: %v mm/s, seen 31", speed)
	}
	if !got.Scaled || got.LimitedBy != "measured rate" {
		t.Errorf("got %+v, want a scaled measured rate", got)
	}
	full := load(64, FullMatrix, 1, 20000)
	got = FrameOf([]Load{full, full}, limits)
	if math.Abs(float64(got.Time)*11-1) > 1e-12 || got.Scaled {
		t.Errorf("the set-up measured: got %+v, want 1/11 s, not scaled", got)
	}
}

func TestMeasuredRateTakesTheLeastGain(t *testing.T) {
	limits := nothing()
	limits.Measured = &Measured{Rate: 10, Firing: 32, Receiving: 32, Groups: 1, GridPoints: 10000}
	for _, c := range []struct {
		name  string
		group Load
		want  float64 // in frames of the rate measured
	}{
		{"half matrix gains A-scans, not firings", load(32, HalfMatrix, 1, 10000), 1},
		{"a finer grid costs, though firings fall", load(32, EveryNth, 2, 40000), 2},
		{"a coarser grid gains nothing by itself", load(32, FullMatrix, 1, 2500), 1},
		{"no image now: only firings and A-scans count", load(32, EveryNth, 2, 0), 0.5},
		{"more elements receive", Load{Firings: 32, AScans: 64 * 32, TimeOfFlight: 60e-6}, 2},
	} {
		if got := float64(FrameOf([]Load{c.group}, limits).Time) * 10; math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: got %v frames, want %v", c.name, got, c.want)
		}
	}
	// What is stated or physical still applies.
	limits.PulseRate = 100
	if got := FrameOf([]Load{load(32, FullMatrix, 1, 10000)}, limits); got.LimitedBy != "pulse rate" || math.Abs(float64(got.Time)-0.32) > 1e-12 {
		t.Errorf("slow pulses: got %+v", got)
	}
	limits = nothing()
	limits.Measured = &Measured{Rate: 1e6, Firing: 32, Receiving: 32, Groups: 1}
	if got := FrameOf([]Load{load(32, FullMatrix, 1, 0)}, limits); got.LimitedBy != "time of flight" || math.Abs(float64(got.Time)-32*60e-6) > 1e-12 {
		t.Errorf("a rate faster than sound: got %+v", got)
	}
}

// Less work never takes longer, and another group never makes a position shorter.
func TestFrameOfIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limits := Limits{
			PulseRate:          si.Frequency(rapid.Float64Range(500, 20000).Draw(t, "pulse rate")),
			Rearm:              si.Time(rapid.Float64Range(0, 1e-4).Draw(t, "rearm")),
			DataRate:           si.ByteRate(rapid.Float64Range(1e6, 1e9).Draw(t, "data rate")),
			ReconstructionRate: rapid.Float64Range(1e6, 1e11).Draw(t, "reconstruction rate"),
			Measured:           &Measured{Rate: 20, Firing: 32, Receiving: 64, Groups: 2, GridPoints: 50000},
		}
		every := rapid.IntRange(1, 8).Draw(t, "every")
		grid := rapid.IntRange(1, 100000).Draw(t, "grid")
		one := FrameOf([]Load{load(64, EveryNth, every, grid)}, limits).Time
		sparser := FrameOf([]Load{load(64, EveryNth, every+1, grid)}, limits).Time
		two := FrameOf([]Load{load(64, EveryNth, every, grid), load(16, FullMatrix, 1, 0)}, limits).Time
		if sparser > one || two < one {
			t.Fatalf("one group %v, sparser %v, two groups %v", one, sparser, two)
		}
	})
}

func TestFrameOfUnknown(t *testing.T) {
	stated := nothing()
	stated.PulseRate = 5000
	dataRate := stated
	dataRate.DataRate = 1e8
	measured := nothing()
	measured.Measured = &Measured{Rate: si.Unknown[si.Frequency](), Firing: 64, Receiving: 64, Groups: 1}
	good := load(64, FullMatrix, 1, 0)
	lost := func(change func(*Load)) []Load { l := good; change(&l); return []Load{good, l} }
	for name, got := range map[string]Frame{
		"nothing stated":           FrameOf([]Load{good}, nothing()),
		"no group":                 FrameOf(nil, stated),
		"firings unknown":          FrameOf(lost(func(l *Load) { l.Firings = 0 }), stated),
		"time of flight unknown":   FrameOf(lost(func(l *Load) { l.TimeOfFlight = si.Unknown[si.Time]() }), stated),
		"data unknown, rate known": FrameOf(lost(func(l *Load) { l.Data = si.Unknown[si.Bytes]() }), dataRate),
		"measured rate unknown":    FrameOf([]Load{good}, measured),
	} {
		if si.Known(got.Time) || got.LimitedBy != "" || got.Scaled {
			t.Errorf("%s: got %+v, want unknown", name, got)
		}
	}
	for _, got := range []si.Speed{SpeedLimit(0, 0.01), SpeedLimit(1e-3, 0), SpeedLimit(1e-3, si.Unknown[si.Time]())} {
		if si.Known(got) {
			t.Errorf("speed limit outside its range: got %v", got)
		}
	}
}
