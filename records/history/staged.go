package history

import (
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
)

// Staged returns what the next commit would change, rename or remove of what is
// committed, by path. While a merge is under way that is only what differs from both
// sides. What it would add is left out.
func (r *Repository) Staged(ctx context.Context) ([]Change, error) {
	head, err := r.Commit(ctx, "HEAD")
	if errors.Is(err, ErrNoCommits) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	changes, err := r.against(ctx, head.ID)
	if err != nil {
		return nil, err
	}
	var unknown *UnknownRevision
	other, err := r.Commit(ctx, "MERGE_HEAD")
	switch {
	case errors.As(err, &unknown):
	case err != nil:
		return nil, err
	default:
		theirs, err := r.against(ctx, other.ID)
		if err != nil {
			return nil, err
		}
		maps.DeleteFunc(changes, func(path string, _ Change) bool { _, also := theirs[path]; return !also })
	}
	return slices.SortedFunc(maps.Values(changes), func(a, b Change) int { return strings.Compare(a.Path, b.Path) }), nil
}

// against compares what is staged with a commit.
func (r *Repository) against(ctx context.Context, id string) (map[string]Change, error) {
	p, err := r.git.Start(ctx, "diff-index", "--cached", "--raw", "-z", "--no-abbrev", "-M50%", "-l1000", "--no-ext-diff", "--no-textconv",
		"--ignore-submodules=none", "--no-relative", "-O/dev/null", "--diff-filter=MDTR", id, "--")
	if err != nil {
		return nil, err
	}
	out := map[string]Change{}
	s := newStream(p)
	s.commit = func([]string) error { return nil }
	s.change = func(c raw) error {
		kind := kindOf(c.old.object, c.now.object)
		if c.from != "" {
			kind = Renamed
		}
		before := c.path
		if c.from != "" {
			before = c.from
		}
		path, inside := strings.CutPrefix(c.path, r.Folder)
		from, was := strings.CutPrefix(before, r.Folder)
		if !inside && !was || c.old.object == c.now.object && kind == Changed {
			return nil
		}
		change := Change{Kind: kind, Path: path, Old: c.old.object, New: c.now.object, Irregular: c.now.irregular}
		if kind == Renamed {
			change.From = from
		}
		out[path] = change
		return nil
	}
	return out, errors.Join(s.read(1), p.Close())
}
