package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// Scripts run the program as a process of its own, with what a test may set injected here and nowhere else:
// PLUMBRULE_TEST_NOW is the instant, or "wall" for the system's clock, PLUMBRULE_TEST_TERMINAL the width of a terminal that
// is not there, PLUMBRULE_TEST_EXECUTABLE the file that counts as the program's own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"plumbrule": func() {
		e := env{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now, LookupEnv: os.LookupEnv, Dir: "."}
		if text := os.Getenv("PLUMBRULE_TEST_NOW"); text != "wall" {
			now, err := time.Parse(time.RFC3339, text)
			if err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(99)
			}
			e.Now = func() time.Time { return now }
		}
		if name := os.Getenv("PLUMBRULE_TEST_EXECUTABLE"); name != "" {
			e.Executable = func() (io.ReadCloser, error) { return os.Open(name) }
		}
		if width := os.Getenv("PLUMBRULE_TEST_TERMINAL"); width != "" {
			e.Terminal.Is = true
			e.Terminal.Width, _ = strconv.Atoi(width)
		}
		os.Exit(run(context.Background(), e, os.Args[1:]))
	}})
}

// UPDATE_SCRIPTS=1 writes the expected output of cmp lines anew, for a person to look at.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("PLUMBRULE_TEST_NOW", "2026-11-25T08:00:00Z")
			e.Setenv("XDG_STATE_HOME", filepath.Join(e.WorkDir, "state"))
			e.Setenv("GORACE", "atexit_sleep_ms=0") // else each of many short processes waits a second under -race
			return os.CopyFS(filepath.Join(e.WorkDir, "shop"), os.DirFS("testdata/shop"))
		},
		Condition: func(name string) (bool, error) {
			if name != "git" {
				return false, fmt.Errorf("unknown condition %q", name)
			}
			_, err := exec.LookPath("git")
			return err == nil, nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "scan": writeScan, "waits-for": waitsFor},
	})
}

// exits runs a program and compares its exit status: "exits 2 plumbrule decde".
func exits(ts *testscript.TestScript, negated bool, args []string) {
	if negated || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS PROGRAM [ARG…]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		exit, ok := err.(*exec.ExitError) //nolint:errorlint // testscript returns it unwrapped
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d\n%s", got, want, ts.ReadFile("stderr"))
	}
}

// waitsFor waits until a file below a folder holds a text or has it as its name: "waits-for state raised".
func waitsFor(ts *testscript.TestScript, negated bool, args []string) {
	if negated || len(args) != 2 {
		ts.Fatalf("usage: waits-for FOLDER TEXT")
	}
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); <-time.After(20 * time.Millisecond) {
		found := false
		_ = filepath.WalkDir(ts.MkAbs(args[0]), func(name string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() {
				return nil //nolint:nilerr // not there yet
			}
			text, _ := os.ReadFile(name) // likewise
			found = found || filepath.Base(name) == args[1] || bytes.Contains(text, []byte(args[1]))
			return nil
		})
		if found {
			return
		}
	}
	ts.Fatalf("nothing below %s holds %q", args[0], args[1])
}
