package testpdf

import (
	"bytes"
	"testing"
)

func TestMarks(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"two in a row", "P1 P2", "10 10 8 8 re f 20 10 8 8 re f"},
		{"three in a row", "P1 P2 P9", "10 10 8 8 re f 20 10 8 8 re f 90 10 8 8 re f"},
		{"names stay", "/P1 gs /Pattern cs", "/P1 gs /Pattern cs"},
		{"longer words stay", "P10 P0 xP1", "P10 P0 xP1"},
		{"behind a bracket", "[]P1", "[]10 10 8 8 re f"},
	}
	for _, c := range cases {
		if got := Marks(c.in); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestBuildIsDeterministic(t *testing.T) {
	for label, layout := range layouts {
		doc := layeredDoc
		doc.Layout = layout
		if !bytes.Equal(Build(doc), Build(doc)) {
			t.Errorf("%s: two runs differ", label)
		}
	}
}

// The numbers that the comments of Doc promise.
func TestBuildNumbers(t *testing.T) {
	doc := Doc{Groups: []string{"A (1)", "B"}, Pages: []Page{{Contents: []string{"P1", "P2"}}, {Content: "P3"}},
		Objects: []Object{Obj(FontObject, "<</Type /Font>>")}}
	f, err := openFile(Build(doc))
	if err != nil {
		t.Fatal(err)
	}
	want := map[int]string{
		PagesObject:     "<</Count 2/Kids [3 0 R 1100 0 R]/Type /Pages>>",
		GroupObject:     `<</Name (A \(1\))/Type /OCG>>`,
		GroupObject + 1: "<</Name (B)/Type /OCG>>",
		FontObject:      "<</Type /Font>>",
		PageObject: "<</Contents [4 0 R 1001 0 R]/MediaBox [0 0 100 100]/Parent 2 0 R/Resources <</Font <</F 29 0 R>>" +
			"/Properties <</A#20#281#29 5 0 R/B 6 0 R>>>>/Type /Page>>",
	}
	for num, body := range want {
		if got := text(f.get(num)); got != body {
			t.Errorf("object %d is\n%s, want\n%s", num, got, body)
		}
	}
	if doc.PageObject(1) != 1100 {
		t.Errorf("the second page is object %d", doc.PageObject(1))
	}
}

// qpdf has no word to say against what Build writes.
func TestBuildIsSound(t *testing.T) {
	Tool(t, "qpdf")
	for label, layout := range layouts {
		doc := sampleDoc
		doc.Layout = layout
		if err := QPDF(Build(doc)); err != nil {
			t.Errorf("%s: %v", label, err)
		}
	}
}
