package render

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// pdfFile is a finished file as an independent program reads it.
type pdfFile struct {
	raw     []byte
	objects map[string]any // by reference, as "12 0 R"
	trailer map[string]any
	divided map[string]division // what pages draw, by how it is written
}

// stream is an object with data: as they are used, not as they are packed.
type stream struct {
	dict map[string]any
	data []byte
}

// readPDF has a file read. Values are as JSON has them: names begin with a slash,
// texts with "u:", bytes that are none with "b:".
func readPDF(t *testing.T, pdf []byte) *pdfFile {
	t.Helper()
	file := filepath.Join(t.TempDir(), "read.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	type object struct {
		Value  any
		Stream *struct {
			Dict map[string]any
			Data string
		}
	}
	load := func(args ...string) map[string]object {
		var out struct{ Qpdf []json.RawMessage }
		objects := map[string]object{}
		if err := json.Unmarshal([]byte(external(t, "qpdf", append(args, "--json=2", "--json-key=qpdf", file)...)), &out); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(out.Qpdf[1], &objects); err != nil {
			t.Fatal(err)
		}
		return objects
	}
	packed := load("--json-stream-data=none")
	f := &pdfFile{raw: pdf, objects: map[string]any{}, divided: map[string]division{}}
	for name, o := range load("--json-stream-data=inline", "--decode-level=generalized") {
		ref := strings.TrimPrefix(name, "obj:")
		switch {
		case name == "trailer":
			f.trailer = o.Value.(map[string]any)
		case o.Stream != nil:
			data, err := base64.StdEncoding.DecodeString(o.Stream.Data)
			if err != nil {
				t.Fatal(err)
			}
			f.objects[ref] = &stream{packed[name].Stream.Dict, data}
		default:
			f.objects[ref] = o.Value
		}
	}
	return f
}

// copied is a file that may be spoiled.
func (f *pdfFile) copied() *pdfFile {
	var one func(any) any
	one = func(v any) any {
		switch v := v.(type) {
		case map[string]any:
			out := map[string]any{}
			for k, x := range v {
				out[k] = one(x)
			}
			return out
		case []any:
			out := make([]any, len(v))
			for i, x := range v {
				out[i] = one(x)
			}
			return out
		case *stream:
			return &stream{one(v.dict).(map[string]any), bytes.Clone(v.data)}
		}
		return v
	}
	return &pdfFile{bytes.Clone(f.raw), one(f.objects).(map[string]any), one(f.trailer).(map[string]any), f.divided}
}

// at is what a value refers to, or the value itself.
func (f *pdfFile) at(v any) any {
	if s, ok := v.(string); ok {
		if o, ok := f.objects[s]; ok {
			return o
		}
	}
	return v
}

// dict is a dictionary, or that of a stream; an empty one where there is none.
func (f *pdfFile) dict(v any) map[string]any {
	switch v := f.at(v).(type) {
	case map[string]any:
		return v
	case *stream:
		return v.dict
	}
	return map[string]any{}
}

func (f *pdfFile) data(v any) []byte {
	if s, ok := f.at(v).(*stream); ok {
		return s.data
	}
	return nil
}

// list is an array; another value is one of itself.
func (f *pdfFile) list(v any) []any {
	switch v := f.at(v).(type) {
	case []any:
		return v
	case nil:
		return nil
	}
	return []any{v}
}

func (f *pdfFile) number(v any) float64 { n, _ := f.at(v).(float64); return n }

// text is a text string without its mark.
func (f *pdfFile) text(v any) string {
	s, _ := f.at(v).(string)
	s, ok := strings.CutPrefix(s, "u:")
	if !ok {
		return ""
	}
	return s
}

func (f *pdfFile) catalog() map[string]any { return f.dict(f.trailer["/Root"]) }

// pages are the references of the pages, in order.
func (f *pdfFile) pages() []string {
	var all []string
	var down func(v any)
	down = func(v any) {
		for _, kid := range f.list(f.dict(v)["/Kids"]) {
			if f.dict(kid)["/Type"] == "/Page" {
				all = append(all, kid.(string))
			} else {
				down(kid)
			}
		}
	}
	down(f.catalog()["/Pages"])
	return all
}

// each visits every dictionary, with where it stands, in one order.
func (f *pdfFile) each(visit func(where string, d map[string]any)) {
	var down func(where string, v any)
	down = func(where string, v any) {
		switch v := v.(type) {
		case *stream:
			down(where, v.dict)
		case map[string]any:
			visit(where, v)
			for _, k := range slices.Sorted(maps.Keys(v)) {
				down(where+k, v[k])
			}
		case []any:
			for _, x := range v {
				down(where, x)
			}
		}
	}
	for _, ref := range slices.Sorted(maps.Keys(f.objects)) {
		down(ref, f.objects[ref])
	}
}

// of are the dictionaries with an entry, by their references; the first is used
// to be spoiled.
func (f *pdfFile) of(key string, value any) []map[string]any {
	var all []map[string]any
	for _, ref := range slices.Sorted(maps.Keys(f.objects)) {
		if d := f.dict(ref); d[key] == value {
			all = append(all, d)
		}
	}
	return all
}

// annotations calls with each annotation and the reference that leads to it.
func (f *pdfFile) annotations(visit func(page, ref string, d map[string]any)) {
	for _, page := range f.pages() {
		for _, a := range f.list(f.dict(page)["/Annots"]) {
			visit(page, a.(string), f.dict(a))
		}
	}
}

// property is one of the metadata, by the space of its name.
type property struct{ space, name, value string }

// properties are those that the metadata state, with all text within as value.
func (f *pdfFile) properties() ([]property, error) {
	data := f.data(f.catalog()["/Metadata"])
	if !utf8.Valid(data) {
		return nil, fmt.Errorf("they are not UTF-8")
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	var all []property
	depth := 0 // below the description
	inside := false
	for {
		token, err := d.Token()
		switch {
		case err == io.EOF:
			return all, nil
		case err != nil:
			return nil, err
		}
		switch x := token.(type) {
		case xml.StartElement:
			switch {
			case !inside:
				inside = x.Name.Local == "Description"
			default:
				if depth++; depth == 1 {
					all = append(all, property{x.Name.Space, x.Name.Local, ""})
				}
			}
		case xml.EndElement:
			if inside = inside && depth > 0; inside {
				depth--
			}
		case xml.CharData:
			if depth > 0 {
				all[len(all)-1].value += strings.TrimSpace(string(x)) + " "
			}
		}
	}
}

// stated is the value of a property.
func (f *pdfFile) stated(space, name string) string {
	all, _ := f.properties()
	for _, p := range all {
		if p.space == space && p.name == name {
			return strings.TrimSpace(p.value)
		}
	}
	return ""
}
