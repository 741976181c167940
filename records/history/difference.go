package history

import (
	"context"
	"strings"
)

// Difference returns the lines by which two objects differ, as a unified diff
// without its head. An object that is not there is empty.
func (r *Repository) Difference(ctx context.Context, before, now string) ([]string, error) {
	switch {
	case before == "" && now == "":
		return nil, nil
	case before == "":
		return r.marked(ctx, now, "+")
	case now == "":
		return r.marked(ctx, before, "-")
	}
	out, err := r.output(ctx, "", "diff", "--no-ext-diff", "--no-textconv", "--no-color", "--no-renames", "-O/dev/null", "--unified=2", "--inter-hunk-context=0",
		"--diff-algorithm=myers", "--src-prefix=a/", "--dst-prefix=b/", before, now)
	if err != nil {
		return nil, err
	}
	list := split(out)
	for len(list) > 0 && !strings.HasPrefix(list[0], "@@") && !strings.HasPrefix(list[0], "Binary") {
		list = list[1:]
	}
	return list, nil
}

// marked returns the lines of an object, each with a mark before it.
func (r *Repository) marked(ctx context.Context, object, mark string) ([]string, error) {
	out, err := r.output(ctx, "", "cat-file", "blob", object)
	if err != nil {
		return nil, err
	}
	if strings.ContainsRune(string(out[:min(len(out), 8000)]), 0) {
		return []string{"Binary content"}, nil
	}
	list := split(out)
	for i := range list {
		list[i] = mark + list[i]
	}
	return list, nil
}

func split(text []byte) []string {
	if len(text) == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
}
