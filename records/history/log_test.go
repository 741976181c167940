package history_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records/history"
)

// lines is a record long enough that git sees a changed one as the same file.
func lines(changed string) string {
	return "device = \"scan-1\"\nprocedure = \"bar-weekly\"\nby = \"mk\"\nunit = \"mm\"\n" + strings.Repeat("values = [1.0]\n", 10) + changed + "\n"
}

// Each story is a past and what is to be told of one file. What is to come out was thought out from the definition of a
// three-way merge: what one side did and the other did not is taken over; anything else is the merge's own doing.
func TestStories(t *testing.T) {
	const a, b = "checks/a.toml", "checks/b.toml"
	for _, c := range []struct {
		name string
		tell func(p *past)
		file string
		want []string
	}{
		{"added and left alone", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("two", []string{"one"}, tree{b: "2"})
		}, a, []string{"one added"}},
		{"changed", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("two", []string{"one"}, tree{a: "2"})
		}, a, []string{"one added", "two changed"}},
		{"removed and added again", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("two", []string{"one"}, tree{a: "", b: "3"})
			p.commit("three", []string{"two"}, tree{a: "9"})
			p.commit("four", []string{"three"}, tree{a: ""})
		}, a, []string{"one added", "two removed", "three added", "four removed", "gone"}},
		{"renamed as it is", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("two", []string{"one"}, tree{a: "", b: lines("1")})
		}, b, []string{"one added", "two renamed from " + a}},
		{"renamed and amended", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("two", []string{"one"}, tree{a: "", b: lines("2")})
			p.commit("three", []string{"two"}, tree{b: lines("3")})
		}, b, []string{"one added", "two renamed from " + a, "three changed"}},
		{"a new file at the path that a rename left", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("two", []string{"one"}, tree{a: "", b: lines("1")})
			p.commit("three", []string{"two"}, tree{a: "another"})
		}, a, []string{"three added"}},
		{"a merge of what one side added", func(p *past) {
			p.commit("one", nil, tree{b: "0"})
			p.commit("left", []string{"one"}, tree{a: "1"})
			p.commit("right", []string{"one"}, tree{"checks/c.toml": "2"})
			p.commit("merge", []string{"left", "right"}, tree{"checks/c.toml": "2"})
		}, a, []string{"left added"}},
		{"a merge of what one side changed", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{a: "2"})
			p.commit("merge", []string{"left", "right"}, tree{a: "2"})
		}, a, []string{"one added", "right changed"}},
		{"a merge of what one side removed", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{a: ""})
			p.commit("merge", []string{"left", "right"}, tree{a: ""})
		}, a, []string{"one added", "right removed", "gone"}},
		{"a merge that drops what one side added", func(p *past) {
			p.commit("one", nil, tree{b: "0"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{a: "1"})
			p.commit("merge", []string{"left", "right"}, nil)
		}, a, []string{"right added", "merge removed, discarded", "gone"}},
		{"a merge that drops it from the first side", func(p *past) {
			p.commit("one", nil, tree{b: "0"})
			p.commit("left", []string{"one"}, tree{a: "1"})
			p.commit("right", []string{"one"}, tree{b: "1"})
			p.commit("merge", []string{"left", "right"}, tree{a: "", b: "1"})
		}, a, []string{"left added", "merge removed, discarded", "gone"}},
		{"dropped, and brought back by the next merge of the same branch", func(p *past) {
			p.commit("one", nil, tree{b: "0"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{a: "1"})
			p.commit("merge", []string{"left", "right"}, nil)
			p.commit("again", []string{"merge"}, tree{a: "1"})
		}, a, []string{"right added", "merge removed, discarded", "again added"}},
		{"a merge that brings back what one side removed", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{a: ""})
			p.commit("merge", []string{"left", "right"}, nil)
		}, a, []string{"one added", "right removed", "merge added, discarded"}},
		{"added on one side, added and removed again on the other", func(p *past) {
			p.commit("one", nil, tree{b: "1"})
			p.commit("left", []string{"one"}, tree{a: "1"})
			p.commit("right", []string{"one"}, tree{a: "2"})
			p.commit("undone", []string{"right"}, tree{a: ""})
			p.commit("merge", []string{"left", "undone"}, nil)
		}, a, []string{"left added", "right added", "undone removed"}},
		{"a merge that undoes what one side changed", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{a: "2"})
			p.commit("merge", []string{"left", "right"}, nil)
		}, a, []string{"one added", "right changed", "merge changed, discarded"}},
		{"a merge that changes by itself", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{"checks/c.toml": "2"})
			p.commit("merge", []string{"left", "right"}, tree{a: "9", "checks/c.toml": "2"})
		}, a, []string{"one added", "merge changed, itself"}},
		{"a merge that changes what one side added", func(p *past) {
			p.commit("one", nil, tree{b: "1"})
			p.commit("left", []string{"one"}, tree{b: "2"})
			p.commit("right", []string{"one"}, tree{a: "2"})
			p.commit("merge", []string{"left", "right"}, tree{a: "9"})
		}, a, []string{"right added", "merge changed, itself"}},
		{"a merge that removes by itself", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{b: "1"})
			p.commit("right", []string{"one"}, tree{"checks/c.toml": "2"})
			p.commit("merge", []string{"left", "right"}, tree{a: "", "checks/c.toml": "2"})
		}, a, []string{"one added", "merge removed, itself", "gone"}},
		{"a merge that adds by itself", func(p *past) {
			p.commit("one", nil, tree{b: "1"})
			p.commit("left", []string{"one"}, tree{b: "2"})
			p.commit("right", []string{"one"}, tree{"checks/c.toml": "2"})
			p.commit("merge", []string{"left", "right"}, tree{a: "9", "checks/c.toml": "2"})
		}, a, []string{"merge added, itself"}},
		{"both sides changed it, and the merge has both", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{a: "2"})
			p.commit("right", []string{"one"}, tree{a: "3"})
			p.commit("merge", []string{"left", "right"}, tree{a: "2 3"})
		}, a, []string{"one added", "left changed", "right changed", "merge changed, both"}},
		{"both sides changed it, and the merge took one", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{a: "2"})
			p.commit("right", []string{"one"}, tree{a: "3"})
			p.commit("merge", []string{"left", "right"}, tree{a: "3"})
		}, a, []string{"one added", "left changed", "right changed", "merge changed, chosen"}},
		{"both sides changed it alike", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{a: "2"})
			p.commit("right", []string{"one"}, tree{a: "2", b: "1"})
			p.commit("merge", []string{"left", "right"}, tree{b: "1"})
		}, a, []string{"one added", "left changed", "right changed"}},
		{"one side changed it and undid that, the other changed it", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("left", []string{"one"}, tree{a: "2"})
			p.commit("right", []string{"one"}, tree{a: "3"})
			p.commit("undone", []string{"right"}, tree{a: "1"})
			p.commit("merge", []string{"undone", "left"}, tree{a: "2"})
		}, a, []string{"one added", "left changed", "right changed", "undone changed"}},
		{"two sites added it alike", func(p *past) {
			p.commit("one", nil, tree{b: "1"})
			p.commit("left", []string{"one"}, tree{a: "2"})
			p.commit("right", []string{"one"}, tree{a: "2"})
			p.commit("merge", []string{"left", "right"}, nil)
		}, a, []string{"left added", "right added"}},
		{"two sites added something else, and one was taken", func(p *past) {
			p.commit("one", nil, tree{b: "1"})
			p.commit("left", []string{"one"}, tree{a: "2"})
			p.commit("right", []string{"one"}, tree{a: "3"})
			p.commit("merge", []string{"left", "right"}, nil)
		}, a, []string{"left added", "right added", "merge changed, chosen"}},
		{"renamed on one side, changed on the other", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("left", []string{"one"}, tree{a: "", b: lines("1")})
			p.commit("right", []string{"one"}, tree{a: lines("2")})
			p.commit("merge", []string{"left", "right"}, tree{b: lines("2")})
		}, b, []string{"one added", "left renamed from " + a, "right changed"}},
		{"renamed on one side, changed on the other, and the change lost", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("left", []string{"one"}, tree{a: "", b: lines("1")})
			p.commit("right", []string{"one"}, tree{a: lines("2")})
			p.commit("merge", []string{"left", "right"}, nil)
		}, b, []string{"one added", "left renamed from " + a, "right changed", "merge changed, discarded"}},
		{"renamed on one side, changed on the other, and neither kept", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("left", []string{"one"}, tree{a: "", b: lines("1")})
			p.commit("right", []string{"one"}, tree{a: lines("2")})
			p.commit("merge", []string{"left", "right"}, tree{b: ""})
		}, b, []string{"one added", "left renamed from " + a, "right changed", "merge removed, itself", "gone"}},
		{"renamed and removed on one side, changed on the other, and the removal taken", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("left", []string{"one"}, tree{a: "", b: lines("1")})
			p.commit("removed", []string{"left"}, tree{b: ""})
			p.commit("right", []string{"one"}, tree{a: lines("2")})
			p.commit("merge", []string{"removed", "right"}, nil)
		}, b, []string{"one added", "left renamed from " + a, "removed removed", "right changed", "merge removed, chosen", "gone"}},
		{"what a merge had taken away is brought back by the next", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("left", []string{"one"}, tree{a: "", b: lines("1")})
			p.commit("removed", []string{"left"}, tree{b: ""})
			p.commit("right", []string{"one"}, tree{a: lines("2")})
			p.commit("merge", []string{"removed", "right"}, nil)
			p.commit("further", []string{"right"}, tree{"checks/c.toml": "1"})
			p.commit("again", []string{"merge", "further"}, tree{a: lines("2"), "checks/c.toml": "1"})
		}, a, []string{"one added", "left renamed from " + a, "removed removed", "right changed", "merge removed, chosen", "again added, discarded"}},
		{"renamed and amended on one side, and the merge has both", func(p *past) {
			p.commit("one", nil, tree{a: lines("1")})
			p.commit("left", []string{"one"}, tree{a: "", b: lines("2")})
			p.commit("right", []string{"one"}, tree{"checks/c.toml": "1"})
			p.commit("merge", []string{"left", "right"}, tree{a: lines("1"), "checks/c.toml": "1"})
		}, b, []string{"one added", "left renamed from " + a, "merge added, discarded"}},
		{"sites that merge each other in turn", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("l1", []string{"one"}, tree{b: "1"})
			p.commit("r1", []string{"one"}, tree{a: "2"})
			p.commit("l2", []string{"l1", "r1"}, tree{a: "2"})
			p.commit("r2", []string{"r1", "l1"}, tree{b: "1"})
			p.commit("l3", []string{"l2"}, tree{a: "3"})
			p.commit("r3", []string{"r2", "l3"}, tree{a: "3"})
		}, a, []string{"one added", "r1 changed", "l3 changed"}},
		{"three sides at once, one of which is lost", func(p *past) {
			p.commit("one", nil, tree{b: "1"})
			p.commit("l", []string{"one"}, tree{"checks/l.toml": "1"})
			p.commit("m", []string{"one"}, tree{a: "1"})
			p.commit("r", []string{"one"}, tree{"checks/r.toml": "1"})
			p.commit("merge", []string{"l", "m", "r"}, tree{"checks/r.toml": "1"})
		}, a, []string{"m added", "merge removed, discarded", "gone"}},
		{"two first commits", func(p *past) {
			p.commit("one", nil, tree{a: "1"})
			p.commit("other", nil, tree{b: "1"})
			p.commit("merge", []string{"one", "other"}, tree{b: "1"})
		}, b, []string{"other added"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := newPast(t)
			c.tell(p)
			r := p.open()
			last := ""
			for name, n := range p.marks {
				if n == len(p.marks) {
					last = name
				}
			}
			if diff := cmp.Diff(c.want, told(p.log(r, last), c.file)); diff != "" {
				t.Errorf("(-want +got)\n%s\n%s", diff, p.git("log", "--graph", "--all", "--name-status"))
			}
		})
	}
}

func TestCommitsSayWhoAndWhen(t *testing.T) {
	p := newPast(t)
	p.commitAt("mk", nil, tree{"checks/a.toml": "1"}, 1_780_000_000)
	r := p.open()
	l := p.log(r, "mk")
	want := history.Commit{
		ID: p.hashes["mk"], Author: "mk", AuthorEmail: "mk@example.org", AuthorTime: at(1_780_000_000, 7200),
		Committer: "office", CommitTime: at(1_780_000_005, 3600), Subject: "mk",
	}
	if diff := cmp.Diff(want, *l.Commit(l.File("checks/a.toml").First()), cmp.Comparer(func(a, b []string) bool { return len(a) == len(b) })); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// The first line of a message may be longer than what is read at once.
func TestLongMessage(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": "1"})
	p.commit("two", []string{"one"}, tree{"checks/a.toml": "2"})
	p.open()
	long := strings.Repeat("ü", 400_000)
	p.write("message", long)
	id := strings.TrimSpace(p.git("-c", "user.name=three", "-c", "user.email=three@example.org", "commit-tree", "-p", "one", "-p", "two", "-F", p.dir+"/message", "two^{tree}"))
	l := p.log(p.reopen(), id)
	if diff := cmp.Diff([]string{"one added", "two changed"}, told(l, "checks/a.toml")); diff != "" {
		t.Error(diff)
	}
	if got := l.Commits[0].Subject; got != long {
		t.Errorf("the message has %d bytes, want %d", len(got), len(long))
	}
}
