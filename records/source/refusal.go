package source

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// failAs keeps the first fault of a text. It returns false, so that a reader
// can end with it.
func (p *Parser) failAs(reason Reason, offset int, message, mend string) bool {
	if p.fault == nil {
		p.fault = &SyntaxError{Reason: reason, Offset: offset, Message: message, Mend: mend}
	}
	return false
}

func (p *Parser) fail(offset int, message, mend string) bool {
	if offset < len(p.text) && isControl(p.text[offset]) && !p.lineBreakAt(offset) {
		return p.failControl(offset)
	}
	return p.failAs(Syntax, offset, message, mend)
}

func (p *Parser) fail11(offset int, form, mend string) bool {
	return p.failAs(NeedsTOML11, offset, form+" needs TOML 1.1; records are written in TOML 1.0", mend)
}

func (p *Parser) failControl(offset int) bool {
	c := p.text[offset]
	if c == '\r' {
		return p.failAs(ControlCharacter, offset, "a carriage return without a line feed",
			"end lines with LF, or with CR LF")
	}
	mend := "delete it"
	if c != 0 {
		mend = fmt.Sprintf(`delete it, or write \u%04X inside double quotes`, c)
	}
	return p.failAs(ControlCharacter, offset, fmt.Sprintf("control character U+%04X", c), mend)
}

// failEncoding places the first byte that is no UTF-8.
func (p *Parser) failEncoding() bool {
	offset := 0
	for offset < len(p.text) {
		r, size := utf8.DecodeRuneInString(p.text[offset:])
		if r == utf8.RuneError && size == 1 {
			break
		}
		offset += size
	}
	return p.failAs(NotUTF8, offset, fmt.Sprintf("byte 0x%02X is not UTF-8", p.text[offset]), "save the file as UTF-8")
}

// failMerge places a line that a merge left behind.
func (p *Parser) failMerge(offset int) bool {
	return p.failAs(MergeConflict, offset, "an unfinished merge left its marker "+p.text[offset:offset+7]+" here",
		"settle the conflict, keep one side and delete the marker lines")
}

// looksUTF16 reports a UTF-16 byte order mark, or text in which every other of
// the first bytes is NUL.
func looksUTF16(text string) bool {
	if strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") {
		return true
	}
	sample := text[:min(len(text), 64)]
	var nuls [2]int
	for i := range len(sample) {
		if sample[i] == 0 {
			nuls[i%2]++
		}
	}
	half := len(sample) / 2
	return half > 0 && (nuls[0] > half/2 && nuls[1] == 0 || nuls[1] > half/2 && nuls[0] == 0)
}

// labelledMarkers are the conflict marks that a label follows; they are
// recognised inside multi-line text too. bareMarkers counts only where the text
// cannot be read: seven equals signs may underline a heading in a note.
const (
	labelledMarkers = "<>|"
	bareMarkers     = "<>|="
)

// startsWithMarker reports whether a line starts with seven of one mark, and
// then a blank or its end.
func startsWithMarker(line, marks string) bool {
	if len(line) < 7 || strings.IndexByte(marks, line[0]) < 0 {
		return false
	}
	if line[:7] != strings.Repeat(line[:1], 7) {
		return false
	}
	return len(line) == 7 || strings.IndexByte(" \r\n", line[7]) >= 0
}

// firstMarker returns the offset of the first line with one of these marks, or
// -1.
func firstMarker(text, marks string) int {
	for start := 0; start < len(text); {
		if startsWithMarker(text[start:], marks) {
			return start
		}
		length := strings.IndexByte(text[start:], '\n')
		if length < 0 {
			break
		}
		start += length + 1
	}
	return -1
}
