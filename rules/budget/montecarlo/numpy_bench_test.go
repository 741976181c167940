package montecarlo_test

import (
	"fmt"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"plumbrule/rules/budget/montecarlo"
)

// BenchmarkAgainstNumpy makes ten million trials of a budget of five terms with both coverage intervals, and has numpy do
// the same in the same run; ×numpy is our time over its, with the shortest interval and without (numpy then needs no sort).
// Both keep all values, 80 MB.
//
//	go test -run '^$' -bench Numpy -benchtime 3x ./rules/budget/montecarlo
//
// Measured on two shared cores (AMD EPYC, Go 1.26, numpy 1.24 with SFC64), three runs: numpy 1.07 to 1.20 s for the symmetric
// interval and 1.9 to 2.1 s with the shortest; here, with both intervals always, 0.56 to 0.58 s by one worker (0.48 to 0.53
// and 0.28 to 0.30 times numpy's) and 0.31 to 0.33 s by two (0.27 to 0.31 and 0.16 to 0.17 times).
func BenchmarkAgainstNumpy(b *testing.B) {
	const trials = 10_000_000
	var out []byte
	for _, program := range []string{"python3", "/usr/bin/python3"} { // the first may be one without numpy
		var err error
		if out, err = exec.CommandContext(b.Context(), program, "testdata/trials.py", fmt.Sprint(trials)).Output(); err == nil {
			break
		}
	}
	if len(out) == 0 {
		b.Skip("numpy is not installed")
	}
	var symmetric, whole float64
	if _, err := fmt.Sscan(strings.TrimSpace(string(out)), &symmetric, &whole); err != nil {
		b.Fatal(err)
	}
	p := prepared(b, fiveTerms(b))
	for _, workers := range []int{1, runtime.GOMAXPROCS(0)} {
		b.Run(fmt.Sprint(workers, " workers"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := p.Run(montecarlo.Options{Trials: trials, Seed: 1, Probability: 0.95, Workers: workers}); err != nil {
					b.Fatal(err)
				}
			}
			seconds := b.Elapsed().Seconds() / float64(b.N)
			b.ReportMetric(seconds/symmetric, "×numpy")
			b.ReportMetric(seconds/whole, "×numpy-with-shortest")
			b.ReportMetric(seconds*float64(time.Second)/trials, "ns/trial")
		})
	}
}
