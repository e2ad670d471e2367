package render

import (
	"math"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

const mm = si.Millimetre

// plateJob is a single-V in a plate, 25 mm, invented.
func plateJob() *schema.Job {
	nan := si.Unknown[si.Length]()
	return &schema.Job{
		Document: schema.Document{Number: "HX-UT-1", Title: "Invented technique", Units: "mm"},
		Part: schema.Part{
			Kind: "plate", Thickness: 25 * mm, OutsideDiameter: nan,
			Weld: schema.Weld{
				Preparation: "single-V", Opens: "top", BevelAngle: 30 * si.Degree, LowerAngle: 30 * si.Degree,
				UpperDepth: nan, RootFace: 1.5 * mm, RootGap: 3 * mm,
				Cap:  schema.Reinforcement{Condition: "as-welded", Width: 34 * mm, Height: 2.5 * mm},
				Root: schema.Reinforcement{Condition: "as-welded", Width: 6 * mm, Height: 1.5 * mm},
			},
			Zone: schema.Zone{Width: 10 * mm, Boundary: "straight"},
		},
		Equipment: schema.Equipment{Blocks: []schema.Block{{
			Name: "RB-25", Kind: "holes-and-notches", Material: "same as the part", Thickness: 25 * mm, Diameter: nan,
			HoleDiameter: 3 * mm, HoleDepths: []si.Length{5 * mm, 12.5 * mm, 20 * mm}, NotchDepth: 1 * mm,
			NotchLength: nan, NotchWidth: nan, Length: nan, Width: nan,
		}}},
		Reference: schema.Reference{Block: "RB-25"},
		Scan: schema.Scan{
			Increment: 1 * mm, Overlap: 25 * mm, Speed: 0.040,
			Datum:     "end of the run-on plate of side A, stamped before the first scan",
			Direction: "from the datum towards the run-off plate, the probe on the right hand of whoever scans",
		},
	}
}

// standing makes the placement of a probe on one side of the weld.
func standing(side string, front, thickness si.Length, elements, first, count int, pitch si.Length, angles []float64, legs int) technique.Placement {
	const tilt = 36 * math.Pi / 180
	sign := -1.0
	if side == "B" {
		sign = 1
	}
	at := func(back, z float64) geometry.Point {
		return geometry.Point{X: si.Length(sign) * (front + si.Length(back)*mm), Z: si.Length(z) * mm}
	}
	length := float64(pitch/mm)*float64(elements)*0.82 + 22
	p := technique.Placement{Side: side, Front: at(0, 0), Back: at(length, 0), Active: [2]int{first, first + count - 1}}
	for i := range elements {
		along := float64(pitch/mm) * float64(i)
		p.Elements = append(p.Elements, at(length-8-along*math.Cos(tilt), -(5+along*math.Sin(tilt))))
	}
	a, b := p.Elements[first-1], p.Elements[first+count-2]
	centre := geometry.Point{X: (a.X + b.X) / 2, Z: (a.Z + b.Z) / 2}
	for i, degrees := range angles {
		theta := degrees * math.Pi / 180
		inWedge := math.Asin(math.Sin(theta) * 2337 / 3240)
		x := centre.X - si.Length(sign*math.Tan(inWedge))*(-centre.Z)
		points := []geometry.Point{centre, {X: x}}
		for leg := range legs {
			x -= si.Length(sign*math.Tan(theta)) * thickness
			z := thickness
			if leg%2 == 1 {
				z = 0
			}
			points = append(points, geometry.Point{X: x, Z: z})
		}
		p.Rays = append(p.Rays, technique.Ray{Points: points, Angle: si.Angle(theta), Edge: i == 0 || i == len(angles)-1})
	}
	return p
}

func missedRegion(share si.Ratio, outlines ...geometry.Polygon) coverage.Result {
	return coverage.Result{Share: 1 - share, Missed: []coverage.Missed{{Outline: outlines, Share: share}}}
}

// plateTechnique has a sector group from both sides and a total-focusing group
// from side A.
func plateTechnique() *technique.Technique {
	job, nan := plateJob(), si.Unknown[si.Length]()
	job.Groups = []schema.Group{
		{Name: "upper", Method: "sectorial", Wave: "transverse", Angles: schema.AngleRange{From: 45 * si.Degree, To: 70 * si.Degree, Step: si.Degree}, Surface: "top", Sides: []string{"A", "B"}},
		{Name: "root", Method: "tfm", Path: "T-T", Surface: "top", Sides: []string{"A"}},
	}
	probe := &schema.Probe{Name: "P5-64", Elements: 64, Pitch: 0.6 * mm}
	wedge := &schema.Wedge{
		Name: "W36", Angle: 36 * si.Degree, FirstElementHeight: 5 * mm, FrontDistance: (64*0.6*0.82 + 14) * mm, Length: nan, Width: 25 * mm, Contour: nan,
	}
	tfm := standing("A", 20*mm, 25*mm, 64, 1, 64, 0.6*mm, []float64{40, 55, 70}, 1)
	tfm.Region = geometry.Polygon{{X: -14 * mm, Z: 2 * mm}, {X: 14 * mm, Z: 2 * mm}, {X: 14 * mm, Z: 25 * mm}, {X: -14 * mm, Z: 25 * mm}}
	t := &technique.Technique{
		Job: job, Section: geometry.New(&job.Part),
		Groups: []technique.Group{
			{
				Set: &job.Groups[0], Probe: probe, Wedge: wedge,
				Placements: []technique.Placement{
					standing("A", 19*mm, 25*mm, 64, 17, 16, 0.6*mm, []float64{45, 57.5, 70}, 2),
					standing("B", 19*mm, 25*mm, 64, 17, 16, 0.6*mm, []float64{45, 57.5, 70}, 2),
				},
				Coverage: missedRegion(0.0312, geometry.Polygon{{X: -6 * mm}, {X: 6 * mm}, {X: 4 * mm, Z: 3 * mm}, {X: -4 * mm, Z: 3 * mm}}),
			},
			{
				Set: &job.Groups[1], Probe: probe, Wedge: wedge, Placements: []technique.Placement{tfm},
				Coverage: missedRegion(0.18, geometry.Polygon{{X: 14 * mm, Z: 0}, {X: 27 * mm, Z: 0}, {X: 27 * mm, Z: 12 * mm}, {X: 27 * mm, Z: 25 * mm}, {X: 14 * mm, Z: 25 * mm}}),
			},
		},
		Lines: []technique.Line{
			{Side: "A", Surface: "top", Front: -19 * mm, Groups: []string{"upper"}},
			{Side: "B", Surface: "top", Front: 19 * mm, Groups: []string{"upper"}},
			{Side: "A", Surface: "top", Front: -20 * mm, Groups: []string{"root"}},
		},
		Coverage: coverage.Result{Share: 1},
	}
	t.Speed.Alternatives = []technique.Alternative{
		{Name: "full matrix", Every: 1, LimitedBy: "data rate", Limit: 0.01834},
		{Name: "half matrix", Every: 1, LimitedBy: "data rate", Limit: 0.0363},
		{Name: "every 2nd element fires", Every: 2, LimitedBy: "pulse rate", Limit: 0.0418, Chosen: true},
		{Name: "every 4th element fires", Every: 4, LimitedBy: "image reconstruction", Limit: 0.0611},
	}
	return t
}

// pipeTechnique is a thin pipe in inch and millimetre.
func pipeTechnique() *technique.Technique {
	job := plateJob()
	job.Document.Units = "both"
	job.Part.Kind, job.Part.Thickness, job.Part.OutsideDiameter = "pipe", 9.53*mm, 168.3*mm
	job.Part.Weld.Seam = "girth"
	job.Part.Weld.Cap.Width = 14 * mm
	job.Part.Zone.Width = 6.35 * mm
	job.Equipment.Blocks[0].Thickness = 12.7 * mm
	job.Equipment.Blocks[0].Kind = "side-drilled-holes"
	job.Equipment.Blocks[0].Diameter = 168.3 * mm
	job.Equipment.Blocks[0].HoleDiameter = 1.5 * mm
	job.Equipment.Blocks[0].HoleDepths = []si.Length{3.2 * mm, 6.35 * mm, 9.5 * mm}
	job.Groups = []schema.Group{{Name: "main", Method: "sectorial", Wave: "transverse", Angles: schema.AngleRange{From: 45 * si.Degree, To: 70 * si.Degree, Step: si.Degree}}}
	angles := []float64{45, 57.5, 70}
	t := &technique.Technique{
		Job: job, Section: geometry.New(&job.Part),
		Groups: []technique.Group{{
			Set: &job.Groups[0], Probe: &schema.Probe{Name: "P75-32"}, Wedge: &schema.Wedge{
				Name: "W36-C", Angle: 36 * si.Degree, FirstElementHeight: 5 * mm, FrontDistance: (32*0.31*0.82 + 14) * mm, Length: 30.1 * mm, Width: 20 * mm, Contour: 168.3 * mm,
			},
			Placements: []technique.Placement{
				standing("A", 9*mm, 9.53*mm, 32, 1, 16, 0.31*mm, angles, 2),
				standing("B", 9*mm, 9.53*mm, 32, 1, 16, 0.31*mm, angles, 2),
			},
			Coverage: coverage.Result{Share: 1},
		}},
		Lines: []technique.Line{
			{Side: "A", Surface: "top", Front: -9 * mm, Groups: []string{"main"}},
			{Side: "B", Surface: "top", Front: 9 * mm, Groups: []string{"main"}},
		},
		Coverage: coverage.Result{Share: 1},
	}
	return t
}
