package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/browser"
	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/history"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/audit"
	"plumbrule/rules/trace"
)

// audited is all that a pack is made from.
type audited struct {
	*judged
	zone    *time.Location
	from    calendar.Date
	devices []*rules.Device // those the pack is about, by id
	about   map[string]bool // their ids
	all     bool

	files  fs.FS   // the records
	commit string  // that holds them as they are; empty: none
	past   *pastOf // nil: not known, or not settled yet
	looks  map[string]trace.Look

	knowledge *rules.Knowledge         // at the instant
	doubts    map[string][]rules.Doubt // of each device; nil: not looked for yet

	behind func() (*pastOf, error) // waits for the past

	cautions []string
	into     string
	count    int // files written
}

// ground judges the records, reads their past and looks at the files they name.
func (e env) ground(ctx context.Context, o *auditOptions, args []string) (*audited, error) {
	j, err := e.judge(ctx, o.instant)
	if err != nil {
		return nil, err
	}
	if j.set.Site == nil || j.set.Site.Zone == nil {
		return nil, unreadable("the site's settings cannot be read", "mend "+records.SiteFile+" first", nil)
	}
	j.at = j.at.Truncate(time.Second)
	a := &audited{judged: j, zone: zoneOf(j.set), from: o.from.value, all: len(args) == 0, about: map[string]bool{}}
	if !o.from.given() {
		a.from = j.assessment.Today.AddTimes(quantity.Interval{Months: 12}, -1).AddDays(1)
	}
	if a.from.After(j.assessment.Today) {
		return nil, misused(fmt.Sprintf("--from: %s is after %s, for which is judged", a.from, j.assessment.Today), "name an earlier day")
	}
	chosen, err := j.choose(args)
	if err != nil {
		return nil, err
	}
	for i := range j.assessment.Devices {
		if d := &j.assessment.Devices[i]; slices.Contains(chosen, d) {
			a.devices = append(a.devices, d)
			a.about[d.ID] = true
		}
	}
	e.standing(ctx, a)
	if a.looks, err = a.look(ctx); err != nil {
		return nil, errors.Join(err, a.settle())
	}
	a.knowledge = rules.KnowledgeAt(a.set, a.at, a.options)
	return a, nil
}

// findDoubts finds the times in doubt of every device.
func (a *audited) findDoubts() {
	lists := make([][]rules.Doubt, len(a.devices))
	_ = sideBySide(len(lists), func(i int) error { lists[i] = a.knowledge.Doubts(a.devices[i].ID); return nil })
	a.doubts = make(map[string][]rules.Doubt, len(lists))
	for i, d := range a.devices {
		a.doubts[d.ID] = lists[i]
	}
}

// standing finds out how sure the ground is that the pack stands on, and begins to read the past.
func (e env) standing(ctx context.Context, a *audited) {
	var why string
	a.commit, why = a.committed(ctx)
	if a.commit == "" {
		a.caution("The records are not committed as they are: %s. Nothing proves that they stood like this, and no command makes this pack again.", why)
	}
	if n := countErrors(a.diagnostics); n > 0 {
		a.caution("%s in the records; what they are about is not judged, and is listed under \"Records\".", counted(n, "error"))
	}
	if a.options.Hindsight {
		a.caution("Judged with hindsight: records entered after the instant about the time before it count. It is not what was known then.")
	}
	a.behind = e.behind(ctx, a)
}

// settle waits for the past. Where it cannot be read, the pack says so; records that were asked for from the past are not had then.
func (a *audited) settle() error {
	past, err := a.behind()
	switch {
	case errors.Is(err, history.ErrNoGit), errors.Is(err, history.ErrNoCommits):
		a.caution("The past of the records is not known: %s. Whether anything was changed after it was entered cannot be told.", err)
	case err != nil && a.judged.commit != nil:
		return err
	case err != nil:
		a.caution("The past of the records cannot be read: %s. Whether anything was changed after it was entered cannot be told.", err)
	default:
		a.past = past
		if past.files, err = past.chosen(nil); err != nil {
			return err
		}
		if past.log.Incomplete {
			a.caution("The clone is shallow: what stands in its oldest commits may have been added, changed or removed before.")
		}
		if n := past.past.Replaced; n > 0 {
			a.caution("%s in the git repository; they are not followed.", counted(n, "replaced object"))
		}
	}
	return nil
}

// behind finds the files that the records lie in, and begins to read their past: the function returned waits for it. Records that
// are committed as they are need not be read from git a second time to know what they say.
func (e env) behind(ctx context.Context, a *audited) func() (*pastOf, error) {
	a.files = a.repository.FS()
	if a.commit == "" {
		return begun(func() (*pastOf, error) {
			return e.readPast(ctx, &historyFlags{rev: new(string), contains: new(string)})
		})
	}
	past, tip, err := e.opened(ctx, a)
	if err != nil {
		return func() (*pastOf, error) { return nil, err }
	}
	return begun(func() (*pastOf, error) {
		log, err := past.Log(ctx, tip)
		return &pastOf{judged: a.judged, past: past, log: log}, pastFault(err)
	})
}

// opened opens the git repository at the commit of the records.
func (e env) opened(ctx context.Context, a *audited) (*history.Repository, *history.Commit, error) {
	past, _, err := e.past(ctx)
	if err != nil {
		return nil, nil, err
	}
	tip, err := past.Commit(ctx, a.commit)
	if err != nil {
		return nil, nil, pastFault(err)
	}
	if a.judged.commit != nil {
		tree, err := past.Records(ctx, tip)
		if err != nil {
			return nil, nil, pastFault(err)
		}
		a.files, past.Folder = tree, tree.Folder()
	}
	return past, tip, nil
}

func (a *audited) caution(format string, args ...any) {
	a.cautions = append(a.cautions, fmt.Sprintf(format, args...))
}

func countErrors(list []records.Diagnostic) (n int) {
	for _, d := range list {
		if d.Severity == records.Error {
			n++
		}
	}
	return n
}

// input is what the clauses are answered from.
func (a *audited) input() audit.Input {
	in := audit.Input{Set: a.set, Assessment: a.assessment, Options: a.options, Doubts: a.doubts, From: a.from.StartIn(a.zone), At: a.at, Looks: a.looks}
	if a.past != nil {
		in.Log = a.past.log
	}
	if !a.all {
		for _, d := range a.devices {
			in.Devices = append(in.Devices, d.ID)
		}
	}
	return in
}

// write writes everything into the folder.
func (a *audited) write(ctx context.Context, folder *pack.Folder, pdf bool) error {
	copying := begun(func() ([]pack.Left, error) { return a.copyRecords(folder) }) // it waits for the disk while the rest reckons
	r, err := a.reckon(folder)
	left, notCopied := copying()
	if err := errors.Join(err, notCopied); err != nil {
		return err
	}
	page := a.page(a.facts(left), r)
	if err := page.Write(folder); err != nil {
		return err
	}
	if !pdf {
		return nil
	}
	var html strings.Builder
	if err := page.HTML(&html, folder.Read); err != nil {
		return err
	}
	printed, err := browser.PDF(ctx, html.String())
	if err != nil {
		return unreadable(err.Error(), "leave out --pdf, and print index.html", err)
	}
	return folder.AddUnlisted("audit.pdf", func(w io.Writer) error { _, err := w.Write(printed); return err })
}

// facts are what the pack says of itself.
func (a *audited) facts(left []pack.Left) pack.Facts {
	info, _ := debug.ReadBuildInfo()
	facts := pack.Facts{
		Form: 1, Site: a.set.Site.Name, At: a.stamp(), From: a.from.String(), Devices: []string{}, All: a.all, Hindsight: a.options.Hindsight,
		Commit: a.commit, Command: a.command(), Version: madeBy(edition(info)), Cautions: append([]string{}, a.cautions...), Left: left, RecordsIn: pack.RecordsFolder,
	}
	for _, d := range a.devices {
		facts.Devices = append(facts.Devices, d.ID)
	}
	return facts
}

// stamp is the instant as it stands in the pack and in its command.
func (a *audited) stamp() string { return a.at.In(a.zone).Format(time.RFC3339) }

// command makes the pack again; without a commit nothing does, and it makes one from the records as they then are.
func (a *audited) command() []string {
	out := []string{"plumbrule", "audit"}
	if !a.all {
		for _, d := range a.devices {
			out = append(out, d.ID)
		}
	}
	out = append(out, "--into", "FOLDER", "--from", a.from.String(), "--at", a.stamp())
	if a.options.Hindsight {
		out = append(out, "--hindsight")
	}
	if a.commit != "" {
		out = append(out, "--rev", a.commit)
	}
	return out
}

// madeBy names the program that made a pack.
func madeBy(v versionJSON) string {
	out := "plumbrule " + v.Version
	if v.Revision != "" {
		out += ", revision " + v.Revision
		if v.Modified {
			out += ", modified"
		}
	}
	return out
}
