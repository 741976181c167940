package source

// Reason is the class of a refusal, so that each class can have a diagnostic
// code of its own.
type Reason uint8

// The reasons for refusing a text.
const (
	Syntax           Reason = iota // not TOML
	DuplicateKey                   // a key or table given twice, or extended where it is closed
	NeedsTOML11                    // TOML 1.1, not 1.0
	NotUTF8                        // a byte that is no UTF-8
	UTF16                          // stored as UTF-16
	ControlCharacter               // a control character, a lone carriage return included
	MergeConflict                  // a line left behind by an unfinished merge
	TooDeep                        // nested deeper than the reader follows
	TooLarge                       // more text or values than the reader takes
)

// String names the reason in words joined by hyphens.
func (r Reason) String() string {
	switch r {
	case DuplicateKey:
		return "duplicate-key"
	case NeedsTOML11:
		return "needs-toml-1.1"
	case NotUTF8:
		return "not-utf-8"
	case UTF16:
		return "utf-16"
	case ControlCharacter:
		return "control-character"
	case MergeConflict:
		return "merge-conflict"
	case TooDeep:
		return "too-deep"
	case TooLarge:
		return "too-large"
	case Syntax:
	}
	return "syntax"
}

// SyntaxError says why and where a text was refused, and what would mend it.
type SyntaxError struct {
	Reason  Reason
	Offset  int      // bytes from the start of the text, at most its length
	Pos     Position // the same place for people
	Message string   // what is there and what was expected
	Mend    string   // what to do about it; may be empty
}

// Error returns line:column and the message.
func (e *SyntaxError) Error() string { return e.Pos.String() + ": " + e.Message }
