package history

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
)

// sides compares merges with each of their parents, in a git of its own beside
// the one that reads the commits.
type sides struct {
	start  func() (Process, error)
	wanted func(*raw) bool
	to     Process
	asked  chan [2]string // merge and parent, in the order asked
	result map[string][]side
	done   chan error
}

// side is a path that one parent of a merge has and that is another or none in the
// merge.
type side struct {
	parent string
	raw
}

// maxAsked is how many comparisons may be on their way; git answers in order.
const maxAsked = 1 << 12

// sides prepares the comparisons. What a parent has not is left out: that is mostly
// what another side added, which is most of what merges do.
func (r *Repository) sides(ctx context.Context, wanted func(*raw) bool) *sides {
	return &sides{result: map[string][]side{}, wanted: wanted, start: func() (Process, error) {
		return r.git.Start(ctx, "diff-tree", "--stdin", "--always", "-r", "--raw", "-z", "--no-abbrev", "--no-renames", "--no-ext-diff", "--no-textconv",
			"--ignore-submodules=none", "--no-relative", "-O/dev/null", "--diff-filter=MDT")
	}}
}

// compare asks for the comparisons of a merge.
func (s *sides) compare(c *Commit) error {
	if s.to == nil {
		p, err := s.start()
		if err != nil {
			return err
		}
		s.to, s.asked, s.done = p, make(chan [2]string, maxAsked), make(chan error, 1)
		go func() { s.done <- s.read() }()
	}
	for _, parent := range c.Parents {
		select {
		case s.asked <- [2]string{c.ID, parent}:
		case err := <-s.done:
			s.done <- err
			return err
		}
		if _, err := io.WriteString(s.to, c.ID+" "+parent+"\n"); err != nil {
			return nil //nolint:nilerr // git has ended, and wait tells why
		}
	}
	return nil
}

// end asks for nothing more.
func (s *sides) end() {
	if s.to != nil {
		_ = s.to.CloseWrite()
		close(s.asked)
	}
}

// wait returns, by merge, what differs from one parent or more.
func (s *sides) wait() (map[string][]side, error) {
	if s.to == nil {
		return map[string][]side{}, nil
	}
	return s.result, <-s.done
}

func (s *sides) read() error {
	var at [2]string
	in := &stream{in: bufio.NewReaderSize(s.to, 1<<16)}
	in.commit = func(fields []string) error {
		at = <-s.asked
		if id := strings.TrimSpace(fields[0]); id != at[0] {
			return fmt.Errorf("git diff-tree answered about %q, expected %s", id, at[0])
		}
		return nil
	}
	in.change = func(c raw) error {
		if s.wanted(&c) {
			s.result[at[0]] = append(s.result[at[0]], side{at[1], c})
		}
		return nil
	}
	return errors.Join(in.read(1), s.to.Close())
}
