package works_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"plumbrule/examples/works"
	"plumbrule/records"
	"plumbrule/rules"
)

// BenchmarkStatus loads a repository from disk and evaluates it, as status does. Beside the time it reports, for each
// record, the allocated bytes and those alive at the end with the set and its assessment; and how the time compares with
// what cat takes to read the same files in the same run.
//
//	go test -run '^$' -bench Status -benchtime 3x ./examples/works
func BenchmarkStatus(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			dir := b.TempDir()
			files := write(b, dir, n)
			at := time.Date(2026, 11, 2, 7, 0, 0, 0, time.UTC)
			cat(b, dir) // warms the cache
			reading := cat(b, dir)
			var load, evaluate time.Duration
			b.ReportAllocs()
			for b.Loop() {
				start := time.Now()
				set, _ := records.Load(os.DirFS(dir), records.Options{})
				load += time.Since(start)
				start = time.Now()
				rules.Evaluate(set, at, rules.Options{})
				evaluate += time.Since(start)
				if set.Count() < n {
					b.Fatalf("%d records of %d files", set.Count(), files)
				}
			}
			each := float64(n)
			b.ReportMetric(float64(load.Microseconds())/float64(b.N)/each, "load-µs/record")
			b.ReportMetric(float64(evaluate.Microseconds())/float64(b.N)/each, "evaluate-µs/record")
			b.ReportMetric(float64(live(dir, at))/each, "live-B/record")
			b.ReportMetric(float64(load+evaluate)/float64(b.N)/float64(reading), "×cat")
		})
	}
}

// live returns the bytes that a loaded set and its assessment keep.
func live(dir string, at time.Time) uint64 {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	set, _ := records.Load(os.DirFS(dir), records.Options{})
	assessment := rules.Evaluate(set, at, rules.Options{})
	runtime.GC()
	runtime.ReadMemStats(&after)
	runtime.KeepAlive(set)
	runtime.KeepAlive(assessment)
	return after.HeapAlloc - before.HeapAlloc
}

// write puts a repository of n checks on disk and returns the number of files.
func write(b *testing.B, dir string, n int) int {
	b.Helper()
	files, err := works.Many(n)
	if err != nil {
		b.Fatal(err)
	}
	made := map[string]bool{}
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if folder := filepath.Dir(path); !made[folder] {
			made[folder] = true
			if err := os.MkdirAll(folder, 0o755); err != nil {
				b.Fatal(err)
			}
		}
		if err := os.WriteFile(path, text, 0o644); err != nil {
			b.Fatal(err)
		}
	}
	return len(files)
}

// cat reads all files of a folder with the system's own program and returns how long that took.
func cat(b *testing.B, dir string) time.Duration {
	b.Helper()
	find, err := exec.CommandContext(b.Context(), "find", dir, "-name", "*.toml", "-print0").Output()
	if err != nil {
		b.Skip("no find to compare with")
	}
	command := exec.CommandContext(b.Context(), "xargs", "-0", "cat")
	command.Stdin = strings.NewReader(string(find))
	start := time.Now()
	if err := command.Run(); err != nil {
		b.Skip("no cat to compare with")
	}
	return time.Since(start)
}
