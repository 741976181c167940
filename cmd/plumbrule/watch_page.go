package main

import (
	"context"
	"runtime/debug"
	"slices"
	"sync"

	statuspage "plumbrule/cmd/plumbrule/internal/page"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// front serves the status page, by the settings in force.
type front struct {
	*station
	ctx     context.Context //nolint:containedctx // that of the verb: the doors end with it
	watcher *watch.Watcher
	server  *statuspage.Server // of the door that is open; nil: none is
	now     records.SitePage   // by which the door that is open was opened
	close   context.CancelFunc
	serving sync.WaitGroup
	address string
	renew   bool // the page is to be opened anew, since files it was opened by may have changed
}

// page opens the status page and lets the watcher show what it comes to on it.
func (s *station) page(ctx context.Context, w *watch.Watcher) (*front, error) {
	p := &front{station: s, ctx: ctx, watcher: w, close: func() {}}
	if err := p.open(p.wanted(w.Site())); err != nil {
		return nil, unreadable(err.Error(), "or serve no page with --listen none", err)
	}
	w.Show = p.show
	w.Report = func(h *watch.Health) {
		if p.server != nil {
			p.server.Report(healthOf(h))
		}
	}
	w.Renew = func() { p.renew = true }
	return p, nil
}

// wanted is where the page is to be served.
func (p *front) wanted(site *records.Site) records.SitePage {
	var out records.SitePage
	if site != nil {
		out = site.Page
	}
	if *p.flags.listen != "" {
		out.Listen = *p.flags.listen
	}
	return out
}

// show shows an outcome, at another address or by other rules if the settings now say so.
func (p *front) show(o *watch.Outcome) {
	if wanted := p.wanted(o.Set.Site); o.Set.Site != nil && (wanted != p.now || p.renew) {
		p.renew = false
		p.move(wanted)
	} else if o.Set.Site != nil && p.server != nil {
		p.watcher.Fault("page-failing", "page", "", "")
	}
	if p.server != nil {
		p.server.Show(p.view(o))
	}
}

// move serves the page as it is wanted now. Where that cannot be it goes on by the rules in force so far, and says so.
func (p *front) move(wanted records.SitePage) {
	before, err := p.now, p.open(wanted)
	if err == nil {
		p.watcher.Fault("page-failing", "page", "", "")
		return
	}
	held := "it is served by the former settings"
	if p.server == nil {
		if again := p.open(before); again != nil {
			held = "it is not served at all"
		}
	}
	p.now = before
	p.watcher.Fault("page-failing", "page", "the status page cannot be served as the settings say, and "+held+": "+err.Error(),
		"mend [page] in plumbrule.toml, or ask for another try with SIGHUP")
}

func (p *front) view(o *watch.Outcome) *statuspage.View {
	j := &judged{repository: p.repository, set: o.Set, diagnostics: o.Diagnostics, at: o.At, assessment: o.Assessment}
	return pageView(j, o.Alerts, healthOf(&o.Health))
}

func healthOf(h *watch.Health) statuspage.Health {
	return statuspage.Health{
		Started: h.Started, Evaluated: h.Evaluated, Evaluations: h.Evaluations, Records: h.Records,
		Waiting: len(h.Waiting), Taken: h.Taken, Refused: len(h.Refused), Blind: h.Blind, Trouble: slices.Clone(h.Troubles), Notes: slices.Clone(h.Notes),
	}
}

// open serves the page where it is wanted now, and nowhere else any more.
func (p *front) open(wanted records.SitePage) error {
	if wanted.Address() == "" {
		p.end()
		p.now, p.address, p.server = wanted, "none", nil
		return nil
	}
	if wanted.Address() == p.now.Address() {
		p.end() // the same address by other rules: it must be free first
		p.server = nil
	}
	door, err := statuspage.Open(p.ctx, &wanted, func(name string) string {
		value, _ := p.env.LookupEnv(name)
		return value
	})
	if err != nil {
		return err
	}
	server, err := p.newServer()
	if err != nil {
		_ = door.Close()
		return err
	}
	p.end()
	p.server = server
	ctx, cancel := context.WithCancel(p.ctx)
	p.now, p.close, p.address = wanted, cancel, door.Address()
	if remark := door.Remark(); remark != "" {
		p.log.Warn(remark)
	}
	p.serving.Go(func() {
		if err := door.Serve(ctx, server, p.log); err != nil {
			p.log.Error("the status page has ended", "error", err)
		}
	})
	return nil
}

// newServer is a server for one door: it ends with it.
func (p *front) newServer() (*statuspage.Server, error) {
	info, _ := debug.ReadBuildInfo()
	rescan := (&records.SiteWatch{}).RescanTime()
	if site := p.watcher.Site(); site != nil {
		rescan = site.Watch.RescanTime()
	}
	// The answers are formed anew with every look through everything: three missed ones mean that the watcher stands still.
	return statuspage.New(statuspage.Settings{Clock: p.clock, Version: edition(info).Version, Patience: 3 * rescan, Turned: p.watcher.Turned})
}

// end closes the door that is open, and waits until it is.
func (p *front) end() {
	p.close()
	p.serving.Wait()
	p.close = func() {}
}

// String is where the page is.
func (p *front) String() string { return p.address }
