package alert

import (
	"cmp"
	"slices"
	"time"
)

// State is how far an alert has come in its life.
type State string

// The states of an alert, in their order.
const (
	Raised       State = "raised"
	Acknowledged State = "acknowledged"
	Cleared      State = "cleared"
)

// Kind says why something is told.
type Kind string

// The kinds of deliveries, and of what an alert is told for in one.
const (
	KindRaised     Kind = "raised" // new, or graver than the reader knows
	KindCleared    Kind = "cleared"
	KindReminder   Kind = "reminder"
	KindEscalation Kind = "escalation"
	KindDigest     Kind = "digest" // of a delivery: what came in quiet or outside working hours
	KindTest       Kind = "test"
)

// Alert is one finding with its life so far.
type Alert struct {
	Finding
	ID      string    `json:"id"`               // 12 hexadecimal digits
	Worst   string    `json:"worst"`            // the gravest severity it has had
	Raised  time.Time `json:"raised"`           // when it was first found
	Since   time.Time `json:"since"`            // since when it is as grave as now
	Changed time.Time `json:"changed"`          // when its severity or sentence changed last
	Gone    time.Time `json:"gone,omitzero"`    // since when it is not found any more; zero while it is
	Cleared time.Time `json:"cleared,omitzero"` // zero while it stands

	Acknowledged *Acknowledgement `json:"acknowledged,omitempty"`

	// Only in a delivery: why this reader is told now, and what the reader was
	// told last; nil for nothing.
	Why  Kind  `json:"why,omitempty"`
	Told *Told `json:"told,omitempty"`
}

// Acknowledgement says who has taken note of an alert.
type Acknowledgement struct {
	By       string    `json:"by"`
	Why      string    `json:"why"`
	At       time.Time `json:"at"`
	Severity string    `json:"severity"` // of the alert at that time
}

// Told is what one reader was told last of an alert.
type Told struct {
	At        time.Time `json:"at"`
	Severity  string    `json:"severity"`
	Sentence  string    `json:"sentence,omitempty"`
	Cleared   bool      `json:"cleared,omitempty"`
	Escalated string    `json:"escalated,omitempty"` // severity at which it was told because nobody had acknowledged
}

// State returns how far the alert has come. One that has become graver since it
// was acknowledged is raised.
func (a *Alert) State() State {
	switch {
	case !a.Cleared.IsZero():
		return Cleared
	case a.Acknowledged != nil && Rank(a.Severity) <= Rank(a.Acknowledged.Severity):
		return Acknowledged
	}
	return Raised
}

// compare puts what stands before what is cleared, the gravest first, then the
// oldest.
func compare(a, b *Alert) int {
	stands := func(a *Alert) int {
		if a.Cleared.IsZero() {
			return 0
		}
		return 1
	}
	return cmp.Or(stands(a)-stands(b), Rank(b.Severity)-Rank(a.Severity), a.Raised.Compare(b.Raised),
		cmp.Compare(a.Subject, b.Subject), cmp.Compare(a.Code, b.Code), cmp.Compare(a.ID, b.ID))
}

func sortAlerts(list []Alert) {
	slices.SortFunc(list, func(a, b Alert) int { return compare(&a, &b) })
}
