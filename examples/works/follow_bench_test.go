package works_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	"plumbrule/examples/works"
	"plumbrule/records"
	"plumbrule/rules"
)

// BenchmarkFollow changes one check after another and forms the answers anew, as the watcher does. It reports the time that
// half and 99 of 100 changes take at most, how the beginning compares with a load in the same run, and the bytes alive for each
// record.
//
//	go test -run '^$' -bench Follow -benchtime 200x ./examples/works
func BenchmarkFollow(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			dir := b.TempDir()
			write(b, dir, n)
			at := time.Date(2026, 11, 2, 7, 0, 0, 0, time.UTC)
			records.Load(os.DirFS(dir), records.Options{}) // warms the cache
			start := time.Now()
			records.Load(os.DirFS(dir), records.Options{})
			load := time.Since(start)

			var before, after runtime.MemStats
			runtime.GC()
			runtime.ReadMemStats(&before)
			start = time.Now()
			index := records.OpenIndex(os.DirFS(dir), records.Options{}, time.Now)
			opening := time.Since(start)
			var evaluator rules.Evaluator
			set, _ := index.Set()
			evaluator.At(set, at)
			runtime.GC()
			runtime.ReadMemStats(&after)

			start = time.Now()
			index.Rescan()
			rescan := time.Since(start)

			checks := checkFiles(b)
			var each []time.Duration
			for b.Loop() {
				name := checks[len(each)*7919%len(checks)%n]
				path := filepath.Join(dir, filepath.FromSlash(name))
				text, err := os.ReadFile(path)
				if err != nil {
					b.Fatal(err)
				}
				if err := os.WriteFile(path, append(bytes.TrimRight(text, "\n"), "\n# looked at again\n"...), 0o644); err != nil {
					b.Fatal(err)
				}
				start := time.Now()
				if _, err := index.Update(name); err != nil {
					b.Fatal(err)
				}
				set, _ := index.Set()
				evaluator.At(set, at)
				each = append(each, time.Since(start))
			}
			slices.Sort(each)
			b.ReportMetric(float64(each[len(each)/2].Microseconds())/1e3, "median-ms")
			b.ReportMetric(float64(each[len(each)*99/100].Microseconds())/1e3, "p99-ms")
			b.ReportMetric(float64(opening)/float64(load), "opening/load")
			b.ReportMetric(float64(rescan.Microseconds())/1e3, "rescan-ms")
			b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/float64(n), "live-B/record")
		})
	}
}

// checkFiles lists checks of a small repository, which are in the larger ones as well.
func checkFiles(b *testing.B) []string {
	b.Helper()
	files, err := works.Many(1_000)
	if err != nil {
		b.Fatal(err)
	}
	var out []string
	for name := range files {
		if ok, _ := filepath.Match("checks/*/*/*.toml", name); ok {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}
