package content

import (
	"bytes"
	"compress/lzw"
	"compress/zlib"
	"encoding/ascii85"
	"encoding/hex"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// trap is image data that looks like the end of an image and what follows it.
const trap = "ab EI Q q 1 0 0 1 0 0 cm\n EI S"

type inlineCase struct {
	name string
	dict string
	data string
	tail string // behind the data, " EI Q" if empty
	want bool   // measured, else guessed
}

// inlineCases have data that contains EI between white space, with operators
// behind it.
var inlineCases = []inlineCase{
	{name: "grey", dict: "/W 15 /H 2 /BPC 8 /CS /G", data: trap, want: true},
	{name: "keys and values in full", dict: "/Width 15 /Height 2 /BitsPerComponent 8 /ColorSpace /DeviceGray", data: trap, want: true},
	{name: "RGB", dict: "/W 5 /H 2 /BPC 8 /CS /RGB", data: trap, want: true},
	{name: "CMYK, rows end at a byte", dict: "/W 7 /H 2 /BPC 4 /CS /CMYK", data: trap[:28], want: true},
	{name: "mask, one bit", dict: "/W 17 /H 10 /IM true", data: trap, want: true},
	{name: "Indexed", dict: "/W 29 /H 2 /BPC 4 /CS [/I /RGB 1 <000000ffffff>]", data: trap, want: true},
	{name: "named space", dict: "/W 5 /H 3 /BPC 8 /CS /Two", data: trap, want: true},
	{name: "no white space before EI", dict: "/W 15 /H 2 /BPC 8 /CS /G", data: trap, tail: "EI Q", want: true},
	{name: "end of line before EI", dict: "/W 15 /H 2 /BPC 8 /CS /G", data: trap, tail: "\r\nEI\rQ", want: true},
	{name: "EI at the end of the stream", dict: "/W 15 /H 2 /BPC 8 /CS /G", data: trap, tail: "\nEI", want: true},
	{name: "no filter in an array", dict: "/W 15 /H 2 /BPC 8 /CS /G /F []", data: trap, want: true},
	{name: "length of PDF 2.0", dict: "/L 30 /F /CCF", data: trap, want: true},
	{name: "hexadecimal", dict: "/F /AHx", data: hex.EncodeToString([]byte(trap)) + " >", want: true},
	{name: "ASCII 85", dict: "/F [/A85 /Fl]", data: "%EI EI EI Q zz~>", want: true},
	{name: "ASCII 85 with broken end mark", dict: "/F /ASCII85Decode", data: ascii85Of(trap) + "~\n>", want: true},
	{name: "run length", dict: "/F /RL", data: "\x1d" + trap + "\xfea\x80", want: true},
	{name: "zlib", dict: "/F /Fl", data: zlibOf(trap), want: true},
	{name: "zlib, stored", dict: "/F [/FlateDecode]", data: storedOf(trap), want: true},
	{name: "zlib without checksum", dict: "/F /Fl", data: storedOf(trap)[:len(storedOf(trap))-4], want: true},
	{name: "LZW, example of 7.4.4.2", dict: "/F /LZW", data: "\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01", want: true},
	{name: "LZW, code length grows early", dict: "/F /LZW", data: earlyLZW(3800), want: true},
	{name: "LZW, code length grows late", dict: "/F /LZW /DP <</EarlyChange 0>>", data: lzwOf(5000), want: true},
	{name: "JPEG", dict: "/F /DCT", data: jpegOf(trap), want: true},

	{name: "fax data cannot be measured", dict: "/F /CCF /W 9 /H 1", data: "\x80 EI \x01\x02EI", want: false},
	{name: "colour space unknown", dict: "/W 9 /H 9 /BPC 8 /CS /Unknown", data: "\x80 EI ~\x80\xff", want: false},
	{name: "surplus byte behind the image", dict: "/W 15 /H 2 /BPC 8 /CS /G", data: trap + "!", want: false},
	{name: "size too large", dict: "/W 999999999 /H 999999999 /BPC 8 /CS /G", data: "ab", want: false},
	{name: "not zlib", dict: "/F /Fl", data: "ab", want: false},
	{name: "zlib broken", dict: "/F /Fl", data: "\x78\x9c\xff\xff", want: false},
	{name: "EI glued to the data", dict: "/F /CCF", data: "\x80\x81", tail: "EI\nQ", want: false},
}

func (c *inlineCase) stream() string {
	tail := c.tail
	if tail == "" {
		tail = " EI Q"
	}
	return "q BI " + c.dict + " ID " + c.data + tail
}

func TestInlineImage(t *testing.T) {
	for _, c := range inlineCases {
		t.Run(c.name, func(t *testing.T) {
			in := c.stream()
			s := NewScanner([]byte(in))
			s.ColourComponents = func(name string) (int, bool) { return 2, name == "Two" }
			var op Operation
			s.Next(&op)
			if !s.Next(&op) || op.Op != OpInlineImage {
				t.Fatalf("got %v, want an inline image", op.Op)
			}
			if op.Inline.Exact != c.want {
				t.Errorf("measured: %v, want %v", op.Inline.Exact, c.want)
			}
			if diff := cmp.Diff(c.data, in[op.Inline.DataStart:op.Inline.DataEnd]); diff != "" {
				t.Errorf("data (-want +got):\n%s", diff)
			}
			if !strings.HasSuffix(string(op.Raw()), "EI") || keyword(&op) != "BI" {
				t.Errorf("operation is %q with operator %q", op.Raw(), keyword(&op))
			}
			if more := s.Next(&op); more != strings.HasSuffix(in, "Q") || more && op.Op != OpRestore {
				t.Errorf("image is followed by %v (%v)", op.Op, more)
			}
		})
	}
}

// A line break of two bytes after ID is not what 8.9.7 says, but occurs.
func TestInlineImageAfterCRLF(t *testing.T) {
	for _, in := range []string{
		"BI /W 3 /H 1 /BPC 8 /CS /G ID\r\nabc EI",
		"BI /W 4 /H 1 /BPC 8 /CS /G ID\r\nabc EI", // the line feed is data
	} {
		s := NewScanner([]byte(in))
		var op Operation
		s.Next(&op)
		data := in[op.Inline.DataStart:op.Inline.DataEnd]
		if want := strings.TrimPrefix("\nabc", strings.Repeat("\n", 4-int(in[6]-'0'))); data != want || !op.Inline.Exact {
			t.Errorf("%q: data %q, measured %v, want %q", in, data, op.Inline.Exact, want)
		}
	}
}

func TestInlineImageDict(t *testing.T) {
	s := NewScanner([]byte("BI /W 3 /IM true%\n/D[1 0] /CS/G ID abc EI"))
	var op Operation
	s.Next(&op)
	var got []string
	op.EntriesOf(op.Inline.Dict, func(key string, value Operand) bool {
		got = append(got, key+"="+string(op.RawOf(value)))
		return true
	})
	if diff := cmp.Diff([]string{"W=3", "IM=true", "D=[1 0]", "CS=/G"}, got); diff != "" {
		t.Errorf("entries (-want +got):\n%s", diff)
	}
}

// Streams made so that each image is searched to the end of the stream must
// not cost more than the budget: without it these take minutes.
func TestInlineImageBudget(t *testing.T) {
	for name, unit := range map[string]string{
		"run length": "BI /F /RL ID EI q ",
		"ASCII 85":   "BI /F /A85 ID EI q ",
		"glued EI":   "BI ID xEI q ",
		"too long":   "BI /W 1 /H 30 /BPC 8 /CS /G ID xEI q ",
		"zlib bomb":  "BI /F /Fl ID " + zlibOf(strings.Repeat("\x00", 1<<20)) + "\x00 EI q ",
	} {
		t.Run(name, func(t *testing.T) {
			n := 4_000_000 / len(unit)
			s := NewScanner([]byte(strings.Repeat(unit, n)))
			s.measure.budget = 1 << 24
			var op Operation
			found := 0
			for s.Next(&op) {
				found++
			}
			if found < n {
				t.Errorf("%d operations, want at least %d", found, n)
			}
			if s.measure.budget < -(1 << 24) {
				t.Errorf("budget overdrawn to %d", s.measure.budget)
			}
		})
	}
}

func ascii85Of(s string) string {
	dst := make([]byte, ascii85.MaxEncodedLen(len(s)))
	return string(dst[:ascii85.Encode(dst, []byte(s))])
}

func zlibOf(s string) string { return zlibLevel(s, zlib.BestCompression) }

// storedOf has the text in it as it is.
func storedOf(s string) string { return zlibLevel(s, zlib.NoCompression) }

func zlibLevel(s string, level int) string {
	var b bytes.Buffer
	w, _ := zlib.NewWriterLevel(&b, level)
	_, _ = w.Write([]byte(s))
	_ = w.Close()
	return b.String()
}

// lzwOf encodes random bytes, enough to go through all code lengths. The
// package writes codes as EarlyChange 0 wants them.
func lzwOf(n int) string {
	random := rand.New(rand.NewPCG(5, 6))
	var b bytes.Buffer
	w := lzw.NewWriter(&b, lzw.MSB, 8)
	for range n {
		_, _ = w.Write([]byte{byte(random.IntN(256))})
	}
	_ = w.Close()
	return b.String()
}

// earlyLZW writes n literals, changing the code length as TIFF 6.0, section 13,
// tells an encoder to (from memory): when table entry 511, 1023 or 2047 is
// added. The first literal adds entry 258.
func earlyLZW(n int) string {
	var out []byte
	var bits, have uint
	put := func(code, width uint) {
		bits, have = bits<<width|code, have+width
		for ; have >= 8; have -= 8 {
			out = append(out, byte(bits>>(have-8)))
		}
	}
	width := uint(9)
	put(256, width)
	for entry := 258; entry < 258+n; entry++ {
		put(uint(entry*7%256), width)
		if entry == 511 || entry == 1023 || entry == 2047 {
			width++
		}
	}
	put(257, width)
	put(0, (8-have)%8)
	return string(out)
}

// jpegOf is a JPEG file with the text in a comment segment (marker FE), behind
// SOI.
func jpegOf(comment string) string {
	var b bytes.Buffer
	picture := image.NewGray(image.Rect(0, 0, 64, 64))
	random := rand.New(rand.NewPCG(7, 8))
	for i := range picture.Pix {
		picture.Pix[i] = byte(random.IntN(256))
	}
	_ = jpeg.Encode(&b, picture, &jpeg.Options{Quality: 100})
	file := b.String()
	return file[:2] + "\xff\xfe\x00" + string(rune(2+len(comment))) + comment + file[2:]
}
