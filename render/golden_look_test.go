package render

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Pages are drawn in 96 dots an inch, of which each 8 by 8 become one: so that
// programs that smooth letters otherwise come to nearly the same.
const (
	drawnFine = 96
	together  = 8
	inRow     = 12 // pages beside each other
	greys     = 16
)

// inkApart is how far the ink of two pages may differ in a square of a
// centimetre, of 255. Letters that are not smoothed at all stay below 7; a column
// of a table that moves by 3 mm makes 9 to 16.
const inkApart = 7.5

// TestGoldenLook compares all pages of two shipped documents and of the stressed
// one with those that a person has looked at.
func TestGoldenLook(t *testing.T) {
	t.Parallel()
	for name, job := range map[string]string{
		"plate-seam": jobFile("plate-seam"),
		"kranbahn":   jobFile("kranbahn"),
		"column":     stressed,
	} {
		_, pdf := files(t, computedFrom(t, job), name)
		now := contactSheet(t, pdf)
		golden := "../testdata/golden/" + name + ".pages.png"
		faults := []string{"there is no such file"}
		if data, err := os.ReadFile(golden); err == nil {
			then, err := png.Decode(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			faults = lookDiffers(now, then)
		}
		if *update && len(faults) > 0 {
			var b bytes.Buffer
			packer := png.Encoder{CompressionLevel: png.BestCompression}
			if err := packer.Encode(&b, now); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(golden, b.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		for _, fault := range faults {
			t.Errorf("%s: %s; if the change is right, look at the pages, then run this test with -update", golden, fault)
		}
	}
}

// contactSheet draws all pages of a document side by side, small and in few greys.
func contactSheet(t *testing.T, pdf []byte, how ...string) image.Image {
	t.Helper()
	folder := t.TempDir()
	file := filepath.Join(folder, "all.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	external(t, "pdftoppm", append(how, "-r", fmt.Sprint(drawnFine), "-gray", file, filepath.Join(folder, "page"))...)
	names, err := filepath.Glob(filepath.Join(folder, "page*.pgm")) // packing PNG would take most of the time
	if err != nil || len(names) == 0 {
		t.Fatal("no page was drawn", err)
	}
	slices.Sort(names) // numbers have zeros before them
	var palette color.Palette
	for i := range greys {
		palette = append(palette, color.Gray{uint8(255 * i / (greys - 1))})
	}
	var sheet *image.Paletted
	for i, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		small := smaller(greyMap(t, data))
		size := small.Bounds().Size()
		if sheet == nil {
			sheet = image.NewPaletted(image.Rect(0, 0, inRow*size.X, (len(names)+inRow-1)/inRow*size.Y), palette)
			draw.Draw(sheet, sheet.Bounds(), image.White, image.Point{}, draw.Src)
		}
		at := image.Pt(i%inRow*size.X, i/inRow*size.Y)
		draw.Draw(sheet, small.Bounds().Add(at), small, image.Point{}, draw.Src)
	}
	return sheet
}

// greyMap reads a picture in the portable form without packing.
func greyMap(t *testing.T, data []byte) *image.Gray {
	t.Helper()
	var width, height int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n255\n", &width, &height); err != nil || len(data) < width*height {
		t.Fatalf("%d bytes are no grey map of %d by %d: %v", len(data), width, height, err)
	}
	return &image.Gray{Pix: data[len(data)-width*height:], Stride: width, Rect: image.Rect(0, 0, width, height)}
}

// smaller makes one dot of the mean of those together.
func smaller(fine *image.Gray) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, fine.Bounds().Dx()/together, fine.Bounds().Dy()/together))
	for y := range out.Bounds().Dy() {
		for x := range out.Bounds().Dx() {
			sum := 0
			for j := range together {
				for i := range together {
					sum += int(fine.Pix[(y*together+j)*fine.Stride+x*together+i])
				}
			}
			out.Pix[y*out.Stride+x] = uint8(sum / (together * together))
		}
	}
	return out
}

// lookDiffers says on which pages of two contact sheets the ink lies elsewhere.
// A program that draws all of it darker is allowed for.
func lookDiffers(a, b image.Image) (faults []string) {
	if a.Bounds() != b.Bounds() {
		return []string{fmt.Sprintf("the sheets are of %v and %v dots: other pages, or another number of them", a.Bounds().Size(), b.Bounds().Size())}
	}
	// A4 or Letter, whose heights differ.
	width := a.Bounds().Dx() / inRow
	height := int(math.Round(float64(width) * 297 / 210))
	if a.Bounds().Dy()%height != 0 {
		height = int(math.Round(float64(width) * 279.4 / 215.9))
	}
	for n := range inRow * (a.Bounds().Dy() / height) {
		page := image.Rect(0, 0, width, height).Add(image.Pt(n%inRow*width, n/inRow*height))
		if worst := inkDiffers(a, b, page); worst > inkApart {
			faults = append(faults, fmt.Sprintf("page %d differs by %.1f", n+1, worst))
		}
	}
	return faults
}

// inkDiffers is the largest difference of ink in a square of a centimetre.
func inkDiffers(a, b image.Image, page image.Rectangle) float64 {
	const square = 5 // dots
	ink := func(p image.Image, x, y int) float64 {
		return 255 - float64(color.GrayModel.Convert(p.At(x, y)).(color.Gray).Y)
	}
	inA, inB := 0.0, 0.0
	for y := page.Min.Y; y < page.Max.Y; y++ {
		for x := page.Min.X; x < page.Max.X; x++ {
			inA, inB = inA+ink(a, x, y), inB+ink(b, x, y)
		}
	}
	darker := min(max((inB+1)/(inA+1), 0.7), 1.4)
	worst := 0.0
	for y := page.Min.Y; y+square <= page.Max.Y; y += 2 {
		for x := page.Min.X; x+square <= page.Max.X; x += 2 {
			sum := 0.0
			for j := range square {
				for i := range square {
					sum += darker*ink(a, x+i, y+j) - ink(b, x+i, y+j)
				}
			}
			worst = max(worst, math.Abs(sum)/(square*square))
		}
	}
	return worst
}

// Letters that are drawn otherwise pass, and what moved or is lost does not.
func TestLookSeesWhatMoved(t *testing.T) {
	t.Parallel()
	doc := sampleDocument(t)
	s, err := sheetNamed(doc.PageSize)
	if err != nil {
		t.Fatal(err)
	}
	drawnWith := func(change func(pages []*page), how ...string) image.Image {
		blocks, err := parseMarkdown(doc.Markdown, symbolsOf(doc.Symbols))
		if err != nil {
			t.Fatal(err)
		}
		face := newTypeface()
		pages, structure, err := layOut(blocks, doc, s, face)
		if err != nil {
			t.Fatal(err)
		}
		change(pages)
		pdf, err := writePDF(pages, structure, doc, s, face)
		if err != nil {
			t.Fatal(err)
		}
		return contactSheet(t, pdf, how...)
	}
	seen := drawnWith(func([]*page) {})
	if faults := lookDiffers(seen, drawnWith(func([]*page) {}, "-aa", "no")); len(faults) > 0 {
		t.Errorf("letters that are not smoothed: %v", faults)
	}
	changed := 0
	moved := drawnWith(func(pages []*page) {
		for _, p := range pages {
			// A column of texts that begin one below the other.
			count := map[float64]int{}
			for _, x := range p.texts {
				if count[x.x]++; count[x.x] == 30 && x.x > s.left+20 {
					changed++
					for i := range p.texts {
						if p.texts[i].x == x.x {
							p.texts[i].x += 3
						}
					}
					break
				}
			}
		}
	})
	if faults := lookDiffers(moved, seen); changed == 0 || len(faults) != changed {
		t.Errorf("a column moved on %d pages, and pages differ: %v", changed, faults)
	}
	lost := 0
	without := drawnWith(func(pages []*page) {
		for _, p := range pages {
			if len(p.figures) > 0 {
				lost++
				p.figures[0].figure.Drawing.shapes, p.figures[0].figure.Drawing.labels = nil, nil
			}
		}
	})
	if faults := lookDiffers(without, seen); lost == 0 || len(faults) != lost {
		t.Errorf("a figure is lost on %d pages, and pages differ: %v", lost, faults)
	}
}
