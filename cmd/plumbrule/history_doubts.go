package main

import (
	"fmt"
	"slices"

	"plumbrule/records/history"
)

// doubts tells which times cannot be right.
func (p *pastOf) doubts(out *page) {
	list := p.relevantDoubts()
	if len(list) == 0 {
		return
	}
	out.head("Times that cannot be right")
	for _, d := range list {
		out.item("%s", p.doubtText(d))
	}
}

// relevantDoubts are those about commits that touched the files listed.
func (p *pastOf) relevantDoubts() []history.Doubt {
	commits, files := map[string]bool{}, map[string]bool{}
	for i := range p.files {
		files[p.files[i].Path] = true
		for k := range p.files[i].Changes {
			commits[p.log.Commit(&p.files[i].Changes[k]).ID] = true
		}
	}
	return slices.DeleteFunc(p.log.Doubts(p.set), func(d history.Doubt) bool {
		return !commits[d.Commit.ID] || d.File != "" && !files[d.File]
	})
}

func (p *pastOf) doubtText(d history.Doubt) string {
	c := d.Commit
	switch {
	case d.NoTime:
		return "commit " + c.Short() + " has no readable time"
	case d.Parent != nil:
		return fmt.Sprintf("commit %s is of %s, earlier than commit %s before it, of %s: one of the clocks was wrong", c.Short(), p.minute(c.CommitTime), d.Parent.Short(), p.minute(d.Parent.CommitTime))
	}
	return fmt.Sprintf("%s says it was entered %s, and commit %s, which added it, is of %s: the clock or what is entered is wrong", d.File, p.minute(d.Stated), c.Short(), p.minute(c.CommitTime))
}

// unknown says what git cannot tell.
func (p *pastOf) unknown(out *page) {
	if !p.log.Incomplete && p.past.Replaced == 0 {
		return
	}
	out.head("What is not known")
	if p.log.Incomplete {
		out.item("the clone is shallow: what stands in its oldest commits may have been added, changed or removed before, by others; \"git fetch --unshallow\" brings the rest")
	}
	if n := p.past.Replaced; n > 0 {
		out.item("%s in this repository; they are not followed, and what is listed is what was committed", counted(n, "replaced object"))
	}
}
