package pdf

import (
	"fmt"
	"strings"
	"testing"
)

// TestLargeNumbers: a number that no type holds keeps its digits, and counts for
// the largest that readers take where it is beyond that.
func TestLargeNumbers(t *testing.T) {
	for text, want := range map[string]struct {
		object Object
		value  float64
	}{
		"9223372036854775807":                 {Integer(9223372036854775807), 9223372036854775807},
		"9223372036854775808":                 {Numeral("9223372036854775808"), largest},
		"+200000000000000000000":              {Numeral("200000000000000000000"), largest},
		"-99999999999999999999":               {Numeral("-99999999999999999999"), -largest},
		"12345678901234567890.5":              {Numeral("12345678901234567890.5"), largest},
		"1" + strings.Repeat("0", 400) + ".5": {Numeral("1" + strings.Repeat("0", 400) + ".5"), largest},
		"30000000000.5":                       {Real(30000000000.5), 30000000000.5},
		"0.333333333333333333333":             {Numeral("0.333333333333333333333"), 1. / 3},
		"-.333333333333333333333":             {Numeral("-.333333333333333333333"), -1. / 3},
		"000000000000000000000.5":             {Real(.5), .5},
		"-0.50000000000000000000":             {Real(-.5), -.5},
		"12.000000000000000000":               {Real(12), 12},
		"0.30000000000000004":                 {Real(0.30000000000000004), 0.30000000000000004},
	} {
		p := parser{lexer: lexer{data: []byte(text)}}
		got, err := p.object(0)
		if err != nil || got != want.object {
			t.Errorf("%s: %v (%v), want %v", text, got, err, want.object)
		}
		if v, ok := AsNumber(noObjects{}, got); !ok || v != want.value {
			t.Errorf("%s counts for %v, want %v", text, v, want.value)
		}
		s := serialiser{}
		if err := s.append(got, 0); err != nil || fmt.Sprintf("%T", got) == "pdf.Numeral" && string(s.buf) != strings.TrimPrefix(text, "+") {
			t.Errorf("%s is written %q (%v)", text, s.buf, err)
		}
	}
}
