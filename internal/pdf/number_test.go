package pdf

import "testing"

// TestLargeNumbers: a number beyond what readers take is written as the
// largest that they do, and read again as that.
func TestLargeNumbers(t *testing.T) {
	for text, want := range map[string]Object{
		"9223372036854775807":    Integer(9223372036854775807),
		"9223372036854775808":    Real(largest),
		"200000000000000000000":  Real(largest),
		"-99999999999999999999":  Real(-largest),
		"12345678901234567890.5": Real(largest),
		"30000000000.5":          Real(30000000000.5),
	} {
		p := parser{lexer{data: []byte(text)}}
		got, err := p.object(0)
		if err != nil || got != want {
			t.Errorf("%s: %v (%v), want %v", text, got, err, want)
		}
	}
	if got := string(appendReal(nil, largest)); got != "9000000000000000000.0" {
		t.Errorf("the largest number is written %q", got)
	}
}
