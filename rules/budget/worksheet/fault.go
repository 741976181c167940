package worksheet

import (
	"fmt"

	"plumbrule/records/source"
)

// Fault is something wrong with a file, at a place in it.
type Fault struct {
	Position source.Position
	Message  string // what is there and what was expected
	Mend     string // what would mend it; may be empty
	Excerpt  string // the user's own line with a mark below the place; two lines
}

// Error returns line:column and the message.
func (f Fault) Error() string { return f.Position.String() + ": " + f.Message }

func (r *reader) fault(offset int, mend, format string, args ...any) {
	r.faults = append(r.faults, r.at(offset, mend, fmt.Sprintf(format, args...)))
}

func (r *reader) at(offset int, mend, message string) Fault {
	return Fault{Position: r.doc.PositionOf(offset), Message: message, Mend: mend, Excerpt: source.Excerpt(r.doc.Text(), offset)}
}
