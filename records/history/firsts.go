package history

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
)

// firsts compares merges with the first of their parents, in a git of its own
// beside the one that reads the commits. With what ordinary commits changed that
// tells what every commit holds at every path.
type firsts struct {
	start  func() (Process, error)
	wanted func(*raw) bool
	to     Process
	asked  chan string // merges in the order asked
	result map[string][]raw
	done   chan error
}

// maxAsked is how many comparisons may be on their way; git answers in order.
const maxAsked = 1 << 12

// firsts prepares the comparisons.
func (r *Repository) firsts(ctx context.Context, wanted func(*raw) bool) *firsts {
	return &firsts{result: map[string][]raw{}, wanted: wanted, start: func() (Process, error) {
		return r.git.Start(ctx, "diff-tree", "--stdin", "--always", "-r", "--raw", "-z", "--no-abbrev", "--no-renames", "--no-ext-diff", "--no-textconv",
			"--ignore-submodules=none", "--no-relative", "-O/dev/null")
	}}
}

// compare asks for the comparison of a merge.
func (f *firsts) compare(c *Commit) error {
	if f.to == nil {
		p, err := f.start()
		if err != nil {
			return err
		}
		f.to, f.asked, f.done = p, make(chan string, maxAsked), make(chan error, 1)
		go func() { f.done <- f.read() }()
	}
	select {
	case f.asked <- c.ID:
	case err := <-f.done:
		f.done <- err
		return err
	}
	_, _ = io.WriteString(f.to, c.ID+" "+c.Parents[0]+"\n") // where git has ended, wait tells why
	return nil
}

// end asks for nothing more.
func (f *firsts) end() {
	if f.to != nil {
		_ = f.to.CloseWrite()
		close(f.asked)
	}
}

// wait returns, by merge, what differs from the first parent.
func (f *firsts) wait() (map[string][]raw, error) {
	if f.to == nil {
		return f.result, nil
	}
	return f.result, <-f.done
}

func (f *firsts) read() error {
	at := ""
	in := newStream(f.to)
	in.commit = func(fields []string) error {
		at = <-f.asked
		if id := strings.TrimSpace(fields[0]); id != at {
			return fmt.Errorf("git diff-tree answered about %q, expected %s", id, at)
		}
		return nil
	}
	in.change = func(c raw) error {
		if f.wanted(&c) {
			f.result[at] = append(f.result[at], c)
		}
		return nil
	}
	return errors.Join(in.read(1), f.to.Close())
}
