package watch

import (
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/records"
	"plumbrule/rules"
)

// Outcome is what the watcher has come to: an immutable picture.
type Outcome struct {
	At          time.Time
	Set         *records.Set // with the last settings that could be read
	Diagnostics []records.Diagnostic
	Assessment  *rules.Assessment
	Alerts      []alert.Alert // the gravest first; what was cleared of late is last
	Health      Health
}

// Health is how the watcher itself is.
type Health struct {
	Started     time.Time
	Evaluated   time.Time // when the answers were formed last
	Looked      time.Time // when all files were looked through last
	Evaluations int
	Records     int
	Taken       int      // checks taken in from the inbox since the start
	Waiting     []string // what lies in the inbox and is not complete yet, with why
	Refused     []string // what lies in inbox/refused
	Blind       string   // a sentence: why the records cannot be judged at present; empty: they can
	Troubles    []string // sentences: what keeps the watcher from its work at present
	Notes       []string // sentences: what went on, the last first
}

// notesKept is how many notes are remembered.
const notesKept = 20

// Outlets are the ways to people.
type Outlets interface {
	// Configure takes over the ways that the settings name, and returns what is
	// wrong with some of them.
	Configure(site *records.Site) []alert.Finding
	// Send begins to send; what comes of it is told by Results. It does not wait.
	Send(deliveries []alert.Delivery)
	// Beat gives a sign of life, the next of which is to come before until.
	Beat(at, until time.Time)
	Results() <-chan dispatch.Result
	// Close waits a moment for what is being sent, and ends it.
	Close()
}

// Drops is the inbox.
type Drops interface {
	// Look takes in what is complete. It may take its time; the set is that of the
	// last outcome, and what it is about to write it can try.
	Look(set *records.Set, try Try) Taking
}

// Taking is what became of the inbox.
type Taking struct {
	Files    []string // of the repository that came or went, slash-separated
	Taken    int
	Waiting  []string
	Refused  []string
	Findings []alert.Finding
	Notes    []string  // what went on
	Asides   []string  // what went on and is told by findings as well: logged only when a mistake is looked for
	Next     time.Time // when to look again if nothing changes; zero: when something does
}
