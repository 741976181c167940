package alert

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Acknowledge records who has taken note of an alert and why nothing more has to
// be said: reminders and escalation end, the alert itself stands until its
// finding is gone. Parts of the key that are empty stand for all: a subject alone
// acknowledges everything that stands about it.
//
// The error says that nothing such stands, that somebody else was first, that a
// name or a reason is missing, or that the journal cannot be written.
func (b *Book) Acknowledge(key Key, by, why string, at time.Time) error {
	return b.acknowledge(key, by, why, at, at)
}

// acknowledge does so for what was as it is at the time it was looked at.
func (b *Book) acknowledge(key Key, by, why string, looked, at time.Time) error {
	by, why = short(strings.TrimSpace(by)), short(strings.TrimSpace(why))
	switch {
	case key.Subject == "":
		return errors.New("it is not said which alert; name its subject, and its code where there are several")
	case by == "":
		return errors.New("it is not said who acknowledges; give the initials")
	case why == "":
		return errors.New("it is not said why; give a reason, such as what is being done about it")
	}
	b.turn(at)
	var found []*entry
	for k, e := range b.current {
		if key.Covers(k) && !e.Since.After(looked) {
			found = append(found, e)
		}
	}
	if len(found) == 0 {
		return b.nothing(key)
	}
	slices.SortFunc(found, func(a, b *entry) int { return compare(&a.Alert, &b.Alert) })
	open := slices.DeleteFunc(slices.Clone(found), func(e *entry) bool { return e.State() == Acknowledged })
	if len(open) == 0 {
		a := found[0].Acknowledged
		if a.By == by && a.Why == why {
			return b.save(at)
		}
		return fmt.Errorf("%s has acknowledged this on %s: %s", a.By, b.stamp(a.At), a.Why)
	}
	for _, e := range open {
		e.Acknowledged = &Acknowledgement{By: by, Why: why, At: at, Severity: e.Severity}
		e.unsaved = true
	}
	b.known = false
	return b.save(at)
}

// Covers tells whether a key, of which parts may be empty, stands for another.
func (key Key) Covers(k Key) bool {
	return k.Subject == key.Subject && (key.Code == "" || k.Code == key.Code) && (key.About == "" || k.About == key.About)
}

// ErrNothing means that no alert of that key stands.
var ErrNothing = errors.New("no such alert stands")

// nothing says that no such alert stands, and when one was cleared.
func (b *Book) nothing(key Key) error {
	for _, e := range slices.Backward(b.entries) {
		switch {
		case !key.Covers(e.Key):
		case e.Cleared.IsZero():
			return fmt.Errorf("%w: %s of %s is so since %s, after it was acknowledged; look at it again", ErrNothing, e.Code, e.Subject, b.stamp(e.Since))
		default:
			return fmt.Errorf("%w: %s of %s was cleared on %s", ErrNothing, e.Code, e.Subject, b.stamp(e.Cleared))
		}
	}
	return fmt.Errorf("%w: %s; plumbrule alerts lists what stands", ErrNothing, strings.TrimSpace(key.Subject+" "+key.Code))
}
