package archive

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/go-fonts/dejavu/dejavusanscondensed"
	"github.com/go-pdf/fpdf"
)

// drawn is a page as the PDF library writes it.
func drawn(t *testing.T) []byte {
	t.Helper()
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCompression(false)
	f.SetCatalogSort(true)
	f.SetCreationDate(time.Unix(0, 0))
	f.SetModificationDate(time.Unix(0, 0))
	f.AddUTF8FontFromBytes("a", "", bytes.Clone(dejavusanscondensed.TTF))
	f.SetFont("a", "", 8)
	for range 2 {
		f.AddPage()
		f.RawWriteStr("/P<</MCID 0>>BDC")
		f.Text(10, 10, string(Typed()))
		f.RawWriteStr("EMC")
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func document() Document {
	root := &Element{Role: "Document"}
	p := root.Add("P")
	p.Mark(0, 0)
	p.Mark(1, 0)
	return Document{
		Title: "Seam (3) & <4>, 50 % ≤ λ", Program: "test", Language: "en", Date: time.Date(2026, 3, 9, 0, 0, 0, 0, time.UTC),
		Fonts: map[string]string{"a": "DejaVuSansCondensed"}, Typing: Typing{Family: "a", Widths: make([]int, len(Typed()))},
		Structure: root,
		Pages:     []Page{{Links: []Link{{To: Place{Page: 1}, Says: "over", Part: root.Add("Link")}}, Fields: []Field{{Name: "a.b"}, {Name: "a.b", Cross: true}}}},
		Outline:   []Entry{{"one", 0, Place{}}, {"one.one", 1, Place{}}, {"one.two", 1, Place{}}, {"two", 0, Place{Page: 1}}},
		Files:     []File{{Name: "j (1).yaml", Kind: "application/yaml", Data: []byte("a: 1\n")}},
	}
}

func TestSameBytes(t *testing.T) {
	pages := drawn(t)
	first, err := Finish(pages, document())
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		again, err := Finish(pages, document())
		if err != nil || !bytes.Equal(first, again) {
			t.Fatalf("another run gives other bytes (%v)", err)
		}
	}
	if !bytes.HasPrefix(first, []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")) || !bytes.HasSuffix(first, []byte("\n%%EOF\n")) {
		t.Error("the file does not begin or end as one of PDF 1.7")
	}
	if title := "Seam (3) &amp; &lt;4&gt;, 50 % ≤ λ"; !bytes.Contains(first, []byte(title)) {
		t.Errorf("the metadata do not hold %q", title)
	}
}

// What is not a file of the PDF library is refused, wherever it ends.
func TestOtherFilesAreRefused(t *testing.T) {
	pages := drawn(t)
	for n := range pages {
		if _, err := Finish(pages[:n], document()); err == nil && n < bytes.LastIndex(pages, []byte("\nxref")) {
			t.Fatalf("the first %d bytes of a file were taken for a file", n)
		}
	}
	for _, text := range []string{"", "\nxref\n0 ", "\nxref\n0 9\n", "\nxref\n0 6\n1\n2\n3\n4\n5\n6\n"} {
		if _, err := Finish([]byte(text), document()); err == nil {
			t.Errorf("%q was taken for a file", text)
		}
	}
}

// A form without its typeface would be filled in with one that is not embedded.
func TestFieldsNeedTheirTypeface(t *testing.T) {
	d := document()
	d.Typing.Family = "b"
	if _, err := Finish(drawn(t), d); err == nil {
		t.Error("a form was made without its typeface")
	}
}

// Source: ISO 32000-1, annex D.2, whose codes are octal.
func TestTypedCharacters(t *testing.T) {
	typed := Typed()
	if len(typed) != 256-32 {
		t.Fatalf("%d characters, want one for each code from 32 to 255", len(typed))
	}
	for code, want := range map[int]rune{
		040: ' ', 0101: 'A', 0176: '~', 0200: '€', 0202: '‚', 0203: 'ƒ', 0204: '„', 0205: '…', 0206: '†', 0207: '‡', 0210: 'ˆ', 0211: '‰',
		0212: 'Š', 0213: '‹', 0214: 'Œ', 0216: 'Ž', 0221: '‘', 0222: '’', 0223: '“', 0224: '”', 0225: '•', 0226: '–', 0227: '—',
		0230: '˜', 0231: '™', 0232: 'š', 0233: '›', 0234: 'œ', 0236: 'ž', 0237: 'Ÿ', 0241: '¡', 0260: '°', 0304: 'Ä', 0377: 'ÿ',
	} {
		if got := typed[code-32]; got != want {
			t.Errorf("code %o is %q, want %q", code, got, want)
		}
	}
}

func TestStructure(t *testing.T) {
	f, err := read(drawn(t))
	if err != nil {
		t.Fatal(err)
	}
	b := book{file: f, Document: document()}
	b.pages, err = f.kids()
	if err != nil || len(b.pages) != 2 {
		t.Fatal(b.pages, err)
	}
	b.catalog()
	all := ""
	for i, o := range b.objects {
		all += fmt.Sprintf("%d: %s\n", i+1, o.value)
	}
	for _, want := range []string{
		`/S/P/P \d+ 0 R/Pg 3 0 R/K\[0 <</Type/MCR/Pg 5 0 R/MCID 0>>\]`, // content on two pages
		`/S/Link/P \d+ 0 R/K\[<</Type/OBJR/Obj \d+ 0 R/Pg 3 0 R>>\]`,
		`/Nums\[0\[(\d+) 0 R\]1\[(\d+) 0 R\]2 \d+ 0 R \]`,
		`/T\(a-b\)`, `/T\(a-b \\\(2\\\)\)`, // a full stop would divide a name
		`/Title\(one\)/Parent \d+ 0 R/Dest\[3 0 R/XYZ 0 0\.00 null\]/Next \d+ 0 R/First \d+ 0 R/Last \d+ 0 R/Count -2`,
		`/Type/Outlines/First \d+ 0 R/Last \d+ 0 R/Count 2`,
		`/AFRelationship/Source`, `/Subtype/application#2Fyaml/Params<</Size 5`,
	} {
		if !regexp.MustCompile(want).MatchString(all) {
			t.Errorf("no object says %s:\n%s", want, all)
		}
	}
	m := regexp.MustCompile(`/Nums\[0\[(\d+) 0 R\]1\[(\d+) 0 R\]`).FindStringSubmatch(all)
	if m != nil && m[1] != m[2] {
		t.Error("a paragraph on two pages is two elements")
	}
}

func TestTextStrings(t *testing.T) {
	for in, want := range map[string]string{
		`a (b) \c`:   `(a \(b\) \\c)`,
		"µ":          "<FEFF00B5>",
		"\U0001F4C4": "<FEFFD83DDCC4>", // ISO 32000-1, 7.9.2.2: UTF-16 with pairs
	} {
		if got := text(in); got != want {
			t.Errorf("text(%q) is %s, want %s", in, got, want)
		}
	}
	if got, want := name("application/yaml"), "/application#2Fyaml"; got != want {
		t.Errorf("a media type is %s, want %s", got, want)
	}
}

// ISO 32000-1, 9.10.3: at most a hundred ranges together, and within a range only
// the last byte changes.
func TestTableOfCharacters(t *testing.T) {
	blocks := regexp.MustCompile(`(\d+) beginbfrange\n((?:<.*>\n)*)endbfrange`).FindAllStringSubmatch(string(characters()), -1)
	seen := 0
	for _, b := range blocks {
		lines := strings.Split(strings.TrimSpace(b[2]), "\n")
		if n, _ := strconv.Atoi(b[1]); n > 100 || n != len(lines) {
			t.Errorf("a block says that it has %s ranges, and has %d", b[1], len(lines))
		}
		for _, line := range lines {
			var from, to, code int
			if _, err := fmt.Sscanf(line, "<%04X><%04X><%04X>", &from, &to, &code); err != nil || from>>8 != to>>8 || from != code || from > to {
				t.Errorf("range %s: %v", line, err)
			}
			if from <= 0xFEFF && 0xFEFF <= to || to > 0xFFFD || from == 0 {
				t.Errorf("range %s holds what is no character", line)
			}
			seen += to - from + 1
		}
	}
	if want := 0x10000 - 0x800 - 4; seen != want { // without half pairs, 0, FEFF, FFFE, FFFF
		t.Errorf("%d characters, want %d", seen, want)
	}
}

// The colours of the profile add up to its white, and its curve is that of sRGB.
func TestProfile(t *testing.T) {
	p := profile()
	if n := binary.BigEndian.Uint32(p); int(n) != len(p) {
		t.Errorf("the profile says that it has %d bytes, and has %d", n, len(p))
	}
	tag := func(name string) []byte {
		for i := range int(binary.BigEndian.Uint32(p[128:])) {
			row := p[132+12*i:]
			if string(row[:4]) == name {
				at := binary.BigEndian.Uint32(row[4:])
				return p[at : at+binary.BigEndian.Uint32(row[8:])]
			}
		}
		t.Fatalf("the profile has no %s", name)
		return nil
	}
	// ICC.1:2001-04, 6.1.9 and 6.3.4.2: the white of the connection space, to
	// which the primaries are adapted.
	for axis, want := range []float64{0.9642, 1, 0.8249} {
		sum := 0.0
		for _, colour := range []string{"rXYZ", "gXYZ", "bXYZ"} {
			sum += float64(int32(binary.BigEndian.Uint32(tag(colour)[8+4*axis:]))) / 65536
		}
		if math.Abs(sum-want) > 3e-4 { // the primaries are printed to five places
			t.Errorf("the primaries add up to %.4f on axis %d, want %.4f", sum, axis, want)
		}
	}
	// Of mid grey, 128, sRGB shows 21.6 % of the light: ((128/255 + 0.055)/1.055)^2.4
	// by hand; of 10, on the straight part, 0.304 %.
	for v, want := range map[int]float64{0: 0, 10: 0.003035, 128: 0.21586, 255: 1} {
		if got := float64(binary.BigEndian.Uint16(tag("gTRC")[12+2*v:])) / 65535; math.Abs(got-want) > 2e-5 {
			t.Errorf("the curve at %d is %.5f, want %.5f", v, got, want)
		}
	}
}
