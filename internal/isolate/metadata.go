package isolate

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/warning"
)

// maxMetadata bounds the metadata that is read.
const maxMetadata = 4 << 20

// editMetadata replaces the document's XMP packet (14.3.2) with a small one:
// title, creator, rights and PDF/A identification. Packets hold previews,
// histories and lists of layers, so those of other objects are removed (see
// removePrivate).
func (e *editor) editMetadata() {
	was := e.catalog()["Metadata"]
	if was == nil {
		return
	}
	e.setCatalog("Metadata", nil)
	st := pdf.AsStream(e.edit, was)
	if st == nil {
		return
	}
	data, err := pdf.Decode(e.ctx, e.edit, st, maxMetadata)
	if err != nil {
		e.note(warning.MetadataRemoved, "the document's metadata cannot be read and was taken out: %v", err)
		return
	}
	list, err := readXMP(data)
	if err != nil {
		e.note(warning.MetadataRemoved, "the document's metadata is no XML and was taken out: %v", err)
		return
	}
	list = e.withoutFalseClaims(list)
	e.claimsPDFA = slices.ContainsFunc(list, func(s statement) bool { return s.name.Space == nsPDFA })
	if len(list) > 0 {
		e.setCatalog("Metadata", e.edit.Add(&pdf.Stream{
			Dict: pdf.Dict{"Type": pdf.Name("Metadata"), "Subtype": pdf.Name("XML")}, Raw: writeXMP(list),
		}))
	}
}

// withoutFalseClaims drops the claim of PDF/A-1, which forbids object streams
// (ISO 19005-1, 6.1.4). Level A wants a structure (ISO 19005-2, 6.7): where none
// is left, level B is what remains.
func (e *editor) withoutFalseClaims(list []statement) []statement {
	for i, s := range list {
		if s.name.Space != nsPDFA || len(s.items) == 0 {
			continue
		}
		switch text := strings.TrimSpace(s.items[0].text); {
		case s.name.Local == "part" && text == "1":
			e.note(warning.ClaimRemoved,
				"the file claimed to be PDF/A-1; the result does not, since that forbids object streams")
			return slices.DeleteFunc(list, func(s statement) bool { return s.name.Space == nsPDFA })
		case e.untagged && s.name.Local == "conformance" && text == "A":
			list[i].items = []item{{text: "B"}}
			e.note(warning.ClaimRemoved, "the file claimed to be PDF/A of level A; the result claims level B, "+
				"since nothing of its structure is left")
		}
	}
	return list
}

// The namespaces that are kept (ISO 16684-1; ISO 19005).
const (
	nsXML    = "http://www.w3.org/XML/1998/namespace"
	nsRDF    = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
	nsDC     = "http://purl.org/dc/elements/1.1/"
	nsRights = "http://ns.adobe.com/xap/1.0/rights/"
	nsPDFA   = "http://www.aiim.org/pdfa/ns/id/"
)

// keptStatements are the properties that are kept, with their prefix.
var keptStatements = map[xml.Name]string{
	{Space: nsDC, Local: "title"}:            "dc",
	{Space: nsDC, Local: "creator"}:          "dc",
	{Space: nsDC, Local: "rights"}:           "dc",
	{Space: nsRights, Local: "Marked"}:       "xmpRights",
	{Space: nsRights, Local: "Owner"}:        "xmpRights",
	{Space: nsRights, Local: "UsageTerms"}:   "xmpRights",
	{Space: nsRights, Local: "WebStatement"}: "xmpRights",
	{Space: nsPDFA, Local: "part"}:           "pdfaid",
	{Space: nsPDFA, Local: "conformance"}:    "pdfaid",
	{Space: nsPDFA, Local: "rev"}:            "pdfaid",
}

// statement is one property of an XMP packet.
type statement struct {
	name xml.Name
	// array is Alt, Seq or Bag where the property is one, else "".
	array string
	items []item
}

// item is a value, or one of several, with its language.
type item struct{ lang, text string }

// element is an element of an XML document. Its text is all that stands right
// in it.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Elements []element  `xml:",any"`
	Text     string     `xml:",chardata"`
}

// readXMP reads the properties of the document that are kept, in the order of
// the packet, the first of each. Those of its parts and sources, which stand
// deeper, are not.
func readXMP(data []byte) (list []statement, err error) {
	var find func(*element)
	find = func(e *element) {
		for i := range e.Elements {
			x := &e.Elements[i]
			switch {
			case e.XMLName != xml.Name{Space: nsRDF, Local: "RDF"}:
				find(x)
			case x.XMLName == xml.Name{Space: nsRDF, Local: "Description"}:
				list = x.properties(list)
			}
		}
	}
	for dec := xml.NewDecoder(bytes.NewReader(data)); ; {
		var root element
		switch err := dec.Decode(&root); {
		case errors.Is(err, io.EOF):
			return list, nil
		case err != nil:
			return nil, err
		}
		find(&root)
	}
}

// properties adds those of a description that are kept, but for those that the
// list has. They may be written as attributes.
func (e *element) properties(list []statement) []statement {
	isWanted := func(name xml.Name) bool {
		has := func(s statement) bool { return s.name == name }
		return keptStatements[name] != "" && !slices.ContainsFunc(list, has)
	}
	for _, a := range e.Attrs {
		if isWanted(a.Name) {
			list = append(list, statement{name: a.Name, items: []item{{text: a.Value}}})
		}
	}
	for i := range e.Elements {
		if isWanted(e.Elements[i].XMLName) {
			list = append(list, e.Elements[i].statement())
		}
	}
	return list
}

// statement reads the value of a property, or its values where it is an array.
func (e *element) statement() statement {
	s := statement{name: e.XMLName}
	for _, array := range e.Elements {
		if array.XMLName.Space == nsRDF && isArray(array.XMLName.Local) {
			s.array = array.XMLName.Local
			for _, li := range array.Elements {
				it := item{text: li.value()}
				for _, a := range li.Attrs {
					if a.Name == (xml.Name{Space: nsXML, Local: "lang"}) {
						it.lang = a.Value
						break
					}
				}
				s.items = append(s.items, it)
			}
			return s
		}
	}
	s.items = []item{{text: e.value()}}
	return s
}

// value is the text of an element, with what of it is qualified (ISO 16684-1,
// 7.8) and without its qualifiers.
func (e *element) value() string {
	var b strings.Builder
	var write func(*element)
	write = func(e *element) {
		b.WriteString(e.Text)
		for i := range e.Elements {
			x := &e.Elements[i]
			if name := x.XMLName; name.Space == nsRDF && (name.Local == "value" || name.Local == "Description") {
				write(x)
			}
		}
	}
	write(e)
	return strings.TrimSpace(b.String())
}

// isArray reports whether XMP has a kind of array.
func isArray(kind string) bool { return kind == "Alt" || kind == "Seq" || kind == "Bag" }

// writeXMP writes an XMP packet (ISO 16684-1, 7.3 and annex A).
func writeXMP(list []statement) []byte {
	var b bytes.Buffer
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		"<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n<rdf:RDF xmlns:rdf=\"" + nsRDF + "\">\n" +
		"<rdf:Description rdf:about=\"\" xmlns:dc=\"" + nsDC + "\" " +
		"xmlns:xmpRights=\"" + nsRights + "\" xmlns:pdfaid=\"" + nsPDFA + "\">\n")
	escape := func(s string) { _ = xml.EscapeText(&b, []byte(s)) } // a buffer takes all
	for _, s := range list {
		name := keptStatements[s.name] + ":" + s.name.Local
		fmt.Fprintf(&b, "<%s>", name)
		if s.array == "" {
			escape(s.items[0].text)
		} else {
			fmt.Fprintf(&b, "<rdf:%s>", s.array)
			for _, it := range s.items {
				b.WriteString("<rdf:li")
				if it.lang != "" {
					b.WriteString(" xml:lang=\"")
					escape(it.lang)
					b.WriteString("\"")
				}
				b.WriteString(">")
				escape(it.text)
				b.WriteString("</rdf:li>")
			}
			fmt.Fprintf(&b, "</rdf:%s>", s.array)
		}
		fmt.Fprintf(&b, "</%s>\n", name)
	}
	b.WriteString("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}
