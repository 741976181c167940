package history_test

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/records/history"
)

// Random pasts, with sides that part, merge each other and part again, are told as one "git show" per commit tells them; of
// merges, as the contents of each file tell them: in the merge bases that git names, in the two sides, and in the merge.
func TestAgainstShow(t *testing.T) {
	often(t, "30")
	rapid.Check(t, func(rt *rapid.T) {
		p := newPast(t)
		names := drawPast(rt, p)
		r := p.open()
		tip := names[len(names)-1]
		l := p.log(r, tip)
		got := map[string]bool{}
		for _, f := range l.Files {
			for i := range f.Changes {
				c := &f.Changes[i]
				if name := l.Commit(c).Author; !twoAnswers(p, name, c.Path) {
					got[fmt.Sprintf("%s %s %s", name, c.Kind, c.Path)] = true
				}
			}
		}
		want := map[string]bool{}
		for name := range strings.FieldsSeq(p.git("log", "--format=%an", tip)) {
			maps.Copy(want, shown(p, name))
		}
		if diff := cmp.Diff(want, got); diff != "" {
			rt.Fatalf("(-want +got)\n%s\n%s\nhave %v", diff, p.git("log", "-m", "--graph", "--format=%an", "--name-status", tip), slices.Sorted(maps.Keys(got)))
		}
		for path := range p.trees[tip] {
			if f := l.File(path); f == nil || f.Object == "" {
				rt.Fatalf("%s is there, and told as %+v", path, f)
			}
		}
		for _, f := range l.Files {
			if f.Object != "" && p.trees[tip][f.Path] == "" {
				rt.Fatalf("%s is told to be there", f.Path)
			}
		}
	})
}

// drawPast describes some ten commits over four files whose contents never look alike, so that nothing is a rename.
func drawPast(rt *rapid.T, p *past) []string {
	files := []string{"checks/a.toml", "checks/b.toml", "checks/c d.toml", "devices/ü.toml"}
	var names []string
	for i := range rapid.IntRange(1, 12).Draw(rt, "commits") {
		name := fmt.Sprintf("c%d", i)
		var parents []string
		if i > 0 {
			parents = []string{names[rapid.IntRange(max(0, i-3), i-1).Draw(rt, "parent")]}
			if second := names[rapid.IntRange(max(0, i-4), i-1).Draw(rt, "second")]; second != parents[0] && rapid.Bool().Draw(rt, "merge") {
				parents = append(parents, second)
			}
		}
		if i > 0 && len(p.parents[names[i-1]]) == 2 && rapid.Bool().Draw(rt, "cross") { // the other site merges the same two
			parents = slices.Clone(p.parents[names[i-1]])
			slices.Reverse(parents)
		}
		if i > 1 && len(p.parents[names[i-1]]) == 2 && len(p.parents[names[i-2]]) == 2 && rapid.Bool().Draw(rt, "again") {
			parents = []string{names[i-1], names[i-2]}
		}
		changes := tree{}
		for _, file := range files {
			pick := rapid.IntRange(0, 7).Draw(rt, file)
			switch {
			case pick == 0:
				changes[file] = strings.Repeat(fmt.Sprintf("%s %d\n", file, i), 3)
			case pick == 1 && i%3 == 0:
				changes[file] = ""
			case pick < 6 && len(parents) == 2: // taken from the second side
				changes[file] = p.trees[parents[1]][file]
			}
		}
		p.commit(name, parents, changes)
		names = append(names, name)
	}
	return names
}

// shown lists what a commit did, by git show where it has one parent.
func shown(p *past, name string) map[string]bool {
	out := map[string]bool{}
	if parents := p.parents[name]; len(parents) == 2 {
		return threeWay(p, name, parents)
	}
	words := map[string]history.Kind{"A": history.Added, "M": history.Changed, "D": history.Removed}
	fields := strings.Split(strings.Trim(p.git("show", "-z", "--format=", "--name-status", "--no-renames", p.hashes[name]), "\x00\n"), "\x00")
	for i := 0; i+1 < len(fields); i += 2 {
		out[fmt.Sprintf("%s %s %s", name, words[fields[i]], fields[i+1])] = true
	}
	return out
}

// bases are the merge bases of a commit that git names, as trees: none of an ordinary commit, several where the sides have parted
// more than once.
func bases(p *past, name string) []tree {
	parents := p.parents[name]
	if len(parents) != 2 {
		return nil
	}
	out, err := p.command(context.Background(), "merge-base", "--all", p.hashes[parents[0]], p.hashes[parents[1]]).Output()
	if err != nil {
		return nil // the sides have nothing in common
	}
	var trees []tree
	for hash := range strings.FieldsSeq(string(out)) {
		for n, h := range p.hashes {
			if h == hash {
				trees = append(trees, p.trees[n])
			}
		}
	}
	return trees
}

// twoAnswers tells whether the merge bases of a commit do not agree about a file: then it has more than one answer what a side did
// to it, and what is told of it there is left to the stories.
func twoAnswers(p *past, name, path string) bool {
	return slices.ContainsFunc(bases(p, name), func(b tree) bool { return b[path] != bases(p, name)[0][path] })
}

// threeWay lists what a merge did by itself or threw away.
func threeWay(p *past, name string, parents []string) map[string]bool {
	out := map[string]bool{}
	left, right, merge, base := p.trees[parents[0]], p.trees[parents[1]], p.trees[name], tree{}
	if all := bases(p, name); len(all) > 0 {
		base = all[0]
	}
	paths := map[string]bool{}
	for _, side := range []tree{left, right, merge, base} {
		for path := range side {
			paths[path] = true
		}
	}
	for _, path := range slices.Sorted(maps.Keys(paths)) {
		b, l, r, m := base[path], left[path], right[path], merge[path]
		switch {
		case twoAnswers(p, name, path):
			continue
		case l == r && m == l, l == b && m == r, r == b && m == l: // what three contents leave no choice about
			continue
		}
		before, kind := l, history.Changed
		if l == m || l == "" && r != m {
			before = r
		}
		switch {
		case before == "":
			kind = history.Added
		case m == "":
			kind = history.Removed
		}
		out[fmt.Sprintf("%s %s %s", name, kind, path)] = true
	}
	return out
}
