package content

// Op is an operator of ISO 32000-1, Annex A, or OpUnknown. OpInlineImage
// stands for the whole of BI ... ID ... EI.
type Op uint8

// The operators, in the order of the tables that describe them.
const (
	OpUnknown Op = iota

	OpSave          // q
	OpRestore       // Q
	OpConcat        // cm
	OpLineWidth     // w
	OpLineCap       // J
	OpLineJoin      // j
	OpMiterLimit    // M
	OpDash          // d
	OpIntent        // ri
	OpFlatness      // i
	OpGraphicsState // gs

	OpMoveTo    // m
	OpLineTo    // l
	OpCurveTo   // c
	OpCurveToV  // v
	OpCurveToY  // y
	OpClosePath // h
	OpRectangle // re

	OpStroke                 // S
	OpCloseStroke            // s
	OpFill                   // f
	OpFillCompat             // F
	OpFillEvenOdd            // f*
	OpFillStroke             // B
	OpFillStrokeEvenOdd      // B*
	OpCloseFillStroke        // b
	OpCloseFillStrokeEvenOdd // b*
	OpEndPath                // n
	OpClip                   // W
	OpClipEvenOdd            // W*

	OpStrokeSpace   // CS
	OpFillSpace     // cs
	OpStrokeColour  // SC
	OpStrokeColourN // SCN
	OpFillColour    // sc
	OpFillColourN   // scn
	OpStrokeGrey    // G
	OpFillGrey      // g
	OpStrokeRGB     // RG
	OpFillRGB       // rg
	OpStrokeCMYK    // K
	OpFillCMYK      // k

	OpShading     // sh
	OpDo          // Do
	OpInlineImage // BI ... ID ... EI

	OpBeginText          // BT
	OpEndText            // ET
	OpCharSpacing        // Tc
	OpWordSpacing        // Tw
	OpHorizontalScale    // Tz
	OpLeading            // TL
	OpFont               // Tf
	OpRender             // Tr
	OpRise               // Ts
	OpTextMove           // Td
	OpTextMoveSet        // TD
	OpTextMatrix         // Tm
	OpNextLine           // T*
	OpShowText           // Tj
	OpShowSpaced         // TJ
	OpNextLineShow       // '
	OpNextLineShowSpaced // "

	OpGlyphWidth // d0
	OpGlyphBox   // d1

	OpMarkPoint        // MP
	OpMarkPointProps   // DP
	OpBeginMarked      // BMC
	OpBeginMarkedProps // BDC
	OpEndMarked        // EMC
	OpBeginCompat      // BX
	OpEndCompat        // EX
)

// Class groups operators by what a filter of marks has to do with them.
type Class uint8

// The classes. Every operator but the unknown has exactly one.
const (
	ClassUnknown       Class = iota
	ClassState               // graphics state: q Q cm w J j M d ri i gs
	ClassPath                // path construction: m l c v y h re
	ClassPaint               // ends a path: S s f F f* B B* b b* n
	ClassClip                // W W*, in force after the next ClassPaint
	ClassColour              // CS cs SC SCN sc scn G g RG rg K k
	ClassShading             // sh
	ClassXObject             // Do
	ClassInlineImage         // BI ... EI
	ClassTextObject          // BT ET
	ClassTextState           // Tc Tw Tz TL Tf Tr Ts
	ClassTextPosition        // Td TD Tm T*
	ClassTextShow            // Tj TJ ' "
	ClassGlyph               // Type 3 glyph metrics: d0 d1
	ClassMarkedContent       // MP DP BMC BDC EMC
	ClassCompatibility       // BX EX
)

// operator describes an operator: its name, its operands (one letter each:
// n number, N name, s string, a array, p name or dictionary; "*" for any
// number of any kind), its class and the table of ISO 32000-1 that lists it.
type operator struct {
	name     string
	operands string
	class    Class
	table    int
}

var operators = [...]operator{
	OpUnknown: {"", "*", ClassUnknown, 0},

	OpSave:          {"q", "", ClassState, 57},
	OpRestore:       {"Q", "", ClassState, 57},
	OpConcat:        {"cm", "nnnnnn", ClassState, 57},
	OpLineWidth:     {"w", "n", ClassState, 57},
	OpLineCap:       {"J", "n", ClassState, 57},
	OpLineJoin:      {"j", "n", ClassState, 57},
	OpMiterLimit:    {"M", "n", ClassState, 57},
	OpDash:          {"d", "an", ClassState, 57},
	OpIntent:        {"ri", "N", ClassState, 57},
	OpFlatness:      {"i", "n", ClassState, 57},
	OpGraphicsState: {"gs", "N", ClassState, 57},

	OpMoveTo:    {"m", "nn", ClassPath, 59},
	OpLineTo:    {"l", "nn", ClassPath, 59},
	OpCurveTo:   {"c", "nnnnnn", ClassPath, 59},
	OpCurveToV:  {"v", "nnnn", ClassPath, 59},
	OpCurveToY:  {"y", "nnnn", ClassPath, 59},
	OpClosePath: {"h", "", ClassPath, 59},
	OpRectangle: {"re", "nnnn", ClassPath, 59},

	OpStroke:                 {"S", "", ClassPaint, 60},
	OpCloseStroke:            {"s", "", ClassPaint, 60},
	OpFill:                   {"f", "", ClassPaint, 60},
	OpFillCompat:             {"F", "", ClassPaint, 60},
	OpFillEvenOdd:            {"f*", "", ClassPaint, 60},
	OpFillStroke:             {"B", "", ClassPaint, 60},
	OpFillStrokeEvenOdd:      {"B*", "", ClassPaint, 60},
	OpCloseFillStroke:        {"b", "", ClassPaint, 60},
	OpCloseFillStrokeEvenOdd: {"b*", "", ClassPaint, 60},
	OpEndPath:                {"n", "", ClassPaint, 60},
	OpClip:                   {"W", "", ClassClip, 61},
	OpClipEvenOdd:            {"W*", "", ClassClip, 61},

	OpStrokeSpace:   {"CS", "N", ClassColour, 74},
	OpFillSpace:     {"cs", "N", ClassColour, 74},
	OpStrokeColour:  {"SC", "*", ClassColour, 74},
	OpStrokeColourN: {"SCN", "*", ClassColour, 74},
	OpFillColour:    {"sc", "*", ClassColour, 74},
	OpFillColourN:   {"scn", "*", ClassColour, 74},
	OpStrokeGrey:    {"G", "n", ClassColour, 74},
	OpFillGrey:      {"g", "n", ClassColour, 74},
	OpStrokeRGB:     {"RG", "nnn", ClassColour, 74},
	OpFillRGB:       {"rg", "nnn", ClassColour, 74},
	OpStrokeCMYK:    {"K", "nnnn", ClassColour, 74},
	OpFillCMYK:      {"k", "nnnn", ClassColour, 74},

	OpShading:     {"sh", "N", ClassShading, 77},
	OpDo:          {"Do", "N", ClassXObject, 87},
	OpInlineImage: {"BI", "", ClassInlineImage, 92},

	OpBeginText:          {"BT", "", ClassTextObject, 107},
	OpEndText:            {"ET", "", ClassTextObject, 107},
	OpCharSpacing:        {"Tc", "n", ClassTextState, 105},
	OpWordSpacing:        {"Tw", "n", ClassTextState, 105},
	OpHorizontalScale:    {"Tz", "n", ClassTextState, 105},
	OpLeading:            {"TL", "n", ClassTextState, 105},
	OpFont:               {"Tf", "Nn", ClassTextState, 105},
	OpRender:             {"Tr", "n", ClassTextState, 105},
	OpRise:               {"Ts", "n", ClassTextState, 105},
	OpTextMove:           {"Td", "nn", ClassTextPosition, 108},
	OpTextMoveSet:        {"TD", "nn", ClassTextPosition, 108},
	OpTextMatrix:         {"Tm", "nnnnnn", ClassTextPosition, 108},
	OpNextLine:           {"T*", "", ClassTextPosition, 108},
	OpShowText:           {"Tj", "s", ClassTextShow, 109},
	OpShowSpaced:         {"TJ", "a", ClassTextShow, 109},
	OpNextLineShow:       {"'", "s", ClassTextShow, 109},
	OpNextLineShowSpaced: {"\"", "nns", ClassTextShow, 109},

	OpGlyphWidth: {"d0", "nn", ClassGlyph, 113},
	OpGlyphBox:   {"d1", "nnnnnn", ClassGlyph, 113},

	OpMarkPoint:        {"MP", "N", ClassMarkedContent, 320},
	OpMarkPointProps:   {"DP", "Np", ClassMarkedContent, 320},
	OpBeginMarked:      {"BMC", "N", ClassMarkedContent, 320},
	OpBeginMarkedProps: {"BDC", "Np", ClassMarkedContent, 320},
	OpEndMarked:        {"EMC", "", ClassMarkedContent, 320},
	OpBeginCompat:      {"BX", "", ClassCompatibility, 32},
	OpEndCompat:        {"EX", "", ClassCompatibility, 32},
}

// String returns the operator as PDF writes it: "q", "Tj", "BI" for an inline
// image, "?" for an unknown one.
func (o Op) String() string {
	if o == OpUnknown || int(o) >= len(operators) {
		return "?"
	}
	return operators[o].name
}

// Class returns what the operator is for.
func (o Op) Class() Class {
	if int(o) >= len(operators) {
		return ClassUnknown
	}
	return operators[o].class
}

// Table returns the number of the table in ISO 32000-1:2008 that lists the
// operator, 0 for an unknown one.
func (o Op) Table() int {
	if int(o) >= len(operators) {
		return 0
	}
	return operators[o].table
}

// Arity returns how many operands the operator takes; variable means any
// number, as for SC, SCN, sc, scn and unknown operators.
func (o Op) Arity() (n int, variable bool) {
	kinds, variable := o.signature()
	return len(kinds), variable
}

// Paints tells whether the operator can leave marks by itself: path painting
// (not n), showing text, sh, Do and inline images.
func (o Op) Paints() bool {
	switch o.Class() {
	case ClassPaint:
		return o != OpEndPath
	case ClassTextShow, ClassShading, ClassXObject, ClassInlineImage:
		return true
	}
	return false
}

// Lookup returns the operator of that name, BI for an inline image, or
// OpUnknown.
func Lookup(name []byte) Op {
	key, ok := operatorKey(name)
	if !ok {
		return OpUnknown
	}
	for slot := operatorSlot(key); ; slot++ {
		if e := operatorIndex[slot]; e.key == key || e.op == OpUnknown {
			return e.op
		}
	}
}

// signature returns the letters of the operands, none if they are variable.
func (o Op) signature() (kinds string, variable bool) {
	if int(o) >= len(operators) || operators[o].operands == "*" {
		return "", true
	}
	return operators[o].operands, false
}

// fits tells whether a letter of operator.operands allows a kind.
func fits(letter byte, k Kind) bool {
	switch letter {
	case 'n':
		return k == Number
	case 'N':
		return k == NameObject
	case 's':
		return k == String
	case 'a':
		return k == Array
	case 'p':
		return k == NameObject || k == Dict
	}
	return false
}

// operatorIndex finds an operator by its name: a hash table of 256 slots,
// filled once from the table above. A slot number is a byte and so wraps.
var operatorIndex = indexOperators()

type operatorEntry struct {
	key uint32
	op  Op
}

func indexOperators() (index [256]operatorEntry) {
	for o := OpUnknown + 1; int(o) < len(operators); o++ {
		key, _ := operatorKey([]byte(operators[o].name))
		slot := operatorSlot(key)
		for index[slot].op != OpUnknown {
			slot++
		}
		index[slot] = operatorEntry{key, o}
	}
	return index
}

func operatorSlot(key uint32) uint8 { return uint8(key * 0x9e3779b1 >> 24) }

// operatorKey packs a name of one to three bytes, the lengths that operators
// have, with its length.
func operatorKey(name []byte) (key uint32, ok bool) {
	switch len(name) {
	case 1:
		return 1<<24 | uint32(name[0]), true
	case 2:
		return 2<<24 | uint32(name[0]) | uint32(name[1])<<8, true
	case 3:
		return 3<<24 | uint32(name[0]) | uint32(name[1])<<8 | uint32(name[2])<<16, true
	}
	return 0, false
}
