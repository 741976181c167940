package main

import (
	"fmt"
	"strings"

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
	if p.log.Incomplete {
		text += ", as far as this shallow clone goes"
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
		switch {
		case i > 0 && c.Kind == history.Added && c.New == f.Changes[i-1].New:
			word = "added alike, on another line of work,"
		case i > 0:
			word = changeWord(c)
		}
		if c.From != "" {
			word += " from " + c.From
		}
		if how := mannerText(c); how != "" {
			word += " " + how
		}
		if i == 0 && commit.CutOff {
			out.item("there already in commit %s of %s, where this clone begins; who added it, and when, is not known", commit.Short(), p.minute(commit.CommitTime))
			continue
		}
		out.item("%s by %s, commit %s: %s", word, person(commit.Author, commit.AuthorEmail), commit.Short(), commit.Subject)
		times := "written and committed " + p.minute(commit.CommitTime)
		if !commit.AuthorTime.Equal(commit.CommitTime) {
			times = "written " + p.minute(commit.AuthorTime) + ", committed " + p.minute(commit.CommitTime)
		}
		if commit.Committer != commit.Author {
			times += " by " + nameOf(commit.Committer)
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
	} else if f.kind != "" && len(f.afterwards()) == 0 && f.First() != nil && !p.cutOff(f) {
		out.item("as it was added")
	}
}

func person(name, email string) string {
	if email == "" {
		return nameOf(name)
	}
	return fmt.Sprintf("%s <%s>", nameOf(name), email)
}

// nameOf names who made a commit; git lets that be nobody.
func nameOf(name string) string {
	if strings.TrimSpace(name) == "" {
		return "(no name)"
	}
	return name
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
			out.head("%s, %s by %s in %s", c.Path, changeWord(c), nameOf(commit.Author), commit.Short())
			for _, line := range lines {
				out.item("%s", line)
			}
		}
	}
}
