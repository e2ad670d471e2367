// Package technique computes everything a written technique states. It takes a
// job and the rule books, and returns quantities with their formula, inputs and
// source, tables, the geometry of the figures, and findings. It is a pure
// function: no clock, no file, no randomness.
package technique

import (
	"soundwrit/internal/acquisition"
	"soundwrit/internal/coverage"
	"soundwrit/internal/diag"
	"soundwrit/internal/geometry"
	"soundwrit/internal/imaging"
	"soundwrit/internal/ray"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Technique is what follows from a job.
type Technique struct {
	Job        *schema.Job
	Section    *geometry.Section
	Values     []Value         // in the order of computation
	Groups     []Group         // as Job.Groups
	Faces      []FaceIncidence // all groups and sides together, one for each face
	Lines      []Line          // scan lines, in the order they are scanned
	Coverage   coverage.Result // of all groups from all their sides
	Views      []coverage.Rows // what each group reaches of the weld from each of its sides; a pair, from both
	Speed      Speed
	Rules      []rules.Result    // every requirement of every book named, answered
	House      []rules.Head      // of the house books
	Books      []rules.Head      // that were held against the job
	Linearity  Linearity         // of the instrument, where a code named says its limits
	Acceptance []AcceptanceTable // of the acceptance codes named, worked for this part
	Curve      []CurvePoint      // reflectors of the time-corrected gain over the used range
	MapFaces   []MapFace         // predicted echoes of flat flaws in the fusion faces, best of the groups at each place
	Range      []RangePoint      // sizes of part that the technique covers; nil where it is for one
	Findings   []diag.Finding    // sorted; errors first make the technique unusable

	judges []judgeOf // of indications, one for each acceptance code
	byID   map[string]int
}

// Group is a group of the job with all that was computed for it.
type Group struct {
	Set        *schema.Group
	Probe      *schema.Probe
	Wedge      *schema.Wedge
	Pair       *Pair             // tofd only, in place of probe and wedge
	Single     *Single           // angle-beam and straight-beam only, in place of probe and wedge
	Part       ray.Part          // what rays cross under the scanning surface
	Coating    ray.Layer         // that they cross before
	PartSpeed  si.Speed          // of the wave that is sent, in the base metal
	Angles     schema.AngleRange // refracted angles used: of the beams, or those the wedge permits
	Legs       []Leg             // tfm whose waves change their kind
	Heard      schema.AngleRange // the same of the wave that comes back; differs where it is of another kind
	Placements []Placement       // one for each side
	Laws       []Law             // sectorial: one for each angle; linear: of the first and the last aperture at each angle
	Widths     []Width           // of beams: over the paths used, at three angles
	Coverage   coverage.Result   // of this group alone, from all its sides
	Map        *Map              // predicted echoes; nil where they cannot be computed
	Faces      []FaceIncidence   // every face of the section, side by side
	OffsetFrom si.Length         // range of the wedge front that keeps the coverage of all groups
	OffsetTo   si.Length
	Deepest    si.Length // largest unfolded depth used
	Load       acquisition.Load
	Study      *Study    // tfm: how the image shows a point; nil where that is not known
	Omitted    []Omitted // around a pipe
}

// Placement is the probe of a group standing on one side of the weld, or of the
// middle of the web on a flange: top or bottom, by the web's surface. All
// points are in the section, elements above the top surface have negative
// depth (below the bottom surface: depth over the thickness).
type Placement struct {
	Side     string
	Scale    si.Ratio         // length along the surface on which it stands, over what X of the section is of it
	Flange   *geometry.Flange // on whose outer face it stands; nil elsewhere
	Front    geometry.Point   // foot of the wedge front
	Back     geometry.Point   // foot of the wedge's rear end
	Far      []geometry.Point // the same two at the farthest place of a raster; none otherwise
	Upright  bool             // a straight probe
	Elements []geometry.Point // centres of all elements, 1 first
	Exit     geometry.Point   // beam exit point: sectorial, at the middle angle; tfm, of the natural refraction from the array's centre
	Active   [2]int           // first and last element that form the beams, counted from 1
	Rays     []Ray            // for the figure
	Coverage coverage.Result  // from this side alone
	Region   geometry.Polygon // tfm: the region imaged, clipped to the part
}

// Along returns where a place lies along the surface on which the probe stands,
// counted from the weld's centreline: what a tape laid on it reads. On the outer
// face of a flange the centreline is the middle of the web, and what lies to the
// side of the web's top is negative.
func (p *Placement) Along(at geometry.Point) si.Length {
	if p.Flange != nil {
		return p.Flange.Seen(at).X
	}
	return at.X * si.Length(p.Scale)
}

// Ray is one path drawn in a figure, from the element or aperture centre
// through the exit point, over the walls, to its end.
type Ray struct {
	Points []geometry.Point
	Angle  si.Angle // refracted, in the part
	Edge   bool     // first or last angle of the range, or from the first or last aperture
}

// Law is one beam of a sectorial or linear group. Positions are distances from the wedge
// front: positive towards the weld.
type Law struct {
	First      int // first active element, counted from 1
	Angle      si.Angle
	WedgeAngle si.Angle
	Exit       si.Length // exit point behind the wedge front, never negative where the beam leaves through the contact face
	WedgePath  si.Length
	Delays     []si.Time // one for each active element, the smallest zero
	Path       si.Length // sound path in the part to the end of what is used
	NearField  si.Length // that is left in the part
	Focus      si.Length // sound path in the part to the focus; NaN where unfocused
}

// FaceIncidence is how the beams of a group from one side meet one face.
type FaceIncidence struct {
	Side       string // of the probe; empty for all groups and sides together
	Face       geometry.Face
	Square     si.Angle // refracted angle that meets the face square; NaN where none can
	SquareLegs string   // legs on which it would: "direct", "after one reflection"
	Best       si.Angle // smallest angle to the face's normal over the part reached
	Worst      si.Angle // largest, taking the best beam at each point
	Reached    si.Ratio // share of the face's height that is reached
	Within     si.Ratio // share that is met within 10 degrees of square
	Varies     bool     // each point is met square by another angle

	meeting coverage.Meeting
}

// Line is one pass of the probe along the weld.
type Line struct {
	Side    string
	Surface string
	Front   si.Length // signed position of the wedge front: negative on side A
	Pair    bool      // a pair, which stands as far on side B
	Groups  []string
}

// Speed is the study of how fast the crew may scan.
type Speed struct {
	Passes       []Pass
	Limiting     int // index of the slowest pass
	Alternatives []Alternative
	Compared     string // the group whose image they are compared by; empty where there is none
}

// Pass is one movement along the weld.
type Pass struct {
	Lines []int // indexes of Technique.Lines
	Frame acquisition.Frame
	Limit si.Speed
}

// Alternative is one transmission scheme of the limiting pass, for comparison.
type Alternative struct {
	Name      string // "full matrix", "half matrix", "every 3rd element fires"
	Every     int    // n of every n-th element; 1 otherwise
	Waves     int    // plane waves; 0 otherwise
	Chosen    bool
	Firings   int
	AScans    int
	Data      si.Bytes // per position
	LimitedBy string
	Limit     si.Speed
	Minutes   si.Time           // for the whole weld, all passes, at the limit
	Noise     si.Decibel        // signal-to-noise against full matrix, zero or negative; NaN of plane waves
	Pitch     si.Ratio          // transmit pitch in wavelengths of the wedge; NaN of plane waves
	Image     *imaging.Artefact // of a point in the middle of what Speed.Compared reaches; nil where not known
}

// CurvePoint is one reflector of the time-corrected gain as one leg meets it.
type CurvePoint struct {
	Depth    si.Length // of the reflector in the block
	Leg      int
	Unfolded si.Length // depth as if the path went straight on
	PathFrom si.Length // sound path in the block at the smallest angle used
	PathTo   si.Length // at the largest
}
