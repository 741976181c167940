package records

import (
	"syscall"
	"testing/fstest"
	"time"
)

// identified tells whether a file that is written anew with its old size and
// times shows that.
const identified = true

// systemOf is what the system knows of a file, see systemIdentity.
func systemOf(inode uint64, changed time.Time) any {
	return &syscall.Stat_t{Ino: inode, Ctim: syscall.NsecToTimespec(changed.UnixNano())}
}

func inodeOf(f *fstest.MapFile) uint64 {
	if s, ok := f.Sys.(*syscall.Stat_t); ok {
		return s.Ino
	}
	return 0
}
