package archive

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"regexp"
	"slices"
	"strconv"
)

var (
	fontName    = regexp.MustCompile(`/(?:BaseFont|FontName) /utf8(\S+)`)
	descendants = regexp.MustCompile(`/DescendantFonts \[(\d+) 0 R\]`)
	descriptor  = regexp.MustCompile(`/FontDescriptor (\d+) 0 R`)
	program     = regexp.MustCompile(`/FontFile2 (\d+) 0 R`)
	fontFlags   = regexp.MustCompile(`/Flags \d+`)
	taggedName  = regexp.MustCompile(`/FontName (/\S+)`)
	unicodes    = regexp.MustCompile(`/ToUnicode (\d+) 0 R`)
)

// nameFonts gives the embedded fonts their own names in place of the library's,
// with the tag of six letters that says that only a part of each is embedded,
// and replaces the table of characters, which the library writes as one range
// that crosses the limits of ISO 32000-1, 9.10.3.
func (f *file) nameFonts(names map[string]string) error {
	table := f.packed("", characters())
	for i := range f.objects {
		if !unicodes.Match(f.objects[i].value) {
			continue
		}
		own := ref(i + 1)
		below, ok1 := f.follow(own, descendants)
		describes, ok2 := f.follow(below, descriptor)
		data, ok3 := f.follow(describes, program)
		maps, ok4 := f.follow(own, unicodes)
		family := fontName.FindSubmatch(f.objects[i].value)
		if !ok1 || !ok2 || !ok3 || !ok4 || family == nil || names[string(family[1])] == "" {
			return errLayout
		}
		tagged := "/" + tag(f.object(data).stream) + "+" + names[string(family[1])]
		for _, r := range []ref{own, below, describes} {
			o := f.object(r)
			o.value = bytes.ReplaceAll(o.value, append([]byte("/utf8"), family[1]...), []byte(tagged))
		}
		*f.object(maps) = table
	}
	return nil
}

// Typed are the characters that can be typed into a field, one for each code from
// 32 on: those of WinAnsiEncoding (ISO 32000-1, annex D.2), since programs that
// fill in forms know fonts of one byte a letter. A code without a character of
// its own shows the bullet.
func Typed() []rune {
	var all []rune
	for code := rune(32); code < 256; code++ {
		switch {
		case code == 0x7F:
			all = append(all, '•')
		case code == 0x80:
			all = append(all, []rune("€•‚ƒ„…†‡ˆ‰Š‹Œ•Ž••‘’“”•–—˜™š›œ•žŸ")...)
			code = 0x9F
		default:
			all = append(all, code)
		}
	}
	return all
}

// typeface adds the font of fields, and the resources that hold it. It is that of
// the document's text, called by codes of one byte; the program of it is in the
// file once.
func (b *book) typeface() (ref, error) {
	own := slices.IndexFunc(b.objects, func(o object) bool {
		return descendants.Match(o.value) && bytes.Contains(o.value, []byte("+"+b.Fonts[b.Typing.Family]+"\n"))
	})
	below, ok1 := b.follow(ref(own+1), descendants)
	describes, ok2 := b.follow(below, descriptor)
	if !ok1 || !ok2 || len(b.Typing.Widths) != len(Typed()) {
		return 0, errLayout
	}
	// 32: its characters are those of the standard Latin set.
	like := fontFlags.ReplaceAll(b.object(describes).value, []byte("/Flags 32"))
	tagged := taggedName.FindSubmatch(like)
	if tagged == nil {
		return 0, errLayout
	}
	font := b.add(value("<</Type/Font/Subtype/TrueType/BaseFont%s/Encoding/WinAnsiEncoding/FirstChar 32/LastChar 255/Widths%v/FontDescriptor %s>>",
		tagged[1], b.Typing.Widths, b.add(like)))
	return b.add(value("<</Font<</Text %s>>>>", font)), nil
}

// follow is the object to which an entry of another refers.
func (f *file) follow(r ref, entry *regexp.Regexp) (ref, bool) {
	if r == 0 {
		return 0, false
	}
	m := entry.FindSubmatch(f.object(r).value)
	if m == nil {
		return 0, false
	}
	n, err := strconv.Atoi(string(m[1]))
	return ref(n), err == nil && n >= 1 && n <= len(f.objects)
}

// tag is six capitals that differ as the embedded parts do.
func tag(data []byte) string {
	sum := sha256.Sum256(data)
	letters := make([]byte, 6)
	for i := range letters {
		letters[i] = 'A' + sum[i]%26
	}
	return string(letters)
}

// characters says that the codes of a font are those of Unicode, in ranges within
// which only the last byte changes, a hundred at most together. Codes that are no
// character are left out.
func characters() []byte {
	b := []byte("/CIDInit/ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo<</Registry(Adobe)/Ordering(UCS)/Supplement 0>> def\n/CMapName/Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000><FFFF>\nendcodespacerange\n")
	type span struct{ from, to int }
	var spans []span
	for high := range 256 {
		s := span{high << 8, high<<8 | 0xFF}
		switch high {
		case 0:
			s.from = 1
		case 0xFE:
			s.to = 0xFEFE
		case 0xFF:
			s.to = 0xFFFD
		}
		if high < 0xD8 || high > 0xDF { // halves of pairs
			spans = append(spans, s)
		}
	}
	for len(spans) > 0 {
		n := min(100, len(spans))
		b = fmt.Appendf(b, "%d beginbfrange\n", n)
		for _, s := range spans[:n] {
			b = fmt.Appendf(b, "<%04X><%04X><%04X>\n", s.from, s.to, s.from)
		}
		b = append(b, "endbfrange\n"...)
		spans = spans[n:]
	}
	return append(b, "endcmap\nCMapName currentdict/CMap defineresource pop\nend\nend"...)
}
