package scan

import (
	"bytes"
	"errors"
	"io"
)

// e57Source gives the description to the XML library, as far as its tags are short enough to be kept in memory.
type e57Source struct {
	pages *e57Pages
	left  int64 // bytes of the description

	inside bool // a tag
	tag    int  // bytes of it so far
	err    error
}

func (s *e57Source) Read(b []byte) (int, error) {
	if s.err != nil {
		return 0, s.err
	}
	if s.left == 0 {
		return 0, io.EOF
	}
	n, err := s.pages.Read(b[:min(int64(len(b)), s.left)])
	s.left -= int64(n)
	if err == nil {
		err = s.measure(b[:n])
	}
	if err != nil && !errors.Is(err, io.EOF) {
		s.err = err
	}
	return n, err
}

// measure follows where tags begin and end. What a text in quotes or a section of characters has of these signs makes a tag
// look shorter or longer than it is, which matters to nobody.
func (s *e57Source) measure(b []byte) error {
	for len(b) > 0 {
		sign := byte('<')
		if s.inside {
			sign = '>'
		}
		n := bytes.IndexByte(b, sign)
		if n < 0 {
			n = len(b) - 1
		} else {
			s.inside = !s.inside
		}
		if s.tag += n + 1; sign == '<' {
			s.tag = 0
		}
		b = b[n+1:]
		if s.tag > maxE57Tag {
			return s.pages.in.fault(byteAt(s.pages.physical()), mendE57, "the XML section has a tag of more than %d bytes", maxE57Tag)
		}
	}
	return nil
}
