//go:build unix

package main

import (
	"os"

	"github.com/mattn/go-isatty"
	"golang.org/x/sys/unix"
)

// terminalOf asks the system about an open file.
func terminalOf(file *os.File) terminal {
	if !isatty.IsTerminal(file.Fd()) {
		return terminal{}
	}
	size, err := unix.IoctlGetWinsize(int(file.Fd()), unix.TIOCGWINSZ)
	if err != nil {
		return terminal{Is: true}
	}
	return terminal{Is: true, Width: int(size.Col)}
}
