//go:build !unix

package main

import (
	"os"

	"github.com/mattn/go-isatty"
)

// terminalOf asks the system about an open file. The width is not asked for here.
func terminalOf(file *os.File) terminal { return terminal{Is: isatty.IsTerminal(file.Fd())} }
