package watch

import (
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
)

// InboxFolder is where scans and exports are dropped, below the repository's root.
const InboxFolder = "inbox"

func inInbox(path string) bool {
	return path == InboxFolder || strings.HasPrefix(path, InboxFolder+"/")
}

// look begins to take in what lies in the inbox, when it is time to.
func (w *Watcher) look(now time.Time) {
	if w.Drops == nil || w.taken != nil || w.outcome == nil || w.outcome.Set.Site == nil {
		return
	}
	if now.Before(w.at.inbox) || !w.reachable() {
		return
	}
	w.at.inbox = now.Add(w.watchSettings().RescanTime())
	taken, set := make(chan Taking, 1), w.outcome.Set
	w.taken = taken
	go func() { taken <- w.Drops.Look(set, w.try) }()
}

// tookIn takes over what became of the inbox.
func (w *Watcher) tookIn(t Taking) {
	w.taken = nil
	before := w.taking
	w.taking = t
	w.health.Taken += t.Taken
	for _, note := range t.Notes {
		w.note(note)
	}
	for _, aside := range t.Asides {
		w.Log.Debug(aside)
		w.remember(aside)
	}
	if !t.Next.IsZero() && (w.at.inbox.IsZero() || t.Next.Before(w.at.inbox)) {
		w.at.inbox = t.Next
	}
	if !sameFindings(before.Findings, t.Findings) {
		w.stale = true
	}
	w.unshown = true
	if len(t.Files) > 0 {
		w.update(t.Files)
		w.at.inbox = time.Time{} // with what was taken in known, the next may be another's turn
	}
}

func sameFindings(a, b []alert.Finding) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Key != b[i].Key || a[i].Sentence != b[i].Sentence {
			return false
		}
	}
	return true
}
