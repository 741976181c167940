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
	"plumbrule/records/history"
	"plumbrule/rules"
)

// revision adds the flag that takes the records from git.
func (f *flagSet) revision() *string {
	return f.text("rev", "take the records of this `REVISION` from git: a commit, branch or tag; judged for its time of commit if --at is not given")
}

// past opens the git repository in which the records lie. The folder itself may be a bare repository.
func (e env) past(ctx context.Context, options ...repository.Option) (*history.Repository, *repository.Repository, error) {
	r, err := repository.Find(e.Dir)
	if errors.Is(err, repository.ErrNone) {
		r, err = &repository.Repository{Root: e.Dir}, nil
	}
	if err != nil {
		return nil, nil, unreadable(err.Error(), "name the records with -C", err)
	}
	git, err := repository.Git(r.Root, options...)
	if err != nil {
		return nil, nil, pastFault(err)
	}
	past, err := history.Open(ctx, git)
	return past, r, pastFault(err)
}

// pastFault says what keeps the past from being read, and what would mend it.
func pastFault(err error) error {
	var unknown *history.UnknownRevision
	var none *history.NoRecords
	switch {
	case err == nil:
		return nil
	case errors.Is(err, history.ErrNoGit):
		return unreadable("the past of the records is not known: they are "+err.Error(), `install git and keep the records in it, "git init"; what needs no past works without`, err)
	case errors.Is(err, history.ErrNoCommits):
		return unreadable("the past of the records is not known: "+err.Error(), `"git add ." and "git commit" begin it`, err)
	case errors.As(err, &unknown) && unknown.Reflog:
		return misused(err.Error(), `"git rev-list -1 --before=2026-07-01 HEAD" names the last commit before a day`)
	case errors.As(err, &unknown) && unknown.Shallow:
		return misused(err.Error(), `"git fetch --unshallow" brings the rest`)
	case errors.As(err, &unknown):
		return misused(err.Error(), `"git log --oneline" lists the commits, "git fetch" brings those of others`)
	case errors.As(err, &none):
		return unreadable(err.Error(), "name the folder with -C, or a later revision", err)
	}
	text, mend := err.Error(), `"git fsck" tells what is damaged, and another clone may have it`
	switch {
	case strings.Contains(text, "promisor remote"):
		mend = `this clone is partial, and nothing is fetched for a question: "git fetch --no-filter --refetch" brings the rest`
	case strings.Contains(text, "dubious ownership"):
		mend = "the folder belongs to somebody else: let git trust it as it says, if you know whose it is"
	}
	return unreadable("git's record of the past cannot be read: "+text, mend, err)
}

// openAs loads the records that the flags ask for. Dates after the instant of judging are reported where that is now or the
// time of the commit.
func (e env) openAs(ctx context.Context, flags instantFlags) (*judged, error) {
	options := records.Options{}
	if *flags.rev == "" {
		if *flags.at == "" {
			options.At = e.Now()
		}
		return e.open(options)
	}
	return e.openRevision(ctx, *flags.rev, *flags.at, options)
}

// revisionOf finds the commit that a revision names. Where it is to be judged for its own time, what speaks against that is told.
func (e env) revisionOf(ctx context.Context, rev, at string) (*history.Repository, *repository.Repository, *history.Commit, error) {
	past, r, err := e.past(ctx)
	if err != nil {
		return nil, nil, nil, err
	}
	commit, err := past.Commit(ctx, rev)
	if err != nil {
		return nil, nil, nil, pastFault(err)
	}
	if at == "" {
		err = e.clockOf(ctx, past, commit)
	}
	return past, r, commit, err
}

// openRevision loads the records of a revision. Dates after the instant, the time of the commit if none is given, are reported.
func (e env) openRevision(ctx context.Context, rev, at string, options records.Options) (*judged, error) {
	past, r, commit, err := e.revisionOf(ctx, rev, at)
	if err != nil {
		return nil, err
	}
	if at == "" {
		options.At = commit.CommitTime
	}
	j, _, err := openCommit(ctx, past, commit, options)
	if err != nil {
		return nil, err
	}
	j.repository = r
	return j, nil
}

// openCommit loads the records of a commit.
func openCommit(ctx context.Context, past *history.Repository, commit *history.Commit, options records.Options) (*judged, *history.Tree, error) {
	tree, err := past.Records(ctx, commit)
	if err != nil {
		return nil, nil, pastFault(err)
	}
	set, diagnostics := records.Load(tree, options)
	j := &judged{set: set, diagnostics: append(diagnostics, rules.Check(set)...), commit: commit}
	if err := tree.Close(); err != nil {
		return nil, nil, pastFault(err)
	}
	return j, tree, nil
}

// clockOf refuses to judge for the time of a commit that has none, and tells of one that is earlier than what it builds on.
func (e env) clockOf(ctx context.Context, past *history.Repository, c *history.Commit) error {
	if c.CommitTime.IsZero() {
		return unreadable("commit "+c.Short()+" has no readable time", "say with --at for when to judge", nil)
	}
	for _, id := range c.Parents {
		parent, err := past.Commit(ctx, id)
		if err != nil {
			fmt.Fprintf(e.Stderr, "plumbrule: note: commit %s, on which %s builds, cannot be read: %s\n", history.Short(id), c.Short(), show.Text(err.Error()))
			continue
		}
		if c.CommitTime.Before(parent.CommitTime) {
			fmt.Fprintf(e.Stderr, "plumbrule: note: commit %s is of %s, earlier than %s before it (%s): a clock was wrong; --at says for when to judge\n",
				c.Short(), c.CommitTime.Format(time.RFC3339), parent.Short(), parent.CommitTime.Format(time.RFC3339))
		}
	}
	return nil
}

// instantFor reads the flag --at for loaded records; without it they are judged for now, or for the time of their commit.
func (e env) instantFor(j *judged, text string) (time.Time, error) {
	if text == "" && j.commit != nil {
		return j.commit.CommitTime, nil
	}
	return e.instantOf("at", text, j.set.Site)
}

// commitText names a commit for people.
func commitText(c *history.Commit, zone *time.Location) string {
	when := "no readable time"
	if !c.CommitTime.IsZero() {
		when = c.CommitTime.In(zone).Format("2006-01-02 15:04 MST")
	}
	return fmt.Sprintf("%s of %s (%s)", c.Short(), when, nameOf(c.Committer))
}

// commitOrNull is a commit's hash for JSON.
func commitOrNull(c *history.Commit) *string {
	if c == nil {
		return nil
	}
	return &c.ID
}
