package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/history"
	"plumbrule/rules"
)

// instantFlags are the flags of a verb that judges: for when, with what knowledge, and from which state of the records.
type instantFlags struct {
	at        *string
	hindsight *bool
	rev       *string
}

// given tells whether any of them was used, which asks for records.
func (f *instantFlags) given() bool { return *f.at != "" || *f.hindsight || *f.rev != "" }

func (f *flagSet) instant() instantFlags {
	return instantFlags{
		at: f.text("at", "judge for this `INSTANT`: 2026-06-30 (the end of that day), 2026-06-30T14:00 (site time) or with an offset; now if not given"),
		hindsight: f.yes("hindsight",
			"with --at: count also what was entered later about the time before"),
		rev: f.revision(),
	}
}

// judged is a repository with what follows from it at an instant.
type judged struct {
	repository  *repository.Repository
	set         *records.Set
	diagnostics []records.Diagnostic
	at          time.Time
	options     rules.Options
	assessment  *rules.Assessment
	commit      *history.Commit // whose records these are; nil: they are those of the folder as it is
	pends       *pends          // what git said of the folder; nil: it was not asked yet
}

// pends is which records git does not have as they are, or why that is not known.
type pends struct {
	list []repository.Pending
	err  error
}

// uncommitted lists the records that git does not have as they are. Git is asked once.
func (j *judged) uncommitted(ctx context.Context) ([]repository.Pending, error) {
	if j.pends == nil {
		list, err := j.repository.Uncommitted(ctx, recordPaths()...)
		j.pends = &pends{list, err}
	}
	return j.pends.list, j.pends.err
}

// open finds the folder of records at -C and loads it. Dates after future are reported as such; the zero time reports none.
func (e env) open(options records.Options) (*judged, error) {
	r, err := repository.Find(e.Dir)
	if errors.Is(err, repository.ErrNone) && (&repository.Repository{Root: e.Dir}).Bare() {
		return nil, unreadable("this is a bare repository, without files in a folder", "take the records from git: --rev HEAD; for diff, name two revisions", err)
	}
	if err != nil {
		return nil, unreadable(err.Error(), `name the records with -C, or begin with "plumbrule init"`, err)
	}
	set, diagnostics := records.Load(r.FS(), options)
	return &judged{repository: r, set: set, diagnostics: append(diagnostics, rules.Check(set)...)}, nil
}

// judge loads the repository and evaluates it at the instant the flags name. What is wrong with records goes to Stderr.
func (e env) judge(ctx context.Context, flags instantFlags) (*judged, error) {
	j, err := e.openAs(ctx, flags)
	if err != nil {
		return nil, err
	}
	if j.at, err = e.instantFor(j, *flags.at); err != nil {
		e.complain(j.diagnostics)
		return nil, err
	}
	j.options = rules.Options{Hindsight: *flags.hindsight}
	j.assessment = rules.Evaluate(j.set, j.at, j.options)
	e.complain(j.diagnostics)
	e.pending(ctx, j)
	if n := j.assessment.Later; n > 0 {
		fmt.Fprintf(e.Stderr, "plumbrule: note: not counted, because it came or was entered after %s: %s\n", j.at.In(zoneOf(j.set)).Format("2006-01-02 15:04 MST"), counted(n, "record"))
	}
	return j, nil
}

// invalid ends a verb that has printed its answer although records could not be used.
func (j *judged) invalid() error {
	count := 0
	for _, d := range j.diagnostics {
		if d.Severity == records.Error {
			count++
		}
	}
	if count == 0 {
		return nil
	}
	return unreadable(fmt.Sprintf("%s in the records, listed above; what they are about is not judged", counted(count, "error")),
		`mend the files; "plumbrule explain CODE" says more about a code`, nil)
}

// instantOf reads the flag --at. A day means its end at the site: what was known on that day.
func (e env) instantOf(flag, text string, site *records.Site) (time.Time, error) {
	if text == "" {
		return e.Now(), nil
	}
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, nil
	}
	if site == nil || site.Zone == nil {
		return time.Time{}, unreadable("the site's time zone cannot be read, so "+text+" is no instant", "write --"+flag+" with an offset, such as 2026-06-30T14:00:00+02:00", nil)
	}
	if d, err := calendar.ParseDate(text); err == nil {
		return d.EndIn(site.Zone).Add(-time.Second), nil
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(layout, text, site.Zone); err == nil {
			return e.unambiguous(flag, text, layout, t, site.Zone)
		}
	}
	return time.Time{}, misused(fmt.Sprintf("--%s: %q, expected an instant", flag, text), "write 2026-06-30, 2026-06-30T14:00 or 2026-06-30T14:00:00+02:00")
}

// unambiguous refuses a time of day that the clock change leaves out or repeats.
func (e env) unambiguous(flag, text, layout string, t time.Time, zone *time.Location) (time.Time, error) {
	const change = 3 * time.Hour // clocks change by less
	if t.Format(layout) != text {
		return t, misused(fmt.Sprintf("--%s: %q does not exist at the site: the clock is put forward", flag, text), "write it with its offset, such as "+t.Format(time.RFC3339))
	}
	for _, other := range []time.Time{t.Add(-change), t.Add(change)} {
		_, here := t.Zone()
		_, there := other.Zone()
		twin := t.Add(time.Duration(here-there) * time.Second)
		if here != there && twin.In(zone).Format(layout) == text && !twin.Equal(t) {
			return t, misused(fmt.Sprintf("--%s: %q comes twice at the site: the clock is put back", flag, text),
				fmt.Sprintf("write it with its offset, %s or %s", t.Format(time.RFC3339), twin.In(zone).Format(time.RFC3339)))
		}
	}
	return t, nil
}

// complain prints diagnostics to Stderr, the quoted text of records made safe.
func (e env) complain(list []records.Diagnostic) {
	for _, d := range list {
		for line := range strings.Lines(d.String()) {
			fmt.Fprintln(e.Stderr, show.Text(strings.TrimRight(line, "\n")))
		}
	}
}

// pending tells on Stderr which records git does not have as they are. A repository without git is no mistake. Of records
// taken from a commit it tells from which.
func (e env) pending(ctx context.Context, j *judged) {
	if j.commit != nil {
		fmt.Fprintf(e.Stderr, "plumbrule: note: these are the records of commit %s, not the files in the folder\n", commitText(j.commit, zoneOf(j.set)))
		return
	}
	list, err := j.uncommitted(ctx)
	switch {
	case errors.Is(err, repository.ErrNoGit):
		return
	case err != nil:
		fmt.Fprintf(e.Stderr, "plumbrule: note: it is not known whether the records are committed: %s\n", show.Text(err.Error()))
		return
	case len(list) == 0:
		return
	}
	fmt.Fprintf(e.Stderr, "plumbrule: note: not committed as they are, %s:\n", counted(len(list), "file"))
	for i, p := range list {
		if i == pendingShown {
			fmt.Fprintf(e.Stderr, "  and %d more; \"git status\" lists them\n", len(list)-i)
			break
		}
		fmt.Fprintf(e.Stderr, "  %s (%s)\n", show.Text(p.Name), p.State)
	}
}

// pendingShown is how many uncommitted files are named.
const pendingShown = 5

// recordPaths are the paths in a repository that hold records.
func recordPaths() []string {
	return []string{records.SiteFile, "artifacts", "cases", "certificates", "checks", "devices", "events", "jobs", "procedures"}
}

// counted writes a number with its noun: 1 file, 2 files.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
