package trace

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/rules"
)

// LookState is what was found where a record says that a file lies.
type LookState string

// What can be found.
const (
	Same    LookState = "same"    // the file recorded
	Missing LookState = "missing" // no ordinary file
	Differs LookState = "differs" // a file of another SHA-256 or size
	Outside LookState = "outside" // the path leads out of the repository
	Unseen  LookState = "unseen"  // not read to its end
)

// Look is what was found of one file.
type Look struct {
	State  LookState
	SHA256 string // of the file, in lower-case hexadecimal; empty: not known
	Size   int64  // of the file in bytes; 0: not known
	Why    string // a clause that follows the file's name; may be empty
}

// FileKey is the key under which what was found of a file is looked up.
func FileKey(a records.Attachment) string { return a.SHA256 + " " + a.File }

// file puts a file that a record names below a step.
func (b *builder) file(above *Step, a *records.Attachment, source rules.Source) {
	s := b.step(File, FileKey(*a), a.File)
	b.rests(above, s)
	s.from(source)
	s.say("SHA-256 %s", a.SHA256)
	key := FileKey(*a)
	known := false
	for _, f := range b.chain.Files {
		known = known || FileKey(f) == key
	}
	if !known {
		b.chain.Files = append(b.chain.Files, *a)
	}
	l := b.looked[key]
	if l.State == Same {
		s.say("there, and the one recorded")
		return
	}
	code, why := "file-unseen", "was not looked at"
	switch l.State {
	case Missing:
		code, why = "file-missing", "is not in the repository"
	case Differs:
		code, why = "file-differs", fmt.Sprintf("is another file than the one recorded: its SHA-256 is %s", l.SHA256)
	case Outside:
		code, why = "file-outside", "leads out of the repository"
	case Unseen, Same:
	}
	if l.Why != "" {
		why = l.Why
	}
	s.gap(code, "it "+why, source)
}
