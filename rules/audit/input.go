package audit

import (
	"time"

	"plumbrule/records"
	"plumbrule/records/history"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// Input is what an audit looks at.
type Input struct {
	Set        *records.Set
	Assessment *rules.Assessment // at At, with Options; nil: drawn from the set
	Options    rules.Options

	// Doubts are the times in doubt of each device, at At with Options; nil: found
	// in the set.
	Doubts map[string][]rules.Doubt

	// From and At are the first and last instant of the period. What happened
	// outside it is not a finding, but for what still stands at its end.
	From, At time.Time

	// Log is the past of the files; nil: it is not known, and nothing is said of it.
	Log *history.Log

	// Devices are those to look at, by id; empty: all, and what belongs to none.
	Devices []string

	// Looks is what was found of the files that records name, by [trace.FileKey].
	// Nil: none was looked at, and nothing is said of them.
	Looks map[string]trace.Look
}

// Finding is something that an auditor would find.
type Finding struct {
	Code     string // see [Codes]
	Subject  string // id of a device, artifact or job, or the path of a record
	Sentence string
	Mend     string
	Clauses  []string // with their standard
	Sources  []rules.Source
}

// Clause is a clause of a standard with what is asked by it.
type Clause struct {
	Standard string // with its edition
	Number   string
	Question string
}

// State is how far a clause is answered.
type State string

// The states of an answer.
const (
	Answered      State = "answered"
	Partly        State = "partly" // some of it; the gaps, or what is left to the laboratory, say what not
	Gap           State = "gap"
	NotApplicable State = "not-applicable"
)

// Evidence is something that the records show.
type Evidence struct {
	Sentence string
	Sources  []rules.Source
}

// Answer is what the records say to a clause.
type Answer struct {
	Clause   Clause
	State    State
	Evidence []Evidence
	Gaps     []Finding
	// Own is what records cannot show and the laboratory shows itself; empty: nothing.
	Own string
}
