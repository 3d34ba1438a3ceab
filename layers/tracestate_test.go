package layers

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/content"
)

// traceState is the graphics state.
type traceState struct {
	ctm          content.Matrix
	clip         string
	fill, stroke string
	space        [2]string
	line         map[string]string // line and other simple parameters, those of gs too
	font         *traceFont
	size         float64
	tc, tw, th   float64
	tl, rise     float64
	mode         int
	groups       string
}

func newTraceState() traceState {
	return traceState{
		ctm: content.Identity(), fill: "g 0", stroke: "G 0", th: 1, space: [2]string{"DeviceGray", "DeviceGray"},
		line: map[string]string{"LW": "1", "LC": "0", "LJ": "0", "ML": "10", "D": "[] 0", "FL": "0", "RI": "RelativeColorimetric",
			"SMask": "None", "BM": "Normal", "CA": "1", "ca": "1"},
	}
}

func (s traceState) with(k, v string) traceState {
	line := map[string]string{}
	for k, v := range s.line {
		line[k] = v
	}
	line[k] = v
	s.line = line
	return s
}

// params are the parameters that every mark needs, and others, in words.
func (s *traceState) params(keys ...string) string {
	var b strings.Builder
	for _, k := range append([]string{"SMask", "BM", "AIS", "TR", "OP", "op", "OPM", "RI", "SM"}, keys...) {
		fmt.Fprintf(&b, "%s=%s ", k, s.line[k])
	}
	return b.String() + "clip=" + s.clip + " in=" + s.groups
}

func (s *traceState) filled() string { return "fill " + s.fill + " " + s.params("ca", "FL") }
func (s *traceState) stroked() string {
	return "stroke " + s.stroke + " " + s.params("CA", "FL", "LW", "LC", "LJ", "ML", "D", "SA")
}

func hashed(s string) string {
	sum := sha256.Sum256([]byte(s))
	return fmt.Sprintf("%x", sum[:6])
}
