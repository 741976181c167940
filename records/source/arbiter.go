package source

import (
	"errors"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// maxAsked bounds the texts shown to the library: it follows nested brackets
// without limit, and a longer text could exhaust its stack.
const maxAsked = 256 << 10

// judge settles the reason for a refusal once the first fault is known: a fault
// may be no more than a sign of a wrong encoding or of an unfinished merge.
//
// A form that we know as TOML 1.1 is shown to the library, which reads TOML
// 1.1: if it has another complaint about the text, that one is told, for it
// holds in both versions. Any other refusal of ours stands whatever the library
// says: version 1.6.0 lets tables be redefined and offsets reach 12:60, which
// the conformance suites of TOML 1.0 and 1.1 both refuse, and where it refuses
// too its place and its wording are no better.
func (p *Parser) judge() *SyntaxError {
	fault := p.fault
	switch fault.Reason {
	case NotUTF8, ControlCharacter:
		if looksUTF16(p.text) {
			*fault = SyntaxError{Reason: UTF16, Message: "the file is stored as UTF-16", Mend: "save it as UTF-8"}
		}
	case Syntax, DuplicateKey, NeedsTOML11:
		if at := firstMarker(p.text, bareMarkers); at >= 0 && (p.text[at] != '=' || at == fault.Offset) {
			p.fault = nil
			p.failMerge(at)
			fault = p.fault
		} else if fault.Reason == NeedsTOML11 {
			p.askLibrary(fault)
		}
	case UTF16, MergeConflict, TooDeep, TooLarge:
	}
	fault.Pos = positionOf(p.text, fault.Offset)
	return fault
}

// askLibrary turns a fault into the library's complaint, if it has one. Of its
// position only Start is right, and that counts from behind a byte order mark.
func (p *Parser) askLibrary(fault *SyntaxError) {
	if len(p.text) > maxAsked {
		return
	}
	_, _, err := decodeWithLibrary(p.text)
	var complaint toml.ParseError
	if !errors.As(err, &complaint) {
		return
	}
	offset := complaint.Position.Start
	if strings.HasPrefix(p.text, byteOrderMark) {
		offset += len(byteOrderMark)
	}
	*fault = SyntaxError{Offset: max(0, min(offset, len(p.text))), Message: plain(complaint.Message)}
}

// plain brings the library's message into the form of ours.
func plain(message string) string {
	message = strings.TrimSuffix(message, ".")
	first, size := utf8.DecodeRuneInString(message)
	return strings.ToLower(string(first)) + message[size:]
}

// errLibrary stands for a panic of the library.
var errLibrary = errors.New("the library gave up on this text")

// decodeWithLibrary reads a text with BurntSushi/toml into its generic types.
// That library panics where it finds itself in error.
func decodeWithLibrary(text string) (table map[string]any, meta toml.MetaData, err error) {
	defer func() {
		if recover() != nil {
			err = errLibrary
		}
	}()
	meta, err = toml.Decode(text, &table)
	return table, meta, err
}
