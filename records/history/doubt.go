package history

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
)

// Doubt is a reason to doubt a time that a commit states. Git takes a commit's
// times from the clock of the machine it was made on, and nobody checks them.
type Doubt struct {
	Commit *Commit
	Parent *Commit   // a commit before it that states a later time; nil: another doubt
	File   string    // a record that it added and that states to have been entered later; empty: another doubt
	Stated time.Time // by that record
	// NoTime is that the commit's time cannot be read. Of several doubts about one commit this is the only one.
	NoTime bool
}

// Doubts lists the commits whose times cannot be right, oldest first: those
// without one, those earlier than a commit they build on, and those earlier than
// when a record that they added says it was entered.
func (l *Log) Doubts(set *records.Set) []Doubt {
	type numbered struct {
		Doubt
		commit int
	}
	var found []numbered
	number := make(map[string]int, len(l.Commits))
	for i := range l.Commits {
		number[l.Commits[i].ID] = i
	}
	for i := range l.Commits {
		c := &l.Commits[i]
		if c.CommitTime.IsZero() {
			found = append(found, numbered{Doubt{Commit: c, NoTime: true}, i})
			continue
		}
		for _, id := range c.Parents {
			if n, known := number[id]; known && c.CommitTime.Before(l.Commits[n].CommitTime) {
				found = append(found, numbered{Doubt{Commit: c, Parent: &l.Commits[n]}, i})
			}
		}
	}
	entered(set, func(file string, stated time.Time) {
		f := l.File(file)
		if f == nil || f.First() == nil {
			return
		}
		if c := l.Commit(f.First()); !c.CommitTime.IsZero() && stated.After(c.CommitTime) {
			found = append(found, numbered{Doubt{Commit: c, File: file, Stated: stated}, f.First().Commit})
		}
	})
	slices.SortStableFunc(found, func(a, b numbered) int {
		return cmp.Or(cmp.Compare(b.commit, a.commit), strings.Compare(a.File, b.File))
	})
	out := make([]Doubt, len(found))
	for i := range found {
		out[i] = found[i].Doubt
	}
	return out
}

// entered tells when each record says it was entered.
func entered(set *records.Set, tell func(file string, stated time.Time)) {
	for _, d := range set.Devices {
		tell(d.File, d.Entered)
	}
	for _, a := range set.Artifacts {
		tell(a.File, a.Entered)
	}
	for _, p := range set.Procedures {
		tell(p.File, p.Entered)
	}
	for _, list := range set.Certificates {
		for _, c := range list {
			tell(c.File, c.Entered)
		}
	}
	for _, list := range set.Checks {
		for _, c := range list {
			tell(c.File, c.Entered)
		}
	}
	for _, list := range set.Events {
		for _, e := range list {
			tell(e.File, e.Entered)
		}
	}
	for _, j := range set.Jobs {
		tell(j.File, j.Entered)
	}
	for _, list := range set.Cases {
		for _, k := range list {
			tell(k.File, k.Entered)
		}
	}
}
