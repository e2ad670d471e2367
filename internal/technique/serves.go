package technique

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/rules"
	"soundwrit/internal/si"
)

// serves states for what parts the reference block serves by the codes named:
// the range of thickness, and of diameter, over which none of their rules on the
// block is broken. It says nothing of the rest of the technique.
func (s *sheet) serves(books []*rules.Book, in rules.Input) {
	if s.block() == nil {
		return
	}
	for _, x := range []struct{ fact, id, what, symbol string }{
		{"part.thickness", "thickness", "thickness", "t"}, {"part.outside_diameter", "diameter", "outside diameter", "D"},
	} {
		low, high := math.NaN(), math.NaN()
		var codes []string
		for _, b := range books {
			if b.Kind != "procedure" {
				continue
			}
			l, h := b.Span(in, "block", x.fact)
			if !l.Known() && !h.Known() {
				continue
			}
			codes = append(codes, b.Cite())
			if l.Known() && !(low >= l.SI) {
				low = l.SI
			}
			if h.Known() && !(high <= h.SI) {
				high = h.SI
			}
		}
		from := how{source: strings.Join(codes, "; ") + ", by the rules on the block", side: si.Up}
		to := from
		to.side = si.Down
		d := digits{"mm", 1, "in", 3}
		if !math.IsNaN(low) {
			s.add("reference.serves."+x.id+"_from", x.symbol+"_s1", "smallest "+x.what+" of part that the block serves", low, si.KindLength, d, from)
		}
		if !math.IsNaN(high) {
			s.add("reference.serves."+x.id+"_to", x.symbol+"_s2", "largest "+x.what+" of part that the block serves", high, si.KindLength, d, to)
		}
	}
}

// follows reports whether a book of the job is one of a code.
func follows(books []*rules.Book, code string) bool {
	return slices.ContainsFunc(books, func(b *rules.Book) bool { return b.Code == code })
}

// scannerBlock states between what thicknesses the block lies that confirms
// probes as they are mounted, by ASME V.
func (s *sheet) scannerBlock(books []*rules.Book) {
	t := s.Job.Part.Thickness
	if !follows(books, "ASME V Article 4") || !si.Known(t) {
		return
	}
	within := scannerWithin(t, s.inch)
	source := "ASME V Article 4, VII-434.2.4 and VIII-434.2.4 (third-party copies of the 2013 edition)"
	s.add("reference.scanner_block_from", "t_n1", "smallest thickness of a block that confirms probes as mounted", float64(t-within), si.KindLength, digits{"mm", 1, "in", 3},
		how{formula: "t_n1 = t − the smaller of 6 mm (1/4 in) and t / 4", inputs: []string{"part.thickness"}, source: source, side: si.Up})
	s.add("reference.scanner_block_to", "t_n2", "largest thickness of a block that confirms probes as mounted", float64(t+within), si.KindLength, digits{"mm", 1, "in", 3},
		how{formula: "t_n2 = t + the smaller of 6 mm (1/4 in) and t / 4", inputs: []string{"part.thickness"}, source: source, side: si.Down})
}

// scannerWithin is by how much such a block may differ from the part: the
// smaller of 6 mm, or 1/4 in, and a quarter of the thickness.
func scannerWithin(t si.Length, inch bool) si.Length {
	most := 6 * si.Millimetre
	if inch {
		most = si.Inch / 4
	}
	return si.Length(math.Min(float64(most), float64(t)/4))
}

// A LinearityStep is one setting of a check of the instrument's linearity: what
// is set, and between what limits the reading must lie. Screen heights are
// ratios of full screen height.
type LinearityStep struct {
	Set       string
	Low, High si.Ratio
}

// Linearity lists the checks of the instrument that a code asks for.
type Linearity struct {
	Height, Control []LinearityStep // two echoes of 2 to 1; one echo by the gain
	Source          string
}

// ScreenHeights are the limits of ASME V Article 4, Appendices I and II: an
// echo of half the height reads half of it within 5 % of full screen, at every
// step of 10 % from 100 % to 20 %; and an echo brought up or down by the gain
// reads twice or half, four times or a quarter, within a fifth of that.
//
// Source: third-party copies of the 2007 and 2010 editions.
func ScreenHeights() Linearity {
	l := Linearity{Source: "ASME V Article 4, Appendices I and II, third-party copies of the 2007 and 2010 editions"}
	for large := 100; large >= 20; large -= 10 {
		half := si.Ratio(large) / 200
		l.Height = append(l.Height, LinearityStep{si.Quantity{SI: float64(large) / 100, Kind: si.KindRatio}.Text("%", 0, si.Nearest), half - 0.05, half + 0.05})
	}
	l.Control = []LinearityStep{{"80 %, then −6 dB", 0.32, 0.48}, {"80 %, then −12 dB", 0.16, 0.24}, {"40 %, then +6 dB", 0.64, 0.96}, {"20 %, then +12 dB", 0.64, 0.96}}
	return l
}
