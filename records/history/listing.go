package history

import (
	"context"
	"fmt"
	"strings"
)

// listed is one line of git ls-tree -r -z.
type listed struct {
	mode, object, path string
}

// list lists all that lies below a tree: a commit, or one with a folder after a
// colon.
func (r *Repository) list(ctx context.Context, tree string) ([]listed, error) {
	out, err := r.output(ctx, "", "ls-tree", "-r", "-z", "--full-tree", tree)
	if err != nil {
		return nil, err
	}
	text := string(out)
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
		all = append(all, listed{mode, object, path})
	}
	return all, nil
}

// lasting lists, beside whatever else goes on, the objects by path that a commit
// holds. The function it returns waits for them.
func (r *Repository) lasting(ctx context.Context, tip *Commit) func() (map[string]string, error) {
	var out map[string]string
	var err error
	done := make(chan struct{})
	go func() {
		defer close(done)
		var all []listed
		all, err = r.list(ctx, tip.ID)
		out = make(map[string]string, len(all))
		for _, e := range all {
			if strings.HasPrefix(e.path, r.Folder) {
				out[e.path] = e.object
			}
		}
	}()
	return func() (map[string]string, error) {
		<-done
		return out, err
	}
}
