//go:build !linux

package repository

import (
	"io/fs"
	"os"
)

func filesOf(root string) fs.FS { return os.DirFS(root) }
