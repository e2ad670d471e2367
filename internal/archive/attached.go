package archive

import (
	"bytes"
	"compress/zlib"
	"encoding/hex"
	"errors"
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

// most is the size up to which a stream, and up to which all shelves together,
// are unpacked.
const most = 1 << 26

// Open reads a file that Finish returned. What another program added behind it,
// as for fields that were filled in, is not looked at.
func Open(pdf []byte) (Read, error) {
	values, streams, err := unpack(pdf)
	if err != nil {
		return Read{}, err
	}
	var out Read
	for _, n := range values.order {
		v := values.at[n]
		switch {
		case bytes.HasPrefix(v, []byte("<</Type/Filespec")):
			m := embedded.FindSubmatch(v)
			if m == nil {
				return Read{}, ErrOther
			}
			data, err := unpacked(streams[string(m[1])])
			if err != nil {
				return Read{}, ErrOther
			}
			out.Files = append(out.Files, File{Name: entry(v, "/UF"), Says: entry(v, "/Desc"), Data: data})
		case bytes.Contains(v, []byte("/Producer")) && out.Keywords == "":
			out.Keywords = entry(v, "/Keywords")
		}
	}
	return out, nil
}

// values are objects that are no streams, by their numbers, and the order in
// which they stand.
type values struct {
	at    map[int][]byte
	order []int
	size  int // of all that was unpacked
}

var (
	fileHead = []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	objHead  = regexp.MustCompile(`^(\d{1,9}) 0 obj\n`)
	embedded = regexp.MustCompile(`/EF<</F (\d+) 0 R`)
	shelved  = regexp.MustCompile(`^<</Type/ObjStm/N (\d{1,4})/First (\d{1,7})/`)
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
	data, err := unpacked(o)
	if v.size += len(data); err != nil || first > len(data) || v.size > most {
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

func unpacked(o object) ([]byte, error) {
	r, err := zlib.NewReader(bytes.NewReader(o.stream))
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err == nil && len(data) > most {
		err = ErrOther
	}
	return data, err
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
