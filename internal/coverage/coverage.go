// Package coverage finds which part of the volume to be examined the beams of a
// group reach, where the rest lies, and how the beams meet the fusion faces.
//
// It works on central rays, without beam spread: what it calls reached is
// reached by a ray of the stated angles after straight reflection at the flat
// walls. A ray that meets a wall under a reinforcement is not counted further,
// since that wall is not flat. Coverage is geometry, and no proof of detection.
//
// The section is cut into thin rows of constant depth; in each row the reached
// stretches are computed exactly.
package coverage

import (
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Result is what a group, a side or all groups together reach.
type Result struct {
	Volume  si.Area // of the volume to be examined, per length of weld
	Reached si.Area
	Share   si.Ratio // Reached over Volume
	Missed  []Missed // connected regions not reached, largest first
	rows    Rows
}

// Missed is one connected region of the volume that is not reached.
type Missed struct {
	Outline  []geometry.Polygon // simple pieces that together fill it
	From, To geometry.Point     // smallest and largest X and Z
	Area     si.Area
	Share    si.Ratio // of the volume
}

// Rows are the reached stretches of the section, row by row.
type Rows struct {
	Top, Height si.Length    // depth of the first row's upper edge, height of each
	Row         [][]Interval // sorted, disjoint
}

// Interval is a stretch along X.
type Interval struct{ From, To si.Length }
