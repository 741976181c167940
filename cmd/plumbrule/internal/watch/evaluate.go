package watch

import (
	"fmt"
	"io/fs"
	"slices"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/rules"
)

// changed takes over what has changed among the files.
func (w *Watcher) changed(b Batch) {
	for _, note := range b.Notes {
		w.note(note)
	}
	if b.All {
		w.at.inbox = time.Time{}
		w.rescan(w.Clock.Now())
		return
	}
	w.update(b.Paths)
}

// update reads the files named again.
func (w *Watcher) update(paths []string) {
	var ours []string
	for _, path := range paths {
		if inInbox(path) {
			w.at.inbox = time.Time{}
			continue
		}
		ours = append(ours, path)
	}
	if len(ours) == 0 || !w.reachable() {
		return
	}
	change, err := w.index.Update(ours...)
	if err != nil { // a name that no record has
		change = w.index.Rescan()
	}
	w.took(change)
}

// lookThrough asks the tree for a look through everything: it says when nothing is being written, and git is not at work.
func (w *Watcher) lookThrough() {
	select {
	case w.ask <- struct{}{}:
	default: // it was asked already
	}
}

// rescan looks through everything.
func (w *Watcher) rescan(now time.Time) {
	if !w.reachable() {
		return
	}
	w.took(w.index.Rescan())
	w.health.Looked = now
	if !w.stale && w.outcome != nil { // nothing has changed, and nothing changes by itself before the evaluator says so
		w.health.Evaluated = now
		if w.Report != nil {
			h := w.healthNow()
			w.Report(&h)
		}
	}
}

// took takes over what the index has found, unless the repository went away while it looked.
func (w *Watcher) took(change records.Change) {
	if !w.reachable() {
		return
	}
	set, told := w.index.Set()
	site := set.Site != w.set.Site
	if set == w.set && !change.Diagnostics && change.IsZero() {
		return
	}
	w.set, w.told, w.stale = set, told, true
	if change.Site || site {
		w.settings()
	}
	w.Log.Debug("records changed", "files", len(change.Files), "subjects", len(change.Subjects))
}

// reachable tells whether the repository can be looked at. One that cannot, because it was moved away or its disk is gone,
// must not look like one in which nothing stands: what was known last goes on to hold.
func (w *Watcher) reachable() bool {
	_, err := fs.ReadDir(w.FS, ".")
	if err == nil && w.site != nil {
		// An empty folder, such as one on which nothing is mounted, is not a repository in which all is well.
		_, err = fs.Stat(w.FS, records.SiteFile)
	}
	if err == nil {
		w.Fault(recordsUnreachable, "", "", "")
		return true
	}
	w.Fault(recordsUnreachable, "", fmt.Sprintf("the records cannot be looked at: %s; what was known before goes on to hold", err),
		"bring the folder back to its place, or mend its permissions; the watcher goes on by itself")
	return false
}

// blind says why the records cannot be judged. By former settings they can.
func (w *Watcher) blind() string {
	if f, away := w.faults[faultName(recordsUnreachable, "")]; away || w.site != nil {
		return f.Sentence
	}
	return w.faults[faultName(settingsUnreadable, "")].Sentence
}

// Codes of the watcher's own findings.
const (
	recordsUnreachable = "records-unreachable"
	settingsUnreadable = "settings-unreadable"
	outletUnusable     = "channel-unusable"
	inboxTrouble       = "inbox-trouble"
	heartbeatFailing   = "heartbeat-failing"
	stateLost          = "state-lost"
)

// settings takes over the settings as they are now; such as cannot be read leave the old ones in force.
func (w *Watcher) settings() {
	set, diagnostics := w.set, w.told
	if set.Site == nil {
		what := records.SiteFile + " is not there"
		for i := range diagnostics {
			if d := &diagnostics[i]; d.File == records.SiteFile && d.Severity == records.Error {
				what = fmt.Sprintf("%s:%s: %s", d.File, d.Position, d.Message)
				break
			}
		}
		held := "the settings read last stay in force"
		if w.site == nil {
			held = "nothing can be judged, and alerts go to the log"
		}
		w.Fault(settingsUnreadable, "", what+"; "+held, "mend the file; \"plumbrule validate\" says whether it is right")
		return
	}
	w.Fault(settingsUnreadable, "", "", "")
	if w.site != set.Site {
		w.site = set.Site
		w.configure()
	}
}

// configure hands the settings to those who go by them.
func (w *Watcher) configure() {
	w.book.Configure(alert.SettingsOf(w.site))
	unusable := map[string]bool{}
	for _, f := range w.Outlets.Configure(w.site) {
		w.Fault(outletUnusable, f.About, f.Sentence, f.Mend)
		unusable[f.About] = true
	}
	for _, f := range w.faults {
		if f.Code == outletUnusable && !unusable[f.About] {
			w.Fault(outletUnusable, f.About, "", "")
		}
	}
	w.at.beat = time.Time{}
}

// evaluate forms the answers anew and compares them with what was told.
func (w *Watcher) evaluate(now time.Time) {
	set, diagnostics := w.set, w.told
	if set.Site == nil && w.site != nil {
		with := *set
		with.Site = w.site
		set = &with
	}
	diagnostics = append(slices.Clip(diagnostics), rules.Check(set)...)
	assessment := w.evaluator.At(set, now)
	w.stale = false
	w.health.Evaluated, w.health.Evaluations, w.health.Records = now, w.health.Evaluations+1, set.Count()
	w.outcome = &Outcome{At: now, Set: set, Diagnostics: diagnostics, Assessment: assessment}

	findings := alert.Findings(set, assessment, diagnostics)
	for _, f := range w.faults {
		findings = append(findings, f)
	}
	findings = append(findings, w.taking.Findings...)
	observe := w.book.Observe
	if set.Site == nil {
		observe = w.book.Also // nothing was judged, so nothing is known to be gone
	}
	if err := observe(now, findings); err != nil {
		w.Log.Error("what is told cannot be noted; it may be told again after a restart", "error", err)
	}
	w.unshown = true
}

// show hands on what the watcher has come to.
func (w *Watcher) show() {
	w.unshown = false
	if w.Show == nil || w.outcome == nil {
		return
	}
	shown := *w.outcome
	shown.Alerts = w.book.Alerts()
	shown.Health = w.healthNow()
	w.Show(&shown)
}

// healthNow is the watcher's health as nobody changes it any more.
func (w *Watcher) healthNow() Health {
	h := w.health
	h.Notes = slices.Clone(w.health.Notes)
	h.Blind = w.blind()
	h.Troubles, h.Waiting, h.Refused = w.troubles(), w.taking.Waiting, w.taking.Refused
	return h
}
