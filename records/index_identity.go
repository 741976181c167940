package records

import (
	"io/fs"
	"time"
)

// identity tells the states of a file apart without reading it: one that was
// written anew has another identity, unless that happened within the grain of
// the file system's clock.
type identity struct {
	size     int64
	modified int64       // in ns since 1970
	changed  int64       // last change of file or metadata, in ns since 1970; 0: not known
	inode    uint64      // 0: not known
	mode     fs.FileMode // type
	may      fs.FileMode // permissions
}

// grain is how far apart two writings of a file must be for their times to
// differ: 2 s on the coarsest file system in use (FAT; from memory).
const grain = 2 * time.Second

func identityOf(info fs.FileInfo) identity {
	if info.IsDir() {
		return identity{mode: fs.ModeDir} // the rest of a folder's tells of what lies in it, which is looked at itself
	}
	id := identity{size: info.Size(), modified: info.ModTime().UnixNano(), mode: info.Mode().Type(), may: info.Mode().Perm()}
	id.inode, id.changed = systemIdentity(info)
	return id
}

// settled reports whether a file of this identity that is read at an instant
// could not be written again later and keep its identity. A file that seems to
// come from the future, as on a server whose clock is ahead, is not settled.
func (id identity) settled(at time.Time) bool {
	return !at.IsZero() && at.UnixNano()-max(id.modified, id.changed) >= int64(grain)
}
