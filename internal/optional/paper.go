package optional

import "math"

// A Paper is a sheet or a roll that pages are printed on.
type Paper struct {
	// Name is as the trade has it, such as "A0" or "ARCH E"; a roll is named
	// by its width.
	Name string `json:"name"`
	// Standard is where the size is from: "ISO 216", "ANSI/ASME Y14.1" (the
	// ANSI and ARCH sheets), or "common practice" for rolls and Legal.
	Standard string `json:"standard"`
	// Width and Height are in mm, upright. The height of a roll is 0: any.
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

const (
	iso      = "ISO 216"
	ansi     = "ANSI/ASME Y14.1"
	practice = "common practice"
)

// papers are the sheets by series, each from small to large, then the rolls.
// ISO 216 gives millimetres; ANSI/ASME Y14.1 gives inches: Letter is its A,
// Tabloid its B. The widths of rolls are common practice, no source but the
// paper shops' lists.
var papers = [][]Paper{
	{
		{"A6", iso, 105, 148}, {"A5", iso, 148, 210}, {"A4", iso, 210, 297}, {"A3", iso, 297, 420},
		{"A2", iso, 420, 594}, {"A1", iso, 594, 841}, {"A0", iso, 841, 1189},
	},
	{
		inches("Letter (ANSI A)", 8.5, 11), {"Legal", practice, 215.9, 355.6}, inches("Tabloid (ANSI B)", 11, 17),
		inches("ANSI C", 17, 22), inches("ANSI D", 22, 34), inches("ANSI E", 34, 44),
	},
	{
		inches("ARCH A", 9, 12), inches("ARCH B", 12, 18), inches("ARCH C", 18, 24),
		inches("ARCH D", 24, 36), inches("ARCH E2", 26, 38), inches("ARCH E3", 27, 39), inches("ARCH E1", 30, 42),
		inches("ARCH E", 36, 48),
	},
	{
		roll("24 in roll", 24*25.4), roll("30 in roll", 30*25.4), roll("A0 roll", 841), roll("36 in roll", 36*25.4),
		roll("42 in roll", 42*25.4), roll("44 in roll", 44*25.4),
	},
}

func inches(name string, w, h float64) Paper { return Paper{name, ansi, w * 25.4, h * 25.4} }

func roll(name string, width float64) Paper { return Paper{name, practice, width, 0} }

// paperSlack is by how much a page may pass a sheet or miss its size, in mm:
// drivers write whole points. ISO 216 lets sheets be off by 1.5 mm and more.
const paperSlack = 0.75

// Size gives the width and height of the page in mm, as it is seen.
func (p Page) Size() (width, height float64) { return p.Width / 72 * 25.4, p.Height / 72 * 25.4 }

// Paper gives the sheet of just the page's size, false where there is none.
func (p Page) Paper() (Paper, bool) {
	short, long := p.sides()
	for _, series := range papers {
		for _, s := range series {
			if math.Abs(short-s.Width) <= paperSlack && math.Abs(long-s.Height) <= paperSlack {
				return s, true
			}
		}
	}
	return Paper{}, false
}

// Fits gives the smallest sheet of each series that holds the page at 100 %,
// upright or across, and the narrowest roll for pages that no A4 sheet holds.
// A printer's own margins, some 3 to 5 mm, are not counted.
func (p Page) Fits() []Paper {
	var list []Paper
	short, long := p.sides()
	home := short <= 210+paperSlack && long <= 297+paperSlack
	for _, series := range papers {
		for _, s := range series {
			isRoll := s.Height == 0
			if short <= s.Width+paperSlack && (isRoll && !home || long <= s.Height+paperSlack) {
				list = append(list, s)
				break
			}
		}
	}
	return list
}

// sides are the sides of the page in mm, the shorter first.
func (p Page) sides() (short, long float64) {
	w, h := p.Size()
	return min(w, h), max(w, h)
}
