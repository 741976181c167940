package main

import (
	"errors"
	"fmt"
	"io"

	"plumbrule/cmd/plumbrule/internal/show"
)

// The exit statuses of every verb.
const (
	statusFine       = 0 // nothing needs attention
	statusAttention  = 1 // something does, and --strict was given
	statusUsage      = 2 // the command line cannot be used
	statusUnreadable = 3 // records or an input file cannot be read, or say something that cannot be
)

// failure ends a verb: what is wrong, what would mend it, and the exit status.
type failure struct {
	status int
	what   string // one line: what is there, what was expected
	mend   string // what would mend it; may be empty
	cause  error
}

func (f *failure) Error() string { return f.what }
func (f *failure) Unwrap() error { return f.cause }

// misused says that the command line cannot be used.
func misused(what, mend string) error { return &failure{status: statusUsage, what: what, mend: mend} }

// unreadable says that a file cannot be used.
func unreadable(what, mend string, cause error) error {
	return &failure{status: statusUnreadable, what: what, mend: mend, cause: cause}
}

// errAttention is returned by a verb that has printed its results, was told to be strict, and found something that
// needs attention. Nothing more is printed for it.
var errAttention = errors.New("something needs attention")

// errInvalid is returned by a verb whose results are what is wrong with the records. Nothing more is printed for it.
var errInvalid = errors.New("records are invalid")

// attention returns [errAttention] when a strict verb found something.
func attention(strict, found bool) error {
	if strict && found {
		return errAttention
	}
	return nil
}

// report prints an error on two lines, what and mend, and returns the exit status. An error of no known kind comes from
// the system: a file, a pipe.
func report(w io.Writer, err error) int {
	var f *failure
	switch {
	case err == nil:
		return statusFine
	case errors.Is(err, errAttention):
		return statusAttention
	case errors.Is(err, errInvalid):
		return statusUnreadable
	case !errors.As(err, &f):
		f = &failure{status: statusUnreadable, what: err.Error()}
	}
	fmt.Fprintf(w, "plumbrule: %s\n", show.Text(f.what))
	if f.mend != "" {
		fmt.Fprintf(w, "plumbrule: mend: %s\n", show.Text(f.mend))
	}
	return f.status
}
