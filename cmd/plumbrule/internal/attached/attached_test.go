//go:build unix

package attached

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/iotest"

	"plumbrule/records"
	"plumbrule/rules/trace"
)

// SHA-256 of "abc", from FIPS 180-2, appendix B.1.
const ofABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

// SHA-256 of a million letters a, from FIPS 180-2, appendix B.3.
const ofMillion = "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"

// repository is a folder with files, links and a pipe, inside a folder with a file that is not the repository's.
func repository(t *testing.T) *os.Root {
	t.Helper()
	outer := t.TempDir()
	dir := filepath.Join(outer, "records")
	write := func(name, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := func(target, name string) {
		t.Helper()
		if err := os.Symlink(target, filepath.Join(dir, name)); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
	}
	write(filepath.Join(outer, "secret.pdf"), "abc")
	write(filepath.Join(dir, "abc.pdf"), "abc")
	write(filepath.Join(dir, "million.pdf"), strings.Repeat("a", 1_000_000))
	write(filepath.Join(dir, "folder", "abc.pdf"), "abc")
	write(filepath.Join(dir, "pointer.pdf"), "version https://git-lfs.github.com/spec/v1\noid sha256:"+ofABC+"\nsize 3\n")
	link("abc.pdf", "inside.pdf")
	link("nowhere.pdf", "hanging.pdf")
	link("../secret.pdf", "outside.pdf")
	link(filepath.Join(outer, "secret.pdf"), "absolute.pdf")
	link("..", "up")
	link("round.pdf", "round.pdf")
	if err := syscall.Mkfifo(filepath.Join(dir, "pipe.pdf"), 0o644); err != nil {
		t.Fatal(err)
	}
	huge, err := os.Create(filepath.Join(dir, "huge.ply"))
	if err != nil {
		t.Fatal(err)
	}
	if err := huge.Truncate(MostBytes + 1); err != nil { // takes no room on the disk
		t.Skip("no large files here: ", err)
	}
	if err := huge.Close(); err != nil {
		t.Fatal(err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = root.Close() })
	return root
}

func TestLook(t *testing.T) {
	root := repository(t)
	for _, c := range []struct {
		file, sha256 string
		size         int64
		want         trace.LookState
		why          string
	}{
		{"abc.pdf", ofABC, 0, trace.Same, ""},
		{"abc.pdf", ofABC, 3, trace.Same, ""},
		{"million.pdf", ofMillion, 1_000_000, trace.Same, ""},
		{"folder/abc.pdf", ofABC, 0, trace.Same, ""},
		{"inside.pdf", ofABC, 0, trace.Same, ""},
		{"abc.pdf", ofMillion, 0, trace.Differs, ""},
		{"abc.pdf", ofABC, 4, trace.Differs, "has 3 bytes where 4 are recorded"},
		{"gone.pdf", ofABC, 0, trace.Missing, ""},
		{"gone/abc.pdf", ofABC, 0, trace.Missing, ""},
		{"hanging.pdf", ofABC, 0, trace.Missing, "leads to no file"},
		{"folder", ofABC, 0, trace.Missing, "is a folder"},
		{"pipe.pdf", ofABC, 0, trace.Missing, "is no ordinary file"},
		{"pointer.pdf", ofABC, 0, trace.Missing, "large-file storage"},
		{"outside.pdf", ofABC, 0, trace.Outside, "symbolic link out of the repository"},
		{"absolute.pdf", ofABC, 0, trace.Outside, "symbolic link out of the repository"},
		{"up/secret.pdf", ofABC, 0, trace.Outside, "symbolic link out of the repository"},
		{"../secret.pdf", ofABC, 0, trace.Outside, "no path inside"},
		{"folder/../../secret.pdf", ofABC, 0, trace.Outside, "no path inside"},
		{"/etc/passwd", ofABC, 0, trace.Outside, "no path inside"},
		{`..\secret.pdf`, ofABC, 0, trace.Outside, "no path inside"},
		{".", ofABC, 0, trace.Outside, "no path inside"},
		{"", ofABC, 0, trace.Outside, "no path inside"},
		{"huge.ply", ofABC, 0, trace.Unseen, "17179869185 bytes"},
		{"round.pdf", ofABC, 0, trace.Missing, "leads to no file"},
		{"abc.pdf/abc.pdf", ofABC, 0, trace.Missing, ""},
	} {
		got := Look(t.Context(), root, records.Attachment{File: c.file, SHA256: c.sha256, Size: c.size})
		if got.State != c.want || !strings.Contains(got.Why, c.why) || c.why == "" && got.Why != "" {
			t.Errorf("%q: %+v, want %s %q", c.file, got, c.want, c.why)
		}
	}
}

func TestInterruptedReading(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	got := Look(ctx, repository(t), records.Attachment{File: "million.pdf", SHA256: ofMillion})
	if got.State != trace.Unseen || !strings.Contains(got.Why, "interrupted") {
		t.Errorf("%+v", got)
	}
	broken := io.MultiReader(strings.NewReader("ab"), iotest.ErrReader(errors.New("disk fault")))
	if got := Compare(t.Context(), broken, records.Attachment{SHA256: ofABC}); got.State != trace.Unseen || !strings.Contains(got.Why, "disk fault") {
		t.Errorf("%+v", got)
	}
}

// A file of any size is read in pieces of one size: what is allocated does not grow with it.
func BenchmarkLook(b *testing.B) {
	const size = 256 << 20
	b.ReportAllocs()
	b.SetBytes(size)
	for b.Loop() {
		Compare(b.Context(), io.LimitReader(zeros{}, size), records.Attachment{})
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { return len(p), nil }
