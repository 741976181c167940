package audit

import "slices"

// Code documents one kind of finding: what it means, what mends it, and which
// clauses it is about.
type Code struct {
	ID      string
	Title   string
	Meaning string
	Mend    string
	Clauses []string // with their standard, as [Clause.String] writes them
	Source  string   // of a threshold, where there is one
}

// The thresholds of findings: common practice, no source.
const (
	caseDays     = 30 // that a case may be open
	lateDays     = 7  // between measuring and entering
	actionDays   = 3  // from a signal on a chart to the check that follows it up
	episodeDays  = 30 // from a signal on a chart to what was done about it
	locationDays = 366
	practice     = "common practice, no source"
)

const (
	lab      = "ISO/IEC 17025:2017"
	measures = "ISO 10012:2003"
	quality  = "ISO 9001:2015"
)

// Codes lists every kind of finding, the worst first.
func Codes() []Code {
	return slices.Concat(resultCodes(), statusCodes(), certificateCodes(), recordCodes(), upkeepCodes())
}

// CodeOf returns the documentation of a finding's code.
func CodeOf(id string) (Code, bool) {
	for _, c := range Codes() {
		if c.ID == id {
			return c, true
		}
	}
	return Code{}, false
}

// of names clauses of one standard.
func of(standard string, numbers ...string) []string {
	out := make([]string, len(numbers))
	for i, n := range numbers {
		out[i] = Clause{Standard: standard, Number: n}.String()
	}
	return out
}

// String is the clause with its standard.
func (c Clause) String() string { return c.Standard + ", " + c.Number }
