// Package acquisition computes how long one scan position takes, what limits
// it, how fast the probe may move, how many scan lines a hand-pulled scan is
// expected to lose, and how much data is stored.
package acquisition

import "soundwrit/internal/si"

// Frame is the time of one scan position and what it is made of.
type Frame struct {
	Firings   int
	AScans    int
	Data      si.Bytes
	Time      si.Time
	LimitedBy string // "pulse rate", "time of flight", "data rate", "image reconstruction", "measured rate"
	Scaled    bool   // computed from a rate measured in another configuration
}
