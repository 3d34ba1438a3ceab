package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestGuide runs the commands of the guide for sewists in its own order, with
// the chart that it shows, and compares what they say with what it says.
func TestGuide(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	guide, err := os.ReadFile("../examples/from-download-to-paper.md")
	if err != nil {
		t.Fatal(err)
	}
	skirt, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.WriteFile("skirt.pdf", skirt, 0o666); err != nil {
		t.Fatal(err)
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
	if commands != 4 {
		t.Errorf("%d commands were run, want 4", commands)
	}
	for _, name := range []string{"preview.html", "mine.pdf", filepath.Join("print", "skirt-14.pdf")} {
		if _, err := os.Stat(name); err != nil {
			t.Error(err)
		}
	}
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
