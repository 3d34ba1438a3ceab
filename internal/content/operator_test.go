package content

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// annexA is the first column of ISO 32000-1, Table A.1.
const annexA = `b B b* B* BDC BI BMC BT BX c cm CS cs d d0 d1 Do DP EI EMC ET EX f F f* G g gs h i ID j J K k
l m M MP n q Q re RG rg ri s S SC sc SCN scn sh T* Tc Td TD Tf Tj TJ TL Tm Tr Ts Tw Tz v w W W* y ' "`

func TestLookupCoversAnnexA(t *testing.T) {
	names := strings.Fields(annexA)
	if len(names) != 73 {
		t.Fatalf("%d operators in the list, want 73", len(names))
	}
	listed := map[Op]bool{}
	for _, name := range names {
		op := Lookup([]byte(name))
		if name == "ID" || name == "EI" { // parts of OpInlineImage
			if op != OpUnknown {
				t.Errorf("%s is %v, want none", name, op)
			}
			continue
		}
		if op == OpUnknown || op.String() != name {
			t.Errorf("%s is looked up as %v", name, op)
		}
		if op.Class() == ClassUnknown {
			t.Errorf("%s has no class", name)
		}
		listed[op] = true
	}
	if len(listed) != len(operators)-1 {
		t.Errorf("%d operators of Annex A in a table of %d", len(listed), len(operators)-1)
	}
}

// What each class holds is from the tables of operators in ISO 32000-1, whose
// numbers stand before them.
func TestClass(t *testing.T) {
	cases := []struct {
		class   Class
		table   int
		members string
	}{
		{ClassState, 57, "q Q cm w J j M d ri i gs"},
		{ClassPath, 59, "m l c v y h re"},
		{ClassPaint, 60, "S s f F f* B B* b b* n"},
		{ClassClip, 61, "W W*"},
		{ClassColour, 74, "CS cs SC SCN sc scn G g RG rg K k"},
		{ClassShading, 77, "sh"},
		{ClassXObject, 87, "Do"},
		{ClassInlineImage, 92, "BI"},
		{ClassTextState, 105, "Tc Tw Tz TL Tf Tr Ts"},
		{ClassTextObject, 107, "BT ET"},
		{ClassTextPosition, 108, "Td TD Tm T*"},
		{ClassTextShow, 109, `Tj TJ ' "`},
		{ClassGlyph, 113, "d0 d1"},
		{ClassMarkedContent, 320, "MP DP BMC BDC EMC"},
		{ClassCompatibility, 32, "BX EX"},
	}
	for _, c := range cases {
		var members []string
		for op := OpUnknown; int(op) < len(operators); op++ {
			if op.Class() == c.class {
				members = append(members, op.String())
			}
		}
		if diff := cmp.Diff(c.members, strings.Join(members, " ")); diff != "" {
			t.Errorf("class %d, of Table %d (-want +got):\n%s", c.class, c.table, diff)
		}
	}
}

func TestOpOutsideTheTable(t *testing.T) {
	op := Op(255)
	if op.String() != "?" || op.Class() != ClassUnknown {
		t.Error("an operator outside the table is not treated as unknown")
	}
}

func TestLookupUnknown(t *testing.T) {
	for _, name := range []string{"", "x", "qq", "bdc", "Bdc", "BDCC", "T", "TJ\x00", "true"} {
		if op := Lookup([]byte(name)); op != OpUnknown {
			t.Errorf("%q is %v, want none", name, op)
		}
	}
}
