package quantity

import "strconv"

// Error says why a text is not a quantity, and where. It is returned as a
// pointer by every Parse function of this package.
type Error struct {
	// Text is the whole text as it was given.
	Text string
	// Start and End are the byte range of Text that is at fault. They are
	// equal only when something is missing at that place.
	Start, End int
	// Found says what stands there, without a full stop.
	Found string
	// Expected says what was expected there.
	Expected string
	// Mend says what to write instead.
	Mend string
	// NoUnit is set when a figure stands without its unit.
	NoUnit bool
}

// Error gives what stands there and what was expected, in one line without
// the position and without the remedy, which the caller places.
func (e *Error) Error() string {
	return e.Found + ", expected " + e.Expected
}

// quoted puts a fragment of the user's text between quotation marks.
func quoted(s string) string { return strconv.Quote(s) }
