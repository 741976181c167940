package records

import (
	"testing"

	"pgregory.net/rapid"
)

// TestIndexOvertaken changes a repository while it is being read. What the index
// then holds may be neither the old nor the new; once it has heard of the change
// it must be the new.
func TestIndexOvertaken(t *testing.T) {
	good, examples := goodFiles(t), pieces(t)
	overtaken := 0
	rapid.Check(t, func(t *rapid.T) {
		l := newLiving(good)
		c := changes{t, l, good, examples}
		options := Options{Attachments: rapid.Bool().Draw(t, "attachments")}
		change := func() {
			l.clock = l.clock.Add(passing(t))
			for range rapid.IntRange(1, 2).Draw(t, "at once") {
				c.change()
			}
		}
		var x *Index
		for range rapid.IntRange(1, 6).Draw(t, "changes") {
			change()
			heard := l.named
			l.named = map[string]bool{}
			l.putOff(rapid.IntRange(0, 60).Draw(t, "looks"), change)
			heardLater := l.named
			if l.named = heard; x == nil {
				x = OpenIndex(eitherWay(t, l), options, l.now)
			} else {
				c.follow(t, x)
			}
			if l.next == nil {
				overtaken++
			}
			l.become()
			l.named = heardLater
			c.follow(t, x)
			compared(t, x, l, options)
		}
	})
	if overtaken < 100 {
		t.Errorf("only %d changes came while files were read", overtaken)
	}
}
