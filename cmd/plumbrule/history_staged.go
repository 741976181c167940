package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/history"
)

// stagedJSON is the JSON of history --staged: an interface, to which fields are only added.
type stagedJSON struct {
	Changes []stagedChangeJSON `json:"changes"`
}

type stagedChangeJSON struct {
	Path     string  `json:"path"`
	Kind     string  `json:"kind"`
	Evidence bool    `json:"evidence"`
	What     string  `json:"what"`
	From     *string `json:"from"`
}

// staged lists what the next commit would do to what is recorded.
func (e env) staged(cmd *cobra.Command, o *historyFlags, args []string) error {
	if len(args) > 0 || *o.changes || *o.diff || *o.signatures || *o.rev != "" || *o.contains != "" || *o.since != "" {
		return misused("--staged beside other flags, expected --strict at most", `"git diff --cached" shows the lines`)
	}
	past, _, err := e.past(cmd.Context(), e.index()...)
	if err != nil {
		return err
	}
	changes, err := past.Staged(cmd.Context())
	if err != nil {
		return pastFault(err)
	}
	t := table.Table{Columns: []table.Column{{Title: "record"}, {Title: "kind"}, {Title: "would be"}}}
	out := stagedJSON{Changes: []stagedChangeJSON{}}
	rewritten := 0
	for i := range changes {
		c := &changes[i]
		name := c.Path
		if c.From != "" {
			name = c.From
		}
		f := historyFile{File: &history.File{}, kind: kindOfFile(name)}
		if f.kind == "" {
			continue
		}
		word := table.Text(changeWord(c))
		if f.evidence() && c.Rewrites() {
			word = table.Word(changeWord(c), table.Bad)
			rewritten++
		}
		t.Add(table.Text(name), table.Text(f.kind), word)
		out.Changes = append(out.Changes, stagedChangeJSON{c.Path, f.kind, f.evidence(), string(c.Kind), textOrNull(c.From)})
	}
	a := answer{JSON: out, CSV: t, Above: []string{"the next commit would rewrite no recorded evidence"}}
	if rewritten > 0 {
		a.Above = []string{fmt.Sprintf("the next commit would rewrite %s of recorded evidence", counted(rewritten, "file"))}
		a.Below = []string{`restore them, "git restore --staged --worktree FILE", and correct by a new record, "plumbrule record"; what was never shared may be kept from being recorded at all`}
	}
	if len(t.Rows) > 0 {
		a.Table = t
	}
	if err := e.print(formatOf(cmd), a); err != nil {
		return err
	}
	return attention(*o.strict, rewritten > 0)
}

// kindOfFile is the kind of a record, "attached" for other files among the evidence, and empty for what is none of these.
func kindOfFile(name string) string {
	if kind, _ := records.KindOf(name); kind != "" {
		return kind
	}
	if top, _, below := strings.Cut(name, "/"); below && slices.Contains(recordPaths(), top) {
		return "attached"
	}
	return ""
}

// index says which index git itself is about to commit: while a hook runs it may be another than the usual one.
func (e env) index() []repository.Option {
	name, set := e.LookupEnv("GIT_INDEX_FILE")
	if !set || name == "" {
		return nil
	}
	absolute, err := filepath.Abs(name)
	if err != nil {
		return nil
	}
	return []repository.Option{repository.Index(absolute)}
}
