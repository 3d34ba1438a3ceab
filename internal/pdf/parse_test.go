package pdf

import (
	"context"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestHexStrings: white space within a hexadecimal string is passed over
// (7.3.4.3), and what looks like one within another string stays as it is, in
// objects by themselves, in streams and in object streams.
func TestHexStrings(t *testing.T) {
	for _, c := range []struct {
		text string
		want Object
	}{
		{"<4 1>", String("A")},
		{"<4\n1 4 2>", String("AB")},
		{"<41 42>", String("AB")},
		{"<4 1 4>", String("A@")},
		{"<FEFF0 053>", String("\xfe\xff\x00S")},
		{"(size <1 2>)", String("size <1 2>")},
		{"[(<1 2>) <4 1>]", Array{String("<1 2>"), String("A")}},
		{"[/A#20B (\\(<1\n2>) <4 1>]", Array{Name("A B"), String("(<1\n2>"), String("A")}},
	} {
		for _, layout := range []testpdf.Layout{{}, {ObjectStreams: true}, {ObjectStreams: true, Compress: true}} {
			file := testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Catalog: "/A 40 0 R /B 41 0 R /C 42 0 R", Layout: layout, Objects: []testpdf.Object{
				testpdf.Obj(40, "<</X "+c.text+">>"), testpdf.Obj(41, c.text), testpdf.Stream(42, "/X "+c.text, "data <1 2>"),
			}})
			d, err := OpenBytes(context.Background(), file, Options{})
			if err != nil {
				t.Fatal(err)
			}
			stream := AsStream(d, Ref(42))
			if data, err := Decode(context.Background(), d, stream, 0); string(data) != "data <1 2>" || err != nil {
				t.Errorf("%q, %+v: the data of the stream is %q (%v)", c.text, layout, data, err)
			}
			got := fmt.Sprint(AsDict(d, Ref(40))["X"], Resolve(d, Ref(41)), stream.Dict["X"])
			if diff := cmp.Diff(fmt.Sprint(c.want, c.want, c.want), got); diff != "" {
				t.Errorf("%q, %+v (-want +got):\n%s", c.text, layout, diff)
			}
		}
	}
}
