package records

import (
	"strings"

	"pgregory.net/rapid"

	"plumbrule/records/quantity"
)

// watch draws settings of the watcher, each usable by itself.
func (d drawer) watch(s *Site) {
	s.Watch = SiteWatch{
		Settle: d.maybeElapsed(), Rescan: d.maybeElapsed(), Calm: d.maybeElapsed(), Remind: d.maybeElapsed(), Every: d.maybeElapsed(),
		Quiet: several(d, 0, d.hours), Urgent: d.maybeWord(Severities()), Heartbeat: d.maybeText(), Commit: d.maybe(), Push: d.maybe(),
	}
	s.Inbox.Stable = d.maybeElapsed()
	s.Page = SitePage{
		Listen:   d.maybeWord([]string{NoPage, "localhost:1", "127.0.0.1:8340", "[::1]:8340", "0.0.0.0:65535"}),
		TokenEnv: d.maybeVariable(), TokenFile: d.maybeOutside(), Certificate: d.maybeOutside(), Key: d.maybeOutside(), Clients: d.maybeOutside(),
	}
	s.Drops = several(d, 0, d.drop)
	s.Persons = several(d, 0, func() Person { return Person{Initials: d.id(), Mail: d.maybeMail(), Working: several(d, 0, d.hours)} })
	s.Channels = several(d, 0, d.channel)
	s.Routes = several(d, 0, func() Route {
		return Route{
			Devices: several(d, 0, d.pattern), Kinds: several(d, 0, d.pattern), Places: several(d, 0, d.pattern), Reasons: several(d, 0, d.pattern),
			Severity: d.maybeWord(Severities()), Hours: several(d, 0, d.hours), Channel: d.text(), Persons: several(d, 0, d.text),
			Group: d.maybeElapsed(), Remind: d.maybeElapsed(), AnyHour: d.maybe(),
			Escalate: Escalation{After: d.maybeElapsed(), To: several(d, 0, d.text), Channel: d.maybeText()},
		}
	})
}

func (d drawer) channel() Channel {
	c := Channel{
		Name: d.id(), Kind: rapid.SampledFrom(ChannelKinds()).Draw(d.T, "kind"), Format: d.maybeWord([]string{"text", "json"}),
		Server: d.maybeWord([]string{"mail.works.example", "localhost", "192.0.2.7", "::1"}), Port: rapid.IntRange(0, 65535).Draw(d.T, "port"),
		Security: d.maybeWord([]string{StartTLS, TLS, NoSecurity}), User: d.maybeText(), PasswordEnv: d.maybeVariable(), PasswordFile: d.maybeOutside(),
		From: d.maybeMail(), URL: d.maybeWord([]string{"https://hooks.works.example/x?y=1", "http://127.0.0.1:9093"}),
		SecretEnv: d.maybeVariable(), SecretFile: d.maybeOutside(), Command: several(d, 0, d.text), Timeout: d.maybeElapsed(),
		Hello: d.maybeWord([]string{"watch.works.example"}), CAFile: d.maybeOutside(), Unencrypted: d.maybe(),
	}
	if d.maybe() {
		c.To = []string{"a@works.example", "b.c+d@works.example"}
	}
	return c
}

func (d drawer) drop() Drop {
	drop := Drop{
		Name: rapid.SampledFrom([]string{"*.ply", "{device}+bar-*.ply", "{by} {artifact} {device}.e57", "ölbar?.xyz", `a[b]"*`}).Draw(d.T, "name"),
		Unit: d.maybeWord(units()), Procedure: d.id(), By: d.maybeText(), Compensated: d.maybe(),
	}
	if d.maybe() {
		drop.Device, drop.Artifact = d.id(), d.id()
		drop.Conditions = Conditions{Stated: true, ArtifactTemperature: parsed(d, quantity.ParseTemperature, -40, 70, "%v °C"), DullingSpray: parsed(d, quantity.ParseLength, 1, 900, "%v µm")}
	}
	seen := map[string]bool{}
	for range rapid.IntRange(0, 3).Draw(d.T, "paths") {
		if p := (FeaturePath{Feature: d.text(), Path: d.length()}); !seen[p.Feature] {
			seen[p.Feature] = true
			drop.Paths = append(drop.Paths, p)
		}
	}
	return drop
}

func (d drawer) maybeElapsed() quantity.Duration {
	if !d.maybe() {
		return quantity.Duration{}
	}
	return parsed(d, func(s string) (quantity.Duration, error) {
		figure, unit, _ := strings.Cut(s, " ")
		figure, _, _ = strings.Cut(figure, ".")
		return quantity.ParseDuration(figure + " " + unit)
	}, 1, 300, "%v ms", "%v s", "%v min", "%v h", "%v days")
}

func (d drawer) hours() quantity.Hours {
	texts := []string{"22:00-06:00", "monday-friday 07:00-16:00", "saturday", "sunday-tuesday", "monday-sunday", "friday 16:30-24:00"}
	h, err := quantity.ParseHours(rapid.SampledFrom(texts).Draw(d.T, "hours"))
	if err != nil {
		d.Fatal(err)
	}
	return h
}

func (d drawer) pattern() string {
	return rapid.SampledFrom([]string{"scan-*", "*", "a?", "[ab]c", `\[x`, "hand gauge", "µ*"}).Draw(d.T, "pattern")
}

func (d drawer) maybeWord(list []string) string {
	return rapid.SampledFrom(append([]string{""}, list...)).Draw(d.T, "word")
}

func (d drawer) maybeVariable() string { return d.maybeWord([]string{"A", "_x", "PLUMBRULE_TOKEN_2"}) }
func (d drawer) maybeMail() string     { return d.maybeWord([]string{"mk@works.example"}) }
func (d drawer) maybeOutside() string  { return d.maybeWord([]string{"/etc/a b", `C:\secrets\x`}) }
