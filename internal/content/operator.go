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

// The classes, with the tables of ISO 32000-1 that list their operators. Every
// operator but the unknown has exactly one.
const (
	ClassUnknown       Class = iota
	ClassState               // graphics state: q Q cm w J j M d ri i gs (Table 57)
	ClassPath                // path construction: m l c v y h re (Table 59)
	ClassPaint               // ends a path: S s f F f* B B* b b* n (Table 60)
	ClassClip                // W W*, in force after the next ClassPaint (Table 61)
	ClassColour              // CS cs SC SCN sc scn G g RG rg K k (Table 74)
	ClassShading             // sh (Table 77)
	ClassXObject             // Do (Table 87)
	ClassInlineImage         // BI ... EI (Table 92)
	ClassTextObject          // BT ET (Table 107)
	ClassTextState           // Tc Tw Tz TL Tf Tr Ts (Table 105)
	ClassTextPosition        // Td TD Tm T* (Table 108)
	ClassTextShow            // Tj TJ ' " (Table 109)
	ClassGlyph               // metrics of Type 3 glyphs: d0 d1 (Table 113)
	ClassMarkedContent       // MP DP BMC BDC EMC (Table 320)
	ClassCompatibility       // BX EX (Table 32)
)

// operator describes an operator: its name, how many operands it takes, and its
// class.
type operator struct {
	name     string
	operands int
	class    Class
}

// anyOperands is the number of operands of an operator that takes any.
const anyOperands = -1

var operators = [...]operator{
	OpUnknown: {"", anyOperands, ClassUnknown},

	OpSave:          {"q", 0, ClassState},
	OpRestore:       {"Q", 0, ClassState},
	OpConcat:        {"cm", 6, ClassState},
	OpLineWidth:     {"w", 1, ClassState},
	OpLineCap:       {"J", 1, ClassState},
	OpLineJoin:      {"j", 1, ClassState},
	OpMiterLimit:    {"M", 1, ClassState},
	OpDash:          {"d", 2, ClassState},
	OpIntent:        {"ri", 1, ClassState},
	OpFlatness:      {"i", 1, ClassState},
	OpGraphicsState: {"gs", 1, ClassState},

	OpMoveTo:    {"m", 2, ClassPath},
	OpLineTo:    {"l", 2, ClassPath},
	OpCurveTo:   {"c", 6, ClassPath},
	OpCurveToV:  {"v", 4, ClassPath},
	OpCurveToY:  {"y", 4, ClassPath},
	OpClosePath: {"h", 0, ClassPath},
	OpRectangle: {"re", 4, ClassPath},

	OpStroke:                 {"S", 0, ClassPaint},
	OpCloseStroke:            {"s", 0, ClassPaint},
	OpFill:                   {"f", 0, ClassPaint},
	OpFillCompat:             {"F", 0, ClassPaint},
	OpFillEvenOdd:            {"f*", 0, ClassPaint},
	OpFillStroke:             {"B", 0, ClassPaint},
	OpFillStrokeEvenOdd:      {"B*", 0, ClassPaint},
	OpCloseFillStroke:        {"b", 0, ClassPaint},
	OpCloseFillStrokeEvenOdd: {"b*", 0, ClassPaint},
	OpEndPath:                {"n", 0, ClassPaint},
	OpClip:                   {"W", 0, ClassClip},
	OpClipEvenOdd:            {"W*", 0, ClassClip},

	OpStrokeSpace:   {"CS", 1, ClassColour},
	OpFillSpace:     {"cs", 1, ClassColour},
	OpStrokeColour:  {"SC", anyOperands, ClassColour},
	OpStrokeColourN: {"SCN", anyOperands, ClassColour},
	OpFillColour:    {"sc", anyOperands, ClassColour},
	OpFillColourN:   {"scn", anyOperands, ClassColour},
	OpStrokeGrey:    {"G", 1, ClassColour},
	OpFillGrey:      {"g", 1, ClassColour},
	OpStrokeRGB:     {"RG", 3, ClassColour},
	OpFillRGB:       {"rg", 3, ClassColour},
	OpStrokeCMYK:    {"K", 4, ClassColour},
	OpFillCMYK:      {"k", 4, ClassColour},

	OpShading:     {"sh", 1, ClassShading},
	OpDo:          {"Do", 1, ClassXObject},
	OpInlineImage: {"BI", 0, ClassInlineImage},

	OpBeginText:          {"BT", 0, ClassTextObject},
	OpEndText:            {"ET", 0, ClassTextObject},
	OpCharSpacing:        {"Tc", 1, ClassTextState},
	OpWordSpacing:        {"Tw", 1, ClassTextState},
	OpHorizontalScale:    {"Tz", 1, ClassTextState},
	OpLeading:            {"TL", 1, ClassTextState},
	OpFont:               {"Tf", 2, ClassTextState},
	OpRender:             {"Tr", 1, ClassTextState},
	OpRise:               {"Ts", 1, ClassTextState},
	OpTextMove:           {"Td", 2, ClassTextPosition},
	OpTextMoveSet:        {"TD", 2, ClassTextPosition},
	OpTextMatrix:         {"Tm", 6, ClassTextPosition},
	OpNextLine:           {"T*", 0, ClassTextPosition},
	OpShowText:           {"Tj", 1, ClassTextShow},
	OpShowSpaced:         {"TJ", 1, ClassTextShow},
	OpNextLineShow:       {"'", 1, ClassTextShow},
	OpNextLineShowSpaced: {"\"", 3, ClassTextShow},

	OpGlyphWidth: {"d0", 2, ClassGlyph},
	OpGlyphBox:   {"d1", 6, ClassGlyph},

	OpMarkPoint:        {"MP", 1, ClassMarkedContent},
	OpMarkPointProps:   {"DP", 2, ClassMarkedContent},
	OpBeginMarked:      {"BMC", 1, ClassMarkedContent},
	OpBeginMarkedProps: {"BDC", 2, ClassMarkedContent},
	OpEndMarked:        {"EMC", 0, ClassMarkedContent},
	OpBeginCompat:      {"BX", 0, ClassCompatibility},
	OpEndCompat:        {"EX", 0, ClassCompatibility},
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
