package bench

import (
	"fmt"
	"os"
	"os/exec"
	"slices"
	"time"
)

// A Program is a command that makes one file of another.
type Program struct {
	Name string
	// Command gives the arguments, the program first.
	Command func(in, out string) []string
	// Input is the file that it reads.
	Input string
	// Rounds bounds how often it runs; 0 is no bound.
	Rounds int
}

// A Result is what a program took.
type Result struct {
	Name string
	// Wall and CPU are the times of each round: by the clock, and of all
	// cores together.
	Wall, CPU []time.Duration
	// Peak is the most memory of any round, in bytes; 0 where the system does
	// not tell.
	Peak int64
	// Output is the size of what it wrote, in bytes.
	Output int64
	// Failed is why it did not run to its end.
	Failed error
}

// Race runs the programs in turn, that many rounds, so that what else the
// machine does hits all of them. out is the file that each writes anew.
func Race(programs []Program, out string, rounds int) []Result {
	results := make([]Result, len(programs))
	for round := range rounds {
		for i, p := range programs {
			r := &results[i]
			r.Name = p.Name
			if r.Failed != nil || p.Rounds > 0 && round >= p.Rounds {
				continue
			}
			r.run(p, out)
		}
	}
	return results
}

// run runs a program once.
func (r *Result) run(p Program, out string) {
	if err := os.RemoveAll(out); err != nil {
		r.Failed = err
		return
	}
	args := p.Command(p.Input, out)
	cmd := exec.Command(args[0], args[1:]...)
	start := time.Now()
	said, err := cmd.CombinedOutput()
	wall := time.Since(start)
	if err != nil {
		r.Failed = fmt.Errorf("%s: %w: %.500s", p.Name, err, said)
		return
	}
	r.Wall = append(r.Wall, wall)
	r.CPU = append(r.CPU, cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime())
	r.Peak = max(r.Peak, peak(cmd.ProcessState))
	if info, err := os.Stat(out); err == nil {
		r.Output = info.Size()
	}
}

// Median is the middle one of the times; the mean of the middle two of an even
// number; 0 of none.
func Median(times []time.Duration) time.Duration {
	if len(times) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(times))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
