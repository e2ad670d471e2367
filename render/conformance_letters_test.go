package render

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
)

// lettered are those on typefaces, by what is shown in each.
func lettered() []condition {
	// font is the first of a kind, its part below and what describes it.
	font := func(f *pdfFile, kind string) (own, below, describes map[string]any) {
		own = f.of("/Subtype", kind)[0]
		below = f.dict(append(f.list(own["/DescendantFonts"]), own)[0])
		return own, below, f.dict(below["/FontDescriptor"])
	}
	return []condition{
		{"6.2.11.2, 6.2.11.3", "a typeface is of a kind, with its entries; of two bytes a letter, with its order of characters, called as they are numbered, and a map to its glyphs",
			func(f *pdfFile, say func(string, ...any)) {
				for _, d := range f.of("/Type", "/Font") {
					switch d["/Subtype"] {
					case "/Type0":
						below := f.dict(append(f.list(d["/DescendantFonts"]), nil)[0])
						order := f.dict(below["/CIDSystemInfo"])
						_, mapped := f.at(below["/CIDToGIDMap"]).(*stream)
						if below["/Subtype"] != "/CIDFontType2" || d["/Encoding"] != "/Identity-H" || order["/Registry"] == nil || order["/Ordering"] == nil || order["/Supplement"] == nil || !mapped {
							say("%v", d["/BaseFont"])
						}
						if below["/BaseFont"] != d["/BaseFont"] || below["/BaseFont"] != f.dict(below["/FontDescriptor"])["/FontName"] {
							say("%v has several names", d["/BaseFont"])
						}
					case "/CIDFontType2":
					case "/TrueType":
						if n := len(f.list(d["/Widths"])); d["/BaseFont"] == nil || n != int(f.number(d["/LastChar"])-f.number(d["/FirstChar"]))+1 {
							say("%v has %d widths", d["/BaseFont"], n)
						}
					default:
						say("%v is of kind %v", d["/BaseFont"], d["/Subtype"])
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { own, _, _ := font(f, "/Type0"); own["/Encoding"] = "/UniJIS-UTF16-H" },
				func(f *pdfFile) { _, below, _ := font(f, "/Type0"); delete(below, "/CIDToGIDMap") },
				func(f *pdfFile) { _, below, _ := font(f, "/Type0"); delete(below, "/CIDSystemInfo") },
				func(f *pdfFile) { _, _, d := font(f, "/Type0"); d["/FontName"] = "/Other" },
				func(f *pdfFile) { own, _, _ := font(f, "/TrueType"); own["/LastChar"] = 254.0 },
				func(f *pdfFile) { own, _, _ := font(f, "/TrueType"); own["/Subtype"] = "/Type3" },
			}},
		{"6.2.11.4", "every typeface is embedded, and a part of one is named so; no list of its glyphs is short of any",
			func(f *pdfFile, say func(string, ...any)) {
				for _, d := range f.of("/Type", "/Font") {
					if d["/Subtype"] == "/Type0" {
						continue
					}
					describes := f.dict(d["/FontDescriptor"])
					if _, ok := readTrueType(f.data(describes["/FontFile2"])); !ok {
						say("%v is not embedded", d["/BaseFont"])
					}
					if name, _ := d["/BaseFont"].(string); !regexp.MustCompile(`^/[A-Z]{6}\+\S+$`).MatchString(name) {
						say("%s does not say that it is a part", name)
					}
					if describes["/CIDSet"] != nil || describes["/CharSet"] != nil {
						say("%v has a list of glyphs, which is not looked at here", d["/BaseFont"])
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { _, _, d := font(f, "/Type0"); delete(d, "/FontFile2") },
				func(f *pdfFile) {
					_, _, d := font(f, "/TrueType")
					s := f.at(d["/FontFile2"]).(*stream)
					s.data = s.data[:100]
				},
				func(f *pdfFile) { _, below, _ := font(f, "/Type0"); below["/BaseFont"] = "/DejaVuSans" },
				func(f *pdfFile) { _, _, d := font(f, "/Type0"); d["/CIDSet"] = "1 0 R" },
			}},
		{"6.2.11.4 to 6.2.11.8", "each letter shown has a glyph, which is not the one for what is missing, as wide as its program says, and can be read back as a character",
			showsLetters,
			[]func(*pdfFile){
				func(f *pdfFile) { _, below, _ := font(f, "/Type0"); clear(f.data(below["/CIDToGIDMap"])) },
				func(f *pdfFile) { _, below, _ := font(f, "/Type0"); below["/W"] = []any{32.0, 33.0, 1000.0} },
				func(f *pdfFile) {
					_, below, _ := font(f, "/Type0")
					for i := range f.data(below["/CIDToGIDMap"]) {
						f.data(below["/CIDToGIDMap"])[i] = 0xFF
					}
				},
				func(f *pdfFile) { own, _, _ := font(f, "/Type0"); delete(own, "/ToUnicode") },
				func(f *pdfFile) {
					own, _, _ := font(f, "/Type0")
					s := f.at(own["/ToUnicode"]).(*stream)
					s.data = bytes.ReplaceAll(s.data, []byte("<0001><00FF><0001>"), []byte("<0001><00FF><0000>"))
				},
				func(f *pdfFile) { f.paint("BT (\uFFFF\uFFFF) Tj ET") },
			}},
		{"6.2.11.5, 6.2.11.6", "the typeface of fields has a table of characters, and each that can be typed as wide as it says",
			func(f *pdfFile, say func(string, ...any)) {
				for _, d := range f.of("/Subtype", "/TrueType") {
					describes := f.dict(d["/FontDescriptor"])
					const symbolic, standard = 4, 32
					if flags := int(f.number(describes["/Flags"])); flags&(symbolic|standard) != standard || d["/Encoding"] != "/WinAnsiEncoding" {
						say("%v has flags %d and codes %v", d["/BaseFont"], flags, d["/Encoding"])
					}
					program, ok := readTrueType(f.data(describes["/FontFile2"]))
					if !ok {
						continue
					}
					for i, w := range f.list(d["/Widths"]) {
						// Codes 32 to 126 and 160 to 255 are those of Unicode (ISO 32000-1, annex D.2).
						if code := i + 32; code < 127 || code >= 160 {
							if g := program.glyph(code); g == 0 || math.Abs(program.width(g)-f.number(w)) > 1 {
								say("%v, code %d: glyph %d, width %v", d["/BaseFont"], code, g, w)
							}
						}
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { _, _, d := font(f, "/TrueType"); d["/Flags"] = 4.0 },
				func(f *pdfFile) { own, _, _ := font(f, "/TrueType"); own["/Encoding"] = "/Custom" },
				func(f *pdfFile) { own, _, _ := font(f, "/TrueType"); f.list(own["/Widths"])[40] = 1000.0 },
			}},
	}
}

var unicodeRange = regexp.MustCompile(`<([0-9A-F]{4})><([0-9A-F]{4})><([0-9A-F]{4})>`)

// showsLetters holds each code that is shown to the program of its typeface. A
// width may be a thousandth off, since it is rounded to one.
func showsLetters(f *pdfFile, say func(string, ...any)) {
	type face struct {
		program trueType
		ok      bool
		widths  map[int]float64
		missing float64
		glyphs  []byte
		spans   [][3]int
	}
	faces := map[any]*face{}
	seen := map[string]bool{}
	f.shown(func(page string, font map[string]any, code int) {
		key := fmt.Sprint(font["/BaseFont"], code)
		if seen[key] {
			return
		}
		seen[key] = true
		own := faces[font["/BaseFont"]]
		if own == nil {
			below := f.dict(append(f.list(font["/DescendantFonts"]), nil)[0])
			own = &face{widths: map[int]float64{}, missing: 1000, glyphs: f.data(below["/CIDToGIDMap"])}
			own.program, own.ok = readTrueType(f.data(f.dict(below["/FontDescriptor"])["/FontFile2"]))
			if below["/DW"] != nil {
				own.missing = f.number(below["/DW"])
			}
			for w := f.list(below["/W"]); len(w) >= 2; { // ISO 32000-1, 9.7.4.3
				if each, ok := f.at(w[1]).([]any); ok {
					for i, x := range each {
						own.widths[int(f.number(w[0]))+i] = f.number(x)
					}
					w = w[2:]
					continue
				}
				for c := int(f.number(w[0])); c <= int(f.number(w[1])); c++ {
					own.widths[c] = f.number(w[2])
				}
				w = w[3:]
			}
			for _, m := range unicodeRange.FindAllStringSubmatch(string(f.data(font["/ToUnicode"])), -1) {
				var span [3]int
				for i := range span {
					n, _ := strconv.ParseInt(m[i+1], 16, 32)
					span[i] = int(n)
				}
				own.spans = append(own.spans, span)
			}
			faces[font["/BaseFont"]] = own
		}
		glyph := 0
		if 2*code+1 < len(own.glyphs) {
			glyph = int(binary.BigEndian.Uint16(own.glyphs[2*code:]))
		}
		if !own.ok || glyph == 0 || glyph >= own.program.glyphs {
			say("%s, %v: code %04X has glyph %d", page, font["/BaseFont"], code, glyph)
			return
		}
		width, ok := own.widths[code]
		if !ok {
			width = own.missing
		}
		if w := own.program.width(glyph); math.Abs(w-width) > 1 {
			say("%s, %v: code %04X is %v wide and says %v", page, font["/BaseFont"], code, w, width)
		}
		// Codes are those of Unicode, which only who knows the program can tell; a
		// reader has the table.
		i := slices.IndexFunc(own.spans, func(s [3]int) bool { return code >= s[0] && code <= s[1] })
		if i < 0 || own.spans[i][2]+code-own.spans[i][0] != code || code == 0xFEFF || code == 0xFFFE {
			say("%s, %v: code %04X is read as another character or none", page, font["/BaseFont"], code)
		}
	})
}

// trueType is a font program, by its tables.
type trueType struct {
	tables map[string][]byte
	units  int
	glyphs int
}

func readTrueType(data []byte) (t trueType, ok bool) {
	defer func() { ok = recover() == nil && ok }()
	t.tables = map[string][]byte{}
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		row := data[12+16*i:]
		from := binary.BigEndian.Uint32(row[8:])
		t.tables[string(row[:4])] = data[from : from+binary.BigEndian.Uint32(row[12:])]
	}
	t.units = int(binary.BigEndian.Uint16(t.tables["head"][18:]))
	t.glyphs = int(binary.BigEndian.Uint16(t.tables["maxp"][4:]))
	return t, t.units > 0 && len(t.tables["glyf"]) > 0 && len(t.tables["loca"]) > 0
}

// width is the advance of a glyph in thousandths of the size of type.
func (t trueType) width(glyph int) float64 {
	last := int(binary.BigEndian.Uint16(t.tables["hhea"][34:])) - 1
	return float64(binary.BigEndian.Uint16(t.tables["hmtx"][4*min(glyph, last):])) * 1000 / float64(t.units)
}

// glyph looks a character up in the table for Windows and Unicode (3, 1) of
// format 4; 0 where there is none.
func (t trueType) glyph(r int) int {
	cmap := t.tables["cmap"]
	for i := range int(binary.BigEndian.Uint16(cmap[2:])) {
		row := cmap[4+8*i:]
		table := cmap[binary.BigEndian.Uint32(row[4:]):]
		if binary.BigEndian.Uint32(row) != 3<<16|1 || binary.BigEndian.Uint16(table) != 4 {
			continue
		}
		double := int(binary.BigEndian.Uint16(table[6:])) // twice the number of segments
		at := func(list, segment int) int {
			return int(binary.BigEndian.Uint16(table[14+list*double+2*min(list, 1)+2*segment:]))
		}
		for s := range double / 2 {
			if from := at(1, s); r >= from && r <= at(0, s) {
				if offset := at(3, s); offset != 0 {
					place := 14 + 3*double + 2 + 2*s + offset + 2*(r-from)
					if g := int(binary.BigEndian.Uint16(table[place:])); g != 0 {
						return (g + at(2, s)) & 0xFFFF
					}
					return 0
				}
				return (r + at(2, s)) & 0xFFFF
			}
		}
	}
	return 0
}
