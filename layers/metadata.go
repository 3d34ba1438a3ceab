package layers

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// maxMetadata bounds the metadata that is read.
const maxMetadata = 4 << 20

// metadata replaces the document's XMP packet (14.3.2) with a small one: title,
// creator, rights and PDF/A identification. Packets hold previews, histories
// and lists of layers, so those of other objects go (see scrub).
func (c *choice) metadata() {
	_, ref := c.doc.PDF.Root()
	root := pdf.AsDict(c.edit, ref)
	st := pdf.AsStream(c.edit, root["Metadata"])
	if root["Metadata"] == nil {
		return
	}
	root = without(root, []pdf.Name{"Metadata"})
	c.edit.Set(ref, root)
	if st == nil {
		return
	}
	data, err := pdf.Decode(c.edit, st, maxMetadata)
	if err != nil {
		c.note("the document's metadata cannot be read and was taken out: %v", err)
		return
	}
	list, err := statements(data)
	if err != nil {
		c.note("the document's metadata is no XML and was taken out: %v", err)
		return
	}
	list = c.conforming(list)
	for _, s := range list {
		c.claims = c.claims || s.space == nsPDFA
	}
	if len(list) == 0 {
		return
	}
	root = root.Clone()
	root["Metadata"] = c.edit.Add(&pdf.Stream{
		Dict: pdf.Dict{"Type": pdf.Name("Metadata"), "Subtype": pdf.Name("XML")}, Raw: packet(list),
	})
	c.edit.Set(ref, root)
}

// conforming drops the claim of PDF/A-1, which forbids object streams
// (ISO 19005-1, 6.1.4). Level A wants a structure (ISO 19005-2, 6.7): where none
// is left, level B is what remains.
func (c *choice) conforming(list []statement) []statement {
	for i, s := range list {
		if s.space == nsPDFA && s.name == "part" && strings.TrimSpace(s.text()) == "1" {
			c.note("the file claimed to be PDF/A-1; the result does not, since that forbids object streams")
			var rest []statement
			for _, s := range list {
				if s.space != nsPDFA {
					rest = append(rest, s)
				}
			}
			return rest
		}
		if c.untagged && s.space == nsPDFA && s.name == "conformance" && strings.TrimSpace(s.text()) == "A" {
			list = slices.Clone(list)
			list[i].items = []item{{text: "B"}}
			c.note("the file claimed to be PDF/A of level A; the result claims level B, since nothing of its structure is left")
		}
	}
	return list
}

// The namespaces that are kept (ISO 16684-1; ISO 19005).
const (
	nsRDF    = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
	nsDC     = "http://purl.org/dc/elements/1.1/"
	nsRights = "http://ns.adobe.com/xap/1.0/rights/"
	nsPDFA   = "http://www.aiim.org/pdfa/ns/id/"
)

// keptStatements are the properties that are kept, with their prefix.
var keptStatements = map[xml.Name]string{
	{Space: nsDC, Local: "title"}: "dc", {Space: nsDC, Local: "creator"}: "dc", {Space: nsDC, Local: "rights"}: "dc",
	{Space: nsRights, Local: "Marked"}: "xmpRights", {Space: nsRights, Local: "Owner"}: "xmpRights",
	{Space: nsRights, Local: "UsageTerms"}: "xmpRights", {Space: nsRights, Local: "WebStatement"}: "xmpRights",
	{Space: nsPDFA, Local: "part"}: "pdfaid", {Space: nsPDFA, Local: "conformance"}: "pdfaid", {Space: nsPDFA, Local: "rev"}: "pdfaid",
}

// statement is one property of an XMP packet.
type statement struct {
	space, name string
	// array is Alt, Seq or Bag where the property is one, else "".
	array string
	items []item
}

// item is a value, or one of several, with its language.
type item struct{ lang, text string }

func (s statement) text() string {
	if len(s.items) == 0 {
		return ""
	}
	return s.items[0].text
}

// statements reads the properties of the document that are kept, in the order
// of the packet, the first of each. Those of its parts and sources, which
// stand deeper, are not.
func statements(data []byte) ([]statement, error) {
	r := &xmpReader{dec: xml.NewDecoder(bytes.NewReader(data)), seen: map[xml.Name]bool{}}
	for {
		tok, err := r.dec.Token()
		if err == io.EOF {
			return r.list, nil
		}
		if err != nil {
			return nil, err
		}
		if start, ok := tok.(xml.StartElement); ok && start.Name == (xml.Name{Space: nsRDF, Local: "RDF"}) {
			if err := r.children(r.description); err != nil {
				return nil, err
			}
		}
	}
}

// xmpReader reads one packet.
type xmpReader struct {
	dec  *xml.Decoder
	seen map[xml.Name]bool
	list []statement
}

// children reads the elements within one to its end.
func (r *xmpReader) children(read func(xml.StartElement) error) error {
	return r.within(read, func(xml.CharData) {})
}

// within reads the elements and the text within one to its end.
func (r *xmpReader) within(read func(xml.StartElement) error, text func(xml.CharData)) error {
	for {
		tok, err := r.dec.Token()
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			if err := read(t); err != nil {
				return err
			}
		case xml.CharData:
			text(t)
		case xml.EndElement:
			return nil
		}
	}
}

// description reads properties, which may be written as attributes.
func (r *xmpReader) description(start xml.StartElement) error {
	if start.Name.Space != nsRDF || start.Name.Local != "Description" {
		return r.dec.Skip()
	}
	for _, a := range start.Attr {
		if r.wants(a.Name) {
			r.add(statement{space: a.Name.Space, name: a.Name.Local, items: []item{{text: a.Value}}})
		}
	}
	return r.children(func(start xml.StartElement) error {
		if !r.wants(start.Name) {
			return r.dec.Skip()
		}
		s := statement{space: start.Name.Space, name: start.Name.Local}
		err := r.property(&s)
		r.add(s)
		return err
	})
}

func (r *xmpReader) wants(name xml.Name) bool { return keptStatements[name] != "" && !r.seen[name] }

func (r *xmpReader) add(s statement) {
	r.seen[xml.Name{Space: s.space, Local: s.name}] = true
	r.list = append(r.list, s)
}

// property reads the value of a property, or its values where it is an array.
func (r *xmpReader) property(s *statement) error {
	var plain strings.Builder
	err := r.within(func(t xml.StartElement) error {
		if t.Name.Space == nsRDF && s.array == "" && arrayName(t.Name.Local) != "" {
			s.array = t.Name.Local
			return r.children(func(li xml.StartElement) error {
				var text strings.Builder
				err := r.value(&text)
				s.items = append(s.items, item{language(li), strings.TrimSpace(text.String())})
				return err
			})
		}
		return r.qualified(t, &plain)
	}, func(t xml.CharData) { plain.Write(t) })
	if s.array == "" {
		s.items = []item{{text: strings.TrimSpace(plain.String())}}
	}
	return err
}

// value reads text to the end of its element, without what qualifies it.
func (r *xmpReader) value(text *strings.Builder) error {
	return r.within(
		func(t xml.StartElement) error { return r.qualified(t, text) },
		func(t xml.CharData) { text.Write(t) },
	)
}

// qualified reads the value of what is qualified (ISO 16684-1, 7.8).
func (r *xmpReader) qualified(t xml.StartElement, text *strings.Builder) error {
	if t.Name.Space == nsRDF && (t.Name.Local == "value" || t.Name.Local == "Description") {
		return r.value(text)
	}
	return r.dec.Skip()
}

// language is the xml:lang of an element.
func language(t xml.StartElement) string {
	for _, a := range t.Attr {
		if a.Name.Local == "lang" && (a.Name.Space == "xml" || a.Name.Space == "http://www.w3.org/XML/1998/namespace") {
			return a.Value
		}
	}
	return ""
}

// packet writes an XMP packet (ISO 16684-1, 7.3 and annex A).
func packet(list []statement) []byte {
	var b bytes.Buffer
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n<rdf:RDF xmlns:rdf=\"" + nsRDF + "\">\n" +
		"<rdf:Description rdf:about=\"\" xmlns:dc=\"" + nsDC + "\" xmlns:xmpRights=\"" + nsRights + "\" xmlns:pdfaid=\"" + nsPDFA + "\">\n")
	for _, s := range list {
		name := keptStatements[xml.Name{Space: s.space, Local: s.name}] + ":" + s.name
		fmt.Fprintf(&b, "<%s>", name)
		if array := arrayName(s.array); array != "" {
			fmt.Fprintf(&b, "<rdf:%s>", array)
			for _, it := range s.items {
				b.WriteString("<rdf:li")
				if it.lang != "" {
					b.WriteString(" xml:lang=\"" + escape(it.lang) + "\"")
				}
				b.WriteString(">" + escape(it.text) + "</rdf:li>")
			}
			fmt.Fprintf(&b, "</rdf:%s>", array)
		} else {
			b.WriteString(escape(s.text()))
		}
		fmt.Fprintf(&b, "</%s>\n", name)
	}
	b.WriteString("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}

// arrayName is the kind of an array, "" where it is none that XMP has.
func arrayName(s string) string {
	switch s {
	case "Alt", "Seq", "Bag":
		return s
	}
	return ""
}

// escape writes text for XML.
func escape(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		return ""
	}
	return b.String()
}
