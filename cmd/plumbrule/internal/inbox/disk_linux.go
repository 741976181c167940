package inbox

import (
	"errors"
	"io/fs"
	"os"

	"golang.org/x/sys/unix"
)

// noFollow opens neither links nor waits for pipes.
const noFollow = unix.O_NOFOLLOW | unix.O_NONBLOCK

func (system) move(from, to string) error {
	err := unix.Renameat2(unix.AT_FDCWD, from, unix.AT_FDCWD, to, unix.RENAME_NOREPLACE)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.ENOTSUP):
		return moveByLink(from, to)
	case errors.Is(err, fs.ErrExist):
		err = fs.ErrExist
	}
	return &os.LinkError{Op: "rename", Old: from, New: to, Err: err}
}
