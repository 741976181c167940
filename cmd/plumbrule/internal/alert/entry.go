package alert

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// entry is an alert with all that the book keeps of it. As JSON it is a line of
// the journal.
type entry struct {
	Alert
	Returns  int                `json:"returns,omitempty"` // how often its finding came back within a day of going
	Returned time.Time          `json:"returned,omitzero"` // when it did so last
	Ledger   map[Target]*Told   `json:"ledger,omitempty"`  // what each target was told last; what it points at is not changed
	unsaved  bool               // differs from its last line in the journal
	aims     []aim              // whom it concerns; nil: to be found out
	refused  map[Target]refusal // who does not want it

	// When a target was last told again what it had been told, by a route that
	// repeats. It is not kept in the journal: after a restart it is told again.
	repeated map[Target]time.Time
}

// refusal is what is known of a target that does not want an alert.
type refusal struct {
	count int
	last  time.Time
}

// Bounds of what is kept of one finding; texts are foreign.
const (
	longestText = 2000 // bytes
	mostSources = 50
)

// tidy bounds the texts of a finding and makes them UTF-8, which the journal
// needs to give them back as they are.
func tidy(f Finding) Finding {
	for _, s := range []*string{&f.Subject, &f.Code, &f.About, &f.Severity, &f.Sentence, &f.Mend, &f.Kind, &f.Place} {
		*s = short(*s)
	}
	if len(f.Sources) > mostSources {
		f.Sources = f.Sources[:mostSources]
	}
	sources := make([]string, len(f.Sources))
	for i, s := range f.Sources {
		sources[i] = short(s)
	}
	f.Sources = sources
	return f
}

func short(s string) string {
	if !utf8.ValidString(s) {
		s = strings.ToValidUTF8(s, "\uFFFD")
	}
	if len(s) <= longestText {
		return s
	}
	end := longestText
	for !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end] + "…"
}

// newID makes the id of an alert from its key and when it was raised; n tells
// apart those of one key and instant.
func newID(k Key, raised time.Time, n int) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%q %q %q %s %d", k.Subject, k.Code, k.About, raised.UTC().Format(time.RFC3339Nano), n))
	return hex.EncodeToString(sum[:6])
}

// calm is how long the finding must be gone before the alert is cleared: twice
// as long for each return within a day, a day at most.
func (e *entry) calm(base time.Duration, at time.Time) time.Duration {
	const day = 24 * time.Hour
	if base <= 0 || e.Returns > 0 && at.Sub(e.Returned) > day {
		return max(base, 0)
	}
	for range e.Returns {
		if base *= 2; base >= day {
			return day
		}
	}
	return base
}

// aim finds out whom the alert concerns. A route that has taken it keeps it when
// it becomes less grave: who was told, or is still to be told, learns the rest.
func (e *entry) aim(s *Settings) {
	if e.Worst == "" || Rank(e.Severity) > Rank(e.Worst) {
		e.Worst = e.Severity
	}
	f := e.Finding
	f.Severity = e.Worst
	e.aims = s.aims(&f)
}

// came counts a return of the finding.
func (e *entry) came(at time.Time) {
	if e.Returns > 0 && at.Sub(e.Returned) > 24*time.Hour {
		e.Returns = 0
	}
	e.Returns, e.Returned = e.Returns+1, at
}

// repeat notes that a target was told again what it knew.
func (e *entry) repeat(t Target, at time.Time) {
	if e.repeated == nil {
		e.repeated = map[Target]time.Time{}
	}
	e.repeated[t] = at
}

// told returns what a target was told last, nil for nothing.
func (e *entry) told(t Target) *Told { return e.Ledger[t] }

// tell notes what a target was told.
func (e *entry) tell(t Target, told Told) {
	if e.Ledger == nil {
		e.Ledger = map[Target]*Told{}
	}
	e.Ledger[t] = &told
	e.unsaved = true
}

// settled tells whether nothing has to be told of a cleared alert any more.
func (e *entry) settled(s *Settings) bool {
	if e.Cleared.IsZero() {
		return false
	}
	for t, told := range e.Ledger {
		if !told.Cleared && s.known(t) {
			return false
		}
	}
	return true
}

// clear ends the alert. Who has not been told of it at all yet still is: that is
// noted now, since settings of a later day shall not tell others of what is over.
func (e *entry) clear(at time.Time) {
	e.Cleared, e.unsaved = at, true
	for _, a := range e.aims {
		if e.told(a.target) == nil {
			e.tell(a.target, Told{})
		}
	}
}

// stamps calls f for every time the book reckons with.
func (e *entry) stamps(f func(*time.Time)) {
	for _, t := range []*time.Time{&e.Raised, &e.Since, &e.Changed, &e.Gone, &e.Cleared, &e.Returned} {
		f(t)
	}
	if e.Acknowledged != nil {
		a := *e.Acknowledged // others may hold the one before
		f(&a.At)
		e.Acknowledged = &a
	}
	for t, told := range e.Ledger {
		moved := *told
		f(&moved.At)
		e.Ledger[t] = &moved
	}
	for t, r := range e.refused {
		f(&r.last)
		e.refused[t] = r
	}
	for t, at := range e.repeated {
		f(&at)
		e.repeated[t] = at
	}
}
