package records

import (
	"io/fs"
	"syscall"
)

// systemIdentity returns what the system knows of a file beside size and time of
// modification: the number of its inode, and when it or its metadata was last
// changed, which no program can set back.
func systemIdentity(info fs.FileInfo) (inode uint64, changed int64) {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return s.Ino, s.Ctim.Nano()
	}
	return 0, 0
}
