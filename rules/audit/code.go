package audit

// Code documents one kind of finding: what it means, what mends it, and which
// clauses it is about.
type Code struct {
	ID      string
	Title   string
	Meaning string
	Mend    string
	Clauses []string // with their standard, without its edition
	Source  string   // of a threshold, where there is one
}

// Codes lists every kind of finding, the worst first.
func Codes() []Code { return nil }

// CodeOf returns the documentation of a finding's code.
func CodeOf(id string) (Code, bool) {
	for _, c := range Codes() {
		if c.ID == id {
			return c, true
		}
	}
	return Code{}, false
}
