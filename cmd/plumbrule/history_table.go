package main

import (
	"fmt"
	"path"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/history"
)

// fileTable lists one file a row: who added it, and what became of it.
func (p *pastOf) fileTable() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "record"}, {Title: "committed"}, {Title: "by"}, {Title: "commit", Optional: 1}, {Title: "since then", Wrap: true},
	}}
	for i := range p.files {
		f := &p.files[i]
		when, by, commit := "not known", "", ""
		if first := f.First(); first != nil && !p.log.Commit(first).CutOff {
			c := p.log.Commit(first)
			when, by, commit = p.minute(c.CommitTime), nameOf(c.Author), c.Short()
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
	case len(words) == 0 && p.cutOff(f):
		return table.Text("not known")
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
					how = strings.TrimSpace("was " + shortFrom(c) + " " + how)
				}
				t.Add(table.Text(c.Path), word, table.Text(p.minute(commit.CommitTime)), table.Text(nameOf(commit.Author)), table.Text(commit.Short()), table.Text(how))
				continue
			}
			what := string(c.Kind)
			if k == 0 && commit.CutOff {
				what = "there already" // who added it is not known
			}
			t.Add(table.Text(c.Path), table.Text(f.kind), table.Text(yesNo(f.evidence())), table.Text(what), table.Text(c.From), table.Text(stampOr(commit.CommitTime)),
				table.Text(stampOr(commit.AuthorTime)), table.Text(commit.Author), table.Text(commit.AuthorEmail), table.Text(commit.ID), table.Text(string(c.Manner)),
				table.Text(string(p.signatures[commit.ID].State)), table.Text(strings.Join(f.amended, " ")))
		}
	}
	return t
}

// shortFrom names the path before a rename, within the folder if that is the same.
func shortFrom(c *history.Change) string {
	if path.Dir(c.From) == path.Dir(c.Path) {
		return path.Base(c.From)
	}
	return c.From
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
