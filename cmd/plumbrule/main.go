// Plumbrule keeps the calibration history of measuring equipment as text files and computes from them what may be used
// today, on what evidence, and until when. "plumbrule help" lists its verbs.
package main

import (
	"context"
	"io"
	"os"
	"time"
)

func main() {
	os.Exit(run(context.Background(), env{
		Stdin:       os.Stdin,
		Stdout:      os.Stdout,
		Stderr:      os.Stderr,
		Now:         time.Now,
		LookupEnv:   os.LookupEnv,
		Terminal:    terminalOf(os.Stdout),
		Interactive: terminalOf(os.Stdin).Is && terminalOf(os.Stderr).Is,
		Executable:  executable,
		Dir:         ".",
	}, os.Args[1:]))
}

func executable() (io.ReadCloser, error) {
	name, err := os.Executable()
	if err != nil {
		return nil, err
	}
	return os.Open(name)
}
