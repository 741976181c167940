package history_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The commits that touched a file are those that "git log --follow" lists, in random pasts of additions, changes, renames and
// renames with an amendment, on a line of work and on branches that are merged without conflict. Contents are unlike each
// other, since git follows copies too.
func TestAgainstFollow(t *testing.T) {
	often(t, "20")
	rapid.Check(t, func(rt *rapid.T) {
		p := newPast(t)
		d := &drawing{T: rt, past: p}
		d.draw()
		r := p.open()
		l := p.log(r, d.tip)
		for path := range p.trees[d.tip] {
			want := strings.Fields(p.git("log", "--follow", "--format=%an", d.tip, "--", path))
			var got []string
			for _, c := range slices.Backward(l.File(path).Changes) {
				got = append(got, l.Commit(&c).Author)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				rt.Fatalf("%s (-want +got)\n%s\n%s", path, diff, p.git("log", "--graph", "--format=%an", "--name-status", d.tip))
			}
		}
	})
}

// drawing draws a past whose merges are clean: a branch touches only files of its own.
type drawing struct {
	*rapid.T
	past    *past
	tip     string
	commits int
	files   int
}

func (d *drawing) draw() {
	d.step("", "main")
	for range d.IntRange(1, 4, "rounds") {
		for range d.IntRange(0, 3, "steps") {
			d.tip = d.step(d.tip, "main")
		}
		if d.IntRange(0, 1, "branch") == 0 {
			continue
		}
		side := d.tip
		for range d.IntRange(1, 3, "steps aside") {
			side = d.step(side, "side")
		}
		d.tip = d.step(d.tip, "main")
		taken := tree{}
		for path, text := range d.past.trees[side] {
			if strings.HasPrefix(path, "side") {
				taken[path] = text
			}
		}
		for path := range d.past.trees[d.tip] {
			if _, there := taken[path]; strings.HasPrefix(path, "side") && !there {
				taken[path] = ""
			}
		}
		d.commits++
		name := fmt.Sprintf("m%d", d.commits)
		d.past.commit(name, []string{d.tip, side}, taken)
		d.tip = name
	}
}

func (d *drawing) IntRange(from, to int, label string) int {
	return rapid.IntRange(from, to).Draw(d.T, label)
}

// step makes one commit in a folder and returns its name.
func (d *drawing) step(parent, folder string) string {
	d.commits++
	name := fmt.Sprintf("c%d", d.commits)
	var own []string
	for path := range d.past.trees[parent] {
		if strings.HasPrefix(path, folder) {
			own = append(own, path)
		}
	}
	slices.Sort(own)
	changes := tree{}
	d.files++
	fresh := fmt.Sprintf("%s/%d.toml", folder, d.files)
	what := d.IntRange(0, 4, "what")
	if len(own) == 0 || what < 2 {
		changes[fresh] = d.text(d.files)
	} else {
		old := own[d.IntRange(0, len(own)-1, "which")]
		before := d.past.trees[parent][old]
		amended := before + fmt.Sprintf("amended = %d\n", d.commits)
		switch what {
		case 2:
			changes[old] = amended
		case 3:
			changes[old], changes[fresh] = "", before
		case 4:
			changes[old], changes[fresh] = "", amended
		}
	}
	var parents []string
	if parent != "" {
		parents = []string{parent}
	}
	d.past.commit(name, parents, changes)
	d.tip = name
	return name
}

// text is a content unlike that of every other number.
func (d *drawing) text(n int) string {
	var b strings.Builder
	for i := range 12 {
		fmt.Fprintf(&b, "%08x%08x = %d\n", (n+1)*7919*(i+3), (n+5)*104729*(i+1), n*i)
	}
	return b.String()
}
