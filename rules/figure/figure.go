// Package figure holds what the calculating packages of rules share: a number
// that may be absent with a reason, so that nothing is printed that is not
// backed, and an input that cannot be used.
package figure

import "fmt"

// Figure is a number or, if Value is nil, the reason why there is none. The
// zero value is neither.
type Figure struct {
	Value  *float64
	Reason string
}

// Known is a figure that exists.
func Known(value float64) Figure { return Figure{Value: &value} }

// Absent is a figure that does not, with the reason.
func Absent(reason string) Figure { return Figure{Reason: reason} }

// Absentf is Absent with a formatted reason.
func Absentf(format string, args ...any) Figure { return Figure{Reason: fmt.Sprintf(format, args...)} }
