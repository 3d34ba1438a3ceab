package layers

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// maxMetadata bounds the metadata that is read.
const maxMetadata = 4 << 20

// metadata replaces the document's XMP packet (14.3.2) with a small one: title,
// creator, rights and PDF/A identification. Packets hold previews, histories
// and lists of layers, so those of other objects go.
func (c *choice) metadata() {
	_, ref := c.doc.pdf.Root()
	root := pdf.AsDict(c.edit, ref)
	st := pdf.AsStream(c.edit, root["Metadata"])
	c.takeOut(func(pdf.Ref) []pdf.Name { return []pdf.Name{"Metadata"} })
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
	root = pdf.AsDict(c.edit, ref).Clone()
	root["Metadata"] = c.edit.Add(&pdf.Stream{
		Dict: pdf.Dict{"Type": pdf.Name("Metadata"), "Subtype": pdf.Name("XML")}, Raw: packet(list),
	})
	c.edit.Set(ref, root)
}

// conforming drops the claim of PDF/A-1, which forbids object streams
// (ISO 19005-1, 6.1.4).
func (c *choice) conforming(list []statement) []statement {
	for _, s := range list {
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

// statements reads the properties that are kept, in the order of the packet.
func statements(data []byte) ([]statement, error) {
	dec := xml.NewDecoder(bytes.NewReader(data))
	var list []statement
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return list, nil
		}
		if err != nil {
			return nil, err
		}
		start, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range start.Attr { // properties written as attributes
			if keptStatements[a.Name] != "" && start.Name.Space == nsRDF {
				list = append(list, statement{space: a.Name.Space, name: a.Name.Local, items: []item{{text: a.Value}}})
			}
		}
		if keptStatements[start.Name] != "" {
			s, err := readStatement(dec, start)
			if err != nil {
				return nil, err
			}
			list = append(list, s)
		}
	}
}

// readStatement reads one property to its end.
func readStatement(dec *xml.Decoder, start xml.StartElement) (statement, error) {
	s := statement{space: start.Name.Space, name: start.Name.Local}
	var plain strings.Builder
	for depth := 1; depth > 0; {
		tok, err := dec.Token()
		if err != nil {
			return s, err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			depth++
			switch {
			case t.Name.Space == nsRDF && t.Name.Local == "li":
				s.items = append(s.items, item{lang: language(t)})
			case t.Name.Space == nsRDF && s.array == "":
				s.array = t.Name.Local
			}
		case xml.EndElement:
			depth--
		case xml.CharData:
			if n := len(s.items); n > 0 {
				s.items[n-1].text += string(t)
			} else {
				plain.Write(t)
			}
		}
	}
	if s.array == "" {
		s.items = []item{{text: strings.TrimSpace(plain.String())}}
	}
	for i := range s.items {
		s.items[i].text = strings.TrimSpace(s.items[i].text)
	}
	return s, nil
}

// language is the xml:lang of an element.
func language(t xml.StartElement) string {
	for _, a := range t.Attr {
		if a.Name.Local == "lang" {
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
