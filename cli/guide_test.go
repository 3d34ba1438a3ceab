package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers/pattern/check"
)

// TestGuide runs the commands of the guide for sewists in its own order, with
// the chart that it shows, and compares what they say with what it says.
func TestGuide(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	runGuide(t, "from-download-to-paper.md", 4)
	for _, name := range []string{"preview.html", "mine.pdf", filepath.Join("print", "skirt-14.pdf")} {
		if _, err := os.Stat(name); err != nil {
			t.Error(err)
		}
	}
}

// TestGuideForDesigners does the same with the guide for designers.
func TestGuideForDesigners(t *testing.T) {
	guide := runGuide(t, "name-your-layers.md", 4)
	for _, r := range check.Rules() {
		if !strings.Contains(guide, "`"+r.ID+"`") {
			t.Errorf("the guide does not name %s", r.ID)
		}
	}
	if _, err := os.Stat("mine.pdf"); err != nil {
		t.Error(err)
	}
}

// runGuide runs the commands of a guide in a folder of its own, and holds what
// they say against the text that follows them. It returns the guide.
func runGuide(t *testing.T, name string, want int) string {
	t.Helper()
	guide, err := os.ReadFile(filepath.Join("..", "examples", name))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for name, from := range map[string]string{"skirt.pdf": "tollmere-skirt.pdf", "skirt-a4.pdf": "tollmere-skirt-a4.pdf", "skirt-print.pdf": "tollmere-skirt-print.pdf"} {
		if files[name], err = os.ReadFile(filepath.Join("..", "testdata", from)); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(t.TempDir())
	for name, data := range files {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	said, commands := "", 0
	for _, block := range regexp.MustCompile("(?s)```(\\w+)\n(.*?)```").FindAllStringSubmatch(string(guide), -1) {
		switch block[1] {
		case "yaml":
			if err := os.WriteFile("skirt.yaml", []byte(block[2]), 0o666); err != nil {
				t.Fatal(err)
			}
		case "sh":
			commands++
			said = runLine(t, strings.TrimSpace(block[2]))
		case "text":
			if said != block[2] {
				t.Errorf("the command says\n%s\nand the guide\n%s", said, block[2])
			}
		}
	}
	if commands != want {
		t.Errorf("%d commands were run, want %d", commands, want)
	}
	return string(guide)
}

// runLine runs one command, whose words have no spaces, and returns all it
// says.
func runLine(t *testing.T, line string) string {
	t.Helper()
	var out bytes.Buffer
	if status := Run(context.Background(), strings.Fields(line), strings.NewReader(""), &out, &out); status != 0 {
		t.Fatalf("%s: status %d\n%s", line, status, &out)
	}
	return out.String()
}
