package render

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
)

// acted are those on what can be pressed or filled in.
func acted() []condition {
	return []condition{
		{"6.3.1, 6.3.2", "what can be pressed or filled in is a link or a field, is printed, and is never hidden",
			func(f *pdfFile, say func(string, ...any)) {
				f.annotations(func(_, ref string, d map[string]any) {
					if d["/Subtype"] != "/Link" && d["/Subtype"] != "/Widget" {
						say("%s is of kind %v", ref, d["/Subtype"])
					}
					const printed, never = 4, 1 | 2 | 32 | 256
					if flags := int(f.number(d["/F"])); flags&printed == 0 || flags&never != 0 {
						say("%s has flags %d", ref, flags)
					}
				})
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.of("/Subtype", "/Link")[0]["/Subtype"] = "/Sound" },
				func(f *pdfFile) { delete(f.of("/Subtype", "/Link")[0], "/F") },
				func(f *pdfFile) { f.of("/Subtype", "/Widget")[0]["/F"] = 6.0 },
			}},
		{"6.3.3", "a field has one appearance, of a box one for each state, and no other thing",
			func(f *pdfFile, say func(string, ...any)) {
				f.annotations(func(_, ref string, d map[string]any) {
					looks := f.dict(d["/AP"])
					if d["/Subtype"] == "/Link" && len(looks) == 0 {
						return
					}
					normal := f.at(looks["/N"])
					_, one := normal.(*stream)
					if len(looks) != 1 || one == (d["/FT"] == "/Btn") {
						say("%s looks like %v", ref, looks)
						return
					}
					if d["/FT"] != "/Btn" {
						return
					}
					states := normal.(map[string]any)
					if state, _ := d["/AS"].(string); f.at(states[state]) == nil || len(states) != 2 {
						say("%s is %v of %v", ref, d["/AS"], states)
					}
					for _, s := range states {
						if _, ok := f.at(s).(*stream); !ok {
							say("%s has a state that looks like nothing", ref)
						}
					}
				})
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.of("/FT", "/Tx")[0], "/AP") },
				func(f *pdfFile) { f.dict(f.of("/FT", "/Tx")[0]["/AP"])["/D"] = "1 0 R" },
				func(f *pdfFile) { f.of("/FT", "/Btn")[0]["/AS"] = "/Maybe" },
				func(f *pdfFile) { f.of("/FT", "/Btn")[0]["/AP"] = f.of("/FT", "/Tx")[0]["/AP"] },
			}},
		{"6.4.1, 6.4.2", "fields run nothing, are drawn as they are, and are of no other form of forms",
			func(f *pdfFile, say func(string, ...any)) {
				form := f.dict(f.catalog()["/AcroForm"])
				if form["/NeedAppearances"] != nil && form["/NeedAppearances"] != false || form["/XFA"] != nil || f.catalog()["/NeedsRendering"] != nil {
					say("%v", form)
				}
				for _, field := range f.list(form["/Fields"]) {
					if d := f.dict(field); d["/A"] != nil || d["/AA"] != nil {
						say("%v runs something", field)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.dict(f.catalog()["/AcroForm"])["/NeedAppearances"] = true },
				func(f *pdfFile) { f.dict(f.catalog()["/AcroForm"])["/XFA"] = "1 0 R" },
				func(f *pdfFile) { f.of("/FT", "/Tx")[0]["/A"] = map[string]any{"/S": "/URI"} },
				func(f *pdfFile) { f.catalog()["/NeedsRendering"] = true },
			}},
		{"6.5", "what is pressed leads to a place or an address; nothing runs by itself",
			func(f *pdfFile, say func(string, ...any)) {
				f.each(func(where string, d map[string]any) {
					if d["/AA"] != nil || d["/OpenAction"] != nil {
						say("%s runs by itself", where)
					}
					if a := f.dict(d["/A"]); a["/O"] == nil && d["/A"] != nil && d["/S"] == nil && a["/S"] != "/URI" && a["/S"] != "/GoTo" {
						say("%s does %v", where, a["/S"])
					}
				})
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.catalog()["/AA"] = map[string]any{} },
				func(f *pdfFile) { f.catalog()["/OpenAction"] = map[string]any{"/S": "/JavaScript"} },
				func(f *pdfFile) { f.of("/Subtype", "/Link")[0]["/A"] = map[string]any{"/S": "/Launch"} },
				func(f *pdfFile) { f.of("/Subtype", "/Link")[0]["/A"] = map[string]any{"/S": "/JavaScript"} },
			}},
	}
}

// Spaces of names of the metadata.
const (
	spaceDC   = "http://purl.org/dc/elements/1.1/"
	spaceXMP  = "http://ns.adobe.com/xap/1.0/"
	spacePDF  = "http://ns.adobe.com/pdf/1.3/"
	spaceA    = "http://www.aiim.org/pdfa/ns/id/"
	spaceMore = "http://www.aiim.org/pdfa/ns/extension/"
	spaceUA   = "http://www.aiim.org/pdfua/ns/id/"
)

// told are those on what the file says of itself and carries with it.
func told() []condition {
	edit := func(from, to string) func(*pdfFile) {
		return func(f *pdfFile) {
			s := f.at(f.catalog()["/Metadata"]).(*stream)
			s.data = bytes.Replace(s.data, []byte(from), []byte(to), 1)
		}
	}
	return []condition{
		{"6.6.2", "metadata are whole XMP in UTF-8, of properties that are known or described",
			func(f *pdfFile, say func(string, ...any)) {
				d := f.dict(f.catalog()["/Metadata"])
				if d["/Type"] != "/Metadata" || d["/Subtype"] != "/XML" || d["/Filter"] != nil {
					say("%v", d)
				}
				data := f.data(f.catalog()["/Metadata"])
				head, _, _ := bytes.Cut(data, []byte("?>"))
				if !bytes.HasPrefix(data, []byte("<?xpacket begin=")) || bytes.Contains(head, []byte(" bytes=")) || bytes.Contains(head, []byte(" encoding=")) {
					say("they begin with %q", head)
				}
				all, err := f.properties()
				if err != nil {
					say("%v", err)
				}
				for _, p := range all {
					described := strings.Contains(f.stated(spaceMore, "schemas"), p.space+" ") && strings.Contains(f.stated(spaceMore, "schemas"), " "+p.name+" ")
					if !described && !slices.Contains([]string{spaceDC, spaceXMP, spacePDF, spaceA, spaceMore}, p.space) {
						say("%s of %s is not described", p.name, p.space)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.catalog(), "/Metadata") },
				edit("</rdf:RDF>", ""),
				edit("id=", "bytes='9' id="),
				edit("<dc:format>", "<dc:format>\xFF"),
				edit("<pdf:Producer>", `<own:x xmlns:own="of:ours">1</own:x><pdf:Producer>`),
				edit("<pdfaProperty:name>part<", "<pdfaProperty:name>other<"),
			}},
		{"6.6.3 of the second part's first form", "the older properties say the same as the metadata",
			func(f *pdfFile, say func(string, ...any)) {
				info := f.dict(f.trailer["/Info"])
				for _, e := range []struct{ key, space, name string }{
					{"/Title", spaceDC, "title"}, {"/Author", spaceDC, "creator"}, {"/Subject", spaceDC, "description"}, {"/Keywords", spacePDF, "Keywords"},
					{"/Creator", spaceXMP, "CreatorTool"}, {"/Producer", spacePDF, "Producer"},
				} {
					if a, b := f.text(info[e.key]), f.stated(e.space, e.name); strings.TrimSpace(a) != b {
						say("%s is %q and %q", e.key, a, b)
					}
				}
				for key, name := range map[string]string{"/CreationDate": "CreateDate", "/ModDate": "ModifyDate"} {
					digits := strings.NewReplacer("D:", "", "-", "", ":", "", "T", "", "'", "")
					if a, b := digits.Replace(f.text(info[key])), digits.Replace(f.stated(spaceXMP, name)); a != b || len(a) < 14 {
						say("%s is %q and %q", key, a, b)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.dict(f.trailer["/Info"])["/Title"] = "u:Another" },
				func(f *pdfFile) { f.dict(f.trailer["/Info"])["/ModDate"] = "u:D:20200101000000+00'00'" },
				edit("<pdf:Producer>", "<pdf:Producer>Not "),
			}},
		{"6.6.4", "it claims to be of part 3, level b",
			func(f *pdfFile, say func(string, ...any)) {
				if part, level := f.stated(spaceA, "part"), f.stated(spaceA, "conformance"); part != "3" || level != "B" {
					say("part %q, level %q", part, level)
				}
			},
			[]func(*pdfFile){edit("<pdfaid:part>3", "<pdfaid:part>1"), edit("<pdfaid:conformance>B", "<pdfaid:conformance>A")}},
		{"6.8", "an attached file has its name twice, its kind, what it is to the document, and belongs to it",
			func(f *pdfFile, say func(string, ...any)) {
				belong := map[any]bool{}
				for _, ref := range f.list(f.catalog()["/AF"]) {
					belong[ref] = true
				}
				for i, v := range f.list(f.dict(f.dict(f.catalog()["/Names"])["/EmbeddedFiles"])["/Names"]) {
					if i%2 == 0 {
						continue
					}
					d := f.dict(v)
					if f.text(d["/F"]) == "" || f.text(d["/UF"]) != f.text(d["/F"]) || d["/Type"] != "/Filespec" || !belong[v] {
						say("%v: %v", v, d)
					}
					if !slices.Contains([]any{"/Source", "/Data", "/Alternative", "/Supplement", "/Unspecified"}, d["/AFRelationship"]) {
						say("%v is %v to the document", v, d["/AFRelationship"])
					}
					kind, _ := f.dict(f.dict(d["/EF"])["/F"])["/Subtype"].(string)
					if !regexp.MustCompile(`^/[a-z]+/[-+.a-z]+$`).MatchString(kind) {
						say("%v is of kind %q", v, kind)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.catalog(), "/AF") },
				func(f *pdfFile) { delete(f.of("/Type", "/Filespec")[0], "/UF") },
				func(f *pdfFile) { delete(f.of("/Type", "/Filespec")[0], "/F") },
				func(f *pdfFile) { delete(f.of("/Type", "/Filespec")[0], "/AFRelationship") },
				func(f *pdfFile) { f.of("/Type", "/EmbeddedFile")[0]["/Subtype"] = "/yaml" },
			}},
	}
}
