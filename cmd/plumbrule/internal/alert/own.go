package alert

import (
	"fmt"
	"time"
)

// Reason codes of the book's own findings. Their subject is [Watcher].
const (
	channelFailing = "channel-failing" // about: the channel
	journalFailing = "journal-failing"
)

func ownCode(code string) bool { return code == channelFailing || code == journalFailing }

// failing is how many deliveries to a target must fail in a row before that is
// an alert of its own: a server that is started anew is none.
const failing = 3

// setOwn makes the book's own finding stand, or not.
func (b *Book) setOwn(at time.Time, f Finding, stands bool) {
	f.Subject, f.Severity = Watcher, Fault
	if stands {
		b.own[f.Key] = f
		b.found(at, tidy(f))
		return
	}
	delete(b.own, f.Key)
	if e := b.current[f.Key]; e != nil {
		b.missed(at, e)
	}
}

// judgeChannel says whether a channel fails: one of its targets does.
func (b *Book) judgeChannel(at time.Time, channel string) {
	f := Finding{
		Key:  Key{Code: channelFailing, About: channel},
		Mend: "look at the channel in plumbrule.toml and at the server; plumbrule watch --check sends a test message",
	}
	for _, t := range b.sortedTargets() {
		s := b.targets[t]
		if t.Channel != channel || !b.settings.known(t) {
			continue
		}
		refused := b.refusing(t)
		if s.failures < failing && !refused && !s.partly {
			continue
		}
		switch since := b.stamp(s.since); {
		case refused:
			f.Sentence = fmt.Sprintf("%s refuses what it is sent since %s: %s", t, since, s.reason)
		case s.failures >= failing:
			f.Sentence = fmt.Sprintf("nothing reaches %s since %s, %d attempts: %s", t, since, s.failures, s.reason)
		default:
			f.Sentence = fmt.Sprintf("not everybody of %s is reached since %s: %s", t, since, s.reason)
		}
		b.setOwn(at, f, true)
		return
	}
	b.setOwn(at, f, false)
}

// stamp writes an instant in the site's zone.
func (b *Book) stamp(t time.Time) string {
	zone := b.settings.Zone
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format("2006-01-02 15:04 MST")
}

// save writes what has changed to the journal. That it cannot be is a finding,
// and the error.
func (b *Book) save(at time.Time) error {
	b.forget(at)
	f := Finding{
		Key:  Key{Code: journalFailing},
		Mend: "make room on the disk or mend the permissions of the state directory; the journal is then written by itself",
	}
	err := b.journal.write(b.entries)
	if err != nil {
		f.Sentence = fmt.Sprintf("what was told of alerts is only kept in memory, and may be told again after a restart: %s", err)
		b.setOwn(at, f, true)
		return err
	}
	if _, was := b.own[Key{Watcher, journalFailing, ""}]; was {
		b.setOwn(at, f, false)
		return b.journal.write(b.entries)
	}
	return nil
}

// What is kept of alerts that are cleared and of which everybody concerned has
// been told.
const (
	keptTime   = 7 * 24 * time.Hour
	keptNumber = 500
	// patience is how long one is kept that could not be told.
	patience = 30 * 24 * time.Hour
)

// forget drops what nobody needs any more: the oldest that is settled, and what
// could not be told in a month.
func (b *Book) forget(at time.Time) {
	settled := 0
	for _, e := range b.entries {
		if e.settled(&b.settings) {
			settled++
		}
	}
	kept := b.entries[:0]
	drop := func(e *entry) {
		delete(b.ids, e.ID)
		if b.latest[e.Key] == e {
			delete(b.latest, e.Key)
		}
	}
	for _, e := range b.entries {
		age := at.Sub(e.Cleared)
		switch {
		case e.Cleared.IsZero():
		case e.settled(&b.settings) && (age > keptTime || settled > keptNumber):
			settled--
			drop(e)
			continue
		case age > patience:
			b.notes = append(b.notes, fmt.Sprintf("the alert %s of %s, cleared %s, could not be told in 30 days and is given up", e.Code, e.Subject, b.stamp(e.Cleared)))
			drop(e)
			continue
		}
		kept = append(kept, e)
	}
	clear(b.entries[len(kept):])
	b.entries = kept
}
