package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/inbox"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// inboxSubject is what findings about dropped files are about: they belong to no device yet.
const inboxSubject = "inbox"

// tryAgain is how long is waited with git after it could not be used.
const tryAgain = 30 * time.Second

// drops takes in what lies in the inbox, and commits it where the settings say so.
type drops struct {
	*station
	ctx         context.Context //nolint:containedctx // that of the verb
	intake      *intake
	set         *records.Set
	uncommitted []inbox.Taken
	unpushed    bool
}

// Look takes in what is complete.
func (d *drops) Look(set *records.Set, try watch.Try) watch.Taking {
	d.set = set
	d.intake.use(set)
	d.intake.try = try
	report, err := d.intake.look(d.ctx)
	var out watch.Taking
	for i := range report.Taken {
		t := &report.Taken[i]
		if !slices.Contains(out.Files, t.Record) {
			out.Taken++
			out.Files = append(out.Files, t.Record)
		}
		if t.Archived != "" && !filepath.IsAbs(t.Archived) {
			out.Files = append(out.Files, t.Archived)
		}
		out.Notes = append(out.Notes, fmt.Sprintf("taken in: %s as %s", show.Text(t.File), t.Record))
		for _, remark := range t.Remarks {
			out.Notes = append(out.Notes, fmt.Sprintf("%s: %s", t.Record, remark))
		}
	}
	for _, w := range report.Waiting {
		out.Waiting = append(out.Waiting, fmt.Sprintf("%s: %s", show.Text(w.File), w.Why))
	}
	for _, r := range report.Refused {
		out.Asides = append(out.Asides, fmt.Sprintf("refused: %s: %s", show.Text(r.File), r.Reason))
	}
	for i, t := range report.Trouble {
		if i > 0 && t.Why == report.Trouble[i-1].Why {
			continue // a file with its sidecar is one matter
		}
		out.Findings = append(out.Findings, alert.Finding{
			Key: alert.Key{Subject: inboxSubject, Code: "inbox-trouble", About: t.File}, Severity: alert.Fault,
			Sentence: fmt.Sprintf("%s cannot be taken in now: %s", t.File, t.Why), Mend: "mend the cause; the file stays in the inbox and is tried again by itself",
		})
	}
	if err != nil && d.ctx.Err() == nil {
		out.Findings = append(out.Findings, alert.Finding{
			Key: alert.Key{Subject: inboxSubject, Code: "inbox-trouble"}, Severity: alert.Fault,
			Sentence: "the inbox cannot be looked through: " + err.Error(), Mend: "mend the permissions of the folder inbox",
		})
	}
	d.refused(&out)
	out.Next = report.Next
	d.uncommitted = append(d.uncommitted, report.Taken...)
	d.commit(&out)
	return out
}

// refused tells of every file that lies in inbox/refused: somebody has to look at it.
func (d *drops) refused(out *watch.Taking) {
	list, err := d.intake.box.Refused()
	if err != nil {
		out.Findings = append(out.Findings, alert.Finding{
			Key: alert.Key{Subject: inboxSubject, Code: "inbox-trouble", About: "refused"}, Severity: alert.Fault,
			Sentence: "what was refused cannot be listed: " + plainCause(err), Mend: "mend the permissions of the folder inbox/refused",
		})
	}
	for _, r := range list {
		out.Refused = append(out.Refused, r.File)
		out.Findings = append(out.Findings, alert.Finding{
			Key: alert.Key{Subject: inboxSubject, Code: "drop-refused", About: r.File}, Severity: alert.Limited,
			Sentence: fmt.Sprintf("%s was not taken in: %s", r.File, r.Reason), Mend: "do what the reason beside it says and put the file back into the inbox, or delete it",
			Sources: []string{r.Place},
		})
	}
}

// commit commits what was taken in, if the settings say so: a repository in which a merge is under way is left alone, and tried again.
func (d *drops) commit(out *watch.Taking) {
	settings := &d.set.Site.Watch
	if !settings.Commit {
		d.uncommitted, d.unpushed = nil, false
		return
	}
	for len(d.uncommitted) > 0 {
		t := d.uncommitted[0]
		other := func(o inbox.Taken) bool { return o.Record != t.Record }
		var files []string
		for _, o := range d.uncommitted {
			if !other(o) { // a check may come from several scans
				files = append(files, d.committed(&o)...)
			}
		}
		slices.Sort(files)
		if err := d.repository.Commit(d.ctx, slices.Compact(files), d.author(t.By), "Check of "+t.Device+" taken in: "+t.Record); err != nil {
			d.troubled(out, "commit-failing", "what was taken in could not be committed: "+err.Error(), "end what is under way in the repository, or commit by hand; it is tried again")
			return
		}
		d.uncommitted, d.unpushed = slices.DeleteFunc(d.uncommitted, func(o inbox.Taken) bool { return !other(o) }), settings.Push
	}
	if d.unpushed {
		if err := d.repository.Push(d.ctx); err != nil {
			d.troubled(out, "push-failing", "what was committed could not be pushed: "+err.Error(), "pull and push by hand; it is tried again")
			return
		}
		d.unpushed = false
	}
}

func (d *drops) troubled(out *watch.Taking, code, sentence, mend string) {
	out.Findings = append(out.Findings, alert.Finding{Key: alert.Key{Subject: inboxSubject, Code: code}, Severity: alert.Fault, Sentence: sentence, Mend: mend})
	if again := d.clock.Now().Add(tryAgain); out.Next.IsZero() || again.Before(out.Next) {
		out.Next = again
	}
}

// committed lists the files of the repository that one drop came to.
func (d *drops) committed(t *inbox.Taken) []string {
	out := []string{t.Record}
	for _, name := range []string{t.Archived, t.Sidecar} {
		if name != "" && !filepath.IsAbs(name) {
			out = append(out, name)
		}
	}
	return out
}

// author is the operator as git wants one.
func (d *drops) author(by string) string {
	for i := range d.set.Site.Persons {
		if p := &d.set.Site.Persons[i]; p.Initials == by && p.Mail != "" {
			return fmt.Sprintf("%s <%s>", by, p.Mail)
		}
	}
	return fmt.Sprintf("%s <>", by)
}

// drops is the inbox of the repository.
func (s *station) drops(ctx context.Context) *drops {
	return &drops{station: s, ctx: ctx, intake: s.env.intake(s.repository, s.state)}
}
