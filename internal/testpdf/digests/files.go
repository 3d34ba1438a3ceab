package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// file is a file to run the command on, or a set of files to check together.
type file struct {
	name        string   // how cases call it
	path        string   // in the folder of all files
	set         []string // paths, in place of one
	chart       string   // path of its chart, "" where there is none
	options     []string // for every run, such as the password
	decrypt     bool     // it is encrypted, and the password is the owner's
	inspectOnly bool
}

const (
	randomDocuments  = 48
	damagedDocuments = 12
)

// charts tells the chart of each demo file that has one.
var charts = map[string]string{
	"tollmere-skirt.pdf": "tollmere.yaml", "tollmere-skirt-a4.pdf": "tollmere.yaml",
	"tollmere-skirt-both.pdf": "tollmere-both.yaml", "tollmere-skirt-colour.pdf": "tollmere-colour.yaml",
	"tollmere-skirt-dash.pdf": "tollmere-dash.yaml", "tollmere-skirt-print.pdf": "tollmere-colour.yaml",
}

// prepare copies and makes all files in a new folder. Those that no program
// can make the same twice are left out but where two builds are compared.
func prepare(dir string, compared bool) ([]file, error) {
	p := &preparation{dir: dir}
	p.check(os.Mkdir(dir, 0o755))
	for _, name := range p.glob("testdata/charts/*.yaml") {
		p.write(filepath.Base(name), p.read(name))
	}
	for _, who := range []string{"user", "owner"} {
		p.write(who+".txt", []byte(who+"\n"))
	}
	demo := p.glob("testdata/*.pdf")
	for _, name := range demo {
		p.add(file{name: "demo " + filepath.Base(name), chart: charts[filepath.Base(name)]}, p.read(name))
	}
	p.files = append(p.files, file{name: "demo set", chart: "tollmere.yaml",
		set: []string{"demo-tollmere-skirt.pdf", "demo-tollmere-skirt-a4.pdf"}})
	for _, name := range p.glob("*/testdata/encrypted/*.pdf") {
		p.add(file{name: "locked " + filepath.Base(name), options: password("owner"), decrypt: true}, p.read(name))
	}
	for _, name := range p.glob("internal/pdf/testdata/encrypted/*.pdf") {
		for _, who := range []string{"user", "owner"} {
			p.add(file{name: who + " of " + filepath.Base(name), options: password(who), inspectOnly: true}, p.read(name))
		}
	}
	corpus := os.Getenv("SIZEPLY_CORPUS")
	if corpus == "" {
		corpus = "../shared/corpus"
	}
	for _, name := range p.glob(corpus + "/*.pdf") {
		p.add(file{name: "corpus " + filepath.Base(name)}, p.read(name))
	}
	for seed := range uint64(randomDocuments) {
		p.add(file{name: fmt.Sprintf("random %02d", seed)}, random(seed))
	}
	for seed := range uint64(damagedDocuments) {
		p.add(file{name: fmt.Sprintf("damaged %02d", seed)}, damaged(seed))
	}
	if _, err := exec.LookPath("qpdf"); err != nil {
		fmt.Fprintln(os.Stderr, "digests: without qpdf: what it writes is left out")
		return p.files, p.err
	}
	p.rewritten("demo-tollmere-skirt.pdf", "random-02.pdf", "random-03.pdf")
	p.encrypted(compared, "demo-tollmere-skirt.pdf", "random-01.pdf")
	return p.files, p.err
}

func password(who string) []string { return []string{"--password-file", "../in/" + who + ".txt"} }

// random is a document of one of the kinds that the tests draw from.
func random(seed uint64) []byte {
	switch seed % 4 {
	case 0:
		return testpdf.Random(seed).Bytes
	case 1:
		return testpdf.RandomWith(seed, testpdf.RandomOptions{Opaque: true}).Bytes
	case 2:
		return testpdf.RandomWith(seed, testpdf.RandomOptions{Everything: true}).Bytes
	default:
		return testpdf.Wild(seed).Bytes
	}
}

// damaged is a random document that has lost its end, its table of objects, or
// some bytes of its middle.
func damaged(seed uint64) []byte {
	data := bytes.Clone(random(100 + seed))
	switch seed % 3 {
	case 0:
		return data[:len(data)*9/10]
	case 1:
		return bytes.ReplaceAll(data, []byte("startxref"), []byte("startyref"))
	default:
		for i := range 8 {
			data[len(data)/2+i*int(seed+3)] ^= 0x15
		}
		return data
	}
}

// preparation is a folder that fills; the first error stays.
type preparation struct {
	dir   string
	files []file
	err   error
}

func (p *preparation) check(err error) {
	if p.err == nil {
		p.err = err
	}
}

func (p *preparation) glob(pattern string) []string {
	names, err := filepath.Glob(pattern)
	p.check(err)
	slices.Sort(names)
	return names
}

func (p *preparation) read(name string) []byte {
	data, err := os.ReadFile(name)
	p.check(err)
	return data
}

func (p *preparation) write(name string, data []byte) {
	p.check(os.WriteFile(filepath.Join(p.dir, name), data, 0o644))
}

// add lists a file, its path made of its name.
func (p *preparation) add(f file, data []byte) {
	f.path = strings.TrimSuffix(strings.ReplaceAll(f.name, " ", "-"), ".pdf") + ".pdf"
	p.write(f.path, data)
	p.files = append(p.files, f)
}

// rewritten adds files as qpdf writes them: without object streams, or all in
// such streams and linearised.
func (p *preparation) rewritten(names ...string) {
	for _, name := range names {
		p.qpdf(file{name: "unpacked " + name}, name, "--deterministic-id", "--qdf", "--object-streams=disable")
		p.qpdf(file{name: "linearised " + name}, name, "--deterministic-id", "--linearize", "--object-streams=generate")
	}
}

// encrypted adds files in all ways to encrypt. Of the last two the key is a
// matter of chance, so what is written encrypted differs each time.
func (p *preparation) encrypted(compared bool, names ...string) {
	for _, way := range []struct {
		name   string
		chance bool
		args   []string
	}{
		{"R2", false, []string{"40"}},
		{"R3", false, []string{"128", "--use-aes=n"}},
		{"R4", false, []string{"128", "--use-aes=y"}},
		{"R5", true, []string{"256", "--force-R5"}},
		{"R6", true, []string{"256"}},
	} {
		if way.chance && !compared {
			continue
		}
		for _, name := range names {
			args := append([]string{"--allow-weak-crypto", "--static-id", "--static-aes-iv", "--encrypt", "user", "owner"}, way.args...)
			p.qpdf(file{name: way.name + " " + name, options: password("owner"), decrypt: true}, name, append(args, "--")...)
		}
	}
}

func (p *preparation) qpdf(f file, from string, args ...string) {
	out := filepath.Join(p.dir, "made.pdf")
	defer os.Remove(out)
	if said, err := exec.Command("qpdf", append(args, filepath.Join(p.dir, from), out)...).CombinedOutput(); err != nil {
		p.check(fmt.Errorf("qpdf: %s: %w: %s", f.name, err, said))
		return
	}
	p.add(f, p.read(out))
}
