package main

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/cmd/plumbrule/internal/alert/message"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/watch"
	"plumbrule/records"
)

// once looks once, tells, and prints what stands.
func (s *station) once(ctx context.Context) error {
	outlets := s.outlets()
	w, err := s.watcher(outlets)
	if err != nil {
		return err
	}
	defer w.Close() //nolint:errcheck // what matters was written, or is an alert
	w.Drops = s.drops(ctx)
	summary := w.Once(ctx)
	if err := s.printed(summary.Outcome); err != nil {
		return err
	}
	for _, r := range summary.Failed {
		fmt.Fprintf(s.env.Stderr, "plumbrule: not delivered to %s: %s\n", r.Delivery.Target, show.Text(r.Err.Error()))
	}
	if len(summary.Failed) > 0 {
		return &failure{status: statusAttention, what: counted(len(summary.Failed), "message") + " could not be delivered", mend: "look at the channels with \"plumbrule watch --check\"; the next look tries again"}
	}
	stands := false
	if summary.Outcome != nil {
		for i := range summary.Outcome.Alerts {
			stands = stands || summary.Outcome.Alerts[i].State() != alert.Cleared
		}
	}
	return attention(*s.flags.strict, stands)
}

// printed lists what stands after a single look.
func (s *station) printed(o *watch.Outcome) error {
	if o == nil {
		return unreadable("the look was ended before it was complete", "", nil)
	}
	b := &notebook{root: s.repository.Root, state: s.state, site: o.Set.Site, at: o.At}
	return s.env.print(s.format, b.chosen(o.Alerts, false).answer())
}

// dryRun does all that watch does on a copy of what was told, and prints instead of sending.
func (s *station) dryRun(ctx context.Context) error {
	copied, err := os.MkdirTemp("", "plumbrule-dry-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(copied) //nolint:errcheck // a temporary folder
	if err := copyFiles(s.state, copied); err != nil {
		return unreadable("the state directory cannot be read: "+plainCause(err), "mend its permissions", err)
	}
	s.state = copied
	printer := &printer{to: s.env, results: make(chan dispatch.Result, 1024)}
	w, err := s.watcher(printer)
	if err != nil {
		return err
	}
	defer w.Close() //nolint:errcheck // a copy
	if !*s.flags.once {
		w.Run(ctx)
		return printer.err
	}
	w.Clock = &leaping{now: s.clock.Now()}
	w.Once(ctx)
	if printer.count == 0 && printer.err == nil {
		_, printer.err = fmt.Fprintln(s.env.Stdout, "Nothing would be sent.")
	}
	return printer.err
}

// copyFiles copies the files of a folder, if it is there.
func copyFiles(from, to string) error {
	list, err := os.ReadDir(from)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	for _, entry := range list {
		if !entry.Type().IsRegular() || entry.Name() == "lock" {
			continue
		}
		text, err := os.ReadFile(filepath.Join(from, entry.Name()))
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(to, entry.Name()), text, fs.FileMode(0o600)); err != nil {
			return err
		}
	}
	return nil
}

// leaping is a clock that waits for nothing: time goes on at once.
type leaping struct{ now time.Time }

func (c *leaping) Now() time.Time { return c.now }

func (c *leaping) After(d time.Duration) <-chan time.Time {
	c.now = c.now.Add(d)
	out := make(chan time.Time, 1)
	out <- c.now
	return out
}

// printer prints what would be sent.
type printer struct {
	to      env
	site    *records.Site
	results chan dispatch.Result
	count   int
	err     error
}

// Configure remembers the site.
func (p *printer) Configure(site *records.Site) []alert.Finding {
	p.site = site
	return nil
}

// Send prints.
func (p *printer) Send(deliveries []alert.Delivery) {
	for _, d := range deliveries {
		name, zone := "", time.UTC
		if p.site != nil {
			name, zone = p.site.Name, p.site.Zone
		}
		content := message.Compose(d, name, zone)
		p.count++
		_, err := fmt.Fprintf(p.to.Stdout, "To %s (%s): %s\n\n%s\n", show.Text(d.Target.String()), d.Kind, show.Text(content.Subject), content.Text)
		if p.err == nil {
			p.err = err
		}
		p.results <- dispatch.Result{Delivery: d}
	}
}

// Beat does nothing.
func (p *printer) Beat(_, _ time.Time) {}

// Results tells that all was printed.
func (p *printer) Results() <-chan dispatch.Result { return p.results }

// Close does nothing.
func (p *printer) Close() {}
