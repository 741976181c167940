package history

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"
)

// Log is the past of every file up to one commit.
type Log struct {
	Tip     *Commit
	Commits []Commit // none before one of its children, else latest first
	Files   []*File  // sorted by path; a path that was taken a second time comes twice

	// Incomplete is that the clone is shallow: what was added in a commit without
	// parents may have been added, changed and removed before.
	Incomplete bool
}

// File returns the history of the file at a path, nil where there never was one.
// Where files followed each other at a path it is the last.
func (l *Log) File(path string) *File {
	i, _ := slices.BinarySearchFunc(l.Files, path, func(f *File, path string) int {
		if f.Path <= path { // behind the last of them
			return -1
		}
		return 1
	})
	if i == 0 || l.Files[i-1].Path != path {
		return nil
	}
	return l.Files[i-1]
}

// Commit returns the commit of a change.
func (l *Log) Commit(c *Change) *Commit { return &l.Commits[c.Commit] }

// After returns the commits that were made at an instant or after it, by index. Since
// no commit is older than one that it builds on, whatever its clock said, those that
// build on one of them count as well, and so does one without a readable time.
func (l *Log) After(at time.Time) map[int]bool {
	out, byID := map[int]bool{}, map[string]bool{}
	for i := len(l.Commits) - 1; i >= 0; i-- {
		c := &l.Commits[i]
		if c.CommitTime.IsZero() || !c.CommitTime.Before(at) || slices.ContainsFunc(c.Parents, func(id string) bool { return byID[id] }) {
			out[i], byID[c.ID] = true, true
		}
	}
	return out
}

// Since returns the commits that are not part of the past of a known one, by index;
// all of them where that, by its whole hash, is not part of this past.
func (l *Log) Since(known string) map[int]bool {
	out := make(map[int]bool, len(l.Commits))
	from := -1
	for i := range l.Commits {
		out[i] = true
		if l.Commits[i].ID == known {
			from = i
		}
	}
	if from < 0 {
		return out
	}
	g := newGraph(l.Commits)
	all := make([]int32, len(l.Commits))
	for i := range all {
		all[i] = int32(i)
	}
	for _, before := range g.among(int32(from), all) {
		delete(out, int(before))
	}
	return out
}

// Log reads the past up to a commit: once over all commits, beside that once over
// the merges, and once over the commits that may have renamed something.
func (r *Repository) Log(ctx context.Context, tip *Commit) (*Log, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	w := &walk{log: &Log{Tip: tip, Incomplete: r.Shallow}, folder: r.Folder, places: map[string]*place{}}
	firsts := r.firsts(ctx, w.wanted)
	err := w.read(ctx, r, tip, firsts)
	merges, firstsErr := firsts.wait()
	if err := errors.Join(err, firstsErr); err != nil {
		return nil, err
	}
	if err := w.renames(ctx, r); err != nil {
		return nil, err
	}
	if err := w.cutOff(ctx, r); err != nil {
		return nil, err
	}
	for i := range w.log.Commits {
		if c := &w.log.Commits[i]; c.Merge() {
			w.changes[i] = merges[c.ID]
		}
	}
	w.graph = newGraph(w.log.Commits)
	w.build()
	w.settle()
	return w.log, nil
}

// walk is the state of one reading of the past.
type walk struct {
	log    *Log
	folder string
	graph  *graph

	changes [][]raw         // by commit: against its first parent
	moved   map[int32][]raw // by commit: its renames

	places  map[string]*place
	touched [][]*place // by commit: where it differs from one of its parents
	all     []*trail
}

// read reads every commit with what it changed. Each merge is handed on to be
// compared with its first parent.
func (w *walk) read(ctx context.Context, r *Repository, tip *Commit, firsts *firsts) error {
	defer firsts.end()
	p, err := r.git.Start(ctx, "log", "-z", "--date-order", "--raw", "--no-abbrev", "--no-renames", "--root", "--no-ext-diff", "--no-textconv",
		"--ignore-submodules=none", "--no-relative", "-O/dev/null", "--date=raw", "--encoding=UTF-8", "--format="+commitFormat, tip.ID, "--")
	if err != nil {
		return err
	}
	s := newStream(p)
	names := map[string]string{}
	s.commit = func(fields []string) error {
		c, err := parseCommit(fields)
		if err != nil {
			return err
		}
		for _, name := range []*string{&c.Author, &c.AuthorEmail, &c.Committer} { // a few people make many commits
			*name = once(names, *name)
		}
		w.log.Commits = append(w.log.Commits, c)
		w.changes = append(w.changes, nil)
		if c.Merge() {
			return firsts.compare(&c)
		}
		return nil
	}
	s.change = func(change raw) error {
		if w.wanted(&change) {
			last := len(w.changes) - 1
			w.changes[last] = append(w.changes[last], change)
		}
		return nil
	}
	return errors.Join(s.read(commitFields), p.Close())
}

// once returns the first of equal texts.
func once(known map[string]string, text string) string {
	first, found := known[text]
	if !found {
		known[text] = text
		return text
	}
	return first
}

// wanted tells which changes matter: to files in the folder of records, and to
// others that may have come from or gone there, which only records do.
func (w *walk) wanted(c *raw) bool {
	return (strings.HasPrefix(c.path, w.folder) || strings.HasSuffix(c.path, ".toml")) && c.old != c.now
}
