package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/history"
)

// historyFlags are the flags of history.
type historyFlags struct {
	rev, contains, since                      *string
	changes, diff, signatures, staged, strict *bool
}

func newHistoryCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "history [RECORD | DEVICE | ARTIFACT] [FLAGS]",
		Short: "who added each record, when, and whether anything recorded was rewritten",
		Long: "Reads from git, for every record, who added it, in which commit, and whether it was changed, renamed or removed afterwards; and " +
			"from the records which other corrects it. Merges are compared with every one of their parents: what one side did is reported once, " +
			"where it was done, and what a merge did by itself or threw away is reported as the merge's.\n\n" +
			"Checks, certificates, events, jobs, steps of cases and the files that lie with them are evidence: they are corrected by a new " +
			"record that names the old one, and never rewritten. What devices, artifacts, procedures and the site are said to be may change, and the past shows since when.\n\n" +
			"Git believes the clocks and names of the machines that commit. Times that cannot be right are listed; with --signatures the " +
			"signatures are verified by the keys of this machine. For --since with a day, no commit is older than one that it builds on, and one without a readable time counts.",
		Example: `  plumbrule history scan-04

  # who changed what since a day
  plumbrule history scan-04 --since 2026-06-30

  # was any evidence rewritten, and how
  plumbrule history --changes --diff

  # is what an earlier report was made from still part of the past
  plumbrule history --changes --contains HEAD --since HEAD`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "the past was listed",
			"1", "with --strict: evidence was rewritten, the clone is shallow and does not tell, or the commit of --contains is not part of the past",
			"2", "there is no such record, device or revision",
			"3", "git or the records cannot be read; records that cannot be used are listed all the same",
		), "diff", "status", "validate"),
		ValidArgsFunction: e.completeDevices,
	}
	f := flagsOf(cmd)
	o := &historyFlags{}
	o.changes = f.yes("changes", "list only what was changed, renamed or removed after it was added")
	o.diff = f.yes("diff", "show the lines that were changed or removed")
	o.rev = f.text("rev", "the past up to this `REVISION`: a commit, branch or tag; HEAD if not given")
	o.contains = f.text("contains", "tell whether this `COMMIT`, known from before, is still part of the past")
	o.since = f.text("since", "list only what was added or changed since this `COMMIT`, or since this day: 2026-06-30")
	o.signatures = f.yes("signatures", "verify the signatures of the commits listed")
	o.staged = f.yes("staged", "list what the next commit would change, rename or remove, and nothing else")
	o.strict = f.strict()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) > 1 {
			return misused(fmt.Sprintf("%q is one word too many, expected one record, device or artifact", args[1]), "")
		}
		if *o.staged {
			return e.staged(cmd, o, args)
		}
		return e.history(cmd, o, args)
	}
	return cmd
}

// pastOf is the past of the records, with what the records of its latest commit say.
type pastOf struct {
	*judged
	past       *history.Repository
	log        *history.Log
	standing   history.Standing // of the commit that was known; empty: none was named
	known      string
	files      []historyFile
	signatures map[string]history.Signature // by commit; nil: not asked for
	texts      map[*history.Change][]string // by change: the lines that differ; nil: not asked for
}

func (e env) history(cmd *cobra.Command, o *historyFlags, args []string) error {
	ctx := cmd.Context()
	p, err := e.readPast(ctx, o)
	if err != nil {
		return err
	}
	if p.files, err = p.chosen(args); err != nil {
		return err
	}
	if err := p.onlySince(ctx, *o.since, *o.contains != ""); err != nil {
		return err
	}
	unclear := slices.ContainsFunc(p.files, func(f historyFile) bool { return f.evidence() && p.cutOff(&f) })
	if *o.since != "" {
		p.files = slices.DeleteFunc(p.files, func(f historyFile) bool { return !f.touched() })
	}
	if *o.changes {
		p.files = slices.DeleteFunc(p.files, func(f historyFile) bool { return len(f.afterwards()) == 0 })
	}
	if err := p.lookCloser(ctx, o); err != nil {
		return err
	}
	e.complain(p.diagnostics)
	if *o.rev == "" && !p.past.Bare {
		e.pending(ctx, &judged{repository: p.repository})
	}
	if err := e.print(formatOf(cmd), p.answer(*o.changes, len(args) > 0)); err != nil {
		return err
	}
	if err := p.invalid(); err != nil {
		return err
	}
	rewritten := slices.ContainsFunc(p.files, func(f historyFile) bool { return f.evidence() && f.rewritten() })
	return attention(*o.strict, rewritten || unclear || p.standing != "" && p.standing != history.Part)
}

// readPast reads the past and the records of its latest commit.
func (e env) readPast(ctx context.Context, o *historyFlags) (*pastOf, error) {
	past, repo, err := e.past(ctx)
	if err != nil {
		return nil, err
	}
	tip, err := past.Commit(ctx, orElse(*o.rev, "HEAD"))
	if err != nil {
		return nil, pastFault(err)
	}
	j, tree, err := openCommit(ctx, past, tip, records.Options{})
	if err != nil {
		return nil, err
	}
	j.repository, past.Folder = repo, tree.Folder()
	p := &pastOf{judged: j, past: past, known: *o.contains}
	if p.log, err = past.Log(ctx, tip); err != nil {
		return nil, pastFault(err)
	}
	if p.known != "" {
		if p.standing, err = past.Stands(ctx, p.known, tip); err != nil {
			return nil, pastFault(err)
		}
	}
	return p, nil
}

// onlySince lets only the changes count that were committed after a day, or that are not part of the past of a commit. Where the past was rewritten and does not
// hold that commit, all count; one that does not exist here may be missing only where --contains says so.
func (p *pastOf) onlySince(ctx context.Context, rev string, mayMiss bool) error {
	if rev == "" {
		return nil
	}
	day, noDay := calendar.ParseDate(rev)
	if noDay == nil {
		p.countSince(p.log.After(day.EndIn(zoneOf(p.set))))
		return nil
	}
	id := rev
	commit, err := p.past.Commit(ctx, rev)
	var unknown *history.UnknownRevision
	switch {
	case err == nil:
		id = commit.ID
	case errors.As(err, &unknown) && len(rev) == len("2026-06-30") && strings.Trim(rev, "0123456789-") == "":
		return misused("--since: "+noDay.Error(), "name a day such as 2026-06-30, or a commit")
	case !errors.As(err, &unknown) || !mayMiss:
		return pastFault(err)
	}
	p.countSince(p.log.Since(id))
	return nil
}

func (p *pastOf) countSince(since map[int]bool) {
	for i := range p.files {
		p.files[i].since = since
	}
}

// lookCloser verifies signatures and finds the lines that differ, where that is asked.
func (p *pastOf) lookCloser(ctx context.Context, o *historyFlags) error {
	if *o.signatures {
		var ids []string
		seen := map[int]bool{}
		for _, f := range p.files {
			for _, c := range f.Changes {
				if !seen[c.Commit] {
					seen[c.Commit] = true
					ids = append(ids, p.log.Commits[c.Commit].ID)
				}
			}
		}
		var err error
		if p.signatures, err = p.past.Signatures(ctx, ids); err != nil {
			return pastFault(err)
		}
	}
	if !*o.diff {
		return nil
	}
	p.texts = map[*history.Change][]string{}
	for _, f := range p.files {
		for i := range f.Changes {
			c := &f.Changes[i]
			if !c.Rewrites() || f.since != nil && !f.since[c.Commit] {
				continue
			}
			lines, err := p.past.Difference(ctx, c.Old, c.New)
			if err != nil {
				return pastFault(err)
			}
			p.texts[c] = lines
		}
	}
	return nil
}
