package font

import (
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A name of a file goes into a sentence on one line, whatever its bytes.
func TestShown(t *testing.T) {
	for name, want := range map[pdf.Name]string{
		"Tollmere Sans":                        "Tollmere Sans",
		"":                                     `""`,
		"a\nb\xff":                             `"a\nb\xff"`,
		pdf.Name(strings.Repeat("x", 1000000)): strings.Repeat("x", 60) + "...",
	} {
		if got := shown(name); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}
