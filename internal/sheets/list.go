// Package sheets applies one master job to a list of welds: it reads the list,
// puts the welds that one technique covers into a group, and says of every other
// weld why none covers it. It writes no file, and it changes of the master only
// what the list says of a weld.
package sheets

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Weld is one row of the list.
type Weld struct {
	Number    string
	Line      string // pipe line or vessel
	Diameter  si.Length
	Thickness si.Length
	Length    si.Length
	Joint     string // preparation; empty: as the master
	Access    string // sides, as the job writes them: "A", "A, B"; empty: as the master
	Material  string // empty: as the master
	Drawing   string
	Row       int // line of the file
}

// columns are the names by which a head calls what a weld has.
var columns = [...]struct{ key, names string }{
	{"number", "number weld weld_number weld_no no"},
	{"line", "line vessel line_number line_no"},
	{"diameter", "diameter outside_diameter od"},
	{"thickness", "thickness wall wall_thickness wt"},
	{"length", "length"},
	{"joint", "joint preparation"},
	{"access", "access sides"},
	{"material", "material"},
	{"drawing", "drawing drawing_number"},
}

// MaxList is the size of the largest list that is read, in bytes.
const MaxList = 16 << 20

// list reads a weld list.
type list struct {
	file     string
	reader   *csv.Reader
	column   map[string]int // key → field
	unit     map[string]string
	lines    [][]byte
	findings []diag.Finding
}

// Read reads a list of welds: text separated by commas, semicolons or tabs, with
// a head that names the columns. A length carries its unit, or the head does:
// "thickness (mm)". A row that cannot be read is a finding with its place, and
// the others go on; a list that cannot be read at all has no welds.
func Read(file string, data []byte) ([]Weld, []diag.Finding) {
	l := &list{file: file, column: map[string]int{}, unit: map[string]string{}}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	switch {
	case len(data) > MaxList:
		l.fail(1, 1, "list-too-large", "the list is larger than a list of welds can be", fmt.Sprintf("at most %d MB", MaxList>>20), "split it")
		return nil, l.findings
	case len(bytes.TrimSpace(data)) == 0:
		l.fail(1, 1, "empty-list", "the list of welds is empty", "a head, and a weld on each line", "write number, thickness and so on in the first line")
		return nil, l.findings
	}
	head, _, _ := bytes.Cut(data, []byte("\n"))
	l.lines = bytes.Split(data, []byte("\n"))
	l.reader = csv.NewReader(bytes.NewReader(data))
	l.reader.FieldsPerRecord = -1
	l.reader.TrimLeadingSpace = true
	for _, separator := range ",;\t" {
		if bytes.ContainsRune(head, separator) && bytes.Count(head, []byte(string(separator))) > bytes.Count(head, []byte(string(l.reader.Comma))) {
			l.reader.Comma = separator
		}
	}
	fields, err := l.reader.Read()
	if err != nil || !l.head(fields) {
		if err != nil {
			l.broken(err)
		}
		return nil, l.findings
	}
	var welds []Weld
	seen := map[string]int{}
	for {
		fields, err := l.reader.Read()
		if errors.Is(err, io.EOF) {
			return welds, l.findings
		}
		if err != nil {
			l.broken(err)
			var fault *csv.ParseError
			if !errors.As(err, &fault) || errors.Is(err, csv.ErrQuote) && fault.Line != fault.StartLine {
				return welds, l.findings // a quote that was never closed took the rest
			}
			continue
		}
		if strings.TrimSpace(strings.Join(fields, "")) == "" {
			continue
		}
		w, ok := l.weld(fields)
		if !ok {
			continue
		}
		if first, twice := seen[w.Number]; twice {
			line, column := l.at("number", fields)
			l.fail(line, column, "weld-twice", "weld "+w.Number+" is in the list twice", fmt.Sprintf("each weld once; the first is in line %d", first), "delete one of the two, or correct the number")
			continue
		}
		seen[w.Number] = w.Row
		welds = append(welds, w)
	}
}

// fail tells a finding; the column is counted in bytes, as the reader does, and
// told in characters.
func (l *list) fail(line, column int, rule, message, limit, remedy string) {
	if line <= len(l.lines) && column-1 <= len(l.lines[line-1]) {
		column = utf8.RuneCount(l.lines[line-1][:column-1]) + 1
	}
	l.findings = append(l.findings, diag.Finding{Rule: rule, Level: diag.Error, At: diag.Position{File: l.file, Line: line, Column: column}, Message: message, Limit: limit, Remedy: remedy})
}

func (l *list) broken(err error) {
	line, column := 1, 1
	var fault *csv.ParseError
	if errors.As(err, &fault) {
		line, column = fault.Line, max(1, fault.Column)
	}
	l.fail(line, column, "bad-row", "the row cannot be read: a quote stands where none can be, or is not closed", "fields with separators between them", "put a field that holds a separator or a quote in quotes, and double the quotes in it")
}

// head reads the first line, and reports whether the list can be read by it.
func (l *list) head(fields []string) bool {
	for i, field := range fields {
		name, unit := heading(field)
		for _, c := range columns {
			if contains(c.names, name) {
				if _, twice := l.column[c.key]; twice {
					line, column := l.reader.FieldPos(i)
					l.fail(line, column, "column-twice", "two columns give the "+c.key, "one", "delete or rename one of them")
					return false
				}
				l.column[c.key], l.unit[c.key] = i, unit
			}
		}
	}
	for _, key := range []string{"number", "thickness"} {
		if _, ok := l.column[key]; !ok {
			l.fail(1, 1, "column-missing", "the list has no column "+key, "a head with number and thickness; also line, diameter, length, joint, access, material, drawing", "write the names of the columns in the first line")
			return false
		}
	}
	return true
}

// heading takes "Thickness (mm)" apart.
func heading(field string) (name, unit string) {
	field = strings.ToLower(strings.TrimSpace(field))
	if open := strings.IndexAny(field, "(["); open > 0 {
		unit = strings.Trim(field[open:], "()[] ")
		field = field[:open]
	}
	name = strings.NewReplacer(" ", "_", ".", "", "-", "_").Replace(strings.TrimSpace(field))
	for _, u := range []string{"mm", "in", "m"} {
		if cut, ok := strings.CutSuffix(name, "_"+u); ok && unit == "" {
			return cut, u
		}
	}
	return name, unit
}

func contains(names, name string) bool {
	for n := range strings.FieldsSeq(names) {
		if n == name {
			return true
		}
	}
	return false
}

// weld reads one row.
func (l *list) weld(fields []string) (Weld, bool) {
	text := func(key string) string {
		if i, ok := l.column[key]; ok && i < len(fields) {
			return strings.TrimSpace(fields[i])
		}
		return ""
	}
	before := len(l.findings)
	line, _ := l.reader.FieldPos(0)
	w := Weld{
		Number: text("number"), Line: text("line"), Joint: text("joint"), Material: text("material"), Drawing: text("drawing"), Row: line,
		Diameter: l.length("diameter", text("diameter"), fields), Thickness: l.length("thickness", text("thickness"), fields), Length: l.length("length", text("length"), fields),
	}
	if w.Number == "" {
		line, column := l.at("number", fields)
		l.fail(line, column, "weld-no-number", "the weld has no number", "the number it has on site", "write it")
	}
	if text("thickness") == "" {
		line, column := l.at("thickness", fields)
		l.fail(line, column, "weld-no-thickness", "the weld has no thickness", "a length with its unit, such as 12.5 mm", "write it")
	}
	var ok bool
	if w.Access, ok = sides(text("access")); !ok {
		line, column := l.at("access", fields)
		l.fail(line, column, "weld-access", "access is "+text("access"), "A, B or both", "write the sides from which the weld can be scanned")
	}
	return w, len(l.findings) == before
}

// sides reads an access in words.
func sides(text string) (string, bool) {
	switch strings.ToUpper(strings.NewReplacer(" ", "", ",", "", "+", "", "/", "", "&", "").Replace(text)) {
	case "":
		return "", true
	case "A":
		return "A", true
	case "B":
		return "B", true
	case "AB", "BA", "BOTH":
		return "A, B", true
	}
	return "", false
}

// length reads a length; one that is not there is unknown.
func (l *list) length(key, text string, fields []string) si.Length {
	if text == "" {
		return si.Unknown[si.Length]()
	}
	written := text
	// A decimal comma is one in a list whose separator is another.
	if l.reader.Comma != ',' {
		written = strings.Replace(written, ",", ".", 1)
	}
	x, err := si.Parse(written, si.KindLength)
	if err != nil && l.unit[key] != "" {
		x, err = si.Parse(written+" "+l.unit[key], si.KindLength)
	}
	line, column := l.at(key, fields)
	switch {
	case err != nil:
		l.fail(line, column, "weld-length", fmt.Sprintf("the %s of the weld cannot be read: %s", key, text), "a length with its unit, such as 12.5 mm, or a head such as "+key+" (mm)", "write the unit")
		return si.Unknown[si.Length]()
	case !(x > 0) || x > 100:
		l.fail(line, column, "weld-length", fmt.Sprintf("the %s of the weld is %s", key, text), "above 0 mm, at most 100 m", "check the number and its unit")
		return si.Unknown[si.Length]()
	}
	return si.Length(x)
}

// at is where a field of the present row begins.
func (l *list) at(key string, fields []string) (line, column int) {
	i := min(l.column[key], len(fields)-1)
	return l.reader.FieldPos(i)
}
