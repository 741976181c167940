package dispatch

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// Checked is what came of a test message.
type Checked struct {
	Target alert.Target
	Kind   string // of the channel
	Err    error
}

// Check sends a test message to every target of the settings, and to each channel
// that nobody is told by, all at once, and waits for the answers. They are sorted by
// target. The channels' own time limits bound it.
func (d *Dispatcher) Check(at time.Time) []Checked {
	d.mu.Lock()
	site := d.site
	d.mu.Unlock()
	var out []Checked
	for _, t := range targets(site) {
		out = append(out, Checked{Target: t, Kind: site.Channel(t.Channel).Kind})
	}
	var waiting sync.WaitGroup
	for i := range out {
		c := &out[i]
		l, _, ok := d.begin(c.Target.Channel)
		if !ok {
			c.Err = errStops
			continue
		}
		waiting.Go(func() {
			defer d.sending.Done()
			c.Err = d.send(l, c.Target.Channel, func() (channel.Message, error) { return test(site, c, at) })
		})
	}
	waiting.Wait()
	return out
}

// test is the test message to a target.
func test(site *records.Site, c *Checked, at time.Time) (channel.Message, error) {
	m := channel.TestMessage(site.Name, at)
	m.ID += "-" + c.Target.String()
	m.Person = c.Target.Person
	if c.Kind == records.MailChannel && m.Person != "" {
		to, err := address(site, m.Person)
		if err != nil {
			return m, err
		}
		m.To = []string{to}
	}
	return m, nil
}

// targets lists who can be told anything by the settings.
func targets(site *records.Site) []alert.Target {
	var out []alert.Target
	for _, r := range alert.SettingsOf(site).Routes {
		out = append(append(out, r.To...), r.EscalateTo...)
	}
	named := map[string]bool{}
	for _, t := range out {
		named[t.Channel] = true
	}
	if !named[records.LogChannel] {
		out = append(out, alert.Target{Channel: records.LogChannel})
	}
	for i := range site.Channels {
		if name := site.Channels[i].Name; !named[name] && name != records.LogChannel {
			out = append(out, alert.Target{Channel: name})
		}
	}
	out = slices.DeleteFunc(out, func(t alert.Target) bool { return site.Channel(t.Channel) == nil })
	slices.SortFunc(out, func(a, b alert.Target) int {
		return cmp.Or(cmp.Compare(a.Channel, b.Channel), cmp.Compare(a.Person, b.Person))
	})
	return slices.Compact(out)
}
