package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/examples/works"
	"plumbrule/records/history"
)

// The past that the benchmarks read: so many records and commits, in two lines of work of which the second is merged into the
// first after every hundred commits. One commit in fifty changes a record, one in two hundred renames one.
const (
	manyRecords = 100_000
	manyCommits = 20_000
)

// BenchmarkRevision times "status --rev" as a whole, and in the same run "git archive" of the same revision.
//
//	go test -run '^$' -bench Revision -benchtime 3x ./cmd/plumbrule
func BenchmarkRevision(b *testing.B) {
	dir := longPast(b)
	rev := fmt.Sprintf("HEAD~%d", manyCommits/10)
	archive := func() time.Duration {
		start := time.Now()
		sh(b, dir, "git archive "+rev+" | cat > /dev/null")
		return time.Since(start)
	}
	archive() // warms the cache
	var git, own time.Duration
	for b.Loop() {
		git += archive()
		start := time.Now()
		e := env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, LookupEnv: os.LookupEnv, Dir: dir}
		if status := run(context.Background(), e, []string{"status", "--rev", rev, "--at", "2026-11-02"}); status != statusFine {
			b.Fatalf("status %d", status)
		}
		own += time.Since(start)
	}
	b.ReportMetric(own.Seconds()/float64(b.N), "s/status")
	b.ReportMetric(git.Seconds()/float64(b.N), "s/archive")
	b.ReportMetric(float64(own)/float64(git), "×archive")
}

// BenchmarkWhoAndWhen times the past of every record, and in the same run "git log --name-status".
//
//	go test -run '^$' -bench WhoAndWhen -benchtime 3x ./cmd/plumbrule
func BenchmarkWhoAndWhen(b *testing.B) {
	dir := longPast(b)
	git, err := repository.Git(dir)
	if err != nil {
		b.Fatal(err)
	}
	log := func() time.Duration {
		start := time.Now()
		sh(b, dir, "git log --name-status | cat > /dev/null")
		return time.Since(start)
	}
	log()
	var plain, own time.Duration
	for b.Loop() {
		plain += log()
		start := time.Now()
		r, err := history.Open(b.Context(), git)
		if err != nil {
			b.Fatal(err)
		}
		tip, err := r.Commit(b.Context(), "HEAD")
		if err != nil {
			b.Fatal(err)
		}
		l, err := r.Log(b.Context(), tip)
		if err != nil || len(l.Files) < manyRecords {
			b.Fatalf("%v", err)
		}
		own += time.Since(start)
	}
	b.ReportMetric(own.Seconds()/float64(b.N), "s/history")
	b.ReportMetric(plain.Seconds()/float64(b.N), "s/log")
	b.ReportMetric(float64(own)/float64(plain), "×log")
}

func sh(tb testing.TB, dir, line string) {
	tb.Helper()
	c := exec.CommandContext(tb.Context(), "sh", "-c", line)
	c.Dir = dir
	if out, err := c.CombinedOutput(); err != nil {
		tb.Fatalf("%s: %v\n%s", line, err, out)
	}
}

// longPast writes the past once for each process that asks, and packs it as git does from time to time.
func longPast(b *testing.B) string {
	b.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		b.Skip("no git")
	}
	if kept := os.Getenv("PLUMBRULE_LONG_PAST"); kept != "" { // made before, to try again
		return kept
	}
	dir := filepath.Join(b.TempDir(), "past")
	sh(b, b.TempDir(), "git init --quiet "+dir)
	c := exec.CommandContext(b.Context(), "git", "fast-import", "--quiet")
	c.Dir = dir
	in, err := c.StdinPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := c.Start(); err != nil {
		b.Fatal(err)
	}
	w := bufio.NewWriterSize(in, 1<<20)
	writePast(b, w)
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	in.Close()
	if err := c.Wait(); err != nil {
		b.Fatal(err)
	}
	sh(b, dir, "git symbolic-ref HEAD refs/heads/main; git gc --quiet")
	return dir
}

// writePast writes the stream for git fast-import.
func writePast(b *testing.B, w *bufio.Writer) {
	b.Helper()
	files, err := works.Many(manyRecords)
	if err != nil {
		b.Fatal(err)
	}
	var first, rest []string // definitions and certificates, which are there from the beginning; and what comes by and by
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if strings.HasPrefix(name, "checks/") {
			rest = append(rest, name)
		} else {
			first = append(first, name)
		}
	}
	slices.SortStableFunc(rest, func(a, b string) int { return strings.Compare(filepath.Base(a), filepath.Base(b)) })
	clock := int64(1_700_000_000)
	commit := func(branch, from, merge string) {
		clock += 600
		fmt.Fprintf(w, "commit refs/heads/%s\nauthor mk <mk@example.org> %d +0100\ncommitter mk <mk@example.org> %d +0100\ndata 7\nrecords\n", branch, clock, clock)
		if from != "" {
			fmt.Fprintf(w, "from %s\n", from)
		}
		if merge != "" {
			fmt.Fprintf(w, "merge %s\n", merge)
		}
	}
	put := func(name, text string) { fmt.Fprintf(w, "M 100644 inline %s\ndata %d\n%s\n", name, len(text), text) }
	commit("main", "", "")
	for _, name := range first {
		put(name, string(files[name]))
	}
	fmt.Fprint(w, "reset refs/heads/site\nfrom refs/heads/main\n\n")
	each := (len(rest) + manyCommits - 1) / manyCommits
	text := func(name string) string { return string(files[name]) }
	var aside []string // what the second line has and the first has not
	n := 1
	for chunk := range slices.Chunk(rest, each) {
		branch := "main"
		if n%4 == 0 {
			branch = "site"
			aside = append(aside, chunk...)
		}
		commit(branch, "", "")
		for _, name := range chunk {
			put(name, text(name))
		}
		if n++; n%50 == 0 && branch == "main" {
			commit("main", "", "")
			put(chunk[0], "note = \"looked at again\"\n"+text(chunk[0]))
		}
		if n%200 == 0 && branch == "main" {
			commit("main", "", "")
			fmt.Fprintf(w, "R %s %s\n", chunk[1], strings.Replace(chunk[1], ".toml", "-2.toml", 1))
		}
		if n%100 == 0 {
			commit("main", "", "refs/heads/site")
			for _, name := range aside {
				put(name, text(name))
			}
			aside = nil
			fmt.Fprint(w, "reset refs/heads/site\nfrom refs/heads/main\n\n")
		}
	}
}
