package audit

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records/history"
	"plumbrule/rules"
)

// rewritten reports what the history of the files shows: evidence changed or
// taken away, times that cannot be right, and a past that is not whole.
func (f *finder) rewritten() {
	if f.Log == nil {
		return
	}
	for _, file := range f.Log.Files {
		rewritten := file.Rewritten()
		if len(rewritten) == 0 {
			continue
		}
		subject, evidence := f.evidenceIn(file.Path)
		if !evidence {
			continue
		}
		for _, c := range rewritten {
			commit := f.Log.Commit(&c)
			if commit == nil || !commit.CommitTime.IsZero() && !f.within(commit.CommitTime) {
				continue
			}
			when := "at a time that cannot be read"
			if !commit.CommitTime.IsZero() {
				when = "on " + f.day(commit.CommitTime).String()
			}
			f.add("evidence-rewritten", subject, fmt.Sprintf("%s was %s by %s %s, in commit %s", file.Path, c.Kind, commit.Author, when, commit.Short()), rules.Source{File: file.Path})
		}
	}
	if !f.all() {
		return
	}
	for _, d := range f.Log.Doubts(f.Set) {
		if f.within(d.Commit.CommitTime) || d.NoTime {
			f.add("commit-time-doubtful", "repository", doubtful(&d))
		}
	}
	if f.Log.Incomplete {
		f.add("past-incomplete", "repository", "the clone is shallow: what was changed or removed before its oldest commit is not known")
	}
}

func doubtful(d *history.Doubt) string {
	head := fmt.Sprintf("commit %s by %s ", d.Commit.Short(), d.Commit.Author)
	switch {
	case d.NoTime:
		return head + "states a time that cannot be read"
	case d.Parent != nil:
		return head + "is by its time earlier than the commit it builds on, " + d.Parent.Short()
	}
	return head + "is by its time earlier than when " + d.File + " was entered"
}

// evidenceIn tells whether a path is that of a record of something that
// happened, and what it is about: the folder below which it lies, or the path.
func (f *finder) evidenceIn(file string) (subject string, evidence bool) {
	parts := strings.Split(file, "/")
	if len(parts) < 3 || !strings.HasSuffix(file, ".toml") {
		return "", false
	}
	switch parts[0] {
	case "certificates", "checks", "events":
		return parts[1], f.looksAt(parts[1])
	case "cases":
		for _, id := range f.subjects() {
			if slices.ContainsFunc(f.casesOf(id), func(c rules.Case) bool { return c.ID == parts[1] }) {
				return id, true
			}
		}
		return file, f.all()
	case "jobs":
		for _, j := range f.known.Jobs {
			if j.File == file {
				return j.ID, f.all() || slices.ContainsFunc(j.Devices, f.looksAt)
			}
		}
		return file, f.all()
	}
	return "", false
}
