package content

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// scanCases feed the scanner test, the fuzz seeds and the invariants. An
// operation is written as its operator (? and the word if it is unknown) and
// its operands in brackets.
var scanCases = []struct {
	name    string
	in      string
	want    string
	damaged string
}{
	{name: "empty"},
	{name: "only white space of Table 1", in: "\x00\t\n\f\r "},
	{name: "only a comment", in: "% q Q"},

	// Operands, ISO 32000-1, 7.3.
	{name: "path", in: "10 20 m\n30 40 l S", want: "m[10][20] l[30][40] S"},
	{name: "operands of all kinds", in: "1 /N (s) <41> [1] <</K 1>> true false null x",
		want: "?x[1][/N][(s)][<41>][[1]][<</K 1>>][true][false][null]"},
	{name: "every byte a delimiter can follow", in: "f[1]0 d(a)Tj<41>Tj/N gs/N<<>>DP",
		want: "f d[[1]][0] Tj[(a)] Tj[<41>] gs[/N] DP[/N][<<>>]"},
	{name: "operators of punctuation", in: "0 0(a)\"(b)' T*[]TJ f*/N gs", want: `"[0][0][(a)] '[(b)] T* TJ[[]] f* gs[/N]`},
	{name: "comment between operands", in: "1 % 2 m\n 3 m", want: "m[1][3]"},
	{name: "comment ends at carriage return", in: "%x\rq%y", want: "q"},
	{name: "percent inside a string", in: "(%)Tj", want: "Tj[(%)]"},
	{name: "comment ends a word", in: "q%Q\nQ", want: "q Q"},
	{name: "empty name", in: "/ gs", want: "gs[/]"},
	{name: "names side by side", in: "/a/b BDC", want: "BDC[/a][/b]"},
	{name: "name of any regular bytes", in: "/A;_-*#2F.$\xe9 gs", want: "gs[/A;_-*#2F.$\xe9]"},
	{name: "balanced parentheses", in: "(a(b)c)Tj", want: "Tj[(a(b)c)]"},
	{name: "escaped parentheses", in: `(\)\\)Tj(\()Tj`, want: `Tj[(\)\\)] Tj[(\()]`},
	{name: "operators in a string", in: "(q Q\nEI)Tj", want: "Tj[(q Q\nEI)]"},
	{name: "hexadecimal with white space and other characters", in: "<4 1zz\n4>Tj", want: "Tj[<4 1zz\n4>]"},
	{name: "nested arrays", in: "[[1][(])[<5d>]]]TJ", want: "TJ[[[1][(])[<5d>]]]]"},
	{name: "array over lines with comment", in: "[(a)%]\n-5(b)]TJ", want: "TJ[[(a)%]\n-5(b)]]"},
	{name: "nested dictionaries", in: "/P<</A<</B[<<>>]>>/C(>>)>>BDC", want: "BDC[/P][<</A<</B[<<>>]>>/C(>>)>>]"},
	{name: "word inside an array", in: "[1 q 2]0 d", want: "d[[1 q 2]][0]"},

	// Numbers as numberEnd describes them.
	{name: "forms of numbers", in: "-.5 +3 4. . - 0 x", want: "?x[-.5][+3][4.][.][-][0]"},
	{name: "minus signs in odd places", in: "--5 6-3 x", want: "?x[--5][6-3]"},
	{name: "second point", in: "1.2.3 m", want: "m[1.2][.3]"},
	{name: "plus in the middle", in: "1+2 m", want: "m[1][+2]"},
	{name: "letter behind a number", in: "5w", want: "w[5]"},

	// Operators.
	{name: "unknown operator", in: "1 foo q", want: "?foo[1] q"},
	{name: "operators glued together are one unknown word", in: "Qq", want: "?Qq"},
	{name: "prefix of an operator", in: "B BD BDC", want: "B ?BD BDC"},
	{name: "EI and ID alone are unknown", in: "ID EI", want: "?ID ?EI"},
	{name: "compatibility section", in: "BX 1 zz EX", want: "BX ?zz[1] EX"},

	// Damage.
	{name: "closing brackets", in: ")q ]>>} Q", want: "q Q",
		damaged: "stray bytes 0-1, stray bytes 3-7"},
	{name: "closing bracket between operands", in: "1 ) 2 m", want: "m[1][2]", damaged: "stray bytes 2-3"},
	{name: "operands left over", in: "q 1 2", want: "q", damaged: "operands without an operator 2-5"},
	{name: "array not closed", in: "q [1 2 Tj", want: "q",
		damaged: "operand not closed 2-9, operands without an operator 2-9"},
	{name: "string not closed", in: "q (a\\", want: "q",
		damaged: "operand not closed 2-5, operands without an operator 2-5"},
	{name: "brackets that do not match", in: "[<<]>>]TJ [>>]TJ", want: "TJ[[<<]>>]] TJ[[>>]]"},
	{name: "depth beyond 64", in: strings.Repeat("[", 100) + strings.Repeat("]", 100) + "TJ",
		want: "TJ[" + strings.Repeat("[", 100) + strings.Repeat("]", 100) + "]"},
	{name: "more operands than are kept", in: strings.Repeat("1 ", 128) + "2 m",
		want: "m" + strings.Repeat("[1]", 64) + "[2]", damaged: "too many operands 0-259"},

	// Inline images, 8.9.7.
	{name: "image of one byte", in: "q BI /W 1 /H 1 /CS /G /BPC 8 ID x EI Q", want: "q BI{x} Q"},
	{name: "image without data", in: "BI /W 1 EI Q", want: "BI{} Q", damaged: "inline image without data 0-10"},
	{name: "image not closed", in: "q BI /W 9 ID abc Q", want: "q BI{abc Q}", damaged: "inline image not closed 2-18"},
	{name: "image dictionary not closed", in: "q BI /W (9", want: "q BI{}", damaged: "inline image without data 2-10"},
	{name: "operands before an image", in: "7 BI ID EI", want: "BI[7]{}", damaged: "end of inline image guessed 2-10"},
}

func TestScanner(t *testing.T) {
	for _, c := range scanCases {
		t.Run(c.name, func(t *testing.T) {
			s := NewScanner([]byte(c.in))
			if diff := cmp.Diff(c.want, describe(s)); diff != "" {
				t.Errorf("operations (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(c.damaged, damage([]byte(c.in))); diff != "" {
				t.Errorf("damage (-want +got):\n%s", diff)
			}
		})
	}
}

func describe(s *Scanner) string {
	var all []string
	var op Operation
	for s.Next(&op) {
		text := op.Op.String()
		if op.Op == OpUnknown {
			text += keyword(&op)
		}
		for _, e := range op.Operands {
			text += "[" + string(op.RawOf(e)) + "]"
		}
		if op.Op == OpInlineImage {
			text += "{" + string(s.data[op.Inline.DataStart:op.Inline.DataEnd]) + "}"
		}
		all = append(all, text)
	}
	return strings.Join(all, " ")
}

// keyword is the operator as it stands in the stream, "BI" for an inline image.
func keyword(op *Operation) string {
	if op.Op == OpInlineImage {
		return string(op.data[op.word : op.word+len("BI")])
	}
	return string(op.data[op.word:op.End])
}

// damage says what of a stream is no operation as it should be, as far as the
// scanner lets one tell: by what it passes over and by what it makes of the rest.
func damage(data []byte) string {
	var all []string
	add := func(what string, start, end int) { all = append(all, fmt.Sprintf("%s %d-%d", what, start, end)) }
	stray := [2]int{-1, -1}
	// tokens goes through what stands before an operator.
	tokens := func(i, end int) (first int) {
		first = -1
		for i = skipSpace(data[:end], i); i < end; i = skipSpace(data[:end], i) {
			kind, next, ok := lexOperand(data, i)
			switch {
			case kind == 0 && stray[1] == i:
				all = all[:len(all)-1]
				stray[1] = next
				add("stray bytes", stray[0], next)
			case kind == 0:
				stray = [2]int{i, next}
				add("stray bytes", i, next)
			case !ok:
				add("operand not closed", i, next)
			}
			if kind != 0 && first < 0 {
				first = i
			}
			i = next
		}
		return first
	}
	var op Operation
	at := 0
	for s := NewScanner(data); s.Next(&op); at = op.End {
		tokens(at, op.word)
		switch in := op.Inline; {
		case op.Op != OpInlineImage:
		case in.DataStart == in.Dict.End || !bytes.HasPrefix(data[in.Dict.End:], []byte("ID")):
			add("inline image without data", op.word, op.End)
		case in.DataEnd == op.End:
			add("inline image not closed", op.word, op.End)
		case !in.Exact:
			add("end of inline image guessed", op.word, op.End)
		}
		if len(op.Operands) > 0 && op.Operands[0].Start != op.Start {
			add("too many operands", op.Start, op.End)
		}
	}
	if first := tokens(at, len(data)); first >= 0 {
		add("operands without an operator", first, len(data))
	}
	return strings.Join(all, ", ")
}

// Bytes that are no token cost nothing, however many there are.
func TestScannerPassesOverStrayBytes(t *testing.T) {
	data := []byte(strings.Repeat(") q ", 5000))
	s := NewScanner(data)
	var op Operation
	var n int
	allocs := testing.AllocsPerRun(1, func() {
		s.Reset(data)
		for n = 0; s.Next(&op); n++ {
		}
	})
	if n != 5000 || allocs != 0 {
		t.Errorf("%d operations with %v allocations, want 5000 with none", n, allocs)
	}
}

func TestScannerAllocs(t *testing.T) {
	data := benchmarkStream(2000)
	s := NewScanner(data)
	var op Operation
	var n int
	got := testing.AllocsPerRun(10, func() {
		s.pos = 0
		for s.Next(&op) {
			n++
			if v, ok := op.Float(0); ok && v < 0 {
				n++
			}
		}
	})
	if got != 0 {
		t.Errorf("%v allocations in %d operations, want 0", got, n)
	}
}

// checkScan holds what must be true of the operations of any stream: they are
// in order, do not overlap, contain their operands, leave out nothing but bytes
// that are no token and operands at the end, and each alone reads as it does in
// its place.
func checkScan(t *testing.T, data []byte) {
	t.Helper()
	before := string(data)
	s := NewScanner(data)
	var op Operation
	at := 0
	for s.Next(&op) {
		if op.Start < at || op.End <= op.Start || op.End > len(data) {
			t.Fatalf("span %d-%d after %d of %d", op.Start, op.End, at, len(data))
		}
		checkGap(t, data, at, op.Start)
		checkOperands(t, &op)
		checkAlone(t, &op)
		readAll(&op)
		at = op.End
	}
	checkGap(t, data, at, len(data))
	if string(data) != before {
		t.Fatal("the input was written to")
	}
}

func checkGap(t *testing.T, data []byte, from, to int) {
	t.Helper()
	for i := skipSpace(data[:to], from); i < to; i = skipSpace(data[:to], i) {
		kind, end, _ := lexOperand(data[:to], i)
		operator := kind == Keyword && !isLiteral(data[i:end])
		if kind != 0 && (operator || to < len(data)) {
			t.Fatalf("byte %d (%q) is in no operation", i, data[i])
		}
		i = end
	}
}

func checkOperands(t *testing.T, op *Operation) {
	t.Helper()
	at := op.Start
	for _, e := range op.Operands {
		if e.Start < at || e.End <= e.Start || e.End > op.word || e.Kind == 0 {
			t.Fatalf("operand %v in operation %d-%d with operator at %d", e, op.Start, op.End, op.word)
		}
		at = e.End
	}
	in := op.Inline
	if op.Op == OpInlineImage &&
		(in.Dict.Start < op.word || in.DataStart < in.Dict.End || in.DataEnd < in.DataStart || in.DataEnd > op.End) {
		t.Fatalf("inline image %+v in operation %d-%d", in, op.Start, op.End)
	}
}

func checkAlone(t *testing.T, op *Operation) {
	t.Helper()
	if op.Op == OpInlineImage && !op.Inline.Exact {
		return // a guess looks at what follows
	}
	s := NewScanner(op.Raw())
	var alone Operation
	if !s.Next(&alone) || alone.Op != op.Op || string(alone.Raw()) != string(op.Raw()) ||
		!cmp.Equal(shifted(&alone, op.Start), op.Operands) || alone.Count() != op.Count() {
		t.Fatalf("%q alone reads as %v %v", op.Raw(), alone.Op, alone.Operands)
	}
	if s.Next(&alone) {
		t.Fatalf("%q alone is more than one operation", op.Raw())
	}
}

func shifted(op *Operation, by int) []Operand {
	moved := []Operand{}
	for _, e := range op.Operands {
		moved = append(moved, Operand{e.Kind, e.Start + by, e.End + by})
	}
	return moved
}

// readAll calls all accessors, nested operands included: none may panic.
func readAll(op *Operation) {
	budget := 1000
	var read func(e Operand) bool
	read = func(e Operand) bool {
		op.RawOf(e)
		op.FloatOf(e)
		op.NameOf(e)
		op.BytesOf(e)
		op.ElementsOf(e, read)
		op.EntriesOf(e, func(_ string, e Operand) bool { return read(e) })
		budget--
		return budget > 0
	}
	for i := range op.Count() + 1 {
		e, _ := op.Operand(i)
		read(e)
	}
	read(op.Inline.Dict)
}

func TestScannerInvariants(t *testing.T) {
	for _, c := range scanCases {
		t.Run(c.name, func(t *testing.T) { checkScan(t, []byte(c.in)) })
	}
	t.Run("random tokens", func(t *testing.T) {
		tokens := strings.Split("[|]|<<|>>|<|>|(|)|%|\n| |/N|1|-.5|q|Q|BI|ID|EI|/F|/Fl|/RL|/A85|~>|Tj|\x00|\x80|true|\\", "|")
		random := rand.New(rand.NewPCG(1, 2))
		for range 3000 {
			var b strings.Builder
			for range random.IntN(40) {
				b.WriteString(tokens[random.IntN(len(tokens))])
				if random.IntN(2) == 0 {
					b.WriteByte(' ')
				}
			}
			checkScan(t, []byte(b.String()))
		}
	})
}

func FuzzScanner(f *testing.F) {
	for _, c := range scanCases {
		f.Add([]byte(c.in))
	}
	for _, c := range inlineCases {
		f.Add([]byte(c.stream()))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		checkScan(t, data)
		compareSegments(t, string(data))
	})
}

// benchmarkStream is a drawing of n lines and curves, as pattern software
// writes it.
func benchmarkStream(n int) []byte {
	var b strings.Builder
	random := rand.New(rand.NewPCG(3, 4))
	v := func() string { return fmt.Sprintf("%.3f ", random.Float64()*2000) }
	b.WriteString("q 1 0 0 1 36 36 cm 0.5 w [6 2] 0 d 1 0 0 RG\n")
	for i := range n {
		switch {
		case i%10 == 9:
			b.WriteString(v() + v() + v() + v() + v() + v() + "c\n")
		case i%50 == 0:
			b.WriteString("S\n" + v() + v() + "m\n")
		default:
			b.WriteString(v() + v() + "l\n")
		}
	}
	b.WriteString("S Q\n")
	return []byte(b.String())
}

func BenchmarkScanner(b *testing.B) {
	data := benchmarkStream(50_000)
	b.Run("spans", func(b *testing.B) { benchmarkScan(b, data, func(*Operation) {}) })
	b.Run("numbers", func(b *testing.B) {
		var v [6]float64
		benchmarkScan(b, data, func(op *Operation) { op.Floats(v[:op.Count()]) })
	})
	b.Run("machine", func(b *testing.B) {
		m := NewMachine(Identity(), Everywhere())
		benchmarkScan(b, data, m.Apply)
	})
	b.Run("segments", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			s := NewScanner(data)
			m, op, seg := NewMachine(Identity(), Everywhere()), Operation{}, Segment{}
			for more := true; more; {
				for s.NextSegment(&seg, m.State.CTM) {
					m.Path.Add(&seg)
				}
				if more = s.Next(&op); more {
					m.Apply(&op)
				}
			}
		}
	})
}

func benchmarkScan(b *testing.B, data []byte, each func(*Operation)) {
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	var op Operation
	for b.Loop() {
		for s := NewScanner(data); s.Next(&op); {
			each(&op)
		}
	}
}

// TestSkipPath: what is skipped is what Next would have given, all of it path
// construction, and Next goes on behind it.
func TestSkipPath(t *testing.T) {
	for _, c := range []struct {
		name, in string
		skipped  string
	}{
		{"curves", " 1 2 m\n3 4 5 6 7 8 c S", "1 2 m\n3 4 5 6 7 8 c"},
		{"all operators", "1 2 m 3 4 l 1 2 3 4 5 6 c 1 2 3 4 v 1 2 3 4 y h 1 2 3 4 re n", "1 2 m 3 4 l 1 2 3 4 5 6 c 1 2 3 4 v 1 2 3 4 y h 1 2 3 4 re"},
		{"numbers of odd forms", "-.5 +3 m 6-3 1.2.3 l f", "-.5 +3 m 6-3 1.2.3 l"},
		{"a number too few", "1 2 m 3 l", "1 2 m"},
		{"a number too many", "1 2 m 3 4 5 l", "1 2 m"},
		{"none at all", "1 2 m l", "1 2 m"},
		{"numbers where none belong", "1 2 m 3 h", "1 2 m"},
		{"no space before an operator", "1 2 m 3 4l S", "1 2 m"},
		{"the operands of what follows stay", "1 2 l 3 w", "1 2 l"},
		{"an operator that begins alike", "1 2 m 3 cm", "1 2 m"},
		{"an unknown word", "1 2 m 3 ret", "1 2 m"},
		{"a word of one letter", "1 2 m 3 r", "1 2 m"},
		{"other operands", "1 2 m (x) l", "1 2 m"},
		{"a comment", "1 2 m % c\n3 4 l", "1 2 m"},
		{"a delimiter behind", "1 2 m 3 4 l/N gs", "1 2 m"},
		{"the end behind", "1 2 m 3 4 l", "1 2 m"},
		{"nothing", "", ""},
		{"no path", "q Q", ""},
	} {
		s := NewScanner([]byte(c.in))
		start, end := s.SkipPath()
		if got := c.in[start:end]; got != c.skipped {
			t.Errorf("%s: %q is skipped, not %q", c.name, got, c.skipped)
		}
		compareSkipped(t, c.in)
	}
}

// TestSkipPainted: what clips is not passed over.
func TestSkipPainted(t *testing.T) {
	for _, c := range []struct{ in, next string }{
		{"1 2 m 3 4 l S q", "S"},
		{"1 2 m 3 4 l\n f* q", "f*"},
		{"1 2 m 3 4 l n", "n"},
		{"S", "S"},
		{"1 2 m 3 4 l W n", "1 2 m"},
		{"1 2 m 3 4 l", "1 2 m"},
		{"1 2 m 3 4 l % c\nS", "S"},
		{"1 2 m 3 4 l 5 w", "1 2 m"},
	} {
		s := NewScanner([]byte(c.in))
		skipped := s.SkipPainted()
		var op Operation
		if s.Next(&op); string(op.Raw()) != c.next || skipped != (op.Op.Class() == ClassPaint) {
			t.Errorf("%q: %v, and %q is next, not %q", c.in, skipped, op.Raw(), c.next)
		}
	}
}

// TestSkipPathRandom does the same for random streams.
func TestSkipPathRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	words := strings.Fields("1 -2 .5 m l c v y h re S n W w (x) /N [1] % r e cm 1.2.3 5l <</A 1>> BI ID EI")
	for range 2000 {
		var b strings.Builder
		for range r.IntN(30) {
			b.WriteString(words[r.IntN(len(words))])
			b.WriteString([]string{" ", "\n", "", "\r"}[r.IntN(4)])
		}
		compareSkipped(t, b.String())
	}
}

// compareSkipped compares the operations of a stream with those of Next and
// SkipPath in turn, the skipped ones read from their span.
func compareSkipped(t *testing.T, in string) {
	t.Helper()
	var want, got []string
	var op Operation
	for s := NewScanner([]byte(in)); s.Next(&op); {
		want = append(want, string(op.Raw()))
	}
	for s := NewScanner([]byte(in)); s.Next(&op); {
		got = append(got, string(op.Raw()))
		start, end := s.SkipPath()
		for part := NewScanner([]byte(in)[start:end]); part.Next(&op); {
			if got = append(got, string(op.Raw())); op.Op.Class() != ClassPath {
				t.Errorf("%q: %q is skipped", in, op.Raw())
			}
		}
	}
	if strings.Join(want, "|") != strings.Join(got, "|") {
		t.Errorf("%q: %q, not %q", in, got, want)
	}
}

// TestSkipPathAllocates nothing.
func TestSkipPathAllocates(t *testing.T) {
	data := benchmarkStream(1000)
	if n := testing.AllocsPerRun(10, func() {
		s := Scanner{data: data}
		s.SkipPath()
	}); n > 0 {
		t.Errorf("%v allocations", n)
	}
}

// TestFits: the operands of an operator are those of Annex A of ISO 32000-1.
func TestFits(t *testing.T) {
	for _, c := range []struct {
		fits bool
		ops  string // an operation a line
	}{
		{true, "q\n1 0 0 1 -2.5 +.5 cm\n1 w\n[1 2] 0 d\n/N gs\n1 2 m\nh\n1 2 3 4 re\nf\n.1 .2 .3 rg\n/P scn\n1 2 /P SCN\n0 sc\n" +
			"/N Do\nBT\n/F 9 Tf\n(a) Tj\n<61> Tj\n[(a) 1] TJ\n1 2 (a) \"\n(a) '\nT*\n/N BMC\n/N /M BDC\n/N <</A 1>> DP\n" +
			"EMC\n1 (a) /N unknown\nBI /W 1 /H 1 /BPC 8 /CS /G ID x EI"},
		{false, "1 q\n1 0 0 1 2 cm\n1 1 0 0 1 2 3 cm\nw\n(a) w\n/N w\n1 gs\n(a) 9 Tf\n9 /F Tf\n1 Tj\n(a) TJ\n1 (a) \"\n/N BDC\nBDC\n" +
			"/N 3 BDC\n(a) /N BDC\n1 EMC\n/P sc\n/P 1 scn\nscn\n1 2 (a) scn\n6-3 w\n--5 w\n- w\n. w\ntrue w\n1 2 3 4 5 re\n1 BI /W 1 ID x EI"},
	} {
		for line := range strings.Lines(c.ops) {
			s := NewScanner([]byte(line))
			var op Operation
			if !s.Next(&op) || op.Fits() != c.fits {
				t.Errorf("%q fits: %t", line, op.Fits())
			}
		}
	}
}

// TestStray: a number is followed by white space or a delimiter.
func TestStray(t *testing.T) {
	for in, at := range map[string]int{
		"1 2 m": -1, "1 w/N gs": -1, "[1(a)2]TJ": -1, "1%\n w": -1,
		"1w": 0, "1 2m": 2, "1 2.3.4 m": 2, "1 2+3 m": 2, ") q": 0, "q 1": 2, "q (": 2,
	} {
		s := NewScanner([]byte(in))
		var op Operation
		for s.Next(&op) {
		}
		if got, found := s.Stray(); got != at || found != (at >= 0) {
			t.Errorf("%q has stray bytes at %d, %t, want %d", in, got, found, at)
		}
	}
}
