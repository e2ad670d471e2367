package archive

import (
	"bytes"
	"errors"
	"fmt"
	"testing"
)

func TestAttachedFilesComeBack(t *testing.T) {
	d := document()
	d.Keywords = "soundwrit 9.9"
	d.Files = []File{
		{Name: "seam.yaml", Kind: "application/yaml", Says: "The job", Is: "job", Data: []byte("part: {}\n")},
		{Name: `hüll (2) \ b.yaml`, Kind: "application/yaml", Says: "A book", Data: []byte{}},
		{Name: "seam.yaml", Kind: "application/yaml", Says: "Another", Is: "book", Data: make([]byte, 100_000)},
	}
	pdf, err := Finish(drawn(t), d)
	if err != nil {
		t.Fatal(err)
	}
	// What a reader adds when a field is filled in stands behind the file.
	for _, added := range []string{"", "\n12 0 obj\n<</T(x)>>\nendobj\nstartxref\n5\n%%EOF\n"} {
		got, err := Open(append(pdf[:len(pdf):len(pdf)], added...))
		if err != nil || len(got.Files) != 3 || got.Keywords != d.Keywords {
			t.Fatalf("%d files, keywords %q, %v", len(got.Files), got.Keywords, err)
		}
		for i, f := range got.Files {
			if w := d.Files[i]; f.Name != w.Name || f.Says != w.Says || f.Is != w.Is || string(f.Data) != string(w.Data) {
				t.Errorf("file %d: %q, %q, %d bytes", i, f.Name, f.Says, len(f.Data))
			}
		}
	}
}

// Whatever is done to a file, it is read or refused.
func TestDamagedFileIsRefused(t *testing.T) {
	d := document()
	d.Files = []File{{Name: "seam.yaml", Kind: "application/yaml", Says: "The job", Data: []byte("part: {}\n")}}
	pdf, err := Finish(drawn(t), d)
	if err != nil {
		t.Fatal(err)
	}
	for _, foreign := range []string{"", "%PDF-1.4\n1 0 obj\n<<>>\nendobj\n", "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n1 0 obj\n<</Type/ObjStm/N 9999/First 9999999/Length 3>>\nstream\nabc\nendstream\nendobj\n"} {
		if _, err := Open([]byte(foreign + "%%EOF\n")); !errors.Is(err, ErrOther) {
			t.Errorf("%q: %v", foreign, err)
		}
	}
	for i := 0; i < len(pdf); i += 7 {
		if _, err := Open(pdf[:i]); !errors.Is(err, ErrCut) && i < len(pdf)-40 {
			t.Errorf("cut at %d of %d: %v", i, len(pdf), err)
		}
		spoiled := append([]byte{}, pdf...)
		spoiled[i] ^= 0x15
		Open(spoiled)
	}
}

// A file of a few kilobytes that unpacks to more than can be held is refused
// before it is unpacked: as an attached file, as many of them, and as objects.
func TestBombIsRefused(t *testing.T) {
	whole, half := make([]byte, most+1), make([]byte, most/2)
	for name, files := range map[string][]File{
		"one file":    {{Name: "a", Is: "job", Data: whole}},
		"three files": {{Name: "a", Is: "job", Data: half}, {Name: "b", Is: "book", Data: half}, {Name: "c", Is: "book", Data: half}},
	} {
		d := document()
		d.Files = files
		pdf, err := Finish(drawn(t), d)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Open(pdf); !errors.Is(err, ErrLarge) {
			t.Errorf("%s: %v from %d bytes", name, err, len(pdf))
		}
	}
	var f file
	o := f.packed("/Type/ObjStm/N 1/First 4", append([]byte("1 0 "), whole...))
	pdf := fmt.Appendf(bytes.Clone(fileHead), "1 0 obj\n%s\nstream\n%s\nendstream\nendobj\n", o.value, o.stream)
	if _, err := Open(pdf); !errors.Is(err, ErrLarge) {
		t.Errorf("objects: %v from %d bytes", err, len(pdf))
	}
}
