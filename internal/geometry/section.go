// Package geometry builds the weld's section from the job: the plane across the
// weld in which all rays of the program lie. The joint that is drawn is the
// joint that the rays meet.
//
// Coordinates: X across the weld, zero on its centreline, side A negative and
// side B positive; Z is depth, zero at the top surface and growing into the
// part. The section of a girth weld holds the pipe's axis, so its walls are
// straight too.
package geometry

import "soundwrit/internal/si"

// Point is a place in the section.
type Point struct{ X, Z si.Length }

// Polygon is a closed outline; the last point joins the first.
type Polygon []Point

// Section is the joint as it is examined.
type Section struct {
	Thickness si.Length
	Weld      Polygon // weld metal between the surfaces, without reinforcement
	Volume    Polygon // what must be examined: weld and parent metal beside it
	Faces     []Face
	Cap       Polygon // reinforcement at the top, nil where flush
	Root      Polygon // reinforcement at the bottom, nil where flush
}

// Face is one straight piece of a fusion face or of the root face.
type Face struct {
	Name         string // "A", "A upper", "A lower", "A root face"
	Side         string // A, B
	RootFace     bool   // true for the land between the bevels
	Upper, Lower Point  // ends; Upper has the smaller depth
}
