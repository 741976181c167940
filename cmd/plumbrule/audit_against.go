package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/history"
)

// compared is an earlier pack beside the records as they are now.
type compared struct {
	folder   string
	earlier  *pack.Earlier
	standing history.Standing // of the pack's commit; empty: not known, and unknown says why
	unknown  string
	rows     []comparedRow
	same     int
}

type comparedRow struct {
	File     string `json:"file"`
	Evidence bool   `json:"evidence"`
	What     string `json:"what"` // "changed", "gone", "line ends", or what is there instead of a file
	Before   string `json:"sha256_before"`
	Now      string `json:"sha256_now"` // empty: gone
}

func (e env) auditAgainst(cmd *cobra.Command, o *auditOptions, args []string) error {
	if len(args) > 0 || *o.pdf || o.from.given() || *o.instant.at != "" || *o.instant.hindsight {
		return misused("--against with devices or flags of a pack, expected --rev at most", "the earlier pack says which records to compare")
	}
	ctx := cmd.Context()
	c := &compared{folder: *o.against}
	var err error
	if c.earlier, err = pack.Open(os.DirFS(e.path(*o.against))); err != nil {
		return unreadable(fmt.Sprintf("--against: %s is no pack: %s", *o.against, show.Text(err.Error())), "name the folder that audit --into wrote", err)
	}
	files, err := e.nowFiles(ctx, c, *o.instant.rev)
	if err != nil {
		return err
	}
	for _, name := range sortedNames(c.earlier.Records()) {
		if err := c.compare(files, name, c.earlier.Records()[name]); err != nil {
			return err
		}
	}
	if err := e.print(formatOf(cmd), c.answer()); err != nil {
		return err
	}
	return attention(*o.strict, c.rewritten())
}

// nowFiles returns the records as they are, or as a revision holds them, and finds out whether the pack's commit is still part of the past.
func (e env) nowFiles(ctx context.Context, c *compared, rev string) (fs.FS, error) {
	past, r, err := e.past(ctx)
	if err != nil {
		if rev != "" || !errors.Is(err, history.ErrNoGit) {
			return nil, err
		}
		c.unknown = "the records are not under version control with git"
		j, err := e.open(records.Options{})
		if err != nil {
			return nil, err
		}
		return j.repository.FS(), nil
	}
	tip, err := past.Commit(ctx, orElse(rev, "HEAD"))
	if err != nil {
		return nil, pastFault(err)
	}
	if known := c.earlier.Facts.Commit; known == "" {
		c.unknown = "the pack was made from records that were not committed as they were"
	} else if c.standing, err = past.Stands(ctx, known, tip); err != nil {
		return nil, pastFault(err)
	}
	if rev == "" && !past.Bare {
		return r.FS(), nil
	}
	tree, err := past.Records(ctx, tip)
	return tree, pastFault(err)
}

// compare compares one record with its digest in the pack.
func (c *compared) compare(files fs.FS, name, digest string) error {
	if !fs.ValidPath(name) {
		return unreadable(fmt.Sprintf("%s lists %q, which is no path inside the records", pack.Manifest, name), "this is not a pack as it was written", nil)
	}
	kind, _ := records.KindOf(name)
	f := historyFile{kind: orElse(kind, "attached")}
	row := comparedRow{File: name, Evidence: f.evidence() || kind == "case", Before: digest}
	info, err := fs.Lstat(files, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		row.What = "gone"
		c.rows = append(c.rows, row)
		return nil
	case err != nil:
		return unreadable(fmt.Sprintf("%s cannot be read: %s", name, plainCause(err)), "look at its permissions", err)
	case !info.Mode().IsRegular():
		row.What = "no ordinary file"
		c.rows = append(c.rows, row)
		return nil
	}
	in, err := files.Open(name)
	if err != nil {
		return unreadable(fmt.Sprintf("%s cannot be read: %s", name, plainCause(err)), "look at its permissions", err)
	}
	defer func() { _ = in.Close() }()
	hash, plain := sha256.New(), sha256.New()
	unix := &lineFeeds{to: plain}
	if _, err := io.Copy(io.MultiWriter(hash, unix), in); err != nil {
		return unreadable(fmt.Sprintf("%s cannot be read: %s", name, plainCause(err)), "look at the disk", err)
	}
	row.Now = hex.EncodeToString(hash.Sum(nil))
	switch {
	case row.Now == digest:
		c.same++
		return nil
	case kind != "" && unix.changed && !unix.held && hex.EncodeToString(plain.Sum(nil)) == digest:
		row.What = "line ends"
	default:
		row.What = "changed"
	}
	c.rows = append(c.rows, row)
	return nil
}

// lineFeeds hands on what is written to it with a line feed for each carriage return and line feed: git puts these into the files
// of a folder on some machines, and has the records without.
type lineFeeds struct {
	to      io.Writer
	held    bool // a carriage return was written last
	changed bool
}

func (l *lineFeeds) Write(text []byte) (int, error) {
	out := make([]byte, 0, len(text)+1)
	for _, b := range text {
		if l.held && b != '\n' {
			out = append(out, '\r')
		}
		l.changed = l.changed || l.held && b == '\n'
		if l.held = b == '\r'; !l.held {
			out = append(out, b)
		}
	}
	_, err := l.to.Write(out)
	return len(text), err
}

// rewritten tells whether evidence of the pack or its past is no longer what it was.
func (c *compared) rewritten() bool {
	return c.standing != "" && c.standing != history.Part || slices.ContainsFunc(c.rows, comparedRow.rewritten)
}

// rewritten tells whether the record is evidence and no longer says what it said. Other ends of its lines say nothing else.
func (r comparedRow) rewritten() bool { return r.Evidence && r.What != "line ends" }

// againstJSON is what audit --against prints as JSON: an interface, to which fields are only added.
type againstJSON struct {
	Pack     string        `json:"pack"`
	Commit   string        `json:"commit"`   // of the pack; empty: its records were not committed as they were
	Standing string        `json:"standing"` // "part", "beside", "gone", "unclear", or empty: not known
	Same     int           `json:"same"`     // records of the pack that are as they were
	Changed  []comparedRow `json:"changed"`
}

func (c *compared) answer() answer {
	known := c.earlier.Facts.Commit
	out := againstJSON{Pack: c.folder, Commit: known, Standing: string(c.standing), Same: c.same, Changed: append([]comparedRow{}, c.rows...)}
	a := answer{JSON: out, Above: []string{fmt.Sprintf("%s, judged for %s: %s of %d as they were", c.folder, c.earlier.Facts.At, counted(c.same, "record"), c.same+len(c.rows))}}
	if c.standing == "" {
		a.Above = append(a.Above, "whether its commit is still part of the past cannot be told: "+c.unknown)
	} else {
		a.Above = append(a.Above, standingText(c.standing, history.Short(known)))
	}
	t := table.Table{Columns: []table.Column{{Title: "record", Wrap: true}, {Title: "evidence"}, {Title: "what"}}}
	full := table.Table{Columns: []table.Column{{Title: "record"}, {Title: "evidence"}, {Title: "what"}, {Title: "sha256 before"}, {Title: "sha256 now"}}}
	for _, r := range c.rows {
		word := table.Text(r.What)
		if r.rewritten() {
			word = table.Word(r.What, table.Bad)
		}
		t.Add(table.Text(r.File), table.Text(yesNo(r.Evidence)), word)
		full.Add(table.Text(r.File), table.Text(yesNo(r.Evidence)), table.Text(r.What), table.Text(r.Before), table.Text(r.Now))
	}
	a.CSV = full
	if len(t.Rows) > 0 {
		a.Table = t
	}
	return a
}
