package acquisition

import (
	"math"

	"soundwrit/internal/si"
)

// noise is the relative float noise that must not push a count a step further.
const noise = 1e-9

// Samples returns how many samples a record of the given duration has.
//
//	⌈duration × rate⌉
//
// Valid: duration > 0, rate > 0, product below 2³¹; 0 otherwise, which means
// unknown.
// Source: definition.
func Samples(duration si.Time, rate si.Frequency) int {
	n := math.Ceil(float64(duration) * float64(rate) * (1 - noise))
	if !(duration > 0 && rate > 0 && n < 1<<31) {
		return 0
	}
	return int(n)
}

// Data returns what one scan position stores: A-scans of so many samples, or
// one image of so many points.
//
//	records × values × bytes of each value
//
// Valid: all ≥ 1, else NaN.
// Source: definition; published case P181 in package acoustics. Headers and
// compression are the instrument's own and not counted.
func Data(records, values, each int) si.Bytes {
	if records < 1 || values < 1 || each < 1 {
		return si.Unknown[si.Bytes]()
	}
	return si.Bytes(records) * si.Bytes(values) * si.Bytes(each)
}

// DataOver returns what a length of weld stores on one pass: a metre, or the
// whole weld.
//
//	data × ⌈length / increment⌉
//
// Valid: length > 0, increment > 0, else NaN.
// Source: definition; an increment of 1 mm gives 1000 positions a metre.
func DataOver(length, increment si.Length, perPosition si.Bytes) si.Bytes {
	if !(length > 0 && increment > 0) {
		return si.Unknown[si.Bytes]()
	}
	return perPosition * si.Bytes(math.Ceil(float64(length/increment)*(1-noise)))
}

// Stretches returns in how many scans a weld is covered if none may be longer
// than a stretch, and each scans an overlap besides its share of the weld.
//
//	⌈length / (stretch − overlap)⌉
//
// Valid: length > 0, stretch > overlap ≥ 0, fewer than 2³¹; 0 otherwise, which
// means unknown.
// Source: n scans cover length + n overlap, each at most a stretch.
func Stretches(length, overlap, stretch si.Length) int {
	n := math.Ceil(float64(length/(stretch-overlap)) * (1 - noise))
	if !(length > 0 && overlap >= 0 && stretch > overlap && n < 1<<31) {
		return 0
	}
	return int(n)
}

// ScanTime returns how long the probe moves for one weld, without set-up.
//
//	passes × (length + overlap) / speed
//
// Valid: length > 0, overlap ≥ 0, speed > 0, passes ≥ 1, else NaN.
// Source: definition.
func ScanTime(length, overlap si.Length, speed si.Speed, passes int) si.Time {
	if !(length > 0 && overlap >= 0 && speed > 0 && passes >= 1) {
		return si.Unknown[si.Time]()
	}
	return si.Time(float64(passes) * float64(length+overlap) / float64(speed))
}

// EncoderStep returns the way of one count of a wheel encoder whose pulses are
// counted on all four edges.
//
//	π d / (4 N), N the pulses of one turn
//
// Valid: d > 0, N ≥ 1, else NaN.
// Source: definition; published case P210 in package acoustics.
func EncoderStep(wheel si.Length, pulses int) si.Length {
	if !(wheel > 0 && pulses >= 1) {
		return si.Unknown[si.Length]()
	}
	return math.Pi * wheel / si.Length(4*pulses)
}
