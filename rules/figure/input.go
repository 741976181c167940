package figure

import "fmt"

// InputError says which input cannot be used, why, and what would mend it.
type InputError struct {
	Field    string // the input's name, for example "mpe_um" or "target"
	Found    string // what is there
	Expected string // what was expected
	Mend     string // what would mend it; empty where Expected says it already
}

// Error returns the message on one line: field, what is there, what was
// expected, and the remedy.
func (e *InputError) Error() string {
	text := fmt.Sprintf("%s is %s, expected %s", e.Field, e.Found, e.Expected)
	if e.Mend == "" {
		return text
	}
	return text + "; mend: " + e.Mend
}
