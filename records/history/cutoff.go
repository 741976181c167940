package history

import (
	"context"
	"strings"
)

// cutOff finds the commits at which a shallow clone ends: git shows them without
// parents, and their objects name some.
func (w *walk) cutOff(ctx context.Context, r *Repository) error {
	if !r.Shallow {
		return nil
	}
	first := map[string]*Commit{}
	var ask strings.Builder
	for i := range w.log.Commits {
		if c := &w.log.Commits[i]; len(c.Parents) == 0 {
			first[c.ID] = c
			ask.WriteString(c.ID + "\n")
		}
	}
	return r.heads(ctx, ask.String(), func(id, head string) { first[id].CutOff = strings.Contains(head, "\nparent ") })
}
