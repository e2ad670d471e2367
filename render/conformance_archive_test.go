package render

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// condition is one that a finished file has to meet: what is asked, by the clause
// (from memory), and what does not meet it. Each way of spoiling a file breaks
// it, so that the condition is seen to be able to fail.
type condition struct {
	clause, asks string
	find         func(f *pdfFile, say func(format string, args ...any))
	spoil        []func(f *pdfFile)
}

// archived are the conditions of ISO 19005-3, level b, on what such a document
// has in it.
func archived() []condition {
	return slices.Concat(filed(), painted(), lettered(), acted(), told())
}

var fileEnd = regexp.MustCompile(`\nstartxref\n\d+\n%%EOF\r?\n?$`)

// filed are those on the file as such.
func filed() []condition {
	return []condition{
		{"6.1.2", "the file begins as one of PDF 1.0 to 1.7, with a comment of bytes beyond ASCII",
			func(f *pdfFile, say func(string, ...any)) {
				if !regexp.MustCompile(`^%PDF-1\.[0-7]\r?\n%[\x80-\xFF]{4,}`).Match(latin(f.raw[:min(40, len(f.raw))])) {
					say("it begins with %q", f.raw[:min(20, len(f.raw))])
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.raw = append([]byte("x"), f.raw...) },
				func(f *pdfFile) { f.raw[7] = '8' },
				func(f *pdfFile) { f.raw[11] = 'a' },
			}},
		{"6.1.3", "it has an identifier of two parts, is not encrypted, and ends at its end",
			func(f *pdfFile, say func(string, ...any)) {
				if id := f.list(f.trailer["/ID"]); len(id) != 2 || len(id[0].(string)) < 18 {
					say("identifier %v", id)
				}
				if f.trailer["/Encrypt"] != nil {
					say("it is encrypted")
				}
				if !fileEnd.Match(f.raw) || bytes.Count(f.raw, []byte("%%EOF")) != 1 {
					say("it does not end at one end")
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.trailer, "/ID") },
				func(f *pdfFile) { f.trailer["/Encrypt"] = map[string]any{} },
				func(f *pdfFile) { f.raw = append(f.raw, "more"...) },
			}},
		{"6.1.7.1", "a stream is as long as it says, ends with a line of its own, and lies in no other file",
			func(f *pdfFile, say func(string, ...any)) {
				for _, ref := range slices.Sorted(maps.Keys(f.objects)) {
					s, ok := f.objects[ref].(*stream)
					if !ok {
						continue
					}
					begin := bytes.Index(f.raw, []byte("\n"+strings.TrimSuffix(ref, " R")+" obj\n"))
					head := bytes.Index(f.raw[max(begin, 0):], []byte("\nstream\n"))
					end := max(begin, 0) + head + len("\nstream\n") + int(f.number(s.dict["/Length"]))
					if begin < 0 || head < 0 || end > len(f.raw) || !bytes.HasPrefix(f.raw[end:], []byte("\nendstream\nendobj\n")) {
						say("%s", ref)
					}
					for _, key := range []string{"/F", "/FFilter", "/FDecodeParms"} {
						if s.dict[key] != nil {
							say("%s has %s", ref, key)
						}
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.raw = bytes.Replace(f.raw, []byte("\nendstream"), []byte(" endstream"), 1) },
				func(f *pdfFile) { f.content(0).dict["/Length"] = 7.0 },
				func(f *pdfFile) { f.content(0).dict["/F"] = "u:other" },
			}},
		{"6.1.7.2", "what packs a stream is a filter of PDF 1.7, and not LZW",
			func(f *pdfFile, say func(string, ...any)) {
				for ref, o := range f.objects {
					s, _ := o.(*stream)
					if s == nil {
						continue
					}
					for _, filter := range f.list(s.dict["/Filter"]) {
						if filter != "/FlateDecode" { // the only one that we use
							say("%s: %v", ref, filter)
						}
					}
				}
			},
			[]func(*pdfFile){func(f *pdfFile) { f.content(0).dict["/Filter"] = "/LZWDecode" }}},
		{"6.1.13", "numbers, names, texts, nesting and sheets keep to the limits; names are UTF-8 (6.1.8)",
			func(f *pdfFile, say func(string, ...any)) {
				for ref, o := range f.objects {
					withinLimits(o, func(what string) { say("%s: %s", ref, what) })
				}
				if len(f.objects) > 8388607 {
					say("%d objects", len(f.objects))
				}
				for _, page := range f.pages() {
					all, err := f.operations(page)
					if err != nil {
						say("%s: %v", page, err)
					}
					open := 0
					for _, o := range all {
						switch o.name {
						case "q":
							open++
						case "Q":
							open--
						}
						if open > 28 || open < 0 {
							say("%s: %d states of graphics are open", page, open)
						}
						for _, a := range o.args {
							withinLimits(a, func(what string) { say("%s: %s", page, what) })
						}
					}
				}
				f.each(func(where string, d map[string]any) {
					if box, ok := d["/MediaBox"].([]any); ok {
						for i := range 2 {
							if size := f.number(box[i+2]) - f.number(box[i]); size < 3 || size > 14400 {
								say("%s: a sheet of %v", where, size)
							}
						}
					}
				})
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.catalog()["/Lang"] = "u:" + strings.Repeat("e", 32768) },
				func(f *pdfFile) { f.catalog()["/Lang"] = "u:" + strings.Repeat("é", 16384) },
				func(f *pdfFile) { f.catalog()["/"+strings.Repeat("e", 128)] = true },
				func(f *pdfFile) { f.catalog()["/Lang"] = "n:/a#FF" },
				func(f *pdfFile) { f.catalog()["/X"] = float64(1 << 31) },
				func(f *pdfFile) { f.paint(strings.Repeat("q ", 29)) },
				func(f *pdfFile) { f.dict(f.catalog()["/Pages"])["/MediaBox"] = []any{0.0, 0.0, 2.0, 2.0} },
			}},
		{"6.1.12", "there are no permissions, nor layers (6.9), other presentations (6.10) or demands on a reader (6.11)",
			func(f *pdfFile, say func(string, ...any)) {
				for _, key := range []string{"/Perms", "/OCProperties", "/Requirements"} {
					if f.catalog()[key] != nil {
						say("%s", key)
					}
				}
				if f.dict(f.catalog()["/Names"])["/AlternatePresentations"] != nil {
					say("other presentations")
				}
				for _, page := range f.pages() {
					if f.dict(page)["/PresSteps"] != nil {
						say("%s is presented in steps", page)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.catalog()["/Perms"] = map[string]any{} },
				func(f *pdfFile) { f.catalog()["/OCProperties"] = map[string]any{} },
				func(f *pdfFile) { f.catalog()["/Requirements"] = []any{} },
				func(f *pdfFile) { f.dict(f.catalog()["/Names"])["/AlternatePresentations"] = map[string]any{} },
				func(f *pdfFile) { f.dict(f.pages()[0])["/PresSteps"] = map[string]any{} },
			}},
	}
}

// latin makes each byte a character, so that an expression can name it.
func latin(data []byte) []byte {
	var out []byte
	for _, c := range data {
		out = utf8.AppendRune(out, rune(c))
	}
	return out
}

func withinLimits(v any, say func(string)) {
	switch v := v.(type) {
	case *stream:
		withinLimits(v.dict, say)
	case map[string]any:
		for k, x := range v {
			withinLimits(k, say)
			withinLimits(x, say)
		}
	case []any:
		for _, x := range v {
			withinLimits(x, say)
		}
	case []byte:
		if len(v) > 32767 {
			say(fmt.Sprintf("a text of %d bytes", len(v)))
		}
	case float64:
		if math.Abs(v) > 1<<31-1 {
			say(fmt.Sprint(v, " is too large"))
		}
	case string:
		text, isText := strings.CutPrefix(v, "u:")
		n := len(text)
		if isText && strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r > '~' }) {
			n = 2 + 2*len(utf16.Encode([]rune(text)))
		}
		switch {
		case strings.HasPrefix(v, "n:"):
			say("a name that is no UTF-8: " + v)
		case strings.HasPrefix(v, "/") && n-1 > 127:
			say("a long name: " + v)
		case n > 32767:
			say(fmt.Sprintf("a text of %d bytes", n))
		}
	}
}

// content is what a page draws.
func (f *pdfFile) content(page int) *stream {
	return f.at(f.dict(f.pages()[page])["/Contents"]).(*stream)
}

// paint adds to what the first page draws.
func (f *pdfFile) paint(operations string) {
	c := f.content(0)
	c.data = append(c.data, "\n"+operations...)
}

// resources are those of the first page.
func (f *pdfFile) resources() map[string]any { return f.dict(f.dict(f.pages()[0])["/Resources"]) }

// operators are those of ISO 32000-1, annex A, that draw without images, shadings
// and colours beyond grey and RGB, for which there is no profile here.
var operators = strings.Fields("b B b* B* BDC BMC BT c cm d Do EMC ET f F f* g G h i J j l m M n q Q re RG rg ri S s T* Tc Td TD Tf Tj TJ TL Tm Tr Ts Tw Tz v w W W* y MP DP gs")

// painted are those on what is drawn.
func painted() []condition {
	return []condition{
		{"6.2.2, 6.2.4", "only operations of PDF draw, with numbers of grey and RGB for colours, and name what the page's resources have",
			func(f *pdfFile, say func(string, ...any)) {
				for _, page := range f.pages() {
					resources := f.dict(f.dict(page)["/Resources"])
					all, err := f.operations(page)
					if err != nil {
						say("%s: %v", page, err)
					}
					for _, o := range all {
						if !slices.Contains(operators, o.name) {
							say("%s: %s", page, o.name)
						}
						if kind := map[string]string{"Tf": "/Font", "Do": "/XObject", "gs": "/ExtGState"}[o.name]; kind != "" && f.dict(resources[kind])[o.args[0].(string)] == nil {
							say("%s: %v is not among the resources", page, o.args[0])
						}
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.paint("0 0 0 1 k") },
				func(f *pdfFile) { f.paint("/Cs cs") },
				func(f *pdfFile) { f.paint("7 unheard") },
				func(f *pdfFile) { f.paint("/Nothing Do") },
				func(f *pdfFile) { f.resources()["/Font"] = map[string]any{} },
			}},
		{"6.2.3", "the one output intent has a profile of RGB of ICC version 2 or 4, with as many colours as it says",
			func(f *pdfFile, say func(string, ...any)) {
				all := f.list(f.catalog()["/OutputIntents"])
				if len(all) != 1 {
					say("%d output intents", len(all))
					return
				}
				intent := f.dict(all[0])
				if intent["/S"] != "/GTS_PDFA1" || f.text(intent["/OutputConditionIdentifier"]) == "" || intent["/DestOutputProfileRef"] != nil {
					say("%v", intent)
				}
				p := f.data(intent["/DestOutputProfile"])
				if len(p) < 128 || int(binary.BigEndian.Uint32(p)) != len(p) || string(p[36:40]) != "acsp" {
					say("no profile")
					return
				}
				if class := string(p[12:16]); (class != "mntr" && class != "prtr") || string(p[16:20]) != "RGB " || p[8] != 2 && p[8] != 4 {
					say("a profile %q of version %d", p[12:20], p[8])
				}
				if n := f.number(f.dict(intent["/DestOutputProfile"])["/N"]); n != 3 {
					say("%v colours", n)
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.catalog(), "/OutputIntents") },
				func(f *pdfFile) { f.intent()["/S"] = "/GTS_PDFX" },
				func(f *pdfFile) { delete(f.intent(), "/DestOutputProfile") },
				func(f *pdfFile) { f.dict(f.intent()["/DestOutputProfile"])["/N"] = 4.0 },
				func(f *pdfFile) { copy(f.data(f.intent()["/DestOutputProfile"])[16:], "CMYK") },
				func(f *pdfFile) { f.data(f.intent()["/DestOutputProfile"])[8] = 5 },
			}},
		{"6.2.5, 6.2.8 to 6.2.10", "no state of graphics, picture, PostScript, other file or transparency is called for",
			func(f *pdfFile, say func(string, ...any)) {
				f.each(func(where string, d map[string]any) {
					if states := f.dict(d["/ExtGState"]); len(states) > 0 {
						say("%s has states of graphics", where)
					}
					switch d["/Subtype"] {
					case "/Image", "/PS":
						say("%s is of kind %v", where, d["/Subtype"])
					case "/Form":
						for _, key := range []string{"/OPI", "/Ref", "/PS", "/Subtype2", "/Group"} {
							if d[key] != nil {
								say("%s has %s", where, key)
							}
						}
					}
					if d["/Type"] == "/Page" && d["/Group"] != nil {
						say("%s has a group", where)
					}
				})
			},
			[]func(*pdfFile){
				func(f *pdfFile) {
					f.resources()["/ExtGState"] = map[string]any{"/G": map[string]any{"/ca": 0.5}}
				},
				func(f *pdfFile) {
					f.objects["9999 0 R"] = &stream{map[string]any{"/Subtype": "/Image", "/Interpolate": true}, nil}
				},
				func(f *pdfFile) { f.of("/Subtype", "/Form")[0]["/Ref"] = map[string]any{} },
				func(f *pdfFile) {
					f.dict(f.pages()[0])["/Group"] = map[string]any{"/S": "/Transparency"}
				},
			}},
	}
}

func (f *pdfFile) intent() map[string]any { return f.dict(f.list(f.catalog()["/OutputIntents"])[0]) }
