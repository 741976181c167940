package trace_test

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules/trace"
)

const (
	device   = "devices/scan-1.toml"
	artifact = "artifacts/bar-1.toml"
	ofBar    = "certificates/bar-1/2025-01-06-K-113.toml"
	ofScan   = "certificates/scan-1/2026-03-01-S-9.toml"
	check    = "checks/scan-1/2026/2026-11-23T0812-bar-weekly.toml"
	job      = "jobs/2026/j-1.toml"
	barFile  = "certificates/bar-1/2025-01-06-K-113.pdf"
)

// base is the shop of testdata/base.txtar.
func base(tb testing.TB) fstest.MapFS {
	tb.Helper()
	archive, err := txtar.ParseFile("testdata/base.txtar")
	if err != nil {
		tb.Fatal(err)
	}
	out := fstest.MapFS{}
	for _, f := range archive.Files {
		out[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return out
}

// edit changes a file: old text to new, or the whole of it where old is empty.
type edit struct{ file, old, new string }

func edited(tb testing.TB, edits ...edit) fstest.MapFS {
	tb.Helper()
	files := base(tb)
	for _, e := range edits {
		if e.old == "" {
			if e.new == "" {
				delete(files, e.file)
			} else {
				files[e.file] = &fstest.MapFile{Data: []byte(e.new)}
			}
			continue
		}
		text := string(files[e.file].Data)
		if !strings.Contains(text, e.old) {
			tb.Fatalf("%s has no %q", e.file, e.old)
		}
		files[e.file] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(text, e.old, e.new))}
	}
	return files
}

// asked is the instant of the tests: the evening after the job.
func asked() time.Time { return time.Date(2026, 11, 24, 20, 0, 0, 0, time.UTC) }

// follow loads the files and follows a chain; files that records name are found
// as recorded but for those in looked.
func follow(tb testing.TB, files fstest.MapFS, subject, feature string, looked map[string]trace.Look) *trace.Chain {
	tb.Helper()
	set, _ := records.Load(files, records.Options{})
	return followIn(tb, set, subject, feature, looked)
}

func followIn(tb testing.TB, set *records.Set, subject, feature string, looked map[string]trace.Look) *trace.Chain {
	tb.Helper()
	q := trace.Query{Set: set, At: asked(), Subject: subject, Feature: feature, Looked: map[string]trace.Look{}}
	c, err := trace.For(q)
	if err != nil {
		tb.Fatal(err)
	}
	for _, f := range c.Files {
		q.Looked[trace.FileKey(f)] = trace.Look{State: trace.Same, SHA256: f.SHA256}
		if l, found := looked[f.File]; found {
			q.Looked[trace.FileKey(f)] = l
		}
	}
	if c, err = trace.For(q); err != nil {
		tb.Fatal(err)
	}
	return c
}

// gaps writes the gaps of a chain, each as "kind name: code".
func gaps(c *trace.Chain) []string {
	var out []string
	for _, g := range c.Gaps() {
		s := c.Steps[g.Step]
		out = append(out, string(s.Kind)+" "+s.Name+": "+g.Gap.Code)
	}
	return out
}

// tree writes a chain: kinds and names, each step further in than what rests
// on it.
func tree(c *trace.Chain) string {
	var b strings.Builder
	var write func(i, depth int)
	write = func(i, depth int) {
		s := c.Steps[i]
		b.WriteString(strings.Repeat("  ", depth) + string(s.Kind) + " " + s.Name + "\n")
		for _, f := range s.Figures {
			b.WriteString(strings.Repeat("  ", depth+2) + f.What + " of " + f.Of + "\n")
		}
		for _, below := range s.Below {
			write(below, depth+1)
		}
	}
	write(0, 0)
	return b.String()
}
