// Package schema reads a job file: what a person decided about a weld, a part,
// the equipment and the technique. It keeps the position of every value, checks
// the file against the embedded JSON Schema and against itself (names that must
// exist, apertures that must fit), and reports every problem of one run.
//
// Nothing in a Job is computed. A quantity that is not given, or could not be
// read, is NaN; a text that is not given is empty.
package schema

import "soundwrit/internal/si"

// Job is a job file, read. The field names and the keys in the file are the
// same words, except where a field carries a key of its own; job.schema.json
// describes each of them.
type Job struct {
	File          string `key:"-"` // as named by the user, for messages
	Partial       bool   `key:"-"` // the file has errors: what is unknown here need not be missing there
	Document      Document
	Codes         Codes
	Part          Part
	Equipment     Equipment
	Groups        []Group // in the order of the file
	Reference     Reference
	Scan          Scan
	Evaluation    Evaluation
	Qualification Qualification
	Deviations    []Deviation

	root *node // the file as read, with the place of every value
}

// Document is what the paper says of itself.
type Document struct {
	Number       string
	Title        string
	Revision     string
	Date         string // ISO 8601, a day
	Status       string // draft, for approval, approved, superseded
	Units        string // mm, in, both
	Language     string // en, de
	Client       string
	Project      string
	Contractor   string
	Purpose      string // why this examination, and its relation to other methods
	People       []Person
	History      []Revision
	Comments     []Comment
	Returns      []Return
	Distribution []string
	Limitations  []string // declared by the author, beside those computed
	Safety       []string // cautions of this site, beside the usual ones
}

// Person is one role: a named person for the paper, or the requirement for
// whoever the crew sends.
type Person struct {
	Task          string // prepares, reviews, approves, accepts, scans, evaluates
	Name          string
	Qualification string // "UT level 3, ISO 9712, welds"
	Level         int    // 1, 2 or 3; 0 where not given
	Certificate   string
	Training      string // additional training in the method, and its proof
}

// Revision is one line of the revision record.
type Revision struct {
	Revision, Date, Change, By string
}

// Comment is one comment of a reviewer, and what became of it.
type Comment struct {
	Number, Revision, Section, By, Date string
	Comment, Answer                     string
	ClosedIn                            string // the revision; empty while it is open
}

// Return is what the client returned after a revision was sent.
type Return struct {
	Revision, Date string
	Result         string // approved, approved with comments, revise and resubmit, rejected, for information
	By, Reference  string
}

// Codes names what the technique must satisfy.
type Codes struct {
	Procedure  []Code
	Acceptance []Code
	House      []string // files of house rule books, relative to the job
}

// Code is a code with its edition, and the level the contract asks for.
type Code struct {
	Code    string // "ISO 13588"
	Edition string // "2019"
	Level   string // testing level, or acceptance level; the key of a procedure code is testing_level
}

// Part is the thing examined.
type Part struct {
	Kind            string // plate, pipe
	Description     string
	Material        Material
	Thickness       si.Length
	OutsideDiameter si.Length // pipe only
	Range           Range     // sizes that the technique covers
	Weld            Weld
	Zone            Zone     `key:"heat_affected_zone"` // parent metal examined beside the weld
	Sides           []string `key:"access.sides"`       // accessible sides: A, B
	Surfaces        []string `key:"access.surfaces"`    // accessible surfaces: top, bottom, flange
	Temperature     TemperatureRange
	Surface         Surface
	Coating         *Coating  // on the scanning surface; nil where none is stated
	Cladding        *Cladding // on one surface; nil where there is none
	ParentMaterial  string    // how the parent metal in the beam's way was found sound

	TransitionA  *Transition  `key:"transition.A"` // to a thicker wall; nil where there is none
	TransitionB  *Transition  `key:"transition.B"`
	CounterboreA *Counterbore `key:"counterbore.A"` // nil where there is none
	CounterboreB *Counterbore `key:"counterbore.B"`
	Flange       *Flange      // across the end of the web, of a T-butt weld; nil of a butt weld
}

// Material is the parent metal.
type Material struct {
	Name         string
	Group        string // ferritic, austenitic, nickel, aluminium
	Longitudinal si.Speed
	Transverse   si.Speed
	Density      si.Density

	LongitudinalChange      si.SpeedPerKelvin `key:"temperature_coefficient.longitudinal"` // above 20 °C
	TransverseChange        si.SpeedPerKelvin `key:"temperature_coefficient.transverse"`
	AttenuationAt           si.Frequency      `key:"attenuation.at"` // frequency of the two below
	LongitudinalAttenuation si.Attenuation    `key:"attenuation.longitudinal"`
	TransverseAttenuation   si.Attenuation    `key:"attenuation.transverse"`
	BackWalls               BackWalls         `key:"attenuation.back_walls"`
}

// BackWalls are two back-wall echoes of a straight beam, which stand in for a
// stated attenuation of longitudinal waves.
type BackWalls struct {
	Drop      si.Decibel // of the second echo under the first
	Thickness si.Length  // where it was measured
	Spreading si.Decibel // share of the drop that is no attenuation
}

// Weld is the joint in section. Angles are from the normal of the surface.
type Weld struct {
	Numbers      []string
	Process      string
	Stage        string    // when the examination may start
	Seam         string    // pipe: girth, longitudinal
	Length       si.Length // plate and longitudinal seam; a girth weld's length is computed
	Preparation  string    // square, single-V, double-V, single-bevel, double-bevel, single-U, double-U, single-J, double-J, compound-bevel, narrow-gap
	Opens        string    // top, bottom: the wide side of a preparation from one surface
	BevelAngle   si.Angle  // per side; from both surfaces, of the upper half; compound, of the bevel next to the root face
	LowerAngle   si.Angle  // from both surfaces: of the lower half, default the same
	UpperDepth   si.Length // from both surfaces: depth of the upper preparation, default half of what the root face leaves
	OuterAngle   si.Angle  // compound: of the bevel next to the surface
	BreakHeight  si.Length // compound: from the surface at the root to where the bevel changes
	RootRadius   si.Length // U and J, of both halves alike; narrow gap, default 0
	RootFace     si.Length
	RootGap      si.Length
	Misalignment si.Length     // by which both surfaces of side B lie deeper; negative where higher
	BevelledSide string        // where one edge is square: the other, A or B
	Cap          Reinforcement // at the top surface
	Root         Reinforcement // at the bottom surface
	Flaws        []string      // expected kinds, where the welding process suggests them
	Transverse   string        // how flaws across the weld are examined, or why not
}

// Reinforcement is the weld metal that stands over a surface.
type Reinforcement struct {
	Condition string // as-welded, flush
	Width     si.Length
	Height    si.Length
}

// Zone is the parent metal beside the weld that belongs to the volume.
type Zone struct {
	Width    si.Length
	Boundary string // straight (from the widest point of the weld), parallel (to the fusion face)
	Basis    string // where the width comes from
}

// TemperatureRange is the range of the surface during the examination.
type TemperatureRange struct {
	From, To si.Celsius
}

// Surface is the state of the scanning surface.
type Surface struct {
	Condition string
	Roughness si.Length // Ra
	Coating   string
}

// Equipment is what the crew uses. Serial numbers are left to the crew.
type Equipment struct {
	Instrument   Instrument
	Probes       []Probe // in the order of the file
	Wedges       []Wedge
	SingleProbes []SingleProbe
	Blocks       []Block
	Scanner      Scanner
	Encoder      Encoder
	Couplant     string
}

// Instrument states what limits the speed. Makers seldom publish it, so one
// measured rate may stand in for the rest.
type Instrument struct {
	Description        string
	Channels           int
	Sampling           si.Frequency // digitising rate
	SampleBytes        int
	PulseRate          si.Frequency // highest pulse repetition rate
	Averages           int          // A-scans that make one record
	Software           string
	GainSpan           si.Decibel // over which the time-corrected gain can rise
	Rearm              si.Time    // from the end of the record to the next pulse
	FrameOverhead      si.Time    // per scan position
	DataRate           si.ByteRate
	ReconstructionRate float64 // ratio: grid points times A-scans per second
	Image              string  // envelope, oscillating: what a grid point shows
	SharesMatrix       bool    // images of one probe position are computed from one record
	Measured           *MeasuredRate
}

// MeasuredRate is one rate measured on the instrument, and the set-up in which
// it was measured.
type MeasuredRate struct {
	Rate       si.Frequency // scan positions per second
	Elements   int          // elements of the array that receive
	Firing     int          // elements (or beams) that fire in a group
	Groups     int
	GridPoints int // of all groups together; 0 where none are computed
	Note       string
}

// Probe is a linear array.
type Probe struct {
	Name        string `key:"-"`
	Description string
	Frequency   si.Frequency
	Bandwidth   si.Ratio // at -6 dB, of the centre frequency
	Elements    int
	Pitch       si.Length
	Gap         si.Length // between neighbouring elements
	Elevation   si.Length // element length across the array
}

// Wedge carries the array. Element 1 is the rear one, the one nearest the
// contact surface: the array rises towards the front, where the beam leaves.
type Wedge struct {
	Name               string `key:"-"`
	Description        string
	Medium             string    // solid, water
	Angle              si.Angle  // between array and contact surface
	Velocity           si.Speed  // longitudinal, at 20 °C
	FirstElementHeight si.Length // centre of element 1 above the contact surface
	FrontDistance      si.Length // from the wedge front back to the centre of element 1, along the surface
	Length             si.Length // of the contact face, in the beam's plane
	Width              si.Length // of the contact face, across the beam
	Contour            si.Length // diameter it is shaped for; NaN where flat
	UsableFrom         si.Angle  `key:"usable_angles.from"` // refracted angles its maker permits
	UsableTo           si.Angle  `key:"usable_angles.to"`
	LongitudinalFrom   si.Angle  `key:"usable_longitudinal.from"` // the same of longitudinal waves, where stated apart
	LongitudinalTo     si.Angle  `key:"usable_longitudinal.to"`
	Density            si.Density
	Transverse         si.Speed          // 0 of water
	VelocityChange     si.SpeedPerKelvin `key:"temperature_coefficient"` // above 20 °C; NaN of water, which follows no straight line
	AttenuationAt      si.Frequency      `key:"attenuation.at"`          // frequency of the one below
	Attenuation        si.Attenuation    `key:"attenuation.longitudinal"`
}

// SingleProbe is a probe with one element, or one to send and one to receive,
// and a wedge or a delay line of its own, if any. An element is round or
// rectangular.
type SingleProbe struct {
	Name           string `key:"-"`
	Description    string
	Frequency      si.Frequency
	Diameter       si.Length
	ElementLength  si.Length `key:"element.length"` // in the plane of incidence
	ElementWidth   si.Length `key:"element.width"`  // across it
	Dual           bool
	RangeFrom      si.Length         `key:"range.from"` // sound paths for which its maker states it
	RangeTo        si.Length         `key:"range.to"`
	DeadZone       si.Length         // as stated; NaN where it is to follow from the pulse
	Angle          si.Angle          // refracted; NaN of a straight beam
	WedgeVelocity  si.Speed          // or that of the delay line
	VelocityChange si.SpeedPerKelvin `key:"temperature_coefficient"` // of that in the wedge, above 20 °C
	FrontDistance  si.Length         // from the exit point forward to the wedge front
	Length         si.Length         // of the contact face
	Width          si.Length         // of the contact face, across the beam
	Contour        si.Length         // diameter it is shaped for; NaN where flat
	Delay          si.Time           // in the wedge or the delay line, one way
	Pulse          si.Time           // length of the pulse
}

// Block is a reference block.
type Block struct {
	Name         string `key:"-"`
	Description  string
	Kind         string // side-drilled-holes, notches, holes-and-notches
	Material     string
	Thickness    si.Length
	Diameter     si.Length // curvature of its scanning surface; NaN where flat
	HoleDiameter si.Length
	HoleDepths   []si.Length
	NotchDepth   si.Length
	NotchLength  si.Length   // across the beam
	NotchWidth   si.Length   // along the beam
	Length       si.Length   // along the beam
	Width        si.Length   // across it; along the arc of a curved block
	Places       []si.Length // from one end to each hole, then to the notches in the near and the far surface
}

// Notched reports whether the block has notches: one in each surface.
func (b *Block) Notched() bool { return b.Kind == "notches" || b.Kind == "holes-and-notches" }

// Reflectors is how many places a block's reflectors have.
func (b *Block) Reflectors() int {
	if b.Notched() {
		return len(b.HoleDepths) + 2
	}
	return len(b.HoleDepths)
}

// Scanner is what moves the probe.
type Scanner struct {
	Description string
	Drive       string // hand, motor
	Guide       string
}

// Encoder measures the way along the weld.
type Encoder struct {
	Description string
	Resolution  si.Length // one count
}

// Group is one way of looking at the weld: a method with its own set-up.
type Group struct {
	Name       string `key:"-"`
	Method     string // tfm, sectorial, linear, tofd, angle-beam, straight-beam
	Purpose    string
	Probe      string // angle-beam, straight-beam: a single-element probe
	Wedge      string
	Sides      []string  // from which it looks, of a flange top and bottom; default all accessible sides
	Surface    string    // top, bottom, flange
	WedgeFront si.Length // from the weld centreline back to the wedge front, never negative

	// angle-beam, straight-beam
	Raster       Raster
	Target       string     // straight-beam: parent, weld
	Reflector    string     // that sets its sensitivity; by default that of the reference
	Disc         si.Length  // where the reflector is a disc
	BackWallLoss si.Decibel // of the back-wall echo, from which a place is recorded

	// sectorial, linear; wave and legs of angle-beam too
	Wave        string     // transverse, longitudinal
	Angles      AngleRange // sectorial
	FixedAngles []si.Angle // linear
	Aperture    Aperture   // of every beam; linear: of the first
	Stepping    Stepping   // linear
	Focus       Focus
	Legs        []int // legs of the path that are evaluated: 1 direct, 2 after the far surface, 3

	// tofd
	Pair                string    // a single-element probe, of which two stand astride the weld
	Separation          si.Length // of their exit points; NaN where the crossing depth is given
	CrossingDepth       si.Length // of their beam axes; NaN where the separation is given
	DepthZone           DepthZone
	SeparationTolerance si.Length

	// tfm
	Path         string // T-T, TT-T, TT-TT, L-L, TL-T: the legs in the order in which the sound travels
	Region       Region
	Grid         si.Length
	Fidelity     si.Decibel // amplitude loss between grid points measured on a block; NaN where not yet measured
	FidelityBy   string     // how that was measured
	Transmission Transmission
	Store        string // matrix, image: what is kept
}

// Raster is a scan by strokes across the weld: from and to are the wedge front's
// distances from the weld centreline, or those of a straight probe's middle.
type Raster struct {
	From, To si.Length
	Index    si.Length // from stroke to stroke, along the weld
}

// Single reports whether the group has one single-element probe.
func (g *Group) Single() bool { return g.Method == "angle-beam" || g.Method == "straight-beam" }

// Rides reports whether the group looks through the probe of another, at one place.
func (g *Group) Rides(o *Group) bool {
	return g.Probe == o.Probe && g.Wedge == o.Wedge && g.Surface == o.Surface && g.WedgeFront == o.WedgeFront
}

// AngleRange is a range of refracted angles.
type AngleRange struct {
	From, To, Step si.Angle
}

// Aperture is the run of elements that forms a beam.
type Aperture struct {
	First, Count int
}

// DepthZone is a range of depths below the scanning surface.
type DepthZone struct {
	From, To si.Length
}

// Stepping is how the aperture of a linear group moves along the array.
type Stepping struct {
	Last int // element that no aperture reaches past
	Step int // elements from one aperture to the next
}

// Apertures is how many apertures a linear group has; 0 where that is not known.
func (g *Group) Apertures() int {
	a, s := g.Aperture, g.Stepping
	if a.First < 1 || a.Count < 1 || s.Step < 1 || s.Last < a.First+a.Count-1 {
		return 0
	}
	return (s.Last-a.First-a.Count+1)/s.Step + 1
}

// Focus says where the beams of a sectorial or linear group are focused.
type Focus struct {
	Kind string    // depth, path, none
	At   si.Length // depth, or sound path in the part, unfolded
}

// Region is the part of the section that is imaged, as seen by the probe.
type Region struct {
	Near, Far   si.Length // from the centreline towards the probe, and beyond it
	Top, Bottom si.Length // depths
}

// Transmission is what is sent for a full record.
type Transmission struct {
	Scheme string // full-matrix, half-matrix, every-nth, plane-wave
	Every  int    `key:"n"` // n of every-nth; 1 otherwise

	// plane-wave, zero otherwise
	From, To si.Angle // refracted angles of the first and the last wave
	Count    int      // waves, evenly spaced in angle
}

// Reference is how sensitivity is set and kept.
type Reference struct {
	Block                 string
	Reflector             string     // side-drilled-hole, notch, disc, back-wall
	Disc                  si.Length  // where the reflector is a disc
	Level                 si.Ratio   // of full screen height
	ScanningGain          si.Decibel // above reference
	EvaluationLevel       si.Decibel // relative to reference: everything above is evaluated
	MapAllowance          si.Decibel // lowest predicted echo that the technique allows, against the reflector
	MapFlaw               si.Length  // height of the flat flaw whose echo is predicted
	Transfer              string     // how the difference between block and part is corrected
	TemperatureDifference si.Kelvin  // largest between block and part
	Checks                Checks
}

// Checks is when the setting is verified and what is tolerated.
type Checks struct {
	Interval      si.Time
	Occasions     []string   // besides the interval
	Sensitivity   si.Decibel // tolerated change
	Range         si.Length  // tolerated change, absolute
	RangeShare    si.Ratio   // tolerated change, of the reading
	Encoder       si.Ratio   // tolerated error over the check length
	EncoderLength si.Length
}

// Scan is the movement along the weld.
type Scan struct {
	Increment        si.Length
	Overlap          si.Length // of successive scans, and of the end over the start on a girth weld
	Stretch          si.Length // longest scan before the scanner is placed again; NaN where one scan covers the weld
	LineOverlap      si.Ratio  // of neighbouring scan lines, share of the beam width
	Speed            si.Speed  // that the crew must not exceed on average
	SetupTime        si.Time   // of one scan: placing, turning around, checking the data
	SpeedSpread      si.Ratio  // standard deviation of the speed over its mean
	Pass             string    // line, side, all: what one pass carries
	Datum            string
	Direction        string
	MissingShare     si.Ratio `key:"missing.share"`    // tolerated share of missing lines
	MissingPerLength int      `key:"missing.per_25mm"` // tolerated missing lines in 25 mm (1 in); -1 where not stated
	MissingAdjacent  int      `key:"missing.adjacent"` // tolerated neighbouring missing lines; -1 where not stated
	CouplingLoss     string
	Storage          string
}

// Evaluation is how indications are judged before any limit is applied.
type Evaluation struct {
	Geometry string // how it is told from flaws
	Length   string // how it is measured
	Height   string
}

// Qualification is the demonstration that the technique finds what it must.
type Qualification struct {
	Block  string
	Flaws  []string
	Trials int // flaws that were looked for; 0 where not stated
	Found  int // of these found
	Record string
	Result string
}

// Deviation is a requirement that is not met, and agreed to be so.
type Deviation struct {
	Rule                            string
	Subject                         string // group or person, of a rule that is asked of each; empty: of all of them
	Reason, Measure, AgreedBy, Date string
}
