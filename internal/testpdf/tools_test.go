package testpdf

import "testing"

func TestToolsDraw(t *testing.T) {
	tools := map[string]func([]byte, int) (n []int, err error){
		"pdftocairo": func(pdf []byte, dpi int) ([]int, error) {
			imgs, err := Poppler(pdf, dpi)
			var out []int
			for _, i := range imgs {
				out = append(out, Ink(i))
			}
			return out, err
		},
		"mutool": func(pdf []byte, dpi int) ([]int, error) {
			imgs, err := MuPDF(pdf, dpi)
			var out []int
			for _, i := range imgs {
				out = append(out, Ink(i))
			}
			return out, err
		},
	}
	// Twelve pages, of which the second and the eleventh have a mark of 64
	// square units: at 72 dpi as many pixels.
	doc := Doc{Pages: make([]Page, 12)}
	doc.Pages[1].Content, doc.Pages[10].Content = "P1", "P2 P3"
	for program, draw := range tools {
		t.Run(program, func(t *testing.T) {
			Tool(t, program)
			ink, err := draw(Build(doc), 72)
			if err != nil || len(ink) != 12 {
				t.Fatalf("%d pages, error %v", len(ink), err)
			}
			if ink[0] != 0 || ink[1] != 64 || ink[10] != 128 {
				t.Errorf("painted pixels of the pages are %v", ink)
			}
			if _, err := draw([]byte("no PDF"), 72); err == nil {
				t.Error("no error for what is no PDF file")
			}
		})
	}
}

func TestQPDFComplains(t *testing.T) {
	Tool(t, "qpdf")
	whole := Build(Doc{})
	if err := QPDF(whole); err != nil {
		t.Error(err)
	}
	if err := QPDF(whole[:len(whole)-30]); err == nil {
		t.Error("a cut file passes")
	}
}
