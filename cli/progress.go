package cli

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"github.com/sizeply/sizeply/layers"
)

// meter shows on a terminal how far long work on a file has come. A nil meter
// shows nothing: that is what pipes and files get.
type meter struct {
	out  io.Writer
	file string
	step string
	bar  *progressbar.ProgressBar
}

// meter makes one where standard error is a terminal that can go back on a
// line. The caller clears it.
func (p *program) meter(file string) *meter {
	f, ok := p.err.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return nil
	}
	return &meter{out: f, file: printable(file)}
}

// progress is the callback for the library.
func (m *meter) progress() func(layers.Progress) {
	if m == nil {
		return nil
	}
	words := map[string]string{"isolate": "choosing", "verify": "checking"}
	return func(at layers.Progress) { m.at(words[at.Step], at.Page, at.Pages) }
}

// at shows how many pages of a step are done.
func (m *meter) at(step string, done, of int) {
	if m == nil {
		return
	}
	if m.bar == nil || m.step != step {
		m.clear()
		m.step = step
		m.bar = progressbar.NewOptions(of,
			progressbar.OptionSetWriter(m.out), progressbar.OptionUseANSICodes(true), progressbar.OptionSetWidth(16),
			progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString("pages"),
			progressbar.OptionSetPredictTime(true), progressbar.OptionThrottle(80*time.Millisecond),
			progressbar.OptionSetRenderBlankState(true), progressbar.OptionSetDescription(m.file+": "+step))
	}
	_ = m.bar.Set(done)
}

// say shows what is being done where nothing can be counted.
func (m *meter) say(text string) {
	if m == nil {
		return
	}
	m.clear()
	fmt.Fprintf(m.out, "\r%s: %s", m.file, text)
}

// clear takes the line away.
func (m *meter) clear() {
	if m == nil {
		return
	}
	m.bar, m.step = nil, ""
	fmt.Fprint(m.out, "\r\x1b[K")
}
