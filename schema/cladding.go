package schema

import "soundwrit/internal/si"

// Coating is a layer on the scanning surface that the sound crosses.
type Coating struct {
	Thickness    si.Length
	Longitudinal si.Speed
}

// Cladding is a layer of another metal on one surface. The part's thickness
// includes it.
type Cladding struct {
	Surface                  string // top, bottom
	Thickness                si.Length
	Longitudinal, Transverse si.Speed
	Density                  si.Density
	AttenuationAt            si.Frequency   `key:"attenuation.at"` // frequency of the two below
	LongitudinalAttenuation  si.Attenuation `key:"attenuation.longitudinal"`
	TransverseAttenuation    si.Attenuation `key:"attenuation.transverse"`
}

// cladding looks whether base metal is left.
func (c *checker) cladding() {
	clad := c.Part.Cladding
	if clad == nil {
		return
	}
	path := "part.cladding"
	if reaches(clad.Thickness, c.Part.Thickness) {
		c.under(path+".thickness", "part.thickness", "cladding-too-thick", "the cladding leaves no base metal", "write the thickness of the whole wall, cladding included, as part.thickness")
	}
	if reaches(clad.Transverse, clad.Longitudinal) {
		c.under(path+".transverse", path+".longitudinal", "waves-exchanged", "the transverse wave is not slower than the longitudinal one", "exchange the two velocities, or check them")
	}
}
