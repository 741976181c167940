package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/history"
)

// answer lists the files, or with changes what became of them. In detail it tells each change.
func (p *pastOf) answer(changes, detail bool) answer {
	out := answer{JSON: p.json(), CSV: p.changeTable(true), Above: p.above(changes), Page: &page{}}
	switch {
	case changes:
		out.Table = p.changeTable(false)
	case detail && len(p.files) == 1:
		p.onFile(out.Page, &p.files[0])
	default:
		out.Table = p.fileTable()
	}
	if len(out.Table.Rows) == 0 {
		out.Table = table.Table{}
	}
	if p.texts != nil && (changes || len(p.files) != 1) {
		p.differences(out.Page)
	}
	p.doubts(out.Page)
	p.unknown(out.Page)
	return out
}

// above says what was looked at and how many were found.
func (p *pastOf) above(changes bool) []string {
	commits := fmt.Sprintf("%s up to %s", counted(len(p.log.Commits), "commit"), commitText(p.log.Tip, zoneOf(p.set)))
	evidence, definitions, rewritten, altered := 0, 0, 0, 0
	for i := range p.files {
		f := &p.files[i]
		count, changed := &definitions, &altered
		if f.evidence() {
			count, changed = &evidence, &rewritten
		}
		*count++
		if f.rewritten() {
			*changed++
		}
	}
	text := fmt.Sprintf("%s of evidence, %s rewritten; %s, %d changed", counted(evidence, "file"), wordOfNone(rewritten), counted(definitions, "definition"), altered)
	if changes {
		text = fmt.Sprintf("%s of evidence rewritten; %s changed, which may", strings.Replace(counted(rewritten, "file"), "0 ", "no ", 1), counted(altered, "definition"))
	}
	out := []string{commits + ": " + text}
	if p.standing != "" {
		out = append(out, standingText(p.standing, p.known))
	}
	return out
}

func wordOfNone(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprint(n)
}

// standingText says whether a commit that was known is part of the past.
func standingText(s history.Standing, known string) string {
	switch s {
	case history.Part:
		return known + " is part of this past: nothing up to it was rewritten"
	case history.Beside:
		return known + " is not part of this past: it was rewritten since, or that is another line of work"
	case history.Gone:
		return known + " does not exist here: the past was rewritten since, or this is another repository"
	case history.Unclear:
	}
	return "it cannot be told whether " + known + " is part of this past: the clone is shallow"
}

func (p *pastOf) fileTable() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "record"}, {Title: "committed"}, {Title: "by"}, {Title: "commit", Optional: 1}, {Title: "since then", Wrap: true},
	}}
	for i := range p.files {
		f := &p.files[i]
		when, by, commit := "not known", "", ""
		if first := f.First(); first != nil {
			c := p.log.Commit(first)
			when, by, commit = p.minute(c.CommitTime), c.Author, c.Short()
		}
		t.Add(table.Text(f.Path), table.Text(when), table.Text(by), table.Text(commit), p.sinceCell(f))
	}
	return t
}

// sinceCell says in a few words what became of a file.
func (p *pastOf) sinceCell(f *historyFile) table.Cell {
	var words []string
	counts := map[string]int{}
	for _, c := range f.afterwards() {
		word := changeWord(&c)
		if counts[word]++; counts[word] == 1 {
			words = append(words, word)
		}
	}
	for i, w := range words {
		if counts[w] > 1 {
			words[i] = fmt.Sprintf("%s %d times", w, counts[w])
		}
	}
	if len(f.amended) > 0 {
		words = append(words, "corrected by "+strings.Join(f.amended, ", "))
	}
	switch {
	case len(words) == 0:
		return table.Text("as it was")
	case f.evidence() && f.rewritten():
		return table.Word(strings.Join(words, "; "), table.Bad)
	}
	return table.Text(strings.Join(words, "; "))
}

// changeWord says what happened, in a word or two.
func changeWord(c *history.Change) string {
	switch {
	case c.Kind == history.Renamed && c.Old != c.New:
		return "renamed and changed"
	case c.Kind == history.Added:
		return "added again"
	}
	return string(c.Kind)
}

// mannerText says how a merge came by a change; empty for an ordinary commit.
func mannerText(c *history.Change) string {
	switch c.Manner {
	case history.Itself:
		return "by a merge, which did what no side had done"
	case history.Both:
		return "by a merge, which combined what both sides had changed"
	case history.Chosen:
		return "by a merge, which took one of two sides that had both changed it"
	case history.Discarded:
		return "by a merge, which threw away what one side had done"
	case history.Plain:
	}
	return ""
}

// changeTable lists one change a row: for programs every change, for people those after a file was added.
func (p *pastOf) changeTable(all bool) table.Table {
	t := table.Table{Columns: []table.Column{{Title: "record"}, {Title: "what"}, {Title: "committed"}, {Title: "by"}, {Title: "commit"}, {Title: "how", Wrap: true, Optional: 1}}}
	if all {
		t.Columns = []table.Column{
			{Title: "record"},
			{Title: "kind"},
			{Title: "evidence"},
			{Title: "what"},
			{Title: "from"},
			{Title: "committed"},
			{Title: "written"},
			{Title: "by"},
			{Title: "email"},
			{Title: "commit"},
			{Title: "how"},
			{Title: "signature"},
			{Title: "corrected by"},
		}
	}
	for i := range p.files {
		f := &p.files[i]
		list := f.Changes
		if !all {
			list = f.afterwards()
		}
		for k := range list {
			c := &list[k]
			commit := p.log.Commit(c)
			if !all {
				word := table.Text(changeWord(c))
				if f.evidence() && c.Rewrites() {
					word = table.Word(changeWord(c), table.Bad)
				}
				how := mannerText(c)
				if c.From != "" {
					how = strings.TrimSpace("from " + c.From + " " + how)
				}
				t.Add(table.Text(c.Path), word, table.Text(p.minute(commit.CommitTime)), table.Text(commit.Author), table.Text(commit.Short()), table.Text(how))
				continue
			}
			what := string(c.Kind)
			t.Add(table.Text(c.Path), table.Text(f.kind), table.Text(yesNo(f.evidence())), table.Text(what), table.Text(c.From), table.Text(stampOr(commit.CommitTime)),
				table.Text(stampOr(commit.AuthorTime)), table.Text(commit.Author), table.Text(commit.AuthorEmail), table.Text(commit.ID), table.Text(string(c.Manner)),
				table.Text(string(p.signatures[commit.ID].State)), table.Text(strings.Join(f.amended, " ")))
		}
	}
	return t
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// minute writes a time at the site as people read it.
func (p *pastOf) minute(t time.Time) string {
	if t.IsZero() {
		return "no time"
	}
	return t.In(zoneOf(p.set)).Format("2006-01-02 15:04")
}

// stampOr writes a time for programs, as the commit has it; empty where it has none.
func stampOr(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.RFC3339)
}

// onFile tells the whole past of one file.
func (p *pastOf) onFile(out *page, f *historyFile) {
	out.head("%s", f.Path)
	if f.First() == nil {
		out.item("who added it is not known")
	}
	for i := range f.Changes {
		c := &f.Changes[i]
		commit := p.log.Commit(c)
		word := string(c.Kind)
		if i > 0 {
			word = changeWord(c)
		}
		if c.From != "" {
			word += " from " + c.From
		}
		if how := mannerText(c); how != "" {
			word += " " + how
		}
		out.item("%s by %s, commit %s: %s", word, person(commit.Author, commit.AuthorEmail), commit.Short(), commit.Subject)
		times := "written and committed " + p.minute(commit.CommitTime)
		if !commit.AuthorTime.Equal(commit.CommitTime) {
			times = "written " + p.minute(commit.AuthorTime) + ", committed " + p.minute(commit.CommitTime)
		}
		if commit.Committer != commit.Author {
			times += " by " + commit.Committer
		}
		out.sub("%s", times)
		if s, asked := p.signatures[commit.ID]; asked {
			out.sub("signature: %s", signatureText(s))
		}
		for _, line := range p.texts[c] {
			out.sub("%s", line)
		}
	}
	for _, file := range f.amended {
		out.item("corrected by %s", file)
	}
	if f.Object == "" {
		out.item("no longer there")
	} else if f.kind != "" && len(f.afterwards()) == 0 && f.First() != nil {
		out.item("as it was added")
	}
}

func person(name, email string) string {
	if email == "" {
		return name
	}
	return fmt.Sprintf("%s <%s>", name, email)
}

func signatureText(s history.Signature) string {
	text := string(s.State)
	if s.Signer != "" {
		text += ", " + s.Signer
	}
	if s.Key != "" {
		text += " (key " + s.Key + ")"
	}
	return text
}

// differences shows the lines of every change that rewrote something.
func (p *pastOf) differences(out *page) {
	for i := range p.files {
		f := &p.files[i]
		for k := range f.Changes {
			c := &f.Changes[k]
			lines, found := p.texts[c]
			if !found {
				continue
			}
			commit := p.log.Commit(c)
			out.head("%s, %s by %s in %s", c.Path, changeWord(c), commit.Author, commit.Short())
			for _, line := range lines {
				out.item("%s", line)
			}
		}
	}
}

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
