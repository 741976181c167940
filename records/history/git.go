package history

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Git starts git commands in one repository. An implementation sees to it that
// nothing in the environment or in the repository's settings changes what they
// print, that no replacement object and no graft is followed, that nothing is
// fetched, and that no program is run which the repository's settings name.
type Git interface {
	// Start starts one command, whose first argument is the verb.
	Start(ctx context.Context, args ...string) (Process, error)
}

// Process is a git command that runs.
type Process interface {
	// Read reads what it prints and Write writes to its input.
	io.ReadWriter
	// CloseWrite ends its input.
	CloseWrite() error
	// Close waits for its end, or makes an end of it if not all it prints was read. A command that ended with another
	// status than 0 although all of it was read gives a [*Refusal]; one that a signal ended gives [ErrEnded].
	Close() error
}

// ErrNoGit means that git is not installed or that a folder is not under version
// control. Everything but the past works without it.
var ErrNoGit = errors.New("not under version control with git")

// ErrEnded means that a git command was ended by a signal before it was done.
var ErrEnded = errors.New("was ended from outside")

// Refusal is that a git command ended with another status than 0.
type Refusal struct {
	Verb   string
	Status int
	Said   string // on its error stream, without line end; may be empty
}

func (r *Refusal) Error() string {
	if r.Said == "" {
		return fmt.Sprintf("git %s ended with status %d", r.Verb, r.Status)
	}
	return "git: " + strings.ReplaceAll(r.Said, "\n", "; ")
}

// output runs a command to its end and returns what it printed.
func (r *Repository) output(ctx context.Context, input string, args ...string) ([]byte, error) {
	p, err := r.git.Start(ctx, args...)
	if err != nil {
		return nil, err
	}
	fed := make(chan struct{})
	go func() {
		defer close(fed)
		_, _ = io.WriteString(p, input) // a command that does not want all of it says so by its status
		_ = p.CloseWrite()
	}()
	var out bytes.Buffer
	_, readErr := io.Copy(&out, p)
	err = p.Close()
	<-fed
	return out.Bytes(), errors.Join(err, readErr)
}

// line runs a command that prints one line, and returns that without its end.
func (r *Repository) line(ctx context.Context, args ...string) (string, error) {
	out, err := r.output(ctx, "", args...)
	return strings.TrimSuffix(string(out), "\n"), err
}

// declined reports whether an error is that git ended with the status 1, by which
// several commands say no.
func declined(err error) bool {
	var refusal *Refusal
	return errors.As(err, &refusal) && refusal.Status == 1
}
