package golden

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestEqual(t *testing.T) { Equal(t, "lines.golden", []byte("one\ntwo\n")) }

func TestCompare(t *testing.T) {
	cases := []struct {
		name, path, got, want string
	}{
		{"equal", "testdata/lines.golden", "one\ntwo\n", ""},
		{"other line", "testdata/lines.golden", "one\nTWO\n", "differs"},
		{"other line ends", "testdata/lines.golden", "one\r\ntwo\r\n", "differs"},
		{"longer", "testdata/lines.golden", "one\ntwo\n\n", "differs"},
		{"no file", "testdata/none.golden", "one", "-update"},
	}
	for _, c := range cases {
		got := compare(c.path, []byte(c.got))
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q in it", c.name, got, c.want)
		}
	}
}

func TestUpdate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "x.golden")
	if err := write(path, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if message := compare(path, []byte("new")); message != "" {
		t.Error(message)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != "new" {
		t.Errorf("%q, error %v", data, err)
	}
}
