package audit

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/rules"
)

// references reports checks of the period that took their reference values from
// something that was not to be relied on. They are counted by artifact and
// cause: the same artifact as a rule spoils many.
func (f *finder) references() {
	for _, id := range f.devices {
		for _, k := range f.known.Checks[id] {
			if f.within(k.Time) {
				f.reference(id, k)
			}
		}
	}
}

func (f *finder) reference(id string, k *records.Check) {
	source := rules.Source{File: k.File}
	r := f.knowledge.ReliedOn(k.Artifact, k.Time)
	if r.Artifact == nil {
		return // said as a record that cannot be used
	}
	switch {
	case r.Certificate == nil:
		f.add("expired-reference-used", id, fmt.Sprintf("checked with %s, of which no certificate was in force", k.Artifact), source)
	case r.Expired:
		f.add("expired-reference-used", id, fmt.Sprintf("checked with %s, whose interval ended on %s", k.Artifact, r.LastDay), source, rules.Source{File: r.Certificate.File})
	}
	if r.Unsound != nil {
		f.add("unsound-artifact-used", id, fmt.Sprintf("checked with %s, which was not to be relied on since %s (%s)", k.Artifact, f.day(r.Unsound.Time), r.Unsound.Kind), source, rules.Source{File: r.Unsound.File})
	}
	if r.Certificate == nil {
		return
	}
	for _, a := range f.acceptances(k.Artifact) { // a later one is not in force yet, or was sent back
		c := a.Certificate
		if a.Outcome == records.SentBack || !c.Date.After(r.Certificate.Date) || c.Received.IsZero() || c.Received.After(f.day(k.Time)) {
			continue
		}
		f.add("superseded-reference-used", id, fmt.Sprintf("checked with %s by certificate %s of %s, when %s of %s had come on %s",
			k.Artifact, r.Certificate.Number, r.Certificate.Date, c.Number, c.Date, c.Received), source, rules.Source{File: c.File})
	}
}
