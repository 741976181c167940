package records

import (
	"flag"
	"maps"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

var update = flag.Bool("update", false, "rewrite the expected texts and the reference pages")

// evaluated is the instant after which dates lie in the future.
var evaluated = time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)

// goodFiles returns a small complete repository in which nothing is wrong.
func goodFiles(tb testing.TB) fstest.MapFS {
	tb.Helper()
	return filesOf(readArchive(tb, "testdata/good.txtar"))
}

func filesOf(a *archive) fstest.MapFS {
	files := fstest.MapFS{}
	for _, f := range a.files {
		if f.name != wantFile {
			files[f.name] = &fstest.MapFile{Data: []byte(f.text), Mode: 0o644}
		}
	}
	return files
}

// wantFile is the name under which an archive holds the expected text.
const wantFile = "want"

// twin lays the files of an archive over the good ones. Lines "without FILE" of
// the archive's comment take one away.
func twin(tb testing.TB, a *archive) fstest.MapFS {
	tb.Helper()
	files := goodFiles(tb)
	maps.Copy(files, filesOf(a))
	for line := range strings.Lines(a.comment) {
		if name, found := strings.CutPrefix(strings.TrimSpace(line), "without "); found {
			if files[name] == nil {
				tb.Fatalf("no file %s to leave out", name)
			}
			delete(files, name)
		}
	}
	return files
}

// printed is what a user sees of the diagnostics.
func printed(list []Diagnostic) string {
	var b strings.Builder
	for _, d := range list {
		b.WriteString(d.String())
	}
	return b.String()
}

// expect compares a text with the archive's, or rewrites that one.
func expect(t *testing.T, a *archive, got string) {
	t.Helper()
	want := ""
	for i := range a.files {
		if a.files[i].name != wantFile {
			continue
		}
		want = a.files[i].text
		if *update && want != got {
			a.files[i].text = got
			a.write(t)
			return
		}
	}
	if got != want {
		t.Errorf("got:\n%swant:\n%s", got, want)
	}
}

func TestGoodRepository(t *testing.T) {
	set, found := Load(goodFiles(t), Options{At: evaluated, CrossCheck: true, Attachments: true})
	if len(found) != 0 {
		t.Errorf("diagnostics:\n%s", printed(found))
	}
	if set.Site == nil || set.Count() != 10 || len(set.Unreadable) != 0 {
		t.Errorf("%d records, %d unreadable, site %v", set.Count(), len(set.Unreadable), set.Site)
	}
}

// TestGoodTwins holds the subtle cases in which nothing is wrong.
func TestGoodTwins(t *testing.T) {
	names, err := filepath.Glob("testdata/good/*.txtar")
	if err != nil || len(names) < 10 {
		t.Fatalf("%d files, %v", len(names), err)
	}
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			set, found := Load(twin(t, readArchive(t, name)), Options{At: evaluated, CrossCheck: true, Attachments: true})
			if len(found) != 0 || len(set.Unreadable) != 0 {
				t.Errorf("%d unreadable, diagnostics:\n%s", len(set.Unreadable), printed(found))
			}
		})
	}
}
