package oracle

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/adler32"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// Marks of a stream; what renderers draw of a page is compared as the digits of its
// marks.
var p1, p2, p3 = testpdf.Marks("P1 "), testpdf.Marks("P2 "), testpdf.Marks("P3 ")

// blocks is zlib data with a stored block for each part (RFC 1951, 3.2.4), so that
// damage is where it is put.
func blocks(parts ...string) []byte {
	out := []byte{0x78, 0x01}
	for i, p := range parts {
		last := byte(0)
		if i == len(parts)-1 {
			last = 1
		}
		out = binary.LittleEndian.AppendUint16(append(out, last), uint16(len(p)))
		out = append(binary.LittleEndian.AppendUint16(out, ^uint16(len(p))), p...)
	}
	return binary.BigEndian.AppendUint32(out, adler32.Checksum([]byte(strings.Join(parts, ""))))
}

// changed is data with one byte, from the end where at is negative, that is another.
func changed(data []byte, at int, b byte) []byte {
	data = bytes.Clone(data)
	data[(at+len(data))%len(data)] ^= b
	return data
}

// unreadable is content with a fault, and the marks that PDFium, Poppler, MuPDF and
// pdf.js draw of it.
type unreadable struct {
	name     string
	contents []string
	objects  []testpdf.Object // X is 30
	drawn    [4]string
}

// The order in which unreadable has the renderers.
var readers = [...]string{testpdf.NamePDFium, testpdf.NamePoppler, testpdf.NameMuPDFCurrent, testpdf.NamePDFJS}

// all is where all draw the same.
func all(marks string) [4]string { return [4]string{marks, marks, marks, marks} }

// withData is a page whose content stream has those entries and data.
func withData(name, entries string, data []byte, drawn [4]string) unreadable {
	return unreadable{name, nil, []testpdf.Object{testpdf.Stream(testpdf.ContentObject, entries, string(data))}, drawn}
}

// withText is a page with content streams.
func withText(name string, drawn [4]string, contents ...string) unreadable {
	return unreadable{name, contents, nil, drawn}
}

// withX is a page that draws an XObject between two marks.
func withX(name string, x testpdf.Object, drawn [4]string) unreadable {
	return unreadable{name, []string{"P1 /X Do P2"}, []testpdf.Object{x}, drawn}
}

func unreadables() []unreadable {
	const flate, form = "/Filter /FlateDecode", "/Type /XObject /Subtype /Form /BBox [0 0 100 100]"
	whole := blocks(p1, p2, p3)
	broken := changed(whole, 2+5+len(p1), 6) // the second block is of type 3, which is none
	digits := hex.EncodeToString
	return []unreadable{
		withData("Flate data that is wrong", flate, broken, [4]string{"1", "1", "", "1"}),
		withData("Flate data that ends too early", flate, whole[:len(whole)-14], all("12")),
		withData("Flate header that is wrong", flate, changed(whole, 1, 4), [4]string{"123", "", "", ""}),
		withData("Flate checksum that does not fit", flate, changed(whole, -1, 1), all("123")),
		withData("Flate checksum that is cut off", flate, whole[:len(whole)-4], all("123")),
		withData("bytes behind the end of Flate data", flate, append(bytes.Clone(whole), "more"...), all("123")),
		withData("no Flate data at all", flate, []byte(p1+p2), [4]string{"12", "", "", ""}),
		withData("unknown predictor", flate+" /DecodeParms <</Predictor 99>>", whole, [4]string{"", "", "123", ""}),
		withData("digits that are none", "/Filter /ASCIIHexDecode", []byte(digits([]byte(p1))+"!!"+digits([]byte(p2))+">"), [4]string{"12", "12", "1", "12"}),
		withData("digits without an end", "/Filter /ASCIIHexDecode", []byte(digits([]byte(p1+p2))), all("12")),
		withData("run lengths that are none", "/Filter /RunLengthDecode", []byte(p1+p2), all("2")),
		withData("run lengths without an end", "/Filter /RunLengthDecode", []byte(string(rune(len(p1)-1))+p1), all("1")),
		withData("unknown filter", "/Filter /Unheard", []byte(p1+p2), [4]string{"12", "", "12", "12"}),
		withData("filter of images", "/Filter /DCTDecode", []byte(p1+p2), [4]string{"12", "", "", ""}),
		withX("form that is missing", testpdf.Obj(30, "null"), all("12")),
		withX("form that is no stream", testpdf.Obj(30, "<<"+form+">>"), all("12")),
		withX("XObject without Subtype", testpdf.Stream(30, "/Type /XObject /BBox [0 0 100 100]", p3), all("12")),
		withX("XObject of unknown Subtype", testpdf.Stream(30, "/Subtype /Unheard /BBox [0 0 100 100]", p3), all("12")),
		withX("PostScript XObject", testpdf.Stream(30, "/Subtype /PS", p3), all("12")),
		{"content stream that is missing", []string{"P1", "P2"}, []testpdf.Object{testpdf.Obj(testpdf.ContentObject, "null")}, [4]string{"2", "", "2", "2"}},
		withText("unknown operator", all("12"), "P1 zork P2"),
		withText("many unknown operators", [4]string{"12", "12", "1", "12"}, "P1 "+strings.Repeat("zork ", 600)+"P2"),
		withText("unknown operator among operands", [4]string{"12", "1", "12", "123"}, "P1 30 10 8 zork 8 re f P2"),
		withText("bracket that closes nothing", [4]string{"12", "1", "12", "123"}, "P1 30 10 ] 8 8 re f P2"),
		withText("parenthesis that closes nothing", [4]string{"12", "12", "12", ""}, "P1 ) P2"),
		withText("string without an end", all("1"), "P1 ( P2"),
		withText("array without an end", all("1"), "P1 [ P2"),
		withText("number that ends in an operator", [4]string{"12", "123", "12", "123"}, "P1 30 10 8 8re f P2"),
		withText("number that ends in a word", [4]string{"12", "1", "12", "123"}, "P1 30 10 8 8x re f P2"),
		withText("number with two points", [4]string{"123", "12", "12", "12"}, "P1 30.0.1 10 8 8 re f P2"),
		withText("number with a sign within", [4]string{"123", "12", "123", "12"}, "P1 30-1 10 8 8 re f P2"),
		withText("operands too many", [4]string{"123", "123", "12", "123"}, "P1 50 30 10 8 8 re f P2"),
		withText("operands too few", [4]string{"15", "1", "145", "125"}, "P1 q 1 0 0 1 20 cm P2 Q P5"),
		withText("inline image without an end", all("1"), "P1 BI /W 1 /H 1 /BPC 8 /CS /G ID a P2"),
		// Parts of Contents, between which white space stands (7.8.2 of ISO 32000-2).
		withText("parts within an operation", all("123"), "P1 20 10", "8 8 re f P3"),
		withText("parts that touch", all("13"), "P1 q Q", "q Q P3"),
		withText("parts within a number", all("13"), "P1 2", "0 10 8 8 re f P3"),
		withText("parts within an operator", all("13"), "P1 20 10 8 8 r", "e f P3"),
		withText("parts within a name", [4]string{"123", "1", "123", "123"}, "P1 /Sp", "an BMC P2 EMC P3"),
		withText("parts within a string", all("123"), "P1 /Span <</E (abc", "def)>> BDC P2 EMC P3"),
		withText("parts within a comment", [4]string{"13", "13", "13", "123"}, "P1 % no", " P2\n P3"),
	}
}

// TestUnreadable holds what the table of package rewrite says of content that cannot
// be read whole (unread.go) to what renderers draw of it.
func TestUnreadable(t *testing.T) {
	if os.Getenv("SIZEPLY_LONG") != "1" && os.Getenv("SIZEPLY_WITNESSES") != "1" {
		t.Skip("draws pages: with SIZEPLY_LONG=1 or SIZEPLY_WITNESSES=1")
	}
	for _, r := range Renderers(t) {
		for _, c := range unreadables() {
			file := testpdf.Build(testpdf.Doc{Objects: c.objects, Pages: []testpdf.Page{
				{Contents: c.contents, Resources: "<</XObject <</X 30 0 R>>>>"}}})
			want := c.drawn[slices.Index(readers[:], r.Name)]
			if got := r.marks(t, file); got != want {
				t.Errorf("%s: %s: the marks %q are drawn, not %q", r.Name, c.name, got, want)
			}
		}
	}
}

// marks tells which of P1 to P9 are drawn on the first page, as digits.
func (r Renderer) marks(t *testing.T, file []byte) (digits string) {
	t.Helper()
	pages, err := r.Draw(file, 72)
	if err != nil || len(pages) == 0 {
		t.Fatalf("%s: %v", r.Name, err)
	}
	for n := 1; n < 10; n++ {
		if pages[0].RGBAAt(10*n+4, 100-14).R < 128 {
			digits += fmt.Sprint(n)
		}
	}
	return digits
}
