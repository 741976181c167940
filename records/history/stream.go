package history

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
)

// stream reads what git log and git diff-tree print with -z and --raw: commits,
// and after each the paths that changed.
type stream struct {
	in     *bufio.Reader
	commit func(fields []string) error
	change func(raw) error
}

// raw is one line of --raw: what a path holds in a commit and held in its
// parents.
type raw struct {
	path, from string   // from: the path before a rename, else empty
	status     string   // a letter for each parent
	old        []string // objects in the parents; empty where there was none
	now        string   // object in the commit; empty where there is none
	modes      []string // in the parents, then in the commit
}

// read reads to the end. first is what a commit starts with, and fields how many
// fields it has.
func (s *stream) read(fields int) error {
	commit := make([]string, 0, fields)
	for {
		token, err := s.token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		token = strings.TrimPrefix(token, "\n")
		switch {
		case token == "":
		case token[0] == ':':
			change, err := s.raw(token)
			if err != nil {
				return err
			}
			if err := s.change(change); err != nil {
				return err
			}
		default:
			commit = append(commit[:0], token)
			for len(commit) < fields {
				token, err := s.token()
				if err != nil {
					return cutShort(err)
				}
				commit = append(commit, token)
			}
			if err := s.commit(commit); err != nil {
				return err
			}
		}
	}
}

// token reads up to the next zero byte.
func (s *stream) token() (string, error) {
	token, err := s.in.ReadString(0)
	if errors.Is(err, io.EOF) && token != "" {
		return token, nil // diff-tree ends a commit's line with a line end
	}
	return strings.TrimSuffix(token, "\x00"), err
}

// raw reads ":100644 100644 <old> <new> M", or with one more colon, mode, object
// and letter for each further parent, and the path or two of them.
func (s *stream) raw(text string) (raw, error) {
	parents := len(text) - len(strings.TrimLeft(text, ":"))
	f := strings.Split(text[parents:], " ")
	if len(f) != 2*(parents+1)+1 {
		return raw{}, fmt.Errorf("git printed %q, expected modes, objects and a status for %d parents", text, parents)
	}
	out := raw{modes: f[:parents+1], status: f[len(f)-1], old: f[parents+1 : len(f)-2], now: object(f[len(f)-2])}
	for i := range out.old {
		out.old[i] = object(out.old[i])
	}
	var err error
	if parents == 1 && strings.HasPrefix(out.status, "R") {
		if out.from, err = s.token(); err != nil {
			return raw{}, cutShort(err)
		}
	}
	if out.path, err = s.token(); err != nil {
		return raw{}, cutShort(err)
	}
	return out, nil
}

// object returns an object's hash; empty for the hash of zeros, which stands for
// none.
func object(hash string) string {
	if strings.Trim(hash, "0") == "" {
		return ""
	}
	return hash
}

func cutShort(err error) error {
	if errors.Is(err, io.EOF) {
		return fmt.Errorf("what git prints ends in the middle: %w", io.ErrUnexpectedEOF)
	}
	return err
}
