package records

import (
	"io/fs"
	"maps"
	"path"
	"strings"
	"sync"
	"testing/fstest"
	"time"
)

// living is a repository that changes, with a clock whose seconds its files
// keep. Files have inodes and times of their last change where the system's
// have.
type living struct {
	lock sync.Mutex
	fstest.MapFS
	clock  time.Time
	denied map[string]bool // names that cannot be opened
	named  map[string]bool // what was changed
	inodes uint64
	next   *state // what it becomes while it is looked at
}

// state is what a repository becomes after it was looked at so many times.
type state struct {
	after  int
	files  fstest.MapFS
	denied map[string]bool
	clock  time.Time
}

// newLiving returns a repository with the files given.
func newLiving(files fstest.MapFS) *living {
	l := &living{MapFS: fstest.MapFS{}, clock: evaluated, denied: map[string]bool{}, named: map[string]bool{}}
	for _, name := range sortedKeys(files) {
		l.write(name, files[name].Data, 0o644)
	}
	return l
}

// look returns the files, and an error if one is not to be seen. The time for a
// change that was put off may come with it.
func (l *living) look(name string, opened bool) (fstest.MapFS, error) {
	l.lock.Lock()
	defer l.lock.Unlock()
	if l.next != nil {
		if l.next.after--; l.next.after < 0 {
			l.become()
		}
	}
	if opened && l.denied[name] {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS, nil
}

// putOff makes a change that comes only when the files have been looked at so
// many times.
func (l *living) putOff(after int, change func()) {
	before := state{files: maps.Clone(l.MapFS), denied: maps.Clone(l.denied), clock: l.clock}
	change()
	l.next = &state{after, l.MapFS, l.denied, l.clock}
	l.MapFS, l.denied, l.clock = before.files, before.denied, before.clock
}

// become makes the change that was put off.
func (l *living) become() {
	if l.next != nil {
		l.MapFS, l.denied, l.clock, l.next = l.next.files, l.next.denied, l.next.clock, nil
	}
}

func (l *living) now() time.Time {
	l.lock.Lock()
	defer l.lock.Unlock()
	return l.clock
}

func (l *living) Open(name string) (fs.File, error) {
	files, err := l.look(name, true)
	if err != nil {
		return nil, err
	}
	return files.Open(name)
}

func (l *living) ReadDir(name string) ([]fs.DirEntry, error) {
	files, err := l.look(name, true)
	if err != nil {
		return nil, err
	}
	return files.ReadDir(name)
}

func (l *living) ReadFile(name string) ([]byte, error) {
	files, err := l.look(name, true)
	if err != nil {
		return nil, err
	}
	return files.ReadFile(name)
}

func (l *living) Stat(name string) (fs.FileInfo, error) {
	files, _ := l.look(name, false)
	return files.Stat(name)
}

func (l *living) Lstat(name string) (fs.FileInfo, error) {
	files, _ := l.look(name, false)
	return files.Lstat(name)
}

func (l *living) ReadLink(name string) (string, error) {
	files, _ := l.look(name, false)
	return files.ReadLink(name)
}

// write writes a file where it is, or a new one.
func (l *living) write(name string, data []byte, mode fs.FileMode) {
	l.writeAt(name, data, mode, l.clock)
}

// writeAt is write by a program that sets the time of modification.
func (l *living) writeAt(name string, data []byte, mode fs.FileMode, modified time.Time) {
	l.inodes++
	inode := l.inodes
	if f := l.MapFS[name]; f != nil {
		inode = inodeOf(f)
	}
	l.put(name, &fstest.MapFile{Data: data, Mode: mode, ModTime: modified.Truncate(time.Second)}, inode)
}

// put puts a file where anything may be, and says that it was changed now.
func (l *living) put(name string, f *fstest.MapFile, inode uint64) {
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if l.MapFS[dir] != nil {
			l.remove(dir) // a file where a folder is to be
		}
	}
	for other := range l.MapFS {
		if strings.HasPrefix(other, name+"/") {
			l.remove(other)
		}
	}
	f.Sys = systemOf(inode, l.clock.Truncate(time.Second))
	l.MapFS[name] = f
	l.named[name] = true
}

// move renames a file: it keeps its time of modification.
func (l *living) move(from, to string) {
	f := *l.MapFS[from]
	l.remove(from)
	l.put(to, &f, inodeOf(&f))
}

// moveFolder renames a folder. Of what lies in it nothing is said.
func (l *living) moveFolder(from, to string) {
	named := maps.Clone(l.named)
	for _, name := range sortedKeys(l.MapFS) {
		switch {
		case inside(name, to):
			l.remove(name)
		case inside(name, from):
			l.move(name, to+name[len(from):])
		}
	}
	maps.DeleteFunc(l.named, func(name string, _ bool) bool {
		return !named[name] && name != from && name != to && (inside(name, from) || inside(name, to))
	})
	l.named[from], l.named[to] = true, true
}

func (l *living) remove(name string) {
	delete(l.MapFS, name)
	l.named[name] = true
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if _, err := l.MapFS.Stat(dir); err != nil {
			l.named[dir] = true // an empty folder is gone
		}
	}
}

// permit changes the permissions of a file.
func (l *living) permit(name string, may fs.FileMode) {
	l.named[name] = true
	if f := l.MapFS[name]; f != nil {
		l.put(name, &fstest.MapFile{Data: f.Data, Mode: f.Mode.Type() | may, ModTime: f.ModTime}, inodeOf(f))
	}
}
