package layers

import (
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestStateForSoftMask: what the group of a soft mask needs of the state in
// which gs sets it stays, and no more (11.6.5.2). Poppler 22.12 and MuPDF 1.21
// draw the group in that state. A and C are chosen of A, B and C.
func TestStateForSoftMask(t *testing.T) {
	for _, c := range []struct{ name, mask, content, want string }{
		{"colour", "0 0 50 99 re f", "1 g /M gs /OC /B BDC P1 EMC 0 g P2", "1 g /M gs 0 g P2"},
		{"colour of its own", "1 g 0 0 50 99 re f", "1 g /M gs /OC /B BDC P1 EMC 0 g P2", "/M gs 0 g P2"},
		{"colour set in removed content", "0 0 50 99 re f", "/OC /B BDC 1 g P1 EMC /M gs 0 g P2", "1 g /M gs 0 g P2"},
		{"line width", "1 G 0 9 m 9 9 l S", "9 w /M gs /OC /B BDC P1 EMC P2", "9 w /M gs P2"},
		{"line width and opacity", "0 9 m 9 9 l S", "9 w /W gs /OC /B BDC P1 EMC 1 w P2", "9 w /W gs P2"},
		{"font", "BT (A) Tj ET", "BT /F 9 Tf ET /M gs /OC /B BDC P1 EMC P2", "/F 9 Tf /M gs P2"},
		{"font of its own", "BT /F 9 Tf 0 Tr (A) Tj ET", "BT /F 9 Tf ET /M gs /OC /B BDC P1 EMC P2", "/M gs P2"},
		{"mask that nothing needs", "0 0 50 99 re f", "q 1 g /M gs /OC /B BDC P1 EMC Q P2", "P2"},
		{"mask in a dictionary that is not known", "0 9 m 9 9 l S", "9 w /U gs /OC /B BDC P1 EMC P2", "9 w /U gs P2"},
		{"mask within itself", "/M gs 1 G 1 w 0 9 m 9 9 l S", "9 w /M gs /OC /B BDC P1 EMC P2", "9 w /M gs P2"},
		{"no mask", "", "9 w /N gs /OC /B BDC P1 EMC P2", "/N gs P2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			mask := "/SMask <</S /Luminosity /G 30 0 R>>"
			states := "/ExtGState <</M <<" + mask + ">> /W <<" + mask + " /ca .5>> /U <<" + mask + " /Unknown 1>> /N <</SMask /None>>>>"
			file := testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B", "C"},
				Pages:  []testpdf.Page{{Content: c.content, Resources: "<<" + properties3 + "/Font <</F 29 0 R>>" + states + ">>"}},
				Objects: []testpdf.Object{testpdf.Stream(30, "/Type /XObject /Subtype /Form /BBox [0 0 99 99]"+
					" /Group <</S /Transparency /CS /DeviceGray>> /Resources <</Font <</F 29 0 R>> "+states+">>", c.mask)},
			})
			out, _ := isolateNamed(t, file, "A", "C")
			if got, want := fold(pageContent(t, out, 0)), fold(testpdf.Marks(c.want)); got != want {
				t.Errorf("content %q, want %q", got, want)
			}
		})
	}
}
