package archive

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"
)

// file is the objects of a PDF, number 1 first.
type file struct {
	objects []object
	packer  *zlib.Writer // one for all streams: making one costs more than packing a page
}

// object is a value, and a stream where it has one: then the value is a
// dictionary that states the stream's length.
type object struct{ value, stream []byte }

// ref is the number of an object.
type ref int

// String writes the reference as it stands in other objects.
func (r ref) String() string { return strconv.Itoa(int(r)) + " 0 R" }

func value(format string, args ...any) []byte { return fmt.Appendf(nil, format, args...) }

// array writes references as an array.
func array(refs []ref) []byte {
	out := []byte("[")
	for i, r := range refs {
		if i > 0 {
			out = append(out, ' ')
		}
		out = strconv.AppendInt(out, int64(r), 10)
		out = append(out, " 0 R"...)
	}
	return append(out, ']')
}

// text writes a text string: as it is in ASCII, else in UTF-16.
func text(s string) string {
	var b strings.Builder
	plain := true
	for _, r := range s {
		plain = plain && r >= ' ' && r <= '~'
	}
	if plain {
		b.Grow(len(s) + 2)
		b.WriteByte('(')
		for _, c := range []byte(s) {
			if c == '\\' || c == '(' || c == ')' {
				b.WriteByte('\\')
			}
			b.WriteByte(c)
		}
		b.WriteByte(')')
		return b.String()
	}
	b.WriteString("<FEFF")
	for _, unit := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", unit)
	}
	return b.String() + ">"
}

// name writes a name, whatever characters it has.
func name(s string) string {
	var b strings.Builder
	b.WriteByte('/')
	for _, c := range []byte(s) {
		if c > ' ' && c <= '~' && !strings.ContainsRune("#/()<>[]{}%", rune(c)) {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "#%02X", c)
		}
	}
	return b.String()
}

func (f *file) add(value []byte) ref {
	f.objects = append(f.objects, object{value: value})
	return ref(len(f.objects))
}

// reserve gives a number to an object that is written later.
func (f *file) reserve() ref { return f.add(nil) }

// addStream adds a stream; entries are those of its dictionary beside the length.
func (f *file) addStream(entries string, data []byte) ref {
	f.objects = append(f.objects, stream(entries, data))
	return ref(len(f.objects))
}

func stream(entries string, data []byte) object {
	return object{value("<<%s/Length %d>>", entries, len(data)), data}
}

// packed is a stream that is compressed.
func (f *file) packed(entries string, data []byte) object {
	var b bytes.Buffer
	if f.packer == nil {
		f.packer = zlib.NewWriter(&b)
	}
	f.packer.Reset(&b)
	f.packer.Write(data) // into memory, which does not fail
	f.packer.Close()
	return stream(entries+"/Filter/FlateDecode", b.Bytes())
}

func (f *file) object(r ref) *object { return &f.objects[r-1] }

// extend adds entries to an object's dictionary.
func (f *file) extend(r ref, entries []byte) {
	o := f.object(r)
	o.value = append(append(bytes.TrimSuffix(o.value, []byte(">>")), entries...), ">>"...)
}

var errLayout = errors.New("the pages are not as the PDF library should have written them")

// read takes the objects out of a file as the PDF library writes it: a plain
// table of offsets, and lengths beside their streams. The last two objects, the
// properties and the catalog, are left out: they are written anew. What a page
// draws is not packed yet, and is packed here.
func read(drawn []byte) (*file, error) {
	at := bytes.LastIndex(drawn, []byte("\nxref\n0 "))
	if at < 0 {
		return nil, errLayout
	}
	rows := bytes.Split(drawn[at+1:], []byte("\n"))
	if len(rows) < 3 {
		return nil, errLayout
	}
	count, err := strconv.Atoi(string(rows[1][2:]))
	if err != nil || count < 6 || len(rows) < count+2 {
		return nil, errLayout
	}
	f := &file{}
	for i := 1; i < count-2; i++ {
		offset, err := strconv.Atoi(string(bytes.TrimLeft(rows[i+2][:min(10, len(rows[i+2]))], "0")))
		if err != nil || offset >= at {
			return nil, errLayout
		}
		o, ok := readObject(drawn[offset:at])
		if !ok {
			return nil, errLayout
		}
		if o.stream != nil && bytes.Equal(o.value, value("<</Length %d>>", len(o.stream))) {
			o = f.packed("", o.stream)
		}
		f.objects = append(f.objects, o)
	}
	return f, nil
}

var lengthEntry = regexp.MustCompile(`/Length (\d+)`)

func readObject(data []byte) (object, bool) {
	_, data, ok := bytes.Cut(data, []byte(" obj\n"))
	if !ok {
		return object{}, false
	}
	end := bytes.Index(data, []byte("\nendobj"))
	begin := bytes.Index(data, []byte("\nstream\n"))
	switch {
	case end < 0:
		return object{}, false
	case begin < 0 || begin > end:
		return object{value: bytes.TrimSpace(bytes.Clone(data[:end]))}, true
	}
	o := object{value: bytes.TrimSpace(bytes.Clone(data[:begin]))}
	m := lengthEntry.FindSubmatch(o.value)
	if m == nil {
		return object{}, false
	}
	n, err := strconv.Atoi(string(m[1]))
	begin += len("\nstream\n")
	if err != nil || n > len(data)-begin {
		return object{}, false
	}
	o.stream = data[begin : begin+n : begin+n]
	return o, true
}

// kids are the pages in their order.
func (f *file) kids() ([]ref, error) {
	if len(f.objects) == 0 {
		return nil, errLayout
	}
	_, list, ok := bytes.Cut(f.object(1).value, []byte("/Kids ["))
	list, _, closed := bytes.Cut(list, []byte("]"))
	if !ok || !closed {
		return nil, errLayout
	}
	var pages []ref
	for _, kid := range bytes.Split(bytes.TrimSpace(list), []byte(" 0 R")) {
		n, err := strconv.Atoi(string(bytes.TrimSpace(kid)))
		if len(kid) == 0 {
			continue
		}
		if err != nil || n < 1 || n > len(f.objects) {
			return nil, errLayout
		}
		pages = append(pages, ref(n))
	}
	return pages, nil
}

// shelf is how many objects are packed together: fewer than a byte can count.
const shelf = 200

// write lays the objects out as a file of PDF 1.7. What is no stream is packed
// into object streams: the many small parts of the structure would take more
// room than the pages.
func (f *file) write(root, info ref) []byte {
	type slot struct {
		kind, where, index int // as in a cross-reference stream
	}
	digest := sha256.New()
	for _, o := range f.objects {
		digest.Write(o.value)
		digest.Write(o.stream)
	}
	id := digest.Sum(nil)[:16]

	out := []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	slots := make([]slot, len(f.objects)+1, len(f.objects)+len(f.objects)/shelf+3)
	put := func(n int, o object) {
		slots[n] = slot{1, len(out), 0}
		out = fmt.Appendf(out, "%d 0 obj\n%s\nstream\n", n, o.value)
		out = append(out, o.stream...)
		out = append(out, "\nendstream\nendobj\n"...)
	}
	var head, body []byte
	var held []int
	flush := func() {
		if len(held) == 0 {
			return
		}
		n := len(slots)
		slots = append(slots, slot{})
		for i, h := range held {
			slots[h] = slot{2, n, i}
		}
		put(n, f.packed(fmt.Sprintf("/Type/ObjStm/N %d/First %d", len(held), len(head)), append(head, body...)))
		head, body, held = head[:0], body[:0], held[:0]
	}
	for i, o := range f.objects {
		if o.stream != nil {
			put(i+1, o)
			continue
		}
		head = fmt.Appendf(head, "%d %d ", i+1, len(body))
		body = append(append(body, o.value...), '\n')
		if held = append(held, i+1); len(held) == shelf {
			flush()
		}
	}
	flush()

	n, start := len(slots), len(out)
	slots = append(slots, slot{1, start, 0})
	var table, above, row []byte
	for _, s := range slots {
		row = binary.BigEndian.AppendUint32(append(row[:0], byte(s.kind)), uint32(s.where))
		row = append(row, byte(s.index))
		table = append(table, 2) // a row is written as its difference from the one above
		for i, c := range row {
			if above != nil {
				c -= above[i]
			}
			table = append(table, c)
		}
		above = append(above[:0], row...)
	}
	put(n, f.packed(fmt.Sprintf("/Type/XRef/Size %d/W[1 4 1]/DecodeParms<</Predictor 12/Columns 6>>/Root %s/Info %s/ID[<%X><%X>]", n+1, root, info, id, id), table))
	return fmt.Appendf(out, "startxref\n%d\n%%%%EOF\n", start)
}
