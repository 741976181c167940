// Package attached looks at the files that records name: whether each is there
// inside the repository, and whether it is the one recorded.
package attached

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"syscall"

	"plumbrule/records"
	"plumbrule/rules/trace"
)

// MostBytes is the size above which a file is not read: at the speed of a disk
// it takes minutes. A larger one is said not to have been looked at.
const MostBytes = 16 << 30

// block is how much of a file is in memory at a time.
const block = 1 << 20

// Look looks at a file by its path inside the repository at root. Nothing
// outside is opened: a path that climbs out, and a link that leads out, is
// refused by the system call itself and not only by a look at its name. What is
// no ordinary file is not opened either, since opening a pipe may never end. A
// file is read in pieces, whatever its size, up to [MostBytes]; reading stops
// when ctx is done.
func Look(ctx context.Context, root *os.Root, a records.Attachment) trace.Look {
	if !fs.ValidPath(a.File) || a.File == "." || strings.Contains(a.File, "\\") {
		return trace.Look{State: trace.Outside, Why: "is no path inside the repository"}
	}
	name := filepath.FromSlash(a.File)
	info, err := root.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR), errors.Is(err, syscall.ELOOP):
		return missing(root, a.File)
	case err != nil && leadsOut(root, a.File):
		return trace.Look{State: trace.Outside, Why: "leads over a symbolic link out of the repository"}
	case err != nil:
		return trace.Look{State: trace.Unseen, Why: "cannot be looked at: " + cause(err)}
	case info.IsDir():
		return trace.Look{State: trace.Missing, Why: "is a folder"}
	case !info.Mode().IsRegular():
		return trace.Look{State: trace.Missing, Why: "is no ordinary file"}
	case info.Size() > MostBytes:
		return trace.Look{State: trace.Unseen, Size: info.Size(), Why: fmt.Sprintf("was not read: it has %d bytes, and %d are read at most", info.Size(), int64(MostBytes))}
	}
	f, err := root.Open(name)
	if err != nil {
		return trace.Look{State: trace.Unseen, Why: "cannot be read: " + cause(err)}
	}
	defer func() { _ = f.Close() }()
	return Compare(ctx, f, a)
}

// missing says of a file that is not there whether a link leads nowhere.
func missing(root *os.Root, name string) trace.Look {
	if info, err := root.Lstat(filepath.FromSlash(name)); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return trace.Look{State: trace.Missing, Why: "is a symbolic link that leads to no file"}
	}
	return trace.Look{State: trace.Missing}
}

// leadsOut reports whether a path inside the repository leads out of it, which
// only a link on the way can do.
func leadsOut(root *os.Root, name string) bool {
	for at := name; at != "."; at = path.Dir(at) {
		info, err := root.Lstat(filepath.FromSlash(at))
		if err == nil && info.Mode()&fs.ModeSymlink != 0 {
			_, err := root.Stat(filepath.FromSlash(at))
			return err != nil && !errors.Is(err, fs.ErrPermission)
		}
	}
	return false
}

// A pointer that stands for a file in large-file storage is a short text that
// starts like this (Git LFS specification, version 1).
const (
	pointerStart = "version https://git-lfs.github.com/spec/v1\n"
	longestOne   = 1024
)

// Compare reads a file, wherever it comes from, and compares it with what was
// recorded; see [Look].
func Compare(ctx context.Context, f io.Reader, a records.Attachment) trace.Look {
	hash, start := sha256.New(), make([]byte, 0, longestOne+1)
	buffer := make([]byte, block)
	size := int64(0)
	for {
		if ctx.Err() != nil {
			return trace.Look{State: trace.Unseen, Why: "was not read to its end: the program was interrupted"}
		}
		n, err := f.Read(buffer)
		hash.Write(buffer[:n])
		start = append(start, buffer[:min(n, cap(start)-len(start))]...)
		if size += int64(n); size > MostBytes {
			return trace.Look{State: trace.Unseen, Why: "was not read to its end: it grew while it was read"}
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return trace.Look{State: trace.Unseen, Why: "cannot be read to its end: " + cause(err)}
		}
	}
	out := trace.Look{State: trace.Same, SHA256: hex.EncodeToString(hash.Sum(nil)), Size: size}
	switch {
	case out.SHA256 == a.SHA256 && a.Size != 0 && a.Size != size:
		out.State, out.Why = trace.Differs, fmt.Sprintf("has %d bytes where %d are recorded, and its SHA-256 is the one recorded", size, a.Size)
	case out.SHA256 == a.SHA256:
	case len(start) <= longestOne && strings.HasPrefix(string(start), pointerStart):
		out.State, out.Why = trace.Missing, "is only the pointer to a file in large-file storage"
	default:
		out.State = trace.Differs
	}
	return out
}

// cause is what the system says without the path it says it of.
func cause(err error) string {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}
