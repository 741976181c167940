package main

import (
	"context"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// station is one watcher with all that surrounds it.
type station struct {
	env        env
	flags      *watchFlags
	format     format
	repository *repository.Repository
	log        *slog.Logger
	clock      wallClock
	state      string
	lock       *watch.Held // nil where nothing is written
}

// outlets are the channels of the settings.
func (s *station) outlets() *dispatch.Dispatcher {
	return dispatch.New(channel.Surroundings{Clock: s.clock, Lookup: s.env.LookupEnv, Log: s.log.Handler(), Lines: s.env.Stderr})
}

// watcher is a watcher that has formed its first answers.
func (s *station) watcher(outlets watch.Outlets) (*watch.Watcher, error) {
	service, alive := s.env.service()
	w := &watch.Watcher{
		Root: s.repository.Root, FS: s.repository.FS(), State: s.state, Clock: s.clock, Log: s.log, Outlets: outlets, Service: service, Alive: alive, Lock: s.lock,
	}
	if err := w.Open(); err != nil {
		return nil, unreadable("what was told before cannot be read: "+plainCause(err), "mend the permissions of "+s.state+", or give another folder with --state", err)
	}
	return w, nil
}

// check sends a test message through every channel, and says what came of it.
func (s *station) check() error {
	site, diagnostics := records.ReadSite(s.repository.FS())
	if site == nil {
		s.env.complain(diagnostics)
		return unreadable("the settings cannot be read", "mend "+records.SiteFile, nil)
	}
	outlets := s.outlets()
	defer outlets.Close()
	outlets.Configure(site)
	t := table.Table{Columns: []table.Column{{Title: "to"}, {Title: "kind"}, {Title: "result", Wrap: true}}}
	out := checkedJSON{Channels: []checkedChannelJSON{}}
	failed := 0
	for _, c := range outlets.Check(s.clock.Now()) {
		row := checkedChannelJSON{To: c.Target.String(), Kind: c.Kind, Delivered: c.Err == nil}
		result := table.Word("delivered", table.Good)
		if c.Err != nil {
			failed++
			row.Error = c.Err.Error()
			result = table.Word(row.Error, table.Bad)
		}
		out.Channels = append(out.Channels, row)
		t.Add(table.Text(row.To), table.Text(row.Kind), result)
	}
	if err := s.env.print(s.format, answer{JSON: out, CSV: t, Table: t}); err != nil {
		return err
	}
	return attention(true, failed > 0)
}

// checkedJSON is what watch --check prints as JSON: an interface, to which fields are only added.
type checkedJSON struct {
	Channels []checkedChannelJSON `json:"channels"`
}

type checkedChannelJSON struct {
	To        string `json:"to"` // the channel, or the channel and who is told through it
	Kind      string `json:"kind"`
	Delivered bool   `json:"delivered"`
	Error     string `json:"error"` // empty if it was delivered
}

// follow watches until it is asked to end.
func (s *station) follow(ctx context.Context) error {
	w, err := s.watcher(s.outlets())
	if err != nil {
		return err
	}
	defer w.Close() //nolint:errcheck // what matters was written, or is an alert
	w.Drops = s.drops(ctx)
	w.Reload = hangups(ctx)
	p, err := s.page(ctx, w)
	if err != nil {
		return err
	}
	s.log.Info("watching", "records", s.repository.Root, "state", s.state, "page", p)
	var rest sync.WaitGroup
	rest.Go(func() { giveBack(ctx) })
	w.Run(ctx)
	rest.Wait()
	s.log.Info("ended")
	return nil
}

// giveBack returns to the system what only the first reading of the records needed, once the first answers are given; of itself
// the runtime would keep it for minutes.
func giveBack(ctx context.Context) {
	select {
	case <-time.After(10 * time.Second):
		debug.FreeOSMemory()
	case <-ctx.Done():
	}
}
