package records

import (
	"bytes"
	"io/fs"
	"maps"
	"path"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestTryIsLoad tries records in repositories of all kinds, and compares what is
// told with a load of the repository in which they are.
func TestTryIsLoad(t *testing.T) {
	good, examples := goodFiles(t), pieces(t)
	told, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		l := newLiving(good)
		c := changes{t, l, good, examples}
		for range rapid.IntRange(0, 4).Draw(t, "before") {
			c.change()
		}
		if rapid.IntRange(0, 4).Draw(t, "ahead") == 0 {
			from := c.toml()
			c.write(from, bytes.ReplaceAll(l.MapFS[from].Data, []byte("2026-"), []byte("2031-")), 0o644)
		}
		x := OpenIndex(eitherWay(t, l), Options{}, l.now)
		for range rapid.IntRange(1, 4).Draw(t, "tries") {
			l.clock = l.clock.Add(passing(t))
			clear(l.named)
			name, with := c.another()
			set, list := x.Set()
			got, found, ok := x.Try(with, name, l.clock)
			if !ok {
				refused++
				continue
			}
			told++
			_, want := Load(with, Options{At: l.clock})
			if !reflect.DeepEqual(got, want) {
				t.Fatalf("%s (-load +try):\n%s", name, cmp.Diff(strings.Split(printed(want), "\n"), strings.Split(printed(got), "\n")))
			}
			after, listAfter := x.Set()
			if !found.IsZero() || after != set || !reflect.DeepEqual(listAfter, list) {
				t.Fatalf("the index is another afterwards: %+v", found)
			}
			compared(t, x, l, Options{})
			c.change()
			c.follow(t, x)
			compared(t, x, l, Options{})
		}
	})
	if told < 50 || refused > told {
		t.Errorf("%d tries, %d where it cannot be told", told, refused)
	}
}

// another draws a record that is not there, and the repository with it.
func (c changes) another() (string, fs.FS) {
	with := newLiving(c.MapFS)
	with.MapFS, with.denied, with.clock, with.inodes = maps.Clone(c.MapFS), c.denied, c.clock, c.inodes
	from := rapid.SampledFrom([]string{checkFile, checkFile, c.toml()}).Draw(c.T, "like")
	text := c.otherDigit(c.toml())
	if f := c.good[from]; f != nil {
		text = f.Data
	}
	if rapid.Bool().Draw(c.T, "other") {
		words := []string{"scan-02", "bar-3s", "bar-weekly", "A-C", "2026-10-05T08:12", "by = ", "2.6 m", "K-113.pdf"}
		text = []byte(strings.ReplaceAll(string(text), c.one("from", words...), c.one("to", append(words, "scan-9", "2026-10-05T08:13")...)))
	}
	if rapid.IntRange(0, 4).Draw(c.T, "not yet") == 0 {
		text = bytes.ReplaceAll(text, []byte("2026-"), []byte("2031-"))
	}
	places := []string{from, checkFile, "checks/scan-02/2026/2026-10-06T0812-bar-weekly.toml", "checks/scan-9/2027/2027-10-06T0812-bar-weekly.toml", "devices/scan-7.toml", "events/scan-02/2026-10-05-note.toml"}
	name := NextFree(c.one("place", places...), func(name string) bool {
		for at := name; at != "."; at = path.Dir(at) {
			if f := c.MapFS[at]; f != nil && (at == name || !f.Mode.IsDir()) {
				return at == name
			}
		}
		return false
	})
	with.write(name, text, 0o644)
	return name, with
}

// TestTryFindsWhatElseHasChanged tries a record beside one that has changed
// without a word: the index takes it over, and says so.
func TestTryFindsWhatElseHasChanged(t *testing.T) {
	l := newLiving(goodFiles(t))
	x := OpenIndex(l, Options{}, l.now)
	const name = "checks/scan-7/2026/2026-10-06T0812-bar-weekly.toml"
	text := l.MapFS[checkFile].Data
	with := newLiving(l.MapFS)
	with.MapFS = maps.Clone(l.MapFS)
	with.write(name, text, 0o644)
	l.write("checks/scan-7/2026/2026-10-01T0812-bar-weekly.toml", text, 0o644)
	set, _ := x.Set()
	if _, found, ok := x.Try(with, name, l.clock); !ok || found.IsZero() {
		t.Errorf("%v %+v", ok, found)
	}
	if after, _ := x.Set(); after == set {
		t.Error("the record that came meanwhile is not in the set")
	}
}
