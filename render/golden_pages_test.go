package render

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soundwrit/templates"
)

// TestGoldenPages compares pages as an independent program reads and draws them
// with those that a person has looked at: the crew's sheet of an English and of
// a German job. The words of a line must be the same; the spaces between them
// may differ, since each version of the program counts them otherwise. Of the
// pictures, in 30 dots an inch, the greys may differ by 2 of 255 on the whole,
// and one place in two hundred by more than 96: that leaves room for another way
// to smooth letters, and none for a table or a figure that moved.
func TestGoldenPages(t *testing.T) {
	t.Parallel()
	const average, much, share = 2, 96, 0.005
	for _, name := range []string{"plate-seam", "kranbahn"} {
		all, err := Set{Technique: computed(t, name), Wording: templates.Files(), Name: name, Program: "test"}.Sheet()
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "sheet.pdf")
		if err := os.WriteFile(file, all[0].Data, 0o600); err != nil {
			t.Fatal(err)
		}
		text := ""
		for _, line := range strings.Split(external(t, "pdftotext", "-layout", file, "-"), "\n") {
			if words := strings.Join(strings.Fields(line), " "); words != "" {
				text += words + "\n"
			}
		}
		picture := strings.TrimSuffix(file, ".pdf")
		external(t, "pdftoppm", "-r", "30", "-gray", "-png", "-singlefile", file, picture)
		drawn, err := os.ReadFile(picture + ".png")
		if err != nil {
			t.Fatal(err)
		}
		golden := "../testdata/golden/" + name + ".sheet"
		if *update {
			for ending, data := range map[string][]byte{".txt": []byte(text), ".png": drawn} {
				if err := os.WriteFile(golden+ending, data, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			continue
		}
		want, err := os.ReadFile(golden + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		if text != string(want) {
			t.Errorf("%s.txt differs; if the change is right, look at the page, then run this test with -update; now it reads\n%s", golden, text)
		}
		seen, err := os.ReadFile(golden + ".png")
		if err != nil {
			t.Fatal(err)
		}
		mean, far, err := difference(drawn, seen)
		if err != nil || mean > average || far > share {
			t.Errorf("%s.png: greys differ by %.1f on the whole, and %.1f %% of the places by more than %d; %v", golden, mean, far*100, much, err)
		}
	}
}

// difference compares two pictures: how far their greys are apart on the
// average, and the share of places that are far apart.
func difference(a, b []byte) (mean, far float64, err error) {
	x, err := png.Decode(bytes.NewReader(a))
	if err != nil {
		return 0, 0, err
	}
	y, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		return 0, 0, err
	}
	if x.Bounds() != y.Bounds() {
		return 0, 0, fmt.Errorf("sizes %v and %v", x.Bounds(), y.Bounds())
	}
	grey := func(p image.Image, i, j int) float64 {
		r, _, _, _ := p.At(i, j).RGBA()
		return float64(r >> 8)
	}
	r := x.Bounds()
	for j := r.Min.Y; j < r.Max.Y; j++ {
		for i := r.Min.X; i < r.Max.X; i++ {
			d := grey(x, i, j) - grey(y, i, j)
			mean += max(d, -d)
			if d > 96 || d < -96 {
				far++
			}
		}
	}
	n := float64(r.Dx() * r.Dy())
	return mean / n, far / n, nil
}

// A picture with one line of its text moved by a millimetre and a half is told
// from the one looked at.
func TestDifferenceSeesWhatMoved(t *testing.T) {
	page := func(y int) []byte {
		p := image.NewGray(image.Rect(0, 0, 330, 468))
		for i := range p.Pix {
			p.Pix[i] = 255
		}
		for j := y; j < y+7; j++ {
			for i := 30; i < 300; i++ {
				p.Pix[j*p.Stride+i] = 0
			}
		}
		var b bytes.Buffer
		if err := png.Encode(&b, p); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	if mean, far, err := difference(page(100), page(100)); mean != 0 || far != 0 || err != nil {
		t.Errorf("like pictures differ by %g, %g, %v", mean, far, err)
	}
	// 2 × 270 × 2 places of 330 × 468 change by 255.
	if mean, far, _ := difference(page(100), page(102)); mean < 1.7 || mean > 1.9 || far < 0.0069 || far > 0.0071 {
		t.Errorf("a bar moved by two rows differs by %g, %g", mean, far)
	}
}
