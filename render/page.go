package render

import "soundwrit/internal/archive"

// page is one sheet with everything placed on it, in millimetres from its upper
// left corner. What is drawn first lies below: rects, rules, figures, texts.
type page struct {
	rects   []placedRect
	rules   []placedRule
	figures []placedFigure
	texts   []placedText
	links   []placedLink
	fields  []placedField
	marks   []mark
	marked  int     // pieces of marked content so far
	begin   float64 // where the running text begins: below a figure at the top
	end     float64 // where its content ends
	last    bool    // the next begins anew whether it is full or not
}

type placedRect struct {
	x, y, width, height float64
	colour              colour
}

type placedRule struct {
	x1, y1, x2, y2 float64
	width          float64
	colour         colour
}

type placedFigure struct {
	content
	x, y   float64
	figure Figure
}

// placedText is one run of text; y is its baseline.
type placedText struct {
	content
	x, y, width float64
	text        string
	style       style
	size        float64 // points
	colour      colour
	spaced      bool // a space follows, that is only read: else the last word of a line would join the next
}

// placedLink makes a rectangle lead to a heading or an address.
type placedLink struct {
	x, y, width, height float64
	target              string // "#anchor" or an address
	says                string // where it leads, in words
	part                *archive.Element
}

// placedField is a rectangle to be filled in, by hand or in the file: with text,
// or with a cross.
type placedField struct {
	x, y, width, height float64
	name, says          string // in the file, and to who fills it in
	cross               bool
	part                *archive.Element
}

// content is the piece of marked content that an item belongs to, by its number
// on the page, and the part of the document that this is. An item that is no
// part of the text, such as a rule or a running header, has none.
type content struct {
	part  *archive.Element
	id    int
	every string // what it is that stands on every page: Header, Footer or Watermark
}

// mark is a bookmark and the target of links: one for each heading.
type mark struct {
	anchor, title string
	level         int
	y             float64
}

// colour is red, green, blue.
type colour [3]uint8

func grey(level uint8) colour { return colour{level, level, level} }

func black() colour { return grey(0) }

// accent is the one colour beside black: a dark blue-green that prints as a
// dark grey.
func accent() colour { return colour{0x0B, 0x4F, 0x6C} }
