package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// writeOutput writes a file that the user named for results. It appears whole or not at all: what stood there before stays
// until the new one is complete.
func (e env) writeOutput(name string, write func(io.Writer) error) error {
	var content bytes.Buffer
	if err := write(&content); err != nil {
		return err
	}
	path := e.path(name)
	fail := func(err error) error {
		return &failure{status: statusUnreadable, what: fmt.Sprintf("%s: not written: %s", name, plainCause(err)), mend: "name a file in a directory that can be written to", cause: err}
	}
	temporary, err := os.CreateTemp(filepath.Dir(path), ".plumbrule-*")
	if err != nil {
		return fail(err)
	}
	defer os.Remove(temporary.Name()) //nolint:errcheck // it is gone when all went well
	_, err = temporary.Write(content.Bytes())
	if err == nil {
		err = temporary.Chmod(0o644)
	}
	if closing := temporary.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		return fail(err)
	}
	return nil
}
