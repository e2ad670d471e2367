package archive

import (
	"bytes"
	"compress/zlib"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"
)

// Read is what a finished file says of itself.
type Read struct {
	Keywords string
	Files    []File // attached, in their order
}

// ErrOther says that a file is none that Finish wrote, or was written anew since.
var ErrOther = errors.New("not a document in the form in which this program writes them")

// ErrCut says that a file is not whole.
var ErrCut = errors.New("cut off: it does not end as a PDF does")

// ErrLarge says that a file is made to unpack to more than Finish ever packs.
var ErrLarge = fmt.Errorf("a file that unpacks to more than the %d MB of the largest document of this program", most>>20)

// most is the size up to which all shelves and all attached files together are
// unpacked.
const most = 1 << 26

// Open reads a file that Finish returned. What another program added behind it,
// as for fields that were filled in, is not looked at.
func Open(pdf []byte) (Read, error) {
	values, streams, err := unpack(pdf)
	if err == ErrOther && !bytes.Contains(pdf[max(0, len(pdf)-1024):], []byte("%%EOF")) {
		err = ErrCut
	}
	if err != nil {
		return Read{}, err
	}
	var out Read
	for _, n := range values.order {
		v := values.at[n]
		switch {
		case bytes.HasPrefix(v, []byte("<</Type/Catalog")) && out.Files == nil:
			if out.Files, err = values.files(v, streams); err != nil {
				return Read{}, err
			}
		case bytes.Contains(v, []byte("/Producer")) && out.Keywords == "":
			out.Keywords = entry(v, "/Keywords")
		}
	}
	return out, nil
}

// files are those that the catalog lists as attached.
func (v *values) files(catalog []byte, streams map[string]object) ([]File, error) {
	var files []File
	_, list, _ := bytes.Cut(catalog, []byte("/EmbeddedFiles<</Names["))
	for _, listed := range attachment.FindAllSubmatch(list, -1) {
		n, _ := strconv.Atoi(string(listed[2]))
		spec := v.at[n]
		m := embedded.FindSubmatch(spec)
		if m == nil {
			return nil, ErrOther
		}
		data, err := v.unpacked(streams[string(m[1])])
		if err != nil {
			return nil, err
		}
		files = append(files, File{Name: entry(spec, "/UF"), Says: entry(spec, "/Desc"), Is: string(listed[1]), Data: data})
	}
	return files, nil
}

// values are objects that are no streams, by their numbers, and the order in
// which they stand.
type values struct {
	at    map[int][]byte
	order []int
	size  int // of all that was unpacked
}

var (
	fileHead   = []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	objHead    = regexp.MustCompile(`^(\d{1,9}) 0 obj\n`)
	attachment = regexp.MustCompile(`\(\d{4} ([a-z]*)\) (\d{1,9}) 0 R`)
	embedded   = regexp.MustCompile(`/EF<</F (\d+) 0 R`)
	shelved    = regexp.MustCompile(`^<</Type/ObjStm/N (\d{1,4})/First (\d{1,7})/`)
)

// unpack walks over the objects as file.write put them: streams, of which some
// hold the objects that are none.
func unpack(pdf []byte) (values, map[string]object, error) {
	all, streams := values{at: map[int][]byte{}}, map[string]object{}
	rest, ok := bytes.CutPrefix(pdf, fileHead)
	if !ok {
		return all, nil, ErrOther
	}
	for {
		head := objHead.FindSubmatch(rest[:min(len(rest), 20)])
		if head == nil {
			break
		}
		value, body, ok := bytes.Cut(rest[len(head[0]):], []byte("\nstream\n"))
		m := lengthEntry.FindSubmatch(value)
		if !ok || m == nil {
			return all, nil, ErrOther
		}
		n, err := strconv.Atoi(string(m[1]))
		if err != nil || n > len(body) {
			return all, nil, ErrOther
		}
		o := object{value, body[:n]}
		streams[string(head[1])] = o
		if rest, ok = bytes.CutPrefix(body[n:], []byte("\nendstream\nendobj\n")); !ok {
			return all, nil, ErrOther
		}
		if s := shelved.FindSubmatch(value); s != nil {
			if err := all.shelf(o, s); err != nil {
				return all, nil, err
			}
		}
	}
	if !bytes.HasPrefix(rest, []byte("startxref\n")) {
		return all, nil, ErrOther
	}
	return all, streams, nil
}

// shelf takes the objects out of an object stream.
func (v *values) shelf(o object, says [][]byte) error {
	count, _ := strconv.Atoi(string(says[1]))
	first, _ := strconv.Atoi(string(says[2]))
	data, err := v.unpacked(o)
	if err != nil {
		return err
	}
	if first > len(data) {
		return ErrOther
	}
	numbers := strings.Fields(string(data[:first]))
	if len(numbers) != 2*count {
		return ErrOther
	}
	body := data[first:]
	for i := range count {
		n, err1 := strconv.Atoi(numbers[2*i])
		from, err2 := strconv.Atoi(numbers[2*i+1])
		to := len(body)
		if i+1 < count {
			to, _ = strconv.Atoi(numbers[2*i+3])
		}
		if err1 != nil || err2 != nil || from < 0 || from > to || to > len(body) {
			return ErrOther
		}
		v.at[n] = body[from:to]
		v.order = append(v.order, n)
	}
	return nil
}

// unpacked is what a stream holds. All that is unpacked counts together, as often
// as it is: one stream may stand for many files.
func (v *values) unpacked(o object) ([]byte, error) {
	r, err := zlib.NewReader(bytes.NewReader(o.stream))
	if err != nil {
		return nil, ErrOther
	}
	data, err := io.ReadAll(io.LimitReader(r, int64(most-v.size)+1))
	switch v.size += len(data); {
	case err != nil:
		return nil, ErrOther
	case v.size > most:
		return nil, ErrLarge
	}
	return data, nil
}

// entry reads a text string of a dictionary, as text wrote it; empty where there
// is none.
func entry(dictionary []byte, key string) string {
	_, rest, ok := strings.Cut(string(dictionary), key)
	if !ok || rest == "" {
		return ""
	}
	if digits, wide := strings.CutPrefix(rest, "<FEFF"); wide {
		digits, _, _ = strings.Cut(digits, ">")
		raw, err := hex.DecodeString(digits)
		if err != nil || len(raw)%2 != 0 {
			return ""
		}
		units := make([]uint16, len(raw)/2)
		for i := range units {
			units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
		}
		return string(utf16.Decode(units))
	}
	if rest[0] != '(' {
		return ""
	}
	var b strings.Builder
	for i := 1; i < len(rest) && rest[i] != ')'; i++ {
		if rest[i] == '\\' && i+1 < len(rest) {
			i++
		}
		b.WriteByte(rest[i])
	}
	return b.String()
}
