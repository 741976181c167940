package channel

import (
	"slices"
	"unicode/utf8"
)

// How many bytes are kept of what a program prints. What it says first is mostly the cause, what it says last why it ended; a flood
// in between is lost.
const (
	mostFirst = 100
	mostLast  = 200
)

// ends keeps the beginning and the end of what is written to it.
type ends struct {
	first, last []byte
	lost        bool // something between them
}

func (e *ends) Write(p []byte) (int, error) {
	n := len(p)
	room := min(mostFirst-len(e.first), len(p))
	e.first, p = append(e.first, p[:room]...), p[room:]
	if len(p) > mostLast {
		p, e.last, e.lost = p[len(p)-mostLast:], e.last[:0], true
	}
	if over := len(e.last) + len(p) - mostLast; over > 0 {
		e.last, e.lost = append(e.last[:0], e.last[over:]...), true
	}
	e.last = append(e.last, p...)
	return n, nil
}

// String quotes what is kept in one harmless line, or is empty if there is nothing.
func (e *ends) String() string {
	text := slices.Concat(e.first, e.last)
	if e.lost {
		text = slices.Concat(begun(e.first), []byte(between), ended(e.last))
	}
	if out := line(string(text), mostFirst+mostLast+len(between)); out != "" {
		return `"` + out + `"`
	}
	return ""
}

const between = " … "

// begun leaves out the beginning of a letter that was cut through.
func begun(text []byte) []byte {
	for i := len(text) - 1; i >= max(0, len(text)-utf8.UTFMax); i-- {
		if utf8.RuneStart(text[i]) && !utf8.FullRune(text[i:]) {
			return text[:i]
		}
	}
	return text
}

// ended leaves out the end of a letter that was cut through.
func ended(text []byte) []byte {
	for range utf8.UTFMax - 1 {
		if len(text) > 0 && !utf8.RuneStart(text[0]) {
			text = text[1:]
		}
	}
	return text
}
