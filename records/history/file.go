package history

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
)

// Open opens a file or folder.
func (t *Tree) Open(name string) (fs.File, error) {
	e, err := t.find("open", name)
	if err != nil {
		return nil, err
	}
	if e.mode.IsDir() {
		return &folder{entry: e}, nil
	}
	if e.mode&fs.ModeSymlink != 0 {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("a symbolic link, which is not followed")}
	}
	var content []byte
	found := false
	if e.bulk != nil {
		content, found, err = e.bulk.take()
	}
	if !found && err == nil {
		content, err = t.objects.read(t.ctx, e)
	}
	switch {
	case errors.Is(err, errLarge):
		return t.stream(e)
	case err != nil:
		return nil, err
	}
	return &file{entry: e, Reader: bytes.NewReader(content)}, nil
}

// file is a content in memory.
type file struct {
	*entry
	*bytes.Reader
}

func (f *file) Stat() (fs.FileInfo, error) { return info{f.entry, f.Size()}, nil }
func (f *file) Close() error               { return nil }

// stream opens a content that is too large to keep.
func (t *Tree) stream(e *entry) (fs.File, error) {
	p, err := t.repo.git.Start(t.ctx, "cat-file", "blob", e.object)
	if err != nil {
		return nil, err
	}
	return &streamed{entry: e, process: p}, nil
}

type streamed struct {
	*entry
	process Process
}

func (s *streamed) Stat() (fs.FileInfo, error) { return s.Info() }

func (s *streamed) Read(p []byte) (int, error) {
	n, err := s.process.Read(p)
	if errors.Is(err, io.EOF) {
		if err := s.process.Close(); err != nil {
			return n, s.unreadable("open", saidIn(err))
		}
	}
	return n, err
}

func (s *streamed) Close() error {
	_ = s.process.Close() // what it says at the end was told by Read
	return nil
}

// folder is an open folder.
type folder struct {
	*entry
	rest []fs.DirEntry
	read bool
}

func (f *folder) Stat() (fs.FileInfo, error) { return f.Info() }
func (f *folder) Close() error               { return nil }

func (f *folder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.path, Err: errors.New("a folder, expected a file")}
}

// ReadDir lists the next n entries, all with n ≤ 0.
func (f *folder) ReadDir(n int) ([]fs.DirEntry, error) {
	if !f.read {
		var err error
		if f.rest, err = f.tree.ReadDir(f.path); err != nil {
			return nil, err
		}
		f.read = true
	}
	if n <= 0 {
		n = len(f.rest)
	} else if len(f.rest) == 0 {
		return nil, io.EOF
	}
	n = min(n, len(f.rest))
	out := f.rest[:n]
	f.rest = f.rest[n:]
	return out, nil
}
