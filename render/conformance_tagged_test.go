package render

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
)

// roles are those of ISO 32000-1, 14.8.4, that we could use.
var standardRoles = strings.Fields("Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private H H1 H2 H3 H4 H5 H6 P L LI Lbl LBody Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Figure Formula Form")

// below are the roles that may stand in others, of those that do not stand
// anywhere (ISO 32000-1, 14.8.4.3).
var below = map[string][]string{
	"Table": {"Caption", "TR", "THead", "TBody", "TFoot"}, "THead": {"TR"}, "TBody": {"TR"}, "TFoot": {"TR"}, "TR": {"TH", "TD"},
	"L": {"Caption", "L", "LI"}, "LI": {"Lbl", "LBody"}, "TOC": {"Caption", "TOC", "TOCI"}, "TOCI": {"Lbl", "Reference", "NonStruct", "P", "TOC"},
}

// accessible are the conditions of ISO 14289-1 that a program can see, on what
// such a document has in it, beside those of the archive: on typefaces (7.21),
// attached files (7.11), layers (7.10), encryption (7.16) and forms (7.15) they
// ask for the same.
func accessible() []condition { return slices.Concat(tagged(), structured(), reached()) }

// tagged are those on what is drawn and on the document as a whole.
func tagged() []condition {
	return []condition{
		{"5", "it claims to be of part 1",
			func(f *pdfFile, say func(string, ...any)) {
				if part := f.stated(spaceUA, "part"); part != "1" {
					say("part %q", part)
				}
			},
			[]func(*pdfFile){func(f *pdfFile) {
				s := f.at(f.catalog()["/Metadata"]).(*stream)
				s.data = bytes.ReplaceAll(s.data, []byte("pdfuaid:part>1"), []byte("pdfuaid:part>2"))
			}}},
		{"7.1, 7.2", "it is tagged without doubts, says its language, and shows its title in place of the name of the file",
			func(f *pdfFile, say func(string, ...any)) {
				c := f.catalog()
				marks := f.dict(c["/MarkInfo"])
				if marks["/Marked"] != true || marks["/Suspects"] != nil && marks["/Suspects"] != false || f.dict(c["/StructTreeRoot"])["/Type"] != "/StructTreeRoot" {
					say("not tagged: %v", marks)
				}
				if !regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]+)*$`).MatchString(f.text(c["/Lang"])) {
					say("language %q", f.text(c["/Lang"]))
				}
				if f.dict(c["/ViewerPreferences"])["/DisplayDocTitle"] != true || f.stated(spaceDC, "title") == "" {
					say("no title is shown")
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.catalog(), "/MarkInfo") },
				func(f *pdfFile) { f.dict(f.catalog()["/MarkInfo"])["/Suspects"] = true },
				func(f *pdfFile) { delete(f.catalog(), "/StructTreeRoot") },
				func(f *pdfFile) { delete(f.catalog(), "/Lang") },
				func(f *pdfFile) { f.dict(f.catalog()["/ViewerPreferences"])["/DisplayDocTitle"] = false },
				func(f *pdfFile) {
					s := f.at(f.catalog()["/Metadata"]).(*stream)
					s.data = regexp.MustCompile(`(?s)<dc:title>.*</dc:title>`).ReplaceAll(s.data, nil)
				},
			}},
		{"7.1", "all that is drawn is marked, as part of the text or as none of it, never as both",
			func(f *pdfFile, say func(string, ...any)) {
				for _, page := range f.pages() {
					f.drawn(page, func(o operation, in enclosing, _ float64) {
						switch o.name {
						case "BDC", "BMC":
							if len(in) > 1 {
								say("%s: %v stands in %v", page, o.args, in[0].args)
							}
						case "EMC", "end of page":
							say("%s: marked content has no end or no beginning", page)
						default:
							if !in.artifact() && (len(in) == 0 || in[len(in)-1].id() < 0) {
								say("%s: %s is not marked", page, o.name)
							}
						}
					})
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.paint("1 1 1 1 re f") },
				func(f *pdfFile) { f.paint("/P BMC 1 1 1 1 re f EMC") },
				func(f *pdfFile) { f.paint("/Artifact BMC /P<</MCID 9999>>BDC EMC EMC") },
				func(f *pdfFile) { f.paint("/P<</MCID 9999>>BDC /Artifact BMC EMC EMC") },
				func(f *pdfFile) { f.paint("EMC") },
				func(f *pdfFile) { f.paint("/Artifact BMC") },
			}},
		{"7.1, 14.7.4.4 of ISO 32000-1", "each piece marked as text is in the structure once, and is found from its number",
			func(f *pdfFile, say func(string, ...any)) {
				holds := map[markAt]string{}
				for _, n := range f.nodes() {
					for _, m := range n.marks {
						if holds[m] != "" {
							say("%v is in the structure twice", m)
						}
						holds[m] = n.ref
					}
				}
				parents := f.parents()
				for _, page := range f.pages() {
					own, _ := parents[int(f.number(f.dict(page)["/StructParents"]))].([]any)
					seen := map[int]bool{}
					f.drawn(page, func(o operation, in enclosing, _ float64) {
						id := o.id()
						if o.name != "BDC" || id < 0 {
							return
						}
						if seen[id] {
							say("%s: %d twice", page, id)
						}
						seen[id] = true
						if ref := holds[markAt{page, id}]; ref == "" || id >= len(own) || own[id] != ref {
							say("%s: %d belongs to %q", page, id, ref)
						} else if o.args[0] != f.dict(ref)["/S"] {
							say("%s: %d is marked as %v and belongs to %v", page, id, o.args[0], f.dict(ref)["/S"])
						}
					})
					for m := range holds {
						if m.page == page && !seen[m.id] {
							say("%s: %d is on no page", page, m.id)
						}
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.paint("/P<</MCID 9999>>BDC EMC") },
				func(f *pdfFile) { f.paint("/H1<</MCID 0>>BDC EMC") },
				func(f *pdfFile) { delete(f.first("H1").dict, "/K") },
				func(f *pdfFile) { f.first("H2").dict["/K"] = f.first("H1").dict["/K"] },
				func(f *pdfFile) { f.first("H2").dict["/K"] = []any{9999.0} },
				func(f *pdfFile) { f.first("H1").dict["/S"] = "/H2" },
				func(f *pdfFile) { f.dict(f.dict(f.catalog()["/StructTreeRoot"])["/ParentTree"])["/Nums"] = []any{} },
			}},
		{"7.8", "what stands at the head and foot of pages is marked as that",
			func(f *pdfFile, say func(string, ...any)) {
				box := f.list(f.dict(f.catalog()["/Pages"])["/MediaBox"])
				for _, page := range f.pages() {
					seen := map[string]bool{}
					f.drawn(page, func(o operation, in enclosing, y float64) {
						if o.name != "Tj" || !in.artifact() {
							return
						}
						want := ""
						switch { // the margins, of 25 mm and 20 mm
						case y > f.number(box[3])-25*72/25.4:
							want = "Header"
						case y < 20*72/25.4:
							want = "Footer"
						default:
							return
						}
						seen[want] = true
						if len(in[0].args) < 2 || in[0].args[1] != rawDict("<</Type/Pagination/Subtype/"+want+">>") {
							say("%s: %v is no %s", page, in[0].args, want)
						}
					})
					if len(seen) != 2 {
						say("%s has not both: %v", page, seen)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) {
					c := f.content(1)
					c.data = bytes.ReplaceAll(c.data, []byte("/Type/Pagination/Subtype/Footer"), []byte("/Type/Layout"))
				},
				func(f *pdfFile) {
					c := f.content(1)
					c.data = bytes.ReplaceAll(c.data, []byte("/Artifact<</Type/Pagination/Subtype/Header>>BDC"), []byte("/Artifact BMC"))
				},
			}},
		{"7.20", "what a field looks like holds no part of the text",
			func(f *pdfFile, say func(string, ...any)) {
				for ref, o := range f.objects {
					if s, ok := o.(*stream); ok && s.dict["/Subtype"] == "/Form" && bytes.Contains(s.data, []byte("/MCID")) {
						say("%s", ref)
					}
				}
			},
			[]func(*pdfFile){func(f *pdfFile) {
				for _, o := range f.objects {
					if s, ok := o.(*stream); ok && s.dict["/Subtype"] == "/Form" {
						s.data = []byte("/P<</MCID 0>>BDC EMC")
					}
				}
			}}},
	}
}
