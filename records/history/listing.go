package history

import (
	"context"
	"errors"
	"fmt"
	"strings"
)

// listed is one line of git ls-tree -r -z.
type listed struct {
	mode, object, path string
}

// Modes of what is no file in a tree.
const (
	modeTree      = "040000" // only of a folder that cannot be read
	modeLink      = "120000"
	modeSubmodule = "160000"
)

// list lists all that lies in a commit. A folder that cannot be read, since its
// object is lost or damaged, is listed itself.
func (r *Repository) list(ctx context.Context, commit string) ([]listed, error) {
	out, err := r.output(ctx, "", "ls-tree", "-r", "-z", "--full-tree", commit)
	if _, refused := errors.AsType[*Refusal](err); refused {
		return r.listEach(ctx, commit, "")
	}
	if err != nil {
		return nil, err
	}
	return parseListing(string(out), "")
}

// listEach lists folder by folder, which finds all but what is damaged.
func (r *Repository) listEach(ctx context.Context, tree, below string) ([]listed, error) {
	out, err := r.output(ctx, "", "ls-tree", "-z", "--full-tree", tree)
	if err != nil {
		return nil, err
	}
	level, err := parseListing(string(out), below)
	if err != nil {
		return nil, err
	}
	var all []listed
	for _, l := range level {
		if l.mode != modeTree {
			all = append(all, l)
			continue
		}
		inside, err := r.listEach(ctx, l.object, l.path+"/")
		var refusal *Refusal
		switch {
		case errors.As(err, &refusal):
			all = append(all, l)
		case err != nil:
			return nil, err
		default:
			all = append(all, inside...)
		}
	}
	return all, nil
}

// parseListing reads what git ls-tree -z prints of a folder.
func parseListing(text, below string) ([]listed, error) {
	all := make([]listed, 0, strings.Count(text, "\x00"))
	for text != "" {
		var line string
		line, text, _ = strings.Cut(text, "\x00")
		about, path, found := strings.Cut(line, "\t")
		mode, rest, _ := strings.Cut(about, " ")
		_, object, _ := strings.Cut(rest, " ")
		if !found || object == "" {
			return nil, fmt.Errorf("git ls-tree printed %q, expected mode, type, object and path", line)
		}
		all = append(all, listed{mode, object, below + path})
	}
	return all, nil
}
