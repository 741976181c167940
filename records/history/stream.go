package history

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
)

// stream reads what git log, git diff-tree and git diff-index print with -z and
// --raw: commits, and after each the paths that changed.
type stream struct {
	in     *bufio.Reader
	commit func(fields []string) error
	change func(raw) error
	long   []byte // a token that the reader's buffer does not hold
}

// raw is one line of --raw: what a path holds after a commit and held before.
type raw struct {
	path, from string // from: the path before a rename, else empty
	status     byte   // git's letter
	old, now   blob
}

// blob is what lies at a path. Nothing is the zero value.
type blob struct {
	object    string // hash
	irregular bool   // no ordinary file: a symbolic link or a repository of its own
}

// streamBuffer is how much of what git prints is read at once. It holds every token but
// very long first lines of messages.
const streamBuffer = 1 << 18

func newStream(from io.Reader) *stream {
	return &stream{in: bufio.NewReaderSize(from, streamBuffer)}
}

// read reads to the end. A commit has so many fields.
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
		token = bytes.TrimPrefix(token, []byte("\n"))
		switch {
		case len(token) == 0:
		case token[0] == ':':
			change, err := s.raw(token)
			if err != nil {
				return err
			}
			if err := s.change(change); err != nil {
				return err
			}
		default:
			commit = append(commit[:0], string(token))
			for len(commit) < fields {
				token, err := s.token()
				if err != nil {
					return cutShort(err)
				}
				commit = append(commit, string(token))
			}
			if err := s.commit(commit); err != nil {
				return err
			}
		}
	}
}

// token reads up to the next zero byte. What it returns holds until it is called
// again.
func (s *stream) token() ([]byte, error) {
	token, err := s.in.ReadSlice(0)
	if errors.Is(err, bufio.ErrBufferFull) {
		s.long = append(s.long[:0], token...)
		var rest []byte
		rest, err = s.in.ReadBytes(0)
		s.long = append(s.long, rest...)
		token = s.long
	}
	if errors.Is(err, io.EOF) && len(token) > 0 {
		return token, nil // diff-tree ends a commit's line with a line end
	}
	return bytes.TrimSuffix(token, []byte{0}), err
}

// raw reads ":100644 100644 <old> <new> M" and the path, or two of a rename.
func (s *stream) raw(text []byte) (raw, error) {
	var f [5][]byte
	rest, found := text[1:], true
	for i := range f {
		if !found {
			return raw{}, fmt.Errorf("git printed %q, expected two modes, two objects and a status", text)
		}
		f[i], rest, found = bytes.Cut(rest, []byte(" "))
	}
	if found || len(f[4]) == 0 {
		return raw{}, fmt.Errorf("git printed %q, expected two modes, two objects and a status", text)
	}
	out := raw{status: f[4][0], old: blobOf(f[0], f[2]), now: blobOf(f[1], f[3])}
	if out.status == 'R' {
		from, err := s.token()
		if err != nil {
			return raw{}, cutShort(err)
		}
		out.from = string(from)
	}
	path, err := s.token()
	if err != nil {
		return raw{}, cutShort(err)
	}
	out.path = string(path)
	return out, nil
}

// blobOf reads a mode and a hash. A hash of zeros stands for nothing.
func blobOf(mode, hash []byte) blob {
	if len(bytes.Trim(hash, "0")) == 0 {
		return blob{}
	}
	return blob{string(hash), !strings.HasPrefix(string(mode), "100")}
}

func cutShort(err error) error {
	if errors.Is(err, io.EOF) {
		return fmt.Errorf("what git prints ends in the middle: %w", io.ErrUnexpectedEOF)
	}
	return err
}
