package archive

import (
	"bytes"
	"crypto/md5"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"math"
	"strings"
)

// info are the properties in the form that older readers know. They must say the
// same as metadata.
func (b *book) info() ref {
	date := text(b.Date.UTC().Format("D:20060102150405") + "+00'00'")
	v := value("<</Producer%s/Creator%s/CreationDate%s/ModDate%s", text(b.Program), text(b.Program), date, date)
	for _, e := range []struct{ key, value string }{
		{"Title", b.Title}, {"Author", b.Author}, {"Subject", b.Subject}, {"Keywords", b.Keywords},
	} {
		if e.value != "" {
			v = append(v, value("/%s%s", e.key, text(e.value))...)
		}
	}
	return b.add(append(v, ">>"...))
}

// accessible describes the property by which a file claims ISO 14289-1, since ISO
// 19005-3, 6.6.2.3, knows none of it. It comes first: readers look there.
const accessible = `<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource"><pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI><pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource"><pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category><pdfaProperty:description>Part of ISO 14289</pdfaProperty:description></rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
`

// metadata are the properties as XMP (ISO 16684-1), with the forms that the file
// claims. The packet is not compressed, so that a search through files finds it.
func (b *book) metadata() ref {
	var x strings.Builder
	put := func(format, value string) {
		if value != "" {
			var e bytes.Buffer
			xml.EscapeText(&e, []byte(value)) // into memory, which does not fail
			fmt.Fprintf(&x, format+"\n", e.String())
		}
	}
	date := b.Date.UTC().Format("2006-01-02T15:04:05") + "+00:00"
	x.WriteString("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n")
	titled := b.Title != "" // else no file may claim it
	if titled {
		x.WriteString(accessible)
	}
	x.WriteString("<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\"" +
		" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\" xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\" xmlns:pdfuaid=\"http://www.aiim.org/pdfua/ns/id/\">\n" +
		"<pdfaid:part>3</pdfaid:part>\n<pdfaid:conformance>B</pdfaid:conformance>\n<dc:format>application/pdf</dc:format>\n")
	if titled {
		x.WriteString("<pdfuaid:part>1</pdfuaid:part>\n")
	}
	put(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:title>`, b.Title)
	put(`<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>`, b.Author)
	put(`<dc:description><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:description>`, b.Subject)
	put(`<dc:language><rdf:Bag><rdf:li>%s</rdf:li></rdf:Bag></dc:language>`, b.Language)
	put(`<xmp:CreatorTool>%s</xmp:CreatorTool>`, b.Program)
	put(`<xmp:CreateDate>%s</xmp:CreateDate>`, date)
	put(`<xmp:ModifyDate>%s</xmp:ModifyDate>`, date)
	put(`<pdf:Producer>%s</pdf:Producer>`, b.Program)
	put(`<pdf:Keywords>%s</pdf:Keywords>`, b.Keywords)
	x.WriteString("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.addStream("/Type/Metadata/Subtype/XML", []byte(x.String()))
}

// attach adds the files and returns the catalog's entries for them.
func (b *book) attach() []byte {
	var specs []ref
	names := []byte("/Names<</EmbeddedFiles<</Names[")
	date := text(b.Date.UTC().Format("D:20060102150405") + "+00'00'")
	for i, file := range b.Files {
		sum := md5.Sum(file.Data) // as ISO 32000-1, 7.11.4 has it
		b.objects = append(b.objects, b.packed(fmt.Sprintf("/Type/EmbeddedFile/Subtype%s/Params<</Size %d/ModDate%s/CheckSum<%X>>>",
			name(file.Kind), len(file.Data), date, sum), file.Data))
		data := ref(len(b.objects))
		spec := b.add(value("<</Type/Filespec/F%s/UF%s/Desc%s/AFRelationship/Source/EF<</F %s/UF %s>>>>",
			text(file.Name), text(file.Name), text(file.Says), data, data))
		specs = append(specs, spec)
		names = append(names, value("(%04d %s) %s ", i, file.Is, spec)...) // in order, as they must be, and each once
	}
	return append(names, value("]>>>>/AF%s", array(specs))...)
}

// outputIntent says what the colours mean: those of sRGB.
func (b *book) outputIntent() ref {
	b.objects = append(b.objects, b.packed("/N 3", profile()))
	return b.add(value("<</Type/OutputIntent/S/GTS_PDFA1/OutputConditionIdentifier(sRGB)/RegistryName(http://www.color.org)/Info(sRGB)/DestOutputProfile %s>>",
		ref(len(b.objects))))
}

// profile builds the ICC profile of sRGB, version 2: three primaries and one
// curve. The primaries are those of IEC 61966-2-1 adapted to D50, as profiles of
// sRGB usually carry them; the curve is sampled at 256 places.
func profile() []byte {
	number := func(x float64) []byte { return binary.BigEndian.AppendUint32(nil, uint32(int32(math.Round(x*65536)))) }
	xyz := func(x, y, z float64) []byte {
		return bytes.Join([][]byte{[]byte("XYZ \x00\x00\x00\x00"), number(x), number(y), number(z)}, nil)
	}
	curve := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), 256)
	for i := range 256 {
		curve = binary.BigEndian.AppendUint16(curve, uint16(math.Round(linear(float64(i)/255)*65535)))
	}
	const label = "sRGB"
	desc := binary.BigEndian.AppendUint32([]byte("desc\x00\x00\x00\x00"), uint32(len(label)+1))
	desc = append(append(desc, label...), make([]byte, 1+4+4+2+1+67)...) // no Unicode, no script name
	tags := []struct {
		name string
		data []byte
	}{
		{"desc", desc},
		{"cprt", []byte("text\x00\x00\x00\x00no rights reserved\x00")},
		{"wtpt", xyz(whiteX, 1, whiteZ)},
		{"rXYZ", xyz(0.43607, 0.22249, 0.01392)},
		{"gXYZ", xyz(0.38515, 0.71687, 0.09708)},
		{"bXYZ", xyz(0.14307, 0.06061, 0.71410)},
		{"rTRC", curve}, {"gTRC", curve}, {"bTRC", curve},
	}
	table := binary.BigEndian.AppendUint32(nil, uint32(len(tags)))
	begin := 128 + 4 + 12*len(tags)
	var body []byte
	at := 0
	for _, t := range tags {
		if t.name != "gTRC" && t.name != "bTRC" { // the three colours share their curve
			at = begin + len(body)
			body = append(body, t.data...)
			body = append(body, make([]byte, -len(body)&3)...)
		}
		table = append(table, t.name...)
		table = binary.BigEndian.AppendUint32(table, uint32(at))
		table = binary.BigEndian.AppendUint32(table, uint32(len(t.data)))
	}
	head := make([]byte, 128)
	binary.BigEndian.PutUint32(head, uint32(begin+len(body)))
	copy(head[8:], "\x02\x10\x00\x00mntrRGB XYZ ")
	copy(head[24:], "\x07\xEA\x00\x01\x00\x01") // the first of January 2026
	copy(head[36:], "acsp")
	copy(head[68:], xyz(whiteX, 1, whiteZ)[8:])
	return bytes.Join([][]byte{head, table, body}, nil)
}

// whiteX and whiteZ are of D50 where Y is 1. Source: ICC.1:2001-04, 6.1.9.
const whiteX, whiteZ = 0.9642, 0.8249

// linear is the light that a value of sRGB stands for, both as ratios of their
// largest.
//
//	v ≤ 0.04045: v / 12.92, else ((v + 0.055) / 1.055)^2.4
//
// Valid: 0 ≤ v ≤ 1. Source: IEC 61966-2-1:1999, 5.2.
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}
