package records

import (
	"testing"
	"time"
)

func TestIndexKnowsWhatWasWritten(t *testing.T) {
	l := newLiving(goodFiles(t))
	x := OpenIndex(l, Options{}, l.now)
	begun := l.clock
	later := begun.Add(10 * time.Minute)
	if x.Written(begun, later) || !x.Written(begun.Add(-time.Second), later) {
		t.Error("the records were written when the repository was made")
	}
	for _, name := range []string{checkFile, SiteFile} {
		l.clock = l.clock.Add(time.Minute)
		l.write(name, l.MapFS[name].Data, 0o644)
		before := l.clock.Add(-time.Second)
		if x.Written(before, later) {
			t.Errorf("%s was not looked at yet", name)
		}
		if _, err := x.Update(name); err != nil {
			t.Fatal(err)
		}
		if !x.Written(before, later) || !x.Written(before, l.clock) || x.Written(before, before) {
			t.Errorf("%s was written at %s", name, l.clock)
		}
	}
	l.write("notes/readme.txt", []byte("x"), 0o644)
	l.clock = l.clock.Add(time.Minute)
	l.write("notes/readme.txt", []byte("y"), 0o644)
	x.Rescan()
	if x.Written(l.clock.Add(-time.Second), later) {
		t.Error("what is no record counts")
	}
}
