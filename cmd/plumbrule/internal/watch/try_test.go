package watch_test

import (
	"context"
	"io/fs"
	"os"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// trier tries a record with each look at the inbox.
type trier struct {
	ask   func(watch.Try)
	ended chan struct{}
}

func (d *trier) Look(_ *records.Set, try watch.Try) watch.Taking {
	d.ask(try)
	d.ended <- struct{}{}
	return watch.Taking{}
}

// TestTry tries a record from the inbox while the watcher is at work.
func TestTry(t *testing.T) {
	shop := fstest.MapFS{}
	if err := fs.WalkDir(os.DirFS("../../testdata/shop"), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := os.ReadFile("../../testdata/shop/" + name)
		shop[name] = &fstest.MapFile{Data: text, Mode: 0o644}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	const name = "checks/scan-1/2026/2026-11-24T0900-bar-weekly.toml"
	shop[name] = &fstest.MapFile{Data: []byte("device = \"scan-9\"\n"), Mode: 0o644}
	var kept watch.Try
	clock := newManual("2026-11-25T08:00:00Z")
	d := &trier{ended: make(chan struct{}, 1000)}
	d.ask = func(try watch.Try) {
		kept = try
		at := clock.Now()
		told, ok := try(t.Context(), watch.Trial{Files: shop, Name: name, At: at})
		_, want := records.Load(shop, records.Options{At: at})
		if !ok || len(want) == 0 || !cmp.Equal(told, want) {
			t.Errorf("%v (-load +try): %s", ok, cmp.Diff(want, told))
		}
	}
	s := begin(t, func(s *scene) { s.drops, s.clock = d, clock })
	s.until(60, "the inbox was looked at", func() bool { return len(d.ended) > 0 })

	// At the end nobody answers any more, and nobody waits for an answer.
	s.end()
	if _, ok := kept(context.Background(), watch.Trial{Files: shop, Name: name}); ok {
		t.Error("a watcher that has ended answers")
	}
}
