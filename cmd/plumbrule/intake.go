package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"plumbrule/cmd/plumbrule/internal/inbox"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// intake makes checks of what is dropped into the inbox of a repository.
type intake struct {
	env  env
	repo *repository.Repository
	box  *inbox.Inbox

	mu    sync.Mutex // guards what use sets
	set   *records.Set
	known knownScans

	try     watch.Try // of a record before it is written; nil: all records are loaded for it
	written []string  // records written since use was called
}

// intake opens the inbox of a repository. state is the folder for what is under way; nothing is read before use was called
// with the records and look is.
func (e env) intake(repo *repository.Repository, state string) *intake {
	e.Dir, e.Interactive, e.Terminal = repo.Root, false, terminal{}
	i := &intake{env: e, repo: repo, known: knownScans{}}
	i.box = inbox.New(inbox.Settings{Root: repo.Root, State: state, Clock: dayClock(e.Now), Take: i.take, Known: i.recorded, Wrote: i.wrote})
	return i
}

// use hands over the records as they are now, and with them the site's settings.
func (i *intake) use(set *records.Set) {
	i.mu.Lock()
	i.set, i.written = set, nil
	i.mu.Unlock()
	if set.Site == nil {
		return
	}
	i.box.Set(func(s *inbox.Settings) {
		s.Stable, s.Drops, s.Zone = set.Site.Inbox.StableTime(), set.Site.Drops, set.Site.Zone
	})
}

// look takes in what lies in the inbox, as far as it is complete. Without a site whose zone can be read nothing is taken in.
func (i *intake) look(ctx context.Context) (inbox.Report, error) {
	if set := i.records(); set == nil || set.Site == nil || set.Site.Zone == nil {
		return inbox.Report{}, unreadable("the site's settings cannot be read, and nothing is taken in from the inbox", "mend "+records.SiteFile+" first", nil)
	}
	return i.box.Look(ctx)
}

// wrote takes note of a record that was written.
func (i *intake) wrote(record string) {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.written = append(i.written, record)
}

func (i *intake) records() *records.Set {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.set
}

// recorded returns the check that names a file by its SHA-256.
func (i *intake) recorded(digest string) (string, bool) {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.known.find(i.set, digest)
}

// take makes the record of a check, and decides where its scans go.
func (i *intake) take(ctx context.Context, d inbox.Drop) (inbox.Made, error) {
	set := i.records()
	r := &recording{env: &i.env, repo: i.repo, set: set, now: i.env.Now().In(set.Site.Zone).Truncate(time.Second), ask: &asker{}}
	if archive := set.Site.Scans.Archive; archive != "" && !isFolder(archive) {
		return inbox.Made{}, fmt.Errorf("the archive %s, where the site keeps scans, cannot be reached", archive)
	}
	c, err := r.dropped(ctx, &d)
	if err != nil {
		return inbox.Made{}, refusal(err)
	}
	text, err := records.Encode(c)
	if err != nil {
		return inbox.Made{}, err
	}
	made := inbox.Made{Record: records.CheckPath(c, set.Site.Zone), Text: text, Device: c.Device}
	for k := range c.Scans {
		if c.Scans[k].SHA256 != d.Files[k].SHA256 {
			return inbox.Made{}, fmt.Errorf("%s has changed while it was read", d.Files[k].Name)
		}
		made.To = append(made.To, placeOfScan(&set.Site.Scans, c.Scans[k].File))
	}
	name := records.NextFree(made.Record, i.repo.Exists)
	made.Remarks, err = objections(name, i.told(ctx, name, text, r.now))
	return made, err
}

// told is what is to be told of the records with one more.
func (i *intake) told(ctx context.Context, name string, text []byte, at time.Time) []records.Diagnostic {
	with := repository.With(i.repo.FS(), name, text)
	if i.try != nil {
		i.mu.Lock()
		written := slices.Clone(i.written)
		i.mu.Unlock()
		if list, ok := i.try(ctx, watch.Trial{Files: with, Name: name, At: at, Written: written}); ok {
			return list
		}
	}
	_, list := records.Load(with, records.Options{At: at})
	return list
}

// placeOfScan is where a file goes that a record names: a path inside the repository, or one below the archive.
func placeOfScan(scans *records.SiteScans, file string) string {
	if scans.Archive == "" {
		return file
	}
	return filepath.Join(scans.Archive, filepath.FromSlash(file))
}

// objections looks for what is told of a record among the others. An error refuses it; warnings are returned.
func objections(name string, list []records.Diagnostic) (remarks []string, err error) {
	refusal := &inbox.Refusal{Mend: "mend the sidecar, or the records it contradicts"}
	for _, d := range list {
		if d.File != name && !slices.ContainsFunc(d.Related, func(p records.Place) bool { return p.File == name }) {
			continue
		}
		if d.Severity != records.Error {
			remarks = append(remarks, d.Message)
			continue
		}
		if refusal.What == "" {
			refusal.What = "the record it makes would be wrong: " + d.Message
			refusal.Mend = firstOf(d.Mend, refusal.Mend)
		}
		refusal.Findings = append(refusal.Findings, d.String())
	}
	if refusal.What != "" {
		return nil, refusal
	}
	return remarks, nil
}

// refusal tells what is wrong with a drop from what is wrong with the machine. What a verb would say to somebody at the
// command line is said of the drop.
func refusal(err error) error {
	var done *inbox.Refusal
	var said *failure
	switch {
	case errors.As(err, &done), temporary(err), !errors.As(err, &said):
		return err
	}
	plain := strings.NewReplacer("--unit ", "unit ", "--scan: ", "", "--reading: ", "", "--path: ", "", "--time: ", "the time in the name of the file: ", "--dulling-spray", "dulling-spray", inbox.Folder+"/", "")
	return &inbox.Refusal{What: plain.Replace(said.what), Mend: plain.Replace(said.mend)}
}

// temporary reports whether an error comes from the system, and may go away by itself.
func temporary(err error) bool {
	_, system := errors.AsType[syscall.Errno](err)
	return system || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}

// dayClock is the program's clock for the inbox.
type dayClock func() time.Time

// Now returns the time.
func (c dayClock) Now() time.Time { return c() }
