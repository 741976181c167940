package inbox

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Under a stream of drops, with the program ended at any steps and its state lost
// now and then, every content that was dropped becomes one record with one
// archived original, and nothing dropped is lost.
func TestStreamOfDrops(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := newWorks(t)
		dropped := map[string]bool{} // contents
		lost := false
		alive := &dying{}
		w.disk = alive
		w.restart()
		for range rapid.IntRange(5, 30).Draw(r, "actions") {
			switch rapid.SampledFrom([]string{"drop", "drop", "look", "look", "end", "lose"}).Draw(r, "action") {
			case "drop":
				name, content := rapid.SampledFrom([]string{"a.ply", "b.ply", "c.ply"}).Draw(r, "name"), fmt.Sprintf("points %d", rapid.IntRange(1, 5).Draw(r, "content"))
				if w.isThere(name) {
					continue // it would be overwritten by the one who drops
				}
				w.drop(name, content)
				w.drop(name+".toml", said)
				dropped[content] = true
			case "look":
				_, _ = w.box.Look(context.Background())
				w.clock.at = w.clock.at.Add(time.Duration(rapid.IntRange(1, 40).Draw(r, "seconds")) * time.Second)
			case "end":
				alive = &dying{last: rapid.IntRange(1, 50).Draw(r, "step"), how: rapid.SampledFrom([]ending{undone, half, done}).Draw(r, "how")}
				w.disk = alive
				w.restart()
			case "lose":
				_ = os.RemoveAll(w.state)
				lost = true
			}
		}
		w.disk = &dying{}
		w.restart()
		w.quiet()
		w.nothingUnderWay()
		var texts []string
		for _, file := range w.list("checks") {
			texts = append(texts, w.read(file))
		}
		all, archived := strings.Join(texts, "\n"), map[string]int{}
		for _, file := range w.list("scans") {
			archived[w.read(file)]++
		}
		for content := range dropped {
			if n := strings.Count(all, digestOf([]byte(content))); n != 1 {
				r.Fatalf("%q has %d records", content, n)
			}
			// A copy that was archived before its record was written belongs to nobody once the state is lost and the
			// same scan comes under another name first.
			if n := archived[content]; n < 1 || n > 1 && !lost {
				r.Fatalf("%q lies %d times in the archive", content, archived[content])
			}
		}
		for _, file := range w.list(Folder) {
			if !strings.HasPrefix(file, Folder+"/"+refusedFolder+"/") {
				r.Fatalf("%s is left in the inbox", file)
			}
		}
		if t.Failed() {
			r.FailNow()
		}
	})
}

// isThere reports whether a drop or its sidecar lies in the inbox.
func (w *works) isThere(name string) bool {
	for _, n := range []string{name, name + sidecarEnding} {
		if _, err := os.Lstat(w.root + "/" + Folder + "/" + n); err == nil {
			return true
		}
	}
	return false
}
