package sheet

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// addMetadata adds the information dictionary (14.3.3) and the XMP packet
// (14.3.2), which is not compressed, as programs that know no PDF look for it.
func (d *document) addMetadata() ref {
	d.info = d.add(fmt.Sprintf("<</Title%s/Author%s>>",
		textString(d.drawing.Title), textString(d.drawing.Author)))
	packet := fmt.Sprintf(xmpForm,
		escape(d.drawing.Title), escape(d.drawing.Author), escape(d.drawing.Rights))
	return d.addPlain("/Type/Metadata/Subtype/XML", []byte(packet))
}

func escape(s string) string {
	var b strings.Builder
	// a strings.Builder takes every write
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}

// xmpForm is a packet (XMP specification, part 1) with title, creator and
// rights.
const xmpForm = "<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
	`<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmpRights="http://ns.adobe.com/xap/1.0/rights/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>
<dc:rights><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:rights>
<xmpRights:Marked>True</xmpRights:Marked>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>`
