package repository

import (
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"golang.org/x/sys/unix"
)

// dirFS is all that the file system of [os.DirFS] can do.
type dirFS interface {
	fs.ReadDirFS
	fs.ReadFileFS
	fs.StatFS
	fs.ReadLinkFS
}

// files are those of a folder, which can be looked through without the system
// going the way to each of them anew.
type files struct {
	dirFS
	root string
}

func filesOf(root string) fs.FS {
	of := os.DirFS(root)
	if all, ok := of.(dirFS); ok {
		return files{all, root}
	}
	return of
}

// Look calls see for each thing in a folder, see [records.LookFS].
func (f files) Look(folder string, see func(fs.DirEntry) bool) error {
	if !fs.ValidPath(folder) {
		return &fs.PathError{Op: "look", Path: folder, Err: fs.ErrInvalid}
	}
	at, err := os.Open(filepath.Join(f.root, filepath.FromSlash(folder)))
	if err != nil {
		return err
	}
	defer func() { _ = at.Close() }()
	entries, err := at.ReadDir(-1)
	if err != nil {
		return err
	}
	now := seen{at: int(at.Fd())}
	for _, e := range entries {
		now.DirEntry = e
		if !see(&now) {
			break
		}
	}
	return nil
}

// seen is what is looked at.
type seen struct {
	fs.DirEntry
	at     int // the folder, open
	stat   unix.Stat_t
	system syscall.Stat_t
}

// Info asks the system, relative to the folder.
func (s *seen) Info() (fs.FileInfo, error) {
	for {
		switch err := unix.Fstatat(s.at, s.Name(), &s.stat, unix.AT_SYMLINK_NOFOLLOW); err {
		case nil:
			s.system = syscall.Stat_t{Ino: s.stat.Ino, Ctim: syscall.NsecToTimespec(s.stat.Ctim.Nano())}
			return seenInfo{s}, nil
		case unix.EINTR:
		default:
			return nil, &fs.PathError{Op: "fstatat", Path: s.Name(), Err: err}
		}
	}
}

// seenInfo is what the system said.
type seenInfo struct{ *seen }

// Name is the last part of the path.
func (s seenInfo) Name() string { return s.seen.Name() }

// Size is in bytes.
func (s seenInfo) Size() int64 { return s.stat.Size }

// Mode is the type and who may do what.
func (s seenInfo) Mode() fs.FileMode {
	mode := fs.FileMode(s.stat.Mode & 0o777)
	switch s.stat.Mode & unix.S_IFMT {
	case unix.S_IFREG:
	case unix.S_IFDIR:
		mode |= fs.ModeDir
	case unix.S_IFLNK:
		mode |= fs.ModeSymlink
	case unix.S_IFIFO:
		mode |= fs.ModeNamedPipe
	case unix.S_IFSOCK:
		mode |= fs.ModeSocket
	case unix.S_IFBLK:
		mode |= fs.ModeDevice
	case unix.S_IFCHR:
		mode |= fs.ModeDevice | fs.ModeCharDevice
	default:
		mode |= fs.ModeIrregular
	}
	return mode
}

// ModTime is when its content was written last.
func (s seenInfo) ModTime() time.Time { return time.Unix(s.stat.Mtim.Unix()) }

// IsDir reports whether it is a folder.
func (s seenInfo) IsDir() bool { return s.Mode().IsDir() }

// Sys holds the number of the inode and when it was changed last, and nothing else.
func (s seenInfo) Sys() any { return &s.system }
