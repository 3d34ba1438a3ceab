package sheet

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// addFont embeds the characters that the drawing uses as a simple TrueType
// font with WinAnsiEncoding (9.6.3).
func (d *document) addFont(face *typeface.Face) (ref, error) {
	marks := d.drawing.Marks
	for _, t := range d.tiles {
		marks = append(slices.Clip(marks), tileMarks(t)...)
	}
	runes := runesOf(marks)
	data, err := face.Subset(runes)
	if err != nil {
		return 0, err
	}
	program, err := d.addStream(fmt.Sprintf("/Length1 %d", len(data)), data)
	if err != nil {
		return 0, err
	}
	m, err := face.Metrics()
	if err != nil {
		return 0, err
	}
	name := subsetTag(runes) + "+GoRegular"
	descriptor := d.add(fmt.Sprintf("<</Type/FontDescriptor/FontName/%s/Flags 32/FontBBox[%s]/ItalicAngle 0/Ascent %s/Descent %s/CapHeight %s/StemV 80/FontFile2 %v>>",
		name, thousandths(m.Box[:]...), thousandths(m.Ascent), thousandths(m.Descent), thousandths(m.CapHeight), program))
	widths := face.Widths()
	return d.add(fmt.Sprintf("<</Type/Font/Subtype/TrueType/BaseFont/%s/Encoding/WinAnsiEncoding/FirstChar 32/LastChar 255/Widths[%s]/FontDescriptor %v>>",
		name, thousandths(widths[32:]...), descriptor)), nil
}

// runesOf lists the characters of all texts, each once, in order.
func runesOf(marks []artwork.Mark) []rune {
	var all []rune
	for _, m := range marks {
		if t, ok := m.Shape.(artwork.Text); ok {
			for _, r := range t.Runs {
				all = append(all, []rune(r.Text)...)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// subsetTag gives the six capitals that mark a subset (9.6.4), made from what
// is in it.
func subsetTag(runes []rune) string {
	sum := sha256.Sum256([]byte(string(runes)))
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	return string(tag)
}

// thousandths writes values of glyph space, in thousandths of the type size.
func thousandths(values ...float64) string {
	var parts []string
	for _, v := range values {
		parts = append(parts, decimal(1000*v))
	}
	return strings.Join(parts, " ")
}
