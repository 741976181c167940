package history

import (
	"context"
	"errors"
	"io"
	"strings"
)

// renames finds the files that were renamed, among the commits that both removed
// and added something. Git pairs equal contents first and then those at least
// half alike, as "git log --follow" does.
func (w *walk) renames(ctx context.Context, r *Repository) error {
	w.moved = map[int32][]raw{}
	number := map[string]int32{}
	var ask strings.Builder
	for i, changes := range w.changes {
		if c := &w.log.Commits[i]; !c.Merge() && mayRename(changes) {
			number[c.ID] = int32(i)
			ask.WriteString(c.ID + "\n")
		}
	}
	if len(number) == 0 {
		return nil
	}
	p, err := r.git.Start(ctx, "diff-tree", "--stdin", "--always", "-r", "--root", "--raw", "-z", "--no-abbrev", "-M50%", "-l1000", "--no-ext-diff", "--no-textconv",
		"--ignore-submodules=none", "--no-relative", "-O/dev/null", "--diff-filter=R")
	if err != nil {
		return err
	}
	go func() {
		_, _ = io.WriteString(p, ask.String()) // where git ends too soon, Close tells
		_ = p.CloseWrite()
	}()
	var at int32
	s := newStream(p)
	s.commit = func(fields []string) error { at = number[strings.TrimSpace(fields[0])]; return nil }
	s.change = func(c raw) error {
		if strings.HasPrefix(c.from, w.folder) || strings.HasPrefix(c.path, w.folder) {
			w.moved[at] = append(w.moved[at], c)
		}
		return nil
	}
	return errors.Join(s.read(1), p.Close())
}

func mayRename(changes []raw) bool {
	added, removed := false, false
	for i := range changes {
		added = added || changes[i].status == 'A'
		removed = removed || changes[i].status == 'D'
	}
	return added && removed
}
