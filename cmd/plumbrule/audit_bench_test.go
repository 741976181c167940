//go:build linux

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// BenchmarkAudit times the pack of 200 devices with 100 000 checks, on disk and under git, as a process of its own; and in the
// same run what of it any program has to do: the records copied by "cp -r", and "git log --name-status" once. Wall time says little
// on a machine that others use: the processor's time stands beside it.
//
//	go test -run '^$' -bench Audit -benchtime 3x ./cmd/plumbrule
func BenchmarkAudit(b *testing.B) {
	past := longPast(b)
	folder := b.TempDir() // one for all: files that are taken away at once make the next ones slow on some file systems
	dir := filepath.Join(folder, "works")
	sh(b, folder, "git clone --quiet "+past+" works")
	n := 0
	plain := func() spent {
		n++
		return timed(b, exec.CommandContext(b.Context(), "sh", "-c", fmt.Sprintf("mkdir copy-%d && cp -r works/[a-z]* copy-%d && git -C works log --name-status > log-%d", n, n, n)), folder)
	}
	plain() // warms the cache
	var least, own spent
	for b.Loop() {
		least.add(plain())
		c := exec.CommandContext(b.Context(), "plumbrule", "audit", "--into", fmt.Sprintf("../pack-%d", n), "--from", "2025-11-01", "--at", "2026-11-02T08:00:00+01:00")
		c.Env = append(os.Environ(), "PLUMBRULE_TEST_NOW=wall")
		own.add(timed(b, c, dir))
	}
	sh(b, filepath.Join(folder, fmt.Sprintf("pack-%d", n)), "sha256sum --check --quiet --strict SHA256SUMS")
	b.ReportMetric(own.wall.Seconds()/float64(b.N), "s/pack")
	b.ReportMetric(own.processor.Seconds()/float64(b.N), "cpu-s/pack")
	b.ReportMetric(own.wall.Seconds()/least.wall.Seconds(), "×plain")
	b.ReportMetric(own.processor.Seconds()/least.processor.Seconds(), "×plain-cpu")
	b.ReportMetric(float64(own.memoryKiB)/1024, "MiB")
}

// spent is what a process and those it started took.
type spent struct {
	wall, processor time.Duration
	memoryKiB       int64 // at its most
}

func (s *spent) add(o spent) {
	s.wall, s.processor, s.memoryKiB = s.wall+o.wall, s.processor+o.processor, max(s.memoryKiB, o.memoryKiB)
}

func timed(tb testing.TB, c *exec.Cmd, dir string) spent {
	tb.Helper()
	c.Dir = dir
	start := time.Now()
	if out, err := c.CombinedOutput(); err != nil {
		tb.Fatalf("%s: %v\n%s", c, err, out)
	}
	s := spent{wall: time.Since(start), processor: c.ProcessState.UserTime() + c.ProcessState.SystemTime()}
	if r, is := c.ProcessState.SysUsage().(*syscall.Rusage); is {
		s.memoryKiB = r.Maxrss // in this unit on Linux
	}
	return s
}
