package records

import (
	"fmt"
	"io/fs"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestIndexIsLoad changes a repository at random and compares the index after
// each change with a load of the same files.
func TestIndexIsLoad(t *testing.T) {
	good, examples := goodFiles(t), pieces(t)
	rapid.Check(t, func(t *rapid.T) {
		l := newLiving(good)
		c := changes{t, l, good, examples}
		options := Options{At: evaluated, Attachments: rapid.Bool().Draw(t, "attachments"), CrossCheck: rapid.IntRange(0, 9).Draw(t, "cross-check") == 0}
		for range rapid.IntRange(0, 3).Draw(t, "before") {
			c.change()
		}
		clear(l.named)
		x := OpenIndex(eitherWay(t, l), options, l.now)
		var kept []snapshot
		kept = append(kept, compared(t, x, l, options))
		for range rapid.IntRange(1, 12).Draw(t, "changes") {
			l.clock = l.clock.Add(passing(t))
			for range rapid.IntRange(1, 3).Draw(t, "at once") {
				c.change()
			}
			before, _ := x.Set()
			change := c.follow(t, x)
			kept = append(kept, compared(t, x, l, options))
			after, _ := x.Set()
			if d := Difference(before, after); !slices.Equal(d.Subjects, change.Subjects) || d.Site != change.Site {
				t.Fatalf("%+v, and the sets differ in %+v", change, d)
			}
			unchangedElsewhere(t, change, kept[len(kept)-2].want, kept[len(kept)-1].want)
		}
		for i, s := range kept {
			if !reflect.DeepEqual(s.given, s.want) {
				t.Fatalf("set %d was changed after it was given", i)
			}
		}
	})
}

type snapshot struct{ given, want *Set }

func compared(t *rapid.T, x *Index, files fs.FS, options Options) snapshot {
	t.Helper()
	got, told := x.Set()
	want, wanted := Load(files, options)
	if !reflect.DeepEqual(told, wanted) {
		t.Fatalf("diagnostics (-load +index):\n%s", cmp.Diff(strings.Split(printed(wanted), "\n"), strings.Split(printed(told), "\n")))
	}
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("sets differ (-load +index):\n%s", cmp.Diff(contents(want), contents(got)))
	}
	return snapshot{got, want}
}

// contents writes which records a set has, in their order.
func contents(s *Set) []string {
	var out []string
	lists := func(kind string, n int, id string, file func(int) string) {
		for i := range n {
			out = append(out, fmt.Sprintf("%s %s %d %s", kind, id, i, file(i)))
		}
	}
	out = append(out, fmt.Sprintf("site %+v", s.Site))
	for _, id := range sortedKeys(s.Devices) {
		out = append(out, "device "+id+fmt.Sprintf("%+v", s.Devices[id]))
	}
	for _, id := range sortedKeys(s.Artifacts) {
		out = append(out, "artifact "+id+fmt.Sprintf("%+v", s.Artifacts[id]))
	}
	for _, id := range sortedKeys(s.Procedures) {
		out = append(out, "procedure "+id+fmt.Sprintf("%+v", s.Procedures[id]))
	}
	for _, id := range sortedKeys(s.Certificates) {
		lists("certificate", len(s.Certificates[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Certificates[id][i]) })
	}
	for _, id := range sortedKeys(s.Checks) {
		lists("check", len(s.Checks[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Checks[id][i]) })
	}
	for _, id := range sortedKeys(s.Events) {
		lists("event", len(s.Events[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Events[id][i]) })
	}
	lists("job", len(s.Jobs), "", func(i int) string { return fmt.Sprintf("%+v", s.Jobs[i]) })
	for _, id := range sortedKeys(s.Cases) {
		lists("case", len(s.Cases[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Cases[id][i]) })
	}
	return append(out, fmt.Sprintf("%d unreadable %+v", len(s.Unreadable), s.Unreadable))
}

// unchangedElsewhere fails when a change does not name a subject about which
// two loads differ.
func unchangedElsewhere(t *rapid.T, change Change, before, after *Set) {
	t.Helper()
	if !change.Site && !reflect.DeepEqual(before.Site, after.Site) {
		t.Fatal("another site, and the change does not say so")
	}
	of := func(s *Set, id string) []any {
		var u []Unreadable
		for _, x := range s.Unreadable {
			if x.Subject == id && x.Kind != "procedure" && x.Kind != "job" && x.Kind != "case" {
				u = append(u, x)
			}
		}
		return []any{s.Devices[id], s.Artifacts[id], s.Certificates[id], s.Checks[id], s.Events[id], u}
	}
	ids := map[string]bool{}
	for _, s := range []*Set{before, after} {
		for _, id := range s.DeviceIDs() {
			ids[id] = true
		}
		for id := range s.Artifacts {
			ids[id] = true
		}
		for id := range s.Events {
			ids[id] = true
		}
	}
	for id := range ids {
		if !slices.Contains(change.Subjects, id) && !reflect.DeepEqual(of(before, id), of(after, id)) {
			t.Fatalf("%s has changed, and %+v does not say so", id, change)
		}
	}
	for id := range before.Cases {
		if !slices.Contains(change.Cases, id) && !reflect.DeepEqual(before.Cases[id], after.Cases[id]) {
			t.Fatalf("case %s has changed, and %+v does not say so", id, change)
		}
	}
}
