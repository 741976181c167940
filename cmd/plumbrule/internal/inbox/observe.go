package inbox

import (
	"errors"
	"io/fs"
	"os"
	"slices"
	"time"
)

// stillness is since when a file is known to have stood still.
type stillness struct {
	info  fs.FileInfo
	since time.Time
}

// same reports whether nothing tells that a file was written to, or that another
// one took its place.
func same(a, b fs.FileInfo) bool {
	return a != nil && b != nil && os.SameFile(a, b) && a.Size() == b.Size() && a.ModTime().Equal(b.ModTime()) && a.Mode() == b.Mode()
}

// seen is one file that lies in the inbox.
type seen struct {
	name  string
	info  fs.FileInfo
	since time.Time // when it was last seen to change
	whole bool      // it has stood still, or is said to be done
	done  bool      // it is said to be done
	marks []string  // files about it that go when it goes
}

// observe looks at every file and keeps account of how long each has stood still.
func (l *look) observe(entries []fs.DirEntry) {
	still := make(map[string]stillness, len(entries))
	marks := map[string][]string{}
	for _, e := range entries {
		name := e.Name()
		if ours(name) {
			continue
		}
		info, err := l.disk.lstat(l.path(name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			l.trouble(name, []string{name}, "it cannot be looked at: "+plain(err))
			continue
		}
		was, known := l.still[name]
		if !known || !same(was.info, info) || was.since.After(l.now) {
			was = stillness{info, l.now}
			if known {
				l.stir(name)
			}
		}
		still[name] = was
		l.files = append(l.files, seen{name: name, info: info, since: was.since, whole: l.now.Sub(was.since) >= l.settings.Stable})
		for _, ending := range []string{doneEnding, reasonEnding} {
			if of, ok := cutEnding(name, ending); ok && info.Mode().IsRegular() {
				marks[of] = append(marks[of], name)
			}
		}
	}
	l.still = still
	l.mark(marks)
}

// stir ends the rest of drops that a changed file belongs to.
func (l *look) stir(name string) {
	for key, r := range l.rests {
		if key == name || slices.Contains(r.names, name) {
			delete(l.rests, key)
		}
	}
}

// mark joins what is only said about a file to that file.
func (l *look) mark(marks map[string][]string) {
	joined := map[string]bool{}
	for i := range l.files {
		f := &l.files[i]
		f.marks = marks[f.name]
		for _, m := range f.marks {
			joined[m] = true
			if _, ok := cutEnding(m, doneEnding); ok {
				f.whole, f.done = true, true
			}
		}
	}
	l.files = slices.DeleteFunc(l.files, func(f seen) bool { return joined[f.name] })
}
