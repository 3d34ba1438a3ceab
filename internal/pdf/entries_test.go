package pdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers/failure"
)

// wrongEntries are files whose cross-reference table leads elsewhere, or in which
// more than one object has a number. The page refers to the objects 5 and 6. Each
// is a seed of FuzzOpen.
func wrongEntries() []entriesCase {
	good, packed := fiveAndSix(), packedFiveAndSix("5 0 6 7 ", 0, 1)
	five, six := entryRow(good, 5), entryRow(good, 6)
	// after has an update that gives object 6 anew (7.5.6).
	after := append(bytes.Clone(good), "6 0 obj\n(new)\nendobj\nstartxref\n9\n%%EOF\n"...)
	twice := replace(good, "5 0 obj", "6 0 obj\n(other)\nendobj\n5 0 obj")
	attached := replace(after, "6 0 obj", fmt.Sprintf("7 0 obj\n%s\nendobj\n6 0 obj", stream("", string(after[9:]))))
	return []entriesCase{
		{"without a fault", good, "five", "six", ""},
		{"two entries exchanged", replace(replace(replace(good, five, "X"), six, five), "X", six), "five", "six", "searching"},
		{"an entry leads to a neighbour", replace(good, six, five), "five", "six", "searching"},
		{"an entry leads into the middle of its object", replace(good, six, shifted(six, 5)), "five", "six", "searching"},
		{"an entry leads to white space before its object", replace(good, six, shifted(six, -1)), "five", "six", ""},
		{"an entry leads past the end", replace(good, six, shifted(six, 1_000_000)), "five", "six", "searching"},
		{"an entry of another generation", replace(good, six, strings.Replace(six, "00000 n", "00001 n", 1)), "five", "six", "searching"},
		{"an object of another generation", replace(good, "6 0 obj", "6 1 obj"), "five", "six", "searching"},
		{"an object of another number", replace(good, "6 0 obj", "7 0 obj"), "five", "", "cannot be read: 1"},
		{"a free entry", replace(good, six, "0000000000 00001 f"), "five", "", ""},
		{"an object of a number that another has", replace(good, "6 0 obj", "5 0 obj"), "", "", "object 5: "},
		{"two objects that differ in a file without a table", replace(twice, "startxref", "startxxxx"), "", "", "object 6: "},
		{"two objects that are equal", replace(replace(twice, "(other)", "(six)"), "startxref", "startxxxx"), "five", "six", "searching"},
		{"two objects of two updates", after, "five", "new", "searching"},
		{"an object of a file within a stream", attached, "five", "new", "searching"},
		{"object stream", packed, "five", "six", ""},
		{"object stream, indices exchanged", packedFiveAndSix("5 0 6 7 ", 1, 0), "five", "six", "searching"},
		{"object stream, an index past the end", packedFiveAndSix("5 0 6 7 ", 0, 9), "five", "six", "searching"},
		{"object stream, numbers exchanged", packedFiveAndSix("6 0 5 7 ", 0, 1), "six", "five", "searching"},
		{"object stream, a number twice", packedFiveAndSix("6 0 6 7 ", 0, 1), "", "", "object 6: "},
		{"object stream without a table, and an object by itself",
			replace(replace(packed, "startxref", "startxxxx"), "4 0 obj", "6 0 obj\n(other)\nendobj\n4 0 obj"), "", "", "object 6: "},
		{"object stream without a table, and an equal object by itself",
			replace(replace(packed, "startxref", "startxxxx"), "4 0 obj", "6 0 obj\n(six)\nendobj\n4 0 obj"), "five", "six", "searching"},
		{"object stream without a table, and an update",
			append(bytes.Clone(packed), "6 0 obj\n(new)\nendobj\nstartxref\n9\n%%EOF\n"...), "five", "new", "searching"},
	}
}

// entriesCase is a file with what its objects 5 and 6 are, "" for nothing, and
// part of the warning or, where neither is there, of the error.
type entriesCase struct {
	name            string
	data            []byte
	five, six, says string
}

// fiveAndSix is the plain file with two strings, the objects 5 and 6.
func fiveAndSix() []byte {
	return with(func(s *source) {
		s.objects[2] = strings.Replace(page, "/Contents", "/A 5 0 R/B 6 0 R/Contents", 1)
		s.objects = append(s.objects, "(five)", "(six)")
	})
}

// packedFiveAndSix has the two in an object stream (7.5.7) with the given header,
// and a cross-reference stream that gives them these indices there.
func packedFiveAndSix(header string, five, six int) []byte {
	data := fiveAndSix()
	data = data[:bytes.Index(data, []byte("5 0 obj"))]
	packed, at := len(data), []int{}
	for i := range 4 {
		at = append(at, bytes.Index(data, fmt.Appendf(nil, "%d 0 obj", i+1)))
	}
	data = fmt.Appendf(data, "7 0 obj\n%s\nendobj\n",
		stream(fmt.Sprintf("/Type/ObjStm/N 2/First %d", len(header)), header+"(five) (six)"))
	rows := "00000000"
	for _, offset := range at {
		rows += fmt.Sprintf("01%04X00", offset)
	}
	rows += fmt.Sprintf("020007%02X020007%02X01%04X0001%04X00>", five, six, packed, len(data))
	return fmt.Appendf(data, "8 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF\n",
		stream("/Type/XRef/Size 9/W[1 2 1]/Root 1 0 R/Filter/AHx", rows), len(data))
}

// entryRow is the entry of an object in the table of a file.
func entryRow(data []byte, num int) string {
	return fmt.Sprintf("%010d 00000 n", bytes.Index(data, fmt.Appendf(nil, "%d 0 obj", num)))
}

// shifted is an entry whose offset is another.
func shifted(row string, by int) string {
	var at int
	if _, err := fmt.Sscanf(row, "%d", &at); err != nil {
		panic(err)
	}
	return fmt.Sprintf("%010d", at+by) + row[10:]
}

// TestDoubted: what pages draw with and readers make different things of is refused,
// in an object of its own and in an object stream; what draws nothing is passed over.
func TestDoubted(t *testing.T) {
	drawn := func(object string) []byte {
		return with(func(s *source) {
			s.objects[2] = strings.Replace(page, "/Contents", "/Resources 5 0 R/Contents", 1)
			s.objects = append(s.objects, object)
		})
	}
	good := drawn("<</Font<<>>>>")
	packed := replace(packedFiveAndSix("5 0 6 7 ", 0, 1), "/A 5 0 R", "/C 5 0 R")
	for _, tt := range []struct {
		name string
		data []byte
		want string // of the error, "" for none
	}{
		{"without a fault", good, ""},
		{"a value without a key", drawn("<</Font<<7>>>>"), "object 5: it is damaged (it has a dictionary with a value that has no key)"},
		{"a word that is none", drawn("<</Font nul>>"), "object 5: it is damaged"},
		{"an array without an end", drawn("<</Font[7>>"), "object 5: it is damaged"},
		{"nothing but a reference", drawn("4 0 R"), "object 5: it is damaged (it has nothing but a reference)"},
		{"of another generation", replace(good, "/Resources 5 0 R", "/Resources 5 2 R"), "object 3: it refers to object 5 of generation 2"},
		{"of another generation, and not there", replace(good, "/Resources 5 0 R", "/Resources 9 2 R"), ""},
		{"in an object stream", replace(packed, "/C 5 0 R", "/C 5 2 R"), "object 3: it refers to object 5 of generation 2"},
		{"lost", replace(good, "5 0 obj", "7 0 obj"), "object 5: it cannot be read where"},
		{"torn, and not drawn", replace(drawn("<</Font<<7>>>>"), "/Resources", "/Metadata"), ""},
	} {
		_, err := OpenBytes(context.Background(), tt.data, Options{})
		if (err == nil) != (tt.want == "") || err != nil && !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.want)
		}
	}
}

// TestWrongEntries: the number and the generation that an entry is for are those
// of the object that it leads to (7.5.4), and the index in an object stream is
// that of its number in the header (7.5.7, 7.5.8.3). Else objects are searched for,
// as MuPDF 1.21, Poppler 22.12 and qpdf 11.3 do; of two of one number in one update
// those take the last, which may be the wrong one.
func TestWrongEntries(t *testing.T) {
	for _, tt := range wrongEntries() {
		t.Run(tt.name, func(t *testing.T) {
			doc, err := OpenBytes(context.Background(), tt.data, Options{})
			var broken *failure.FormatError
			switch {
			case errors.As(err, &broken):
				if tt.five != "" || !strings.Contains(err.Error(), tt.says) {
					t.Errorf("refused: %v", err)
				}
				return
			case err != nil:
				t.Fatal(err)
			}
			for num, want := range map[Ref]string{5: tt.five, 6: tt.six} {
				if got, _ := AsString(doc, num); string(got) != want {
					t.Errorf("object %d is %q, want %q", num, got, want)
				}
			}
			if tt.says == "" && len(doc.Warnings()) > 0 || !hasWarning(doc, tt.says) && tt.says != "" {
				t.Errorf("warnings %q, want %q", doc.Warnings(), tt.says)
			}
			checkRewrite(t, doc)
		})
	}
}
