package history

import (
	"bufio"
	"context"
	"errors"
	"strings"
)

// Log is the past of every file up to one commit.
type Log struct {
	Tip     *Commit
	Commits []Commit // none before one of its children, else latest first
	Files   []*File  // sorted by path; a path that was taken a second time comes twice

	// Incomplete is that the clone is shallow: what was added in a commit without
	// parents may have been added, changed and removed before.
	Incomplete bool

	byPath map[string]*File
}

// File returns the history of the file at a path, nil where there never was one.
// Where files followed each other at a path it is the last.
func (l *Log) File(path string) *File { return l.byPath[path] }

// Commit returns the commit of a change.
func (l *Log) Commit(c *Change) *Commit { return &l.Commits[c.Commit] }

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

// Log reads the past up to a commit: once over all commits, once over the merges,
// and once over the commits that may have renamed something.
func (r *Repository) Log(ctx context.Context, tip *Commit) (*Log, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	w := &walk{log: &Log{Tip: tip, Incomplete: r.Shallow, byPath: map[string]*File{}}, folder: r.Folder}
	sides := r.sides(ctx, w.wanted)
	lasting := r.lasting(ctx, tip)
	err := w.read(ctx, r, tip, sides)
	merged, sidesErr := sides.wait()
	present, lastingErr := lasting()
	if err := errors.Join(err, sidesErr, lastingErr); err != nil {
		return nil, err
	}
	if err := w.renames(ctx, r); err != nil {
		return nil, err
	}
	w.sides = merged
	w.graph = newGraph(w.log.Commits)
	if err := w.broughtBack(ctx, r); err != nil {
		return nil, err
	}
	w.build()
	w.settle(present)
	return w.log, nil
}

// walk is the state of one reading of the past.
type walk struct {
	log    *Log
	folder string
	graph  *graph

	changes [][]raw // by commit
	sides   map[string][]side
	moved   map[int32][]raw // by commit: its renames

	trails map[string]*trail // by path
	all    []*trail
}

// read reads every commit with what it changed. A merge is compared with all its
// parents together, so that only what differs from every one of them comes here.
// Each merge is handed on to be compared with its parents one by one.
func (w *walk) read(ctx context.Context, r *Repository, tip *Commit, sides *sides) error {
	defer sides.end()
	p, err := r.git.Start(ctx, "log", "-z", "--date-order", "-c", "--raw", "--no-abbrev", "--no-renames", "--root", "--no-ext-diff", "--no-textconv",
		"--ignore-submodules=none", "--no-relative", "-O/dev/null", "--date=raw", "--encoding=UTF-8", "--format="+commitFormat, tip.ID, "--")
	if err != nil {
		return err
	}
	s := &stream{in: bufio.NewReaderSize(p, 1<<18)}
	s.commit = func(fields []string) error {
		c, err := parseCommit(fields)
		if err != nil {
			return err
		}
		w.log.Commits = append(w.log.Commits, c)
		w.changes = append(w.changes, nil)
		if c.Merge() {
			return sides.compare(&c)
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

// wanted tells which changes matter: to files in the folder of records, and to
// others that may have come from or gone there, which only records do.
func (w *walk) wanted(c *raw) bool {
	if !strings.HasPrefix(c.path, w.folder) && !strings.HasSuffix(c.path, ".toml") {
		return false
	}
	return len(c.old) != 1 || c.old[0] != c.now || c.modes[0] != c.modes[1] && (irregular(c.modes[0]) || irregular(c.modes[1]))
}

// irregular tells that a mode is not that of an ordinary file.
func irregular(mode string) bool { return mode != "000000" && !strings.HasPrefix(mode, "100") }
