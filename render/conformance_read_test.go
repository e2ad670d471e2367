package render

import (
	"fmt"
	"slices"
	"strings"
)

// structured are those on what the text is.
func structured() []condition {
	return []condition{
		{"7.1", "each part is of a kind that readers know",
			func(f *pdfFile, say func(string, ...any)) {
				for _, n := range f.nodes() {
					if !slices.Contains(standardRoles, n.role) {
						say("%s is of kind %q", n.ref, n.role)
					}
				}
				for own := range f.dict(f.dict(f.catalog()["/StructTreeRoot"])["/RoleMap"]) {
					if slices.Contains(standardRoles, strings.TrimPrefix(own, "/")) {
						say("%s is made another", own)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.first("P").dict["/S"] = "/Caution" },
				func(f *pdfFile) {
					f.dict(f.catalog()["/StructTreeRoot"])["/RoleMap"] = map[string]any{"/P": "/Span"}
				},
				func(f *pdfFile) {
					f.dict(f.catalog()["/StructTreeRoot"])["/RoleMap"] = map[string]any{"/A": "/B", "/B": "/A"}
					f.first("P").dict["/S"] = "/A"
				},
			}},
		{"7.3, 7.7", "a figure and a formula have a text in their stead, and a figure its place",
			func(f *pdfFile, say func(string, ...any)) {
				for _, n := range f.nodes() {
					if n.role != "Figure" && n.role != "Formula" {
						continue
					}
					if strings.TrimSpace(f.text(n.dict["/Alt"])) == "" && f.text(n.dict["/ActualText"]) == "" {
						say("%s has no text", n.ref)
					}
					if box := f.list(f.dict(n.dict["/A"])["/BBox"]); n.role == "Figure" && (len(box) != 4 || len(n.marks) == 0) {
						say("%s stands nowhere", n.ref)
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.first("Figure").dict, "/Alt") },
				func(f *pdfFile) { delete(f.first("Figure").dict, "/A") },
			}},
		{"7.4.2, 7.4.4", "headings begin with the first level and leave none out on the way down",
			func(f *pdfFile, say func(string, ...any)) {
				level, seen := 0, 0
				for _, n := range f.nodes() {
					if n.role == "H" {
						say("%s has no level", n.ref)
					}
					if len(n.role) != 2 || n.role[0] != 'H' {
						continue
					}
					own := int(n.role[1] - '0')
					if own > level+1 {
						say("%s is of level %d after %d", n.ref, own, level)
					}
					level = own
					seen++
				}
				if seen == 0 {
					say("none")
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.first("H1").dict["/S"] = "/H2" },
				func(f *pdfFile) { f.first("H2").dict["/S"] = "/H3" },
				func(f *pdfFile) { f.first("H3").dict["/S"] = "/H" },
			}},
		{"7.5, 7.6, 14.8.4.3 of ISO 32000-1", "tables, lists and contents hold their parts and nothing else",
			func(f *pdfFile, say func(string, ...any)) {
				for _, n := range f.nodes() {
					if may, ok := below[n.role]; ok {
						for _, k := range n.kids {
							if !slices.Contains(may, k.role) {
								say("%s: %s in %s", k.ref, k.role, n.role)
							}
						}
						if len(n.marks) > 0 || len(n.objects) > 0 {
							say("%s: %s holds content itself", n.ref, n.role)
						}
					}
					for role, may := range below {
						if role != "TOCI" && slices.Contains(may, n.role) && !slices.Contains([]string{"Caption", "L", "TOC", "Lbl"}, n.role) {
							if n.parent == nil || !slices.Contains(below[n.parent.role], n.role) {
								say("%s: %s stands by itself", n.ref, n.role)
							}
						}
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.first("TR").dict["/S"] = "/P" },
				func(f *pdfFile) { f.first("Lbl").dict["/S"] = "/P" },
				func(f *pdfFile) { f.first("Reference").dict["/S"] = "/Link" },
				func(f *pdfFile) { f.first("L").dict["/S"] = "/Div" },
				func(f *pdfFile) { f.first("Table").dict["/S"] = "/Div" },
				func(f *pdfFile) { f.first("LI").dict["/K"] = []any{0.0} },
			}},
		{"7.5", "a head of a table says what it is the head of, and the rows of a table are as long as each other",
			func(f *pdfFile, say func(string, ...any)) {
				long := map[*node]int{}
				for _, n := range f.nodes() {
					a := f.dict(n.dict["/A"])
					if n.role == "TH" && (a["/O"] != "/Table" || a["/Scope"] != "/Column" && a["/Scope"] != "/Row" && a["/Scope"] != "/Both") {
						say("%s: %v", n.ref, a)
					}
					if n.role != "TR" {
						continue
					}
					sum := 0
					for _, k := range n.kids {
						sum += max(1, int(f.number(f.dict(k.dict["/A"])["/ColSpan"])))
					}
					table := n.parent
					for table.role != "Table" {
						if table = table.parent; table == nil {
							return
						}
					}
					if before, ok := long[table]; ok && before != sum {
						say("%s: %d columns after %d", n.ref, sum, before)
					}
					long[table] = sum
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.first("TH").dict, "/A") },
				func(f *pdfFile) { f.dict(f.first("TH").dict["/A"])["/Scope"] = "/All" },
				func(f *pdfFile) { f.dict(f.first("TH").dict["/A"])["/ColSpan"] = 2.0 },
				func(f *pdfFile) {
					row := f.first("TR").dict
					row["/K"] = f.list(row["/K"])[1:]
				},
			}},
		{"7.9", "each note has a name of its own",
			func(f *pdfFile, say func(string, ...any)) {
				seen := map[string]bool{}
				for _, n := range f.nodes() {
					if id := f.text(n.dict["/ID"]); n.role == "Note" && (id == "" || seen[id]) {
						say("%s is called %q", n.ref, id)
					} else if n.role == "Note" {
						seen[id] = true
					}
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { f.first("P").dict["/S"] = "/Note" },
				func(f *pdfFile) {
					for range 2 {
						p := f.first("P").dict
						p["/S"], p["/ID"] = "/Note", "u:one"
					}
				},
			}},
	}
}

// reached are those on what can be pressed or filled in.
func reached() []condition {
	return []condition{
		{"7.18.1, 7.18.4, 7.18.5", "a link is in the structure as a link and a field as a field, each found from its number and said in words",
			func(f *pdfFile, say func(string, ...any)) {
				holds := map[string]*node{}
				for _, n := range f.nodes() {
					for _, ref := range n.objects {
						holds[ref] = n
					}
				}
				parents := f.parents()
				f.annotations(func(_, ref string, d map[string]any) {
					want, words := "Link", "/Contents"
					if d["/Subtype"] == "/Widget" {
						want, words = "Form", "/TU"
					}
					n := holds[ref]
					if n == nil || n.role != want {
						say("%s is not in a %s", ref, want)
					} else if key, ok := d["/StructParent"].(float64); !ok || parents[int(key)] != n.ref {
						say("%s is not found from its number", ref)
					} else if n.role == "Form" && len(n.objects)+len(n.marks)+len(n.kids) != 1 {
						say("%s is not alone in its %s", ref, want)
					}
					if strings.TrimSpace(f.text(d[words])) == "" {
						say("%s is not said in words", ref)
					}
				})
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.of("/Subtype", "/Link")[0], "/Contents") },
				func(f *pdfFile) { delete(f.of("/Subtype", "/Link")[0], "/StructParent") },
				func(f *pdfFile) { delete(f.of("/Subtype", "/Widget")[0], "/TU") },
				func(f *pdfFile) { f.of("/Subtype", "/Widget")[0]["/StructParent"] = 0.0 },
				func(f *pdfFile) { f.first("Link").dict["/S"] = "/Span" },
				func(f *pdfFile) { f.first("Form").dict["/S"] = "/P" },
				func(f *pdfFile) { delete(f.first("Form").dict, "/K") },
			}},
		{"7.18.3", "the next field is that of the structure",
			func(f *pdfFile, say func(string, ...any)) {
				for _, page := range f.pages() {
					if d := f.dict(page); len(f.list(d["/Annots"])) > 0 && d["/Tabs"] != "/S" {
						say("%s: %v", page, d["/Tabs"])
					}
				}
			},
			[]func(*pdfFile){func(f *pdfFile) { delete(f.dict(f.pages()[0]), "/Tabs") }}},
		{"7.17", "a bookmark has a title, and leads to a page that is there",
			func(f *pdfFile, say func(string, ...any)) {
				pages := f.pages()
				var down func(v any)
				down = func(v any) {
					for ; v != nil; v = f.dict(v)["/Next"] {
						d := f.dict(v)
						to, _ := append(f.list(d["/Dest"]), nil)[0].(string)
						if strings.TrimSpace(f.text(d["/Title"])) == "" || !slices.Contains(pages, to) {
							say("%v: %v", v, d)
						}
						down(d["/First"])
					}
				}
				if top := f.dict(f.catalog()["/Outlines"])["/First"]; top == nil {
					say("there are no bookmarks")
				} else {
					down(top)
				}
			},
			[]func(*pdfFile){
				func(f *pdfFile) { delete(f.catalog(), "/Outlines") },
				func(f *pdfFile) { delete(f.dict(f.dict(f.catalog()["/Outlines"])["/First"]), "/Title") },
				func(f *pdfFile) {
					f.dict(f.dict(f.catalog()["/Outlines"])["/First"])["/Dest"] = []any{"1 0 R"}
				},
			}},
	}
}

// faults are what of a file does not meet a condition, a few of many.
func (c condition) faults(f *pdfFile) []string {
	var all []string
	c.find(f, func(format string, args ...any) {
		if len(all) < 5 {
			all = append(all, fmt.Sprintf(format, args...))
		}
	})
	return all
}
