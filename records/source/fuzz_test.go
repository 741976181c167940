package source

import (
	"strings"
	"testing"
)

// FuzzParse holds the two readers against each other: what ours accepts, the
// library accepts with equal keys and values; what ours refuses and the library
// accepts is TOML 1.1, or one of the few things in which version 1.6.0 is laxer
// than both versions of TOML.
func FuzzParse(f *testing.F) {
	for _, folder := range []string{"valid", "invalid"} {
		names, files := corpus(f, "1.1.0", folder)
		for _, name := range names {
			f.Add(read(f, files, name))
		}
	}
	f.Add([]byte(check))
	f.Fuzz(func(t *testing.T, text []byte) {
		var parser Parser
		doc, fault := parser.Parse(text)
		if fault == nil {
			checkPositions(t, doc)
			if err := CrossCheck(text, doc); err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			return
		}
		if fault.Offset < 0 || fault.Offset > len(text) || fault.Message == "" {
			t.Fatalf("fault %+v", fault)
		}
		if lines := strings.Split(Excerpt(string(text), fault.Offset), "\n"); len(lines) != 2 {
			t.Fatalf("excerpt of %d lines", len(lines))
		}
		if _, _, err := decodeWithLibrary(string(text)); err != nil {
			return
		}
		switch fault.Reason {
		case NeedsTOML11, DuplicateKey, TooDeep, TooLarge, MergeConflict, UTF16:
		case Syntax, ControlCharacter, NotUTF8:
			if !laxInLibrary(fault) {
				t.Fatalf("only the library accepts this: %v\n%s", fault, text)
			}
		}
	})
}

// laxInLibrary names what BurntSushi/toml 1.6.0 accepts against RFC 3339:
// offsets up to 24:60.
func laxInLibrary(fault *SyntaxError) bool {
	return strings.Contains(fault.Message, "behind the time") && strings.Contains(fault.Mend, "offset")
}
