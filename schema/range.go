package schema

import (
	"math"
	"slices"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Range is the parts that one technique covers. Unknown where it is not
// stated: then the technique is for the part as it stands in the job.
type Range struct {
	ThicknessFrom si.Length `key:"thickness.from"`
	ThicknessTo   si.Length `key:"thickness.to"`
	DiameterFrom  si.Length `key:"outside_diameter.from"`
	DiameterTo    si.Length `key:"outside_diameter.to"` // unknown with a from: any larger
}

// Stated reports whether the job covers more than one size of part.
func (r Range) Stated() bool { return si.Known(r.ThicknessFrom) || si.Known(r.DiameterFrom) }

// ranges holds the range against the part of the job, which must lie in it.
func (c *checker) ranges() {
	p, r := &c.Part, &c.Part.Range
	if si.Known(r.DiameterFrom) && p.Kind == "plate" {
		c.fail("part.range.outside_diameter", "misplaced-key", "a range of diameters does not go with kind plate", "a range of thicknesses", "delete outside_diameter")
	}
	for _, of := range []struct {
		key      string
		from, to si.Length
		is       si.Length
	}{{"thickness", r.ThicknessFrom, r.ThicknessTo, p.Thickness}, {"outside_diameter", r.DiameterFrom, r.DiameterTo, p.OutsideDiameter}} {
		path := "part.range." + of.key
		if of.from > of.to {
			c.also(c.fail(path+".to", "range-reversed", of.key+" ends under where it begins", "at least from", "exchange from and to"), path+".from")
		}
		if of.is < of.from*(1-1e-9) || of.is > of.to*(1+1e-9) {
			c.also(c.fail("part."+of.key, "outside-range", of.key+" of the part that is drawn lies outside the range covered", "a value in the range", "choose it in the range, such as the thickest"), path)
		}
	}
}

// Sized returns the job for a part of another thickness and diameter. What was
// as deep as the part was thick follows it: the bottom of an imaged region, the
// end of a depth zone, the halves of a double preparation that the job leaves
// to be computed. Positions in the file stay those of the job.
func (j *Job) Sized(thickness, diameter si.Length) *Job {
	k := *j
	was := j.Part.Thickness
	k.Part.Thickness, k.Part.OutsideDiameter = thickness, diameter
	k.Part.Range = Range{si.Unknown[si.Length](), si.Unknown[si.Length](), si.Unknown[si.Length](), si.Unknown[si.Length]()}
	if w := &k.Part.Weld; w.Double() && !j.Has("part.weld.upper_depth") {
		w.UpperDepth = (thickness - w.RootFace) / 2
	}
	follows := func(x *si.Length) {
		if math.Abs(float64(*x-was)) <= 1e-9*float64(was) {
			*x = thickness
		}
	}
	k.Groups = slices.Clone(j.Groups)
	for i := range k.Groups {
		follows(&k.Groups[i].Region.Bottom)
		follows(&k.Groups[i].DepthZone.To)
	}
	return &k
}

// Misfit returns what of the job cannot be true of its part, which may have been
// given another size than the file's: such as a root face higher than the wall.
// Limits, and other places that have a part in it, are left out, since they quote
// the sizes of the file.
func (j *Job) Misfit() []diag.Finding {
	var errors []diag.Finding
	for _, f := range check(j) {
		if f.Level == diag.Error {
			f.Limit, f.Also = "", nil
			errors = append(errors, f)
		}
	}
	return errors
}
