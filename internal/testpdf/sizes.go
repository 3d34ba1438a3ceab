package testpdf

import (
	"fmt"
	"strings"
)

// SizesOptions says how Sizes writes its pattern.
type SizesOptions struct {
	Layout Layout
	// Memberships has content in membership dictionaries too.
	Memberships bool
	// Annotations has annotations in layers.
	Annotations bool
	// Deep has page tree nodes between the root and the pages, and inherited
	// resources.
	Deep bool
}

// SizesLayers are the names of the layers of Sizes, objects 5 to 8.
var SizesLayers = []string{"Size 8", "Size 10", "Size 12", "Text"}

// Sizes is a small pattern of two pages. Each of its layers draws in a colour
// of its own and shows SizesMark everywhere: on the pages, in forms of its own,
// in a form that all layers share, with an image, across content streams.
func Sizes(opt SizesOptions) []byte {
	var resources strings.Builder
	resources.WriteString("<</Font <</F 29 0 R>> /ExtGState <</Half <</ca .5>>>> /XObject <<")
	for i := range SizesLayers {
		fmt.Fprintf(&resources, "/Piece%d %d 0 R /Own%d %d 0 R /Im%d %d 0 R ", i, 40+i, i, 50+i, i, 60+i)
	}
	resources.WriteString("/Shared 70 0 R>> /Properties <<")
	for i := range SizesLayers {
		fmt.Fprintf(&resources, "/L%d %d 0 R ", i, GroupObject+i)
	}
	resources.WriteString("/M0 80 0 R /M1 81 0 R /M2 82 0 R>>>>")
	doc := Doc{Groups: SizesLayers, Pages: sizesPages(opt, resources.String()), Objects: sizesObjects(opt), Layout: opt.Layout}
	if opt.Deep {
		doc.Tree = "/Resources 90 0 R"
		doc.Objects = append(doc.Objects, Obj(90, resources.String()),
			Obj(PagesObject, "<</Type /Pages /Count 2 /Kids [91 0 R 92 0 R] /Resources 90 0 R /MediaBox [0 0 300 300]>>"),
			Obj(91, "<</Type /Pages /Parent 2 0 R /Count 1 /Kids [3 0 R]>>"),
			Obj(92, fmt.Sprintf("<</Type /Pages /Parent 2 0 R /Count 1 /Kids [%d 0 R]>>", doc.PageObject(1))))
	}
	return Build(doc)
}

// SizesMark is the text that a layer of Sizes shows at a place.
func SizesMark(layer int, where string) string {
	return fmt.Sprintf("MARK%d%s", layer, where)
}

// sizesInks are the colours of the layers.
var sizesInks = []string{"1 0 0", "0 .6 0", "0 0 1", "0 0 0"}

// sizesDrawing is what a layer draws at a place: a filled and a stroked
// rectangle and its mark.
func sizesDrawing(layer int, where string, x, y int) string {
	return fmt.Sprintf("%s rg %[1]s RG %d %d 30 12 re f 4 w %[2]d %d 30 14 re S BT /F 8 Tf %[2]d %[5]d Td (%s) Tj ET",
		sizesInks[layer], x, y, y+18, y+36, SizesMark(layer, where))
}

func sizesPages(opt SizesOptions, resources string) []Page {
	var first, second strings.Builder
	first.WriteString("0.5 g 5 5 290 3 re f\n")
	for i := range SizesLayers {
		fmt.Fprintf(&first, "/OC /L%d BDC q %s Q EMC\n", i, sizesDrawing(i, "page", 10+70*i, 20))
		fmt.Fprintf(&first, "/OC /L%d BDC /Piece%[1]d Do EMC\n/Own%[1]d Do\n", i)
		fmt.Fprintf(&second, "/OC /L%d BDC /Half gs q 40 0 0 40 %d 20 cm /Im%[1]d Do Q\n", i, 10+70*i)
		second.WriteString("%%\n") // here one content stream ends and the next begins
		fmt.Fprintf(&second, "q %s Q EMC q 1 0 0 1 0 %d cm /Shared Do Q\n", sizesDrawing(i, "later", 10+70*i, 80), 40*i)
	}
	if opt.Memberships {
		for i := range 3 {
			fmt.Fprintf(&first, "/OC /M%d BDC q %d 250 40 40 re f Q EMC\n", i, 20+60*i)
		}
	}
	const box = "/MediaBox [0 0 300 300]"
	parents := [2]string{}
	if opt.Deep {
		resources, parents = "none", [2]string{" /Parent 91 0 R", " /Parent 92 0 R"}
	}
	later := strings.Split(second.String(), "%%\n")
	pages := []Page{
		{Content: first.String(), Resources: resources, Entries: box + parents[0]},
		{Contents: later, Resources: resources, Entries: box + " /Rotate 90" + parents[1]},
	}
	if opt.Annotations {
		pages[1].Entries += " /Annots [100 0 R 101 0 R]"
	}
	return pages
}

func sizesObjects(opt SizesOptions) []Object {
	var list []Object
	shared := "0.8 g 130 130 20 10 re f\n"
	for i := range SizesLayers {
		inner := fmt.Sprintf("/Resources <</Font <</F 29 0 R>> /Properties <</P %d 0 R>>>>", GroupObject+i)
		list = append(list,
			wideForm(40+i, inner, sizesDrawing(i, "piece", 10+70*i, 80)),
			wideForm(50+i, inner+fmt.Sprintf(" /OC %d 0 R", GroupObject+i), sizesDrawing(i, "own", 10+70*i, 140)),
			Stream(60+i, fmt.Sprintf("/Type /XObject /Subtype /Image /Width 2 /Height 2 /ColorSpace /DeviceRGB /BitsPerComponent 8 /OC %d 0 R", GroupObject+i),
				strings.Repeat(string([]byte{byte(60 * i), 200, byte(255 - 60*i)}), 4)))
		shared += fmt.Sprintf("/OC /P%d BDC %s EMC\n", i, sizesDrawing(i, "shared", 10+70*i, 130))
	}
	list = append(list, wideForm(70, "/Resources <</Font <</F 29 0 R>> /Properties <</P0 5 0 R /P1 6 0 R /P2 7 0 R /P3 8 0 R>>>>", shared))
	if opt.Memberships {
		list = append(list,
			Obj(80, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AnyOn>>"),
			Obj(81, "<</Type /OCMD /OCGs [6 0 R 7 0 R] /P /AllOff>>"),
			Obj(82, "<</Type /OCMD /VE [/Or [/And 5 0 R 8 0 R] [/Not 7 0 R]]>>"))
	}
	if opt.Annotations {
		for i := range 2 {
			list = append(list, wideForm(102+i, "/Resources <</Font <</F 29 0 R>>>>", sizesDrawing(i, "note", 0, 0)),
				Obj(100+i, fmt.Sprintf("<</Type /Annot /Subtype /Stamp /F 4 /Rect [%d 200 %d 260] /OC %d 0 R /AP <</N %d 0 R>>>>",
					20+100*i, 80+100*i, GroupObject+i, 102+i)))
		}
	}
	return list
}

// wideForm is a form XObject as large as the pages of Sizes.
func wideForm(num int, entries, content string) Object {
	return Stream(num, "/Type /XObject /Subtype /Form /BBox [0 0 300 300] "+entries, content)
}
