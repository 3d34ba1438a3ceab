package rewrite

import (
	"bytes"
	"compress/zlib"
	"errors"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// deflated is a stream with Flate data, changed by damage.
func deflated(num int, entries, content string, damage func([]byte) []byte) testpdf.Object {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write([]byte(testpdf.Marks(content))) // to memory
	_ = w.Close()
	return testpdf.Stream(num, entries+" /Filter /FlateDecode", string(damage(b.Bytes())))
}

// Damage to Flate data.
func wrongChecksum(data []byte) []byte { data[len(data)-1] ^= 1; return data }
func cutShort(data []byte) []byte      { return data[:len(data)-8] }
func noChecksum(data []byte) []byte    { return data[:len(data)-4] }
func longer(data []byte) []byte        { return append(data, "\r\nmore"...) }
func overwritten(data []byte) []byte {
	copy(data[len(data)/2:], "\xFF\xFF\xFF\xFF\xFF\xFF")
	return data
}

// TestUnread: what cannot be read whole is refused by default, with its page and
// cause, and left out where that is accepted. The table of type unread says what
// readers do with it.
func TestUnread(t *testing.T) {
	const plain, secret = "P1 /OC /B BDC P2 EMC P3", "(secret)"
	form := func(damage func([]byte) []byte, content string) testpdf.Object {
		return deflated(70, "/Type /XObject /Subtype /Form /BBox [0 0 100 100]", content, damage)
	}
	long := plain + strings.Repeat(" P4", 200)
	rows := []struct {
		name    string
		content string
		object  testpdf.Object // in addition
		reason  string         // "" where nothing is refused
		warned  bool           // by default
	}{
		{"checksum that does not fit", "", deflated(testpdf.ContentObject, "", plain, wrongChecksum), "the checksum does not fit", false},
		{"data cut short", "", deflated(testpdf.ContentObject, "", long, cutShort), "damaged FlateDecode data", false},
		{"data overwritten", "", deflated(testpdf.ContentObject, "", long, overwritten), "damaged FlateDecode data", false},
		{"on a page that loses nothing, as far as can be read", "", deflated(testpdf.ContentObject, "", "P1 P2", wrongChecksum), "checksum", false},
		{"checksum cut off", "", deflated(testpdf.ContentObject, "", plain, noChecksum), "", false},
		{"bytes behind the data", "", deflated(testpdf.ContentObject, "", plain, longer), "", false},
		{"form that is damaged", "/D Do", form(wrongChecksum, plain), "the checksum does not fit", false},
		{"form that is damaged, within removed content", "/OC /B BDC /D Do EMC P1", form(wrongChecksum, plain), "", false},
		{"form with a filter that is unknown", "/D Do", testpdf.Stream(70, "/Subtype /Form /Filter /Unheard", secret), "filter \"Unheard\" is unknown", false},
		{"content with a filter that is unknown", "", testpdf.Stream(testpdf.ContentObject, "/Filter /Unheard", secret), "filter \"Unheard\" is unknown", false},
		{"content with a filter that is no name", "", testpdf.Stream(testpdf.ContentObject, "/Filter 1", secret), "a filter that is no name", false},
		{"content stream that is missing", "", testpdf.Obj(testpdf.ContentObject, "null"), "content stream 1 is missing", false},
		{"form that is missing", "/Gone Do P1 /OC /B BDC P2 EMC", testpdf.Object{}, "\"Gone\" is missing", false},
		{"form that is missing, where nothing is removed as far as can be read", "/Gone Do P1", testpdf.Object{}, "\"Gone\" is missing", false},
		{"form that is missing, within removed content", "/OC /B BDC /Gone Do EMC P1", testpdf.Object{}, "", false},
		{"XObject of no kind", "/D Do", testpdf.Stream(70, "/Type /XObject", secret), "neither a form nor an image", false},
		{"XObject of no kind, within removed content", "/OC /B BDC /D Do EMC P1", testpdf.Stream(70, "", secret), "", false},
		{"XObject of no kind that is removed itself", "/D Do P1", testpdf.Stream(70, "/OC 6 0 R", secret), "", false},
		{"XObject with PostScript", "/D Do P1", testpdf.Stream(70, "/Subtype /PS", secret), "", true},
		{"operator that is unknown", "P1 secret /OC /B BDC P2 EMC", testpdf.Object{}, "\"secret\"", false},
		{"operator that is unknown, within removed content", "P1 /OC /B BDC P2 secret EMC", testpdf.Object{}, "\"secret\"", false},
		{"operator that is unknown, where nothing is removed as far as can be read", "P1 secret", testpdf.Object{}, "\"secret\"", false},
		{"operator that is unknown, between BX and EX", "P1 BX secret EX /OC /B BDC P2 EMC", testpdf.Object{}, "", false},
		{"bytes that are no token", "P1 } /OC /B BDC P2 EMC", testpdf.Object{}, "no operator with its operands", false},
		{"string without an end", "P1 /OC /B BDC P2 EMC (secret", testpdf.Object{}, "no operator with its operands", false},
		{"operands without an operator", "P1 /OC /B BDC P2 EMC 1 2", testpdf.Object{}, "no operator with its operands", false},
		{"number that ends in letters", "P1 1w /OC /B BDC P2 EMC", testpdf.Object{}, "no operator with its operands", false},
		{"operands too many", "P1 /OC /B BDC P2 EMC (secret) 1 w P3", testpdf.Object{}, "operands of an operator \"w\"", false},
		{"operands of an operator that has none", "P1 /OC /B BDC P2 EMC q (secret) Q P3", testpdf.Object{}, "operands of an operator \"Q\"", false},
		{"operands of another kind", "P1 /OC /B BDC P2 EMC (secret) w P3", testpdf.Object{}, "operands of an operator \"w\"", false},
		{"numbers missing of a path", "P1 1 2 m 3 l S /OC /B BDC P2 EMC", testpdf.Object{}, "operands of an operator \"l\"", false},
		{"operands too few, within removed content", "P1 /OC /B BDC 2 3 4 re f EMC", testpdf.Object{}, "operands of an operator \"re\"", false},
		{"text outside of a text object", "BT /F 9 Tf ET (a) Tj /OC /B BDC P2 EMC", testpdf.Object{}, "outside of a text object", false},
		{"text placed outside of one", "1 2 Td /OC /B BDC P2 EMC", testpdf.Object{}, "outside of a text object", false},
		{"state of text outside of one", "/F 9 Tf 1 Tc BT (a) Tj ET /OC /B BDC P2 EMC", testpdf.Object{}, "", false},
		{"section with operands too many", "1 2 /OC /B BDC P1 EMC P2", testpdf.Object{}, "operands of an operator \"BDC\"", false},
		{"section with one operand", "/OC BDC P1 EMC /OC /B BDC P2 EMC", testpdf.Object{}, "operands of an operator \"BDC\"", false},
		{"section with a wrong operand", "/Span (secret) BDC P1 EMC /OC /B BDC P2 EMC", testpdf.Object{}, "operands of an operator \"BDC\"", false},
		{"run lengths without an end", "", testpdf.Stream(testpdf.ContentObject, "/Filter /RunLengthDecode", "\x02q Q"), "the end is missing", false},
		{"run lengths that go on behind their end", "", testpdf.Stream(testpdf.ContentObject, "/Filter /RunLengthDecode", "\x02q Q\x80"+secret), "more behind the end", false},
		{"hexadecimal data without an end", "", testpdf.Stream(testpdf.ContentObject, "/Filter /ASCIIHexDecode", "712051"), "the end is missing", false},
		{"base 85 data without an end", "", testpdf.Stream(testpdf.ContentObject, "/Filter /ASCII85Decode", "E,]B"), "the end is missing", false},
		{"predictor that is unknown", "", deflated(testpdf.ContentObject, "/DecodeParms <</Predictor 99>>", plain, longer), "parameters that make no sense", false},
		{"inline image without an end", "P1 /OC /B BDC P2 EMC BI /W 9 ID secret", testpdf.Object{}, "no end", false},
		{"unknown operator in a form of a page that loses something", "/D Do /OC /B BDC P2 EMC", testpdf.Form(70, "", "P1 secret"), "\"secret\"", false},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			objects := streamObjects
			if r.object.Num != 0 {
				objects = append([]testpdf.Object{r.object}, objects...)
			}
			file := testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B", "C"}, Objects: objects,
				Pages: []testpdf.Page{{Content: r.content, Resources: "<<" + strings.Replace(streamResources, "/X 50 0 R", "/X 50 0 R /D 70 0 R", 1) + ">>"}},
			})
			_, _, res, err := rewritten(t, file, byName{}, Options{})
			var unreadable *failure.UnreadableError
			switch refused := errors.As(err, &unreadable); {
			case refused != (r.reason != ""):
				t.Fatalf("%v, want %q", err, r.reason)
			case refused && (unreadable.Page != 1 || !strings.Contains(err.Error(), r.reason) || !strings.Contains(err.Error(), "page 1")):
				t.Errorf("page %d: %v", unreadable.Page, err)
			case !refused && r.warned != (len(res.Warnings) > 0):
				t.Errorf("warnings %v", res.Warnings)
			}
			out, page, res, err := rewritten(t, file, byName{}, Options{AcceptDamage: true})
			if err != nil {
				t.Fatal(err)
			}
			told := r.reason != "" || r.warned
			if told != (len(res.Warnings) > 0) || told && res.Warnings[0].Page != 1 {
				t.Errorf("accepted: warnings %v", res.Warnings)
			}
			if told && strings.Contains(page, "secret") {
				t.Errorf("what cannot be read is passed on: %s", page)
			}
			if bytes.Contains(out, []byte(secret)) {
				t.Error("what cannot be read is passed on in an object")
			}
		})
	}
}

// TestPassedOn: content that cannot be read is passed on as it is, with all that it may
// name, only where nothing of what is removed can be in it.
func TestPassedOn(t *testing.T) {
	form := func(entries, content string) testpdf.Object { return testpdf.Form(70, entries, content) }
	const zork, circle = "P1 zork P2", "/Resources <</XObject <</D 70 0 R>>>>"
	lists := "/Resources <</Properties <</B 6 0 R>>>>"
	for _, r := range []struct {
		name      string
		content   string
		resources string // with the form D
		object    testpdf.Object
		passes    bool
	}{
		{"no layers", zork, "", form("", ""), true},
		{"a layer that stays", zork, "/Properties <</A 5 0 R>>", form("", ""), true},
		{"a layer that goes", zork, "/Properties <</B 6 0 R>>", form("", ""), false},
		{"a layer that becomes plain content", zork, "/Properties <</C 7 0 R>>", form("", ""), false},
		{"a form of a layer that goes", zork, "", form("/OC 6 0 R", "P3"), false},
		{"a form that may draw a layer that goes", zork, "", form(lists, "P3"), false},
		{"a form that may inherit a layer that goes", "/D Do P2", "/Properties <</B 6 0 R>>", form("/Resources <<>>", zork), false},
		{"a form that may draw itself", "/D Do P2", "/Properties <</A 5 0 R>>", form(circle, zork), true},
		{"a pattern that may draw a layer that goes", zork, "/Pattern <</P 71 0 R>>",
			testpdf.Stream(71, "/PatternType 1 "+lists, ""), false},
		{"a font that may", zork, "/Font <</T 71 0 R>>", testpdf.Obj(71, "<</Subtype /Type3 /CharProcs <<>> "+lists+">>"), false},
		{"a soft mask that may", zork, "/ExtGState <</G <</SMask <</G 70 0 R>>>>>>", form(lists, "P3"), false},
	} {
		t.Run(r.name, func(t *testing.T) {
			file := testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B", "C"}, Objects: []testpdf.Object{testpdf.Form(73, "", "P9"), r.object},
				Pages: []testpdf.Page{{Content: r.content, Resources: "<<" + r.resources + "/XObject <</D 70 0 R /Unnamed 73 0 R>>>>"}},
			})
			out, page, res, err := rewritten(t, file, byName{}, Options{})
			var unreadable *failure.UnreadableError
			switch {
			case !r.passes && !errors.As(err, &unreadable):
				t.Fatalf("it is passed on: %v", err)
			case !r.passes:
				return
			case err != nil:
				t.Fatal(err)
			}
			if page != testpdf.Marks(r.content) || !bytes.Contains(out, []byte("90 10 8 8 re f")) {
				t.Errorf("it is not as it was, or what it may draw is gone: %s", page)
			}
			if len(res.Warnings) != 1 || res.Warnings[0].Page != 1 || !strings.Contains(res.Warnings[0].Text, "passed on as it is") {
				t.Errorf("warnings %v", res.Warnings)
			}
		})
	}
}

// TestSplitContent: between the parts of Contents stands white space (7.8.2 of ISO
// 32000-2), which ends a token, as it does for nearly all readers.
func TestSplitContent(t *testing.T) {
	for _, c := range []struct {
		name  string
		parts []string
		want  string // "" where it is refused
	}{
		{"within an operation", []string{"P1 /OC", "/B BDC P2", "EMC P3"}, "P1 P3"},
		{"parts that touch", []string{"P1 q Q", "q Q /OC /B BDC P2 EMC P3"}, "P1 P3"},
		{"within an operator", []string{"P1 /OC /B B", "DC P2 EMC P3"}, ""},
		{"within a name", []string{"P1 /OC /", "B BDC P2 EMC P3"}, ""},
		{"within a number", []string{"P1 2", "0 10 8 8 re f /OC /B BDC P2 EMC"}, ""},
		{"between number and operator", []string{"P1 /OC /B BDC P2 EMC 2", "w 0 0 m 9 9 l S"}, "P1 2 w 0 0 m 9 9 l S"},
	} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B", "C"}, Objects: streamObjects,
			Pages: []testpdf.Page{{Contents: c.parts, Resources: "<<" + streamResources + ">>"}},
		})
		_, page, _, err := rewritten(t, file, byName{}, Options{})
		var unreadable *failure.UnreadableError
		switch refused := c.want == ""; {
		case refused != errors.As(err, &unreadable):
			t.Errorf("%s: %v", c.name, err)
		case !refused && fold(page) != fold(testpdf.Marks(c.want)):
			t.Errorf("%s: %q", c.name, page)
		}
	}
}

// TestUnreadIsLeftOut: none of the bytes that cannot be read are in the output, also
// where nothing else of their stream changes.
func TestUnreadIsLeftOut(t *testing.T) {
	for name, object := range map[string]testpdf.Object{
		"page": deflated(testpdf.ContentObject, "", "P1 "+strings.Repeat("0 0 m 9 9 l S ", 300), overwritten),
		"form": deflated(50, "/Type /XObject /Subtype /Form", "P1 "+strings.Repeat("0 0 m 9 9 l S ", 300), overwritten),
	} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B", "C"}, Objects: append([]testpdf.Object{object}, streamObjects...),
			Pages: []testpdf.Page{{Content: "/X Do /OC /B BDC P2 EMC", Resources: "<<" + streamResources + ">>"}},
		})
		out, _, _, err := rewritten(t, file, byName{}, Options{AcceptDamage: true})
		if err != nil {
			t.Fatal(err)
		}
		if raw := []byte(object.Data); bytes.Contains(out, raw[len(raw)/2:]) {
			t.Errorf("%s: the damaged data is in the output", name)
		}
	}
}
