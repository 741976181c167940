package history

import (
	"context"
	"errors"
	"fmt"
	"math/bits"
	"strings"
)

// removal is a path that a commit removed.
type removal struct {
	commit int32
	path   string
}

// joint is a merge of a side that holds a removal with one that does not.
type joint struct {
	merge int32
	path  string
}

// broughtBack finds the files that one side of a merge had removed and that the
// merge has all the same. Only merges where a removal meets a side without it are
// asked about, and only about that path.
func (w *walk) broughtBack(ctx context.Context, r *Repository) error {
	joints := w.joints(w.removals())
	if len(joints) == 0 {
		return nil
	}
	var ask strings.Builder
	for _, j := range joints {
		fmt.Fprintf(&ask, "%s:%s\n", w.log.Commits[j.merge].ID, j.path)
		for _, p := range w.graph.parents[j.merge] {
			fmt.Fprintf(&ask, "%s:%s\n", w.log.Commits[p].ID, j.path)
		}
	}
	out, err := r.output(ctx, ask.String(), "cat-file", "--batch-check=%(objectname) %(objecttype)", "--buffer")
	if err != nil {
		return err
	}
	answers := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	next := func() (string, error) {
		if len(answers) == 0 {
			return "", errors.New("git cat-file answered less than it was asked")
		}
		object, found := strings.CutSuffix(answers[0], " blob")
		answers = answers[1:]
		if !found {
			object = ""
		}
		return object, nil
	}
	for _, j := range joints {
		id := w.log.Commits[j.merge].ID
		now, err := next()
		if err != nil {
			return err
		}
		for _, p := range w.graph.parents[j.merge] {
			old, err := next()
			if err != nil {
				return err
			}
			if now != "" && old == "" {
				w.sides[id] = append(w.sides[id], side{w.log.Commits[p].ID, raw{path: j.path, status: "A", old: []string{""}, now: now, modes: []string{"000000", "100644"}}})
			}
		}
	}
	return nil
}

// removals lists what commits removed, merges among them. A path that another
// took the place of by a rename is none; a path with a line end cannot be asked
// about.
func (w *walk) removals() []removal {
	var out []removal
	add := func(i int, c *raw) {
		if c.now == "" && !strings.Contains(c.path, "\n") {
			out = append(out, removal{int32(i), c.path})
		}
	}
	for i, changes := range w.changes {
		moved := map[string]bool{}
		for _, m := range w.moved[int32(i)] {
			moved[m.from] = true
		}
		for k := range changes {
			if !moved[changes[k].path] {
				add(i, &changes[k])
			}
		}
		list := w.sides[w.log.Commits[i].ID]
		for k := range list {
			add(i, &list[k].raw)
		}
	}
	return out
}

// joints lists the merges where a removal meets a side without it.
func (w *walk) joints(removals []removal) []joint {
	const atOnce = 64 // removals are followed, a bit each
	seen := map[joint]bool{}
	var out []joint
	holds := make([]uint64, len(w.log.Commits))
	for from := 0; from < len(removals); from += atOnce {
		clear(holds)
		some := removals[from:min(from+atOnce, len(removals))]
		for bit, r := range some {
			holds[r.commit] |= 1 << bit
		}
		for i := len(holds) - 1; i >= 0; i-- {
			one, all := uint64(0), ^uint64(0)
			for _, p := range w.graph.parents[i] {
				one, all = one|holds[p], all&holds[p]
			}
			for met := one &^ all; met != 0; met &= met - 1 {
				if j := (joint{int32(i), some[bits.TrailingZeros64(met)].path}); !seen[j] {
					seen[j] = true
					out = append(out, j)
				}
			}
			holds[i] |= one
		}
	}
	return out
}
