package records

import (
	"fmt"
	"net/netip"
	"slices"
	"strings"

	"plumbrule/records/spelling"
)

// checkWatch checks the settings of the watcher against each other and against
// the records.
func (c *checker) checkWatch(s *Site) {
	w := settingsChecker{checker: c, site: s}
	w.page()
	for i := range s.Persons {
		same := func(p Person) bool { return p.Initials == s.Persons[i].Initials }
		w.once("person", i, "initials", s.Persons[i].Initials, slices.IndexFunc(s.Persons[:i], same))
	}
	for i := range s.Channels {
		same := func(o Channel) bool { return o.Name == s.Channels[i].Name }
		w.once("channel", i, "name", s.Channels[i].Name, slices.IndexFunc(s.Channels[:i], same))
		w.channel(i)
	}
	for i := range s.Routes {
		w.route(i)
	}
	for i := range s.Drops {
		w.drop(i)
	}
	if s.Watch.Heartbeat != "" {
		w.knownChannel(s.Watch.Heartbeat, in("watch", "heartbeat"))
	} else if !s.Watch.Every.IsZero() {
		c.fault("missing-key", s.File, in("watch", "heartbeat-every"), "it is said how often a sign of life is given, and not where", "add heartbeat with the name of a channel")
	}
	if s.Watch.Push && !s.Watch.Commit {
		c.fault("missing-key", s.File, in("watch", "push"), "checks taken in are pushed, but not committed", "add commit = true, or delete push")
	}
}

// settingsChecker checks the settings of one site.
type settingsChecker struct {
	*checker
	site *Site
}

// once reports a name that stands in an earlier table as well, if there is one.
func (w *settingsChecker) once(table string, i int, key, name string, earlier int) {
	if earlier >= 0 {
		w.fault("duplicate-name", w.site.File, row(table, i).at(key), fmt.Sprintf("a second %s is called %q", table, name), "",
			w.place(w.site.File, row(table, earlier).at(key), "the first one"))
	}
}

// page checks that a page others can reach lets nobody in by itself.
func (w *settingsChecker) page() {
	p := &w.site.Page
	w.either("page", 0, "token-env", p.TokenEnv, "token-file", p.TokenFile)
	if (p.Certificate == "") != (p.Key == "") {
		given, missing := "certificate", "key"
		if p.Certificate == "" {
			given, missing = missing, given
		}
		w.fault("missing-key", w.site.File, in("page", given), fmt.Sprintf("the page has a %s and no %s", given, missing), "add "+missing)
	}
	if p.Clients != "" && p.Certificate == "" && p.Key == "" {
		w.fault("missing-key", w.site.File, in("page", "clients"), "readers must show a certificate, and the page has none of its own", "add certificate and key")
	}
	if p.Listen == "" || p.Listen == NoPage {
		return
	}
	if a, ok := listenAddress(p.Listen); ok && !a.Addr().IsLoopback() && p.TokenEnv == "" && p.TokenFile == "" && p.Clients == "" {
		w.fault("unsafe-setting", w.site.File, in("page", "listen"), fmt.Sprintf("the page is served on %s, where others can reach it, and lets everybody in", p.Listen),
			"add token-env, token-file or clients, or serve it on 127.0.0.1")
	}
}

// either reports two keys of which only one can hold.
func (w *settingsChecker) either(table string, number int, one, a, other, b string) {
	if a != "" && b != "" {
		w.fault("unknown-key", w.site.File, spot{table: table, row: number, key: other, name: true}, fmt.Sprintf("%s and %s are both given", one, other), "keep one of the two")
	}
}

// knownChannel returns the channel of that name, nil when there is none
// (reported). The log is there without being written.
func (w *settingsChecker) knownChannel(name string, at spot) *Channel {
	c := w.site.Channel(name)
	if c == nil {
		var names []string
		for i := range w.site.Channels {
			names = append(names, w.site.Channels[i].Name)
		}
		names = append(names, LogChannel)
		mend := "its names are " + listWords(names) + "; add [[channel]] with this name"
		if near := spelling.Nearest(name, names); near != "" {
			mend = fmt.Sprintf("did you mean %q?", near)
		}
		w.fault("unknown-channel", w.site.File, at, fmt.Sprintf("there is no channel %q", name), mend)
	}
	return c
}

// Channel returns the channel of that name, or nil. A channel of kind log with
// the name log is there unless another is written with that name.
func (s *Site) Channel(name string) *Channel {
	if i := slices.IndexFunc(s.Channels, func(c Channel) bool { return c.Name == name }); i >= 0 {
		return &s.Channels[i]
	}
	if name == LogChannel {
		return &Channel{Name: LogChannel, Kind: LogChannel}
	}
	return nil
}

// Person returns the person with these initials, or nil.
func (s *Site) Person(initials string) *Person {
	if i := slices.IndexFunc(s.Persons, func(p Person) bool { return p.Initials == initials }); i >= 0 {
		return &s.Persons[i]
	}
	return nil
}

// loopback reports whether a server is this machine.
func loopback(server string) bool {
	a, err := netip.ParseAddr(server)
	return err == nil && a.IsLoopback() || strings.EqualFold(server, "localhost")
}

// effect reports a list of patterns none of which fits any of the names. One
// that is empty because it does not matter is no fault.
func (w *settingsChecker) effect(list []string, names []string, what string, at spot) {
	for i, pattern := range list {
		if slices.ContainsFunc(names, func(name string) bool { return Fits(pattern, name) }) {
			continue
		}
		mend := ""
		if near := spelling.Nearest(pattern, names); near != "" && !strings.ContainsAny(pattern, `*?[\`) {
			mend = fmt.Sprintf("did you mean %q?", near)
		}
		w.fault("setting-without-effect", w.site.File, at.value(i), fmt.Sprintf("no %s fits %q", what, pattern), mend)
	}
}
