package technique

import "soundwrit/internal/si"

// Value is one computed or given number that the document may state.
type Value struct {
	ID       string // dotted path: "groups.upper.wavelength"
	Symbol   string // "λ"
	Name     string // "sound path of the reflector", shared by all that are the same of something
	Of       string // of what: "at 12 mm, leg 1"; empty where the name says it all
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

// Title is the whole name of the value.
func (v Value) Title() string {
	if v.Of == "" {
		return v.Name
	}
	return v.Name + ", " + v.Of
}

// Text prints the value in its unit, rounded to its side.
func (v Value) Text() string { return v.Q.Text(v.Unit, v.Decimals, v.Side) }

// Both prints the value in the other unit system, rounded to the same side, or
// nothing where the unit is the same in both.
func (v Value) Both() string {
	unit, decimals := otherUnit(v.Unit, v.Decimals)
	if unit == "" {
		return ""
	}
	return v.Q.Text(unit, decimals, v.Side)
}

// otherUnit names the unit of the other system. An inch is 25.4 mm, so that two
// decimals more (or fewer) hold about the same precision.
func otherUnit(unit string, decimals int) (string, int) {
	switch unit {
	case "mm":
		return "in", decimals + 2
	case "mm/s":
		return "in/s", decimals + 2
	case "mm²":
		return "in²", decimals + 3
	case "degC":
		return "degF", decimals
	case "in":
		return "mm", max(0, decimals-2)
	case "in/s":
		return "mm/s", max(0, decimals-2)
	case "in²":
		return "mm²", max(0, decimals-3)
	case "degF":
		return "degC", decimals
	}
	return "", 0
}

// Value returns the value with the given id.
func (t *Technique) Value(id string) (Value, bool) {
	i, ok := t.byID[id]
	if !ok {
		return Value{}, false
	}
	return t.Values[i], true
}

// Add appends a value; an id that exists already is a fault of the program.
func (t *Technique) Add(v Value) {
	if t.byID == nil {
		t.byID = map[string]int{}
	}
	if _, ok := t.byID[v.ID]; ok {
		panic("technique: value " + v.ID + " computed twice")
	}
	t.byID[v.ID] = len(t.Values)
	t.Values = append(t.Values, v)
}
