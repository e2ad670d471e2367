package technique

import "soundwrit/internal/si"

// Value is one computed or given number that the document may state.
type Value struct {
	ID       string // dotted path: "groups.upper.wavelength"
	Symbol   string // "λ"
	Name     string // "wavelength in the part"
	Q        si.Quantity
	Unit     string // in which it is printed: "mm", "in", "MHz"
	Decimals int
	Side     si.Side // a limit is rounded to its safe side
	Formula  string  // "λ = c / f"; empty for a value taken from the job
	Inputs   []Input
	Source   string
}

// Input is one value that went into another.
type Input struct {
	Symbol string
	ID     string // of another Value; empty for a constant
	Q      si.Quantity
	Unit   string
}

// Text prints the value in its unit, rounded to its side.
func (v Value) Text() string { return v.Q.Text(v.Unit, v.Decimals, v.Side) }
