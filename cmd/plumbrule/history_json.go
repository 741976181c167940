package main

import (
	"plumbrule/records/history"
)

// historyJSON is the JSON of history: an interface, to which fields are only added.
type historyJSON struct {
	Tip      commitJSON          `json:"tip"`
	Commits  int                 `json:"commits"`
	Shallow  bool                `json:"shallow"`
	Replaced int                 `json:"replaced_objects"`
	Known    *standingJSON       `json:"known"`
	Records  []historyRecordJSON `json:"records"`
	Doubts   []doubtJSON         `json:"doubts"`
}

type standingJSON struct {
	Commit   string `json:"commit"`
	Standing string `json:"standing"` // "part", "beside", "gone" or "unclear"
}

type historyRecordJSON struct {
	Path        string       `json:"path"`
	Kind        string       `json:"kind"`
	Subject     string       `json:"subject"`
	Evidence    bool         `json:"evidence"`
	Present     bool         `json:"present"`
	Rewritten   bool         `json:"rewritten"`
	CorrectedBy []string     `json:"corrected_by"`
	Changes     []changeJSON `json:"changes"`
}

type changeJSON struct {
	What       string     `json:"what"`
	Manner     string     `json:"manner"`
	Path       string     `json:"path"`
	From       *string    `json:"from"`
	Before     *string    `json:"object_before"`
	After      *string    `json:"object_after"`
	Commit     commitJSON `json:"commit"`
	Difference []string   `json:"difference"`
}

type commitJSON struct {
	Hash        string         `json:"hash"`
	Parents     []string       `json:"parents"`
	Author      string         `json:"author"`
	AuthorEmail string         `json:"author_email"`
	AuthorTime  *string        `json:"author_time"`
	Committer   string         `json:"committer"`
	CommitTime  *string        `json:"commit_time"`
	Subject     string         `json:"subject"`
	CutOff      bool           `json:"cut_off"` // a shallow clone begins here: what it holds may be older
	Signature   *signatureJSON `json:"signature"`
}

type signatureJSON struct {
	State  string `json:"state"`
	Signer string `json:"signer"`
	Key    string `json:"key"`
}

type doubtJSON struct {
	Commit string  `json:"commit"`
	Parent *string `json:"parent"`
	File   *string `json:"file"`
	Text   string  `json:"text"`
}

func (p *pastOf) json() historyJSON {
	out := historyJSON{
		Tip: p.commitJSON(p.log.Tip), Commits: len(p.log.Commits), Shallow: p.log.Incomplete, Replaced: p.past.Replaced,
		Records: []historyRecordJSON{}, Doubts: []doubtJSON{},
	}
	if p.standing != "" {
		out.Known = &standingJSON{p.known, string(p.standing)}
	}
	for i := range p.files {
		f := &p.files[i]
		r := historyRecordJSON{
			Path: f.Path, Kind: f.kind, Subject: f.subject, Evidence: f.evidence(), Present: f.Object != "", Rewritten: f.rewritten(),
			CorrectedBy: append([]string{}, f.amended...), Changes: []changeJSON{},
		}
		for k := range f.Changes {
			c := &f.Changes[k]
			r.Changes = append(r.Changes, changeJSON{
				What: string(c.Kind), Manner: string(c.Manner), Path: c.Path, From: textOrNull(c.From), Before: textOrNull(c.Old), After: textOrNull(c.New),
				Commit: p.commitJSON(p.log.Commit(c)), Difference: append([]string{}, p.texts[c]...),
			})
		}
		out.Records = append(out.Records, r)
	}
	for _, d := range p.relevantDoubts() {
		j := doubtJSON{Commit: d.Commit.ID, File: textOrNull(d.File), Text: p.doubtText(d)}
		if d.Parent != nil {
			j.Parent = &d.Parent.ID
		}
		out.Doubts = append(out.Doubts, j)
	}
	return out
}

func (p *pastOf) commitJSON(c *history.Commit) commitJSON {
	out := commitJSON{
		Hash: c.ID, Parents: append([]string{}, c.Parents...), Author: c.Author, AuthorEmail: c.AuthorEmail, AuthorTime: textOrNull(stampOr(c.AuthorTime)),
		Committer: c.Committer, CommitTime: textOrNull(stampOr(c.CommitTime)), Subject: c.Subject, CutOff: c.CutOff,
	}
	if s, asked := p.signatures[c.ID]; asked {
		out.Signature = &signatureJSON{string(s.State), s.Signer, s.Key}
	}
	return out
}
