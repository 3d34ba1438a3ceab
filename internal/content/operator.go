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

// operator describes an operator: its name, the operands that it takes, and its
// class. Operands are a character each: n for a number, / for a name, ( for a string,
// [ for an array, < for a property list, which is a name or a dictionary.
type operator struct {
	name     string
	operands string
	class    Class
}

// anyOperands are those of an operator that takes any number.
const anyOperands = "*"

var operators = [...]operator{
	OpUnknown: {"", anyOperands, ClassUnknown},

	OpSave:          {"q", "", ClassState},
	OpRestore:       {"Q", "", ClassState},
	OpConcat:        {"cm", "nnnnnn", ClassState},
	OpLineWidth:     {"w", "n", ClassState},
	OpLineCap:       {"J", "n", ClassState},
	OpLineJoin:      {"j", "n", ClassState},
	OpMiterLimit:    {"M", "n", ClassState},
	OpDash:          {"d", "[n", ClassState},
	OpIntent:        {"ri", "/", ClassState},
	OpFlatness:      {"i", "n", ClassState},
	OpGraphicsState: {"gs", "/", ClassState},

	OpMoveTo:    {"m", "nn", ClassPath},
	OpLineTo:    {"l", "nn", ClassPath},
	OpCurveTo:   {"c", "nnnnnn", ClassPath},
	OpCurveToV:  {"v", "nnnn", ClassPath},
	OpCurveToY:  {"y", "nnnn", ClassPath},
	OpClosePath: {"h", "", ClassPath},
	OpRectangle: {"re", "nnnn", ClassPath},

	OpStroke:                 {"S", "", ClassPaint},
	OpCloseStroke:            {"s", "", ClassPaint},
	OpFill:                   {"f", "", ClassPaint},
	OpFillCompat:             {"F", "", ClassPaint},
	OpFillEvenOdd:            {"f*", "", ClassPaint},
	OpFillStroke:             {"B", "", ClassPaint},
	OpFillStrokeEvenOdd:      {"B*", "", ClassPaint},
	OpCloseFillStroke:        {"b", "", ClassPaint},
	OpCloseFillStrokeEvenOdd: {"b*", "", ClassPaint},
	OpEndPath:                {"n", "", ClassPaint},
	OpClip:                   {"W", "", ClassClip},
	OpClipEvenOdd:            {"W*", "", ClassClip},

	OpStrokeSpace:   {"CS", "/", ClassColour},
	OpFillSpace:     {"cs", "/", ClassColour},
	OpStrokeColour:  {"SC", anyOperands, ClassColour},
	OpStrokeColourN: {"SCN", anyOperands, ClassColour},
	OpFillColour:    {"sc", anyOperands, ClassColour},
	OpFillColourN:   {"scn", anyOperands, ClassColour},
	OpStrokeGrey:    {"G", "n", ClassColour},
	OpFillGrey:      {"g", "n", ClassColour},
	OpStrokeRGB:     {"RG", "nnn", ClassColour},
	OpFillRGB:       {"rg", "nnn", ClassColour},
	OpStrokeCMYK:    {"K", "nnnn", ClassColour},
	OpFillCMYK:      {"k", "nnnn", ClassColour},

	OpShading:     {"sh", "/", ClassShading},
	OpDo:          {"Do", "/", ClassXObject},
	OpInlineImage: {"BI", "", ClassInlineImage},

	OpBeginText:          {"BT", "", ClassTextObject},
	OpEndText:            {"ET", "", ClassTextObject},
	OpCharSpacing:        {"Tc", "n", ClassTextState},
	OpWordSpacing:        {"Tw", "n", ClassTextState},
	OpHorizontalScale:    {"Tz", "n", ClassTextState},
	OpLeading:            {"TL", "n", ClassTextState},
	OpFont:               {"Tf", "/n", ClassTextState},
	OpRender:             {"Tr", "n", ClassTextState},
	OpRise:               {"Ts", "n", ClassTextState},
	OpTextMove:           {"Td", "nn", ClassTextPosition},
	OpTextMoveSet:        {"TD", "nn", ClassTextPosition},
	OpTextMatrix:         {"Tm", "nnnnnn", ClassTextPosition},
	OpNextLine:           {"T*", "", ClassTextPosition},
	OpShowText:           {"Tj", "(", ClassTextShow},
	OpShowSpaced:         {"TJ", "[", ClassTextShow},
	OpNextLineShow:       {"'", "(", ClassTextShow},
	OpNextLineShowSpaced: {"\"", "nn(", ClassTextShow},

	OpGlyphWidth: {"d0", "nn", ClassGlyph},
	OpGlyphBox:   {"d1", "nnnnnn", ClassGlyph},

	OpMarkPoint:        {"MP", "/", ClassMarkedContent},
	OpMarkPointProps:   {"DP", "/<", ClassMarkedContent},
	OpBeginMarked:      {"BMC", "/", ClassMarkedContent},
	OpBeginMarkedProps: {"BDC", "/<", ClassMarkedContent},
	OpEndMarked:        {"EMC", "", ClassMarkedContent},
	OpBeginCompat:      {"BX", "", ClassCompatibility},
	OpEndCompat:        {"EX", "", ClassCompatibility},
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

// Fits reports whether the operands are those that the operator takes, as many and of
// their kinds, each number with digits and one sign and one point at most (7.3.3). No
// two readers do the same where they are not. An unknown operator takes any.
func (o *Operation) Fits() bool {
	kinds := operators[o.Op].operands
	switch {
	case o.Op == OpUnknown:
		return true
	case kinds == anyOperands: // colours, of which the N kinds may end with the name of a pattern
		for i, e := range o.Operands {
			last := i == len(o.Operands)-1 && (o.Op == OpStrokeColourN || o.Op == OpFillColourN)
			if !o.isNumber(e) && !(last && e.Kind == NameObject) {
				return false
			}
		}
		return len(o.Operands) > 0
	case len(o.Operands) != len(kinds):
		return false
	}
	for i, e := range o.Operands {
		switch kinds[i] {
		case 'n':
			if !o.isNumber(e) {
				return false
			}
		case '<':
			if e.Kind != NameObject && e.Kind != Dict {
				return false
			}
		default:
			if e.Kind != operandKinds[kinds[i]] {
				return false
			}
		}
	}
	return true
}

// operandKinds are those that have a character of their own.
var operandKinds = [...]Kind{'/': NameObject, '(': String, '[': Array}

// isNumber reports whether an operand is a number as the standard writes it.
func (o *Operation) isNumber(e Operand) bool {
	if e.Kind != Number {
		return false
	}
	digits, token := 0, o.data[e.Start:e.End]
	for i, c := range token {
		if c-'0' <= 9 {
			digits++
		} else if c == '-' && i > 0 {
			return false
		}
	}
	return digits > 0
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
