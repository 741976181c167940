package main

import (
	"io"
	"path/filepath"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
)

// env is all that a verb may know of the world outside: there is no other way to the clock, the streams or the
// environment.
type env struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Now            func() time.Time
	LookupEnv      func(string) (string, bool)
	Terminal       terminal
	Interactive    bool // a person sits at Stdin and can be asked

	// Executable opens the file that this program runs from; nil where nobody knows it.
	Executable func() (io.ReadCloser, error)

	// Dir is where relative paths begin. With the flag -C it leads to the records.
	Dir string
}

// terminal tells about the terminal behind Stdout.
type terminal struct {
	Is    bool // false for a file or a pipe
	Width int  // in columns; 0 if unknown
}

// path returns where a file is that the user named.
func (e env) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(e.Dir, name)
}

// screen returns how tables are to be laid out. Colour is for terminals only, and not against NO_COLOR or a terminal
// that says it has none.
func (e env) screen() table.Screen {
	if !e.Terminal.Is {
		return table.Screen{}
	}
	screen := table.Screen{Width: e.width(), Colour: true}
	if v, set := e.LookupEnv("NO_COLOR"); set && v != "" {
		screen.Colour = false
	}
	if v, _ := e.LookupEnv("TERM"); v == "dumb" {
		screen.Colour = false
	}
	return screen
}

// width returns how wide prose and drawings may be.
func (e env) width() int {
	if e.Terminal.Is && e.Terminal.Width > 0 {
		return e.Terminal.Width
	}
	return table.DefaultWidth
}
