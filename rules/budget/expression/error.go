package expression

// Error says why a text is no expression, and where.
type Error struct {
	// In tells expressions compiled together apart: 0 is the measurand, i the i-th definition.
	In int
	// Start and End are the byte range of the text that is at fault; equal only where something is missing.
	Start, End int
	Found      string // what is there, without a full stop
	Expected   string // what was expected
	Mend       string // what to write instead; may be empty
}

// Error returns what is there and what was expected, on one line and without the place.
func (e *Error) Error() string { return e.Found + ", expected " + e.Expected }
