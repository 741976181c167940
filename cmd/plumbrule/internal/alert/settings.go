package alert

import (
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/quantity"
)

// Target is one reader: a channel as a whole, or one person through it.
type Target struct {
	Channel string
	Person  string // initials; empty: the channel as a whole
}

// String names the target: "mail" or "mail:mk".
func (t Target) String() string {
	if t.Person == "" {
		return t.Channel
	}
	return t.Channel + ":" + t.Person
}

// MarshalText writes the target by its name.
func (t Target) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads the name of a target. No channel has a colon in its name.
func (t *Target) UnmarshalText(text []byte) error {
	t.Channel, t.Person, _ = strings.Cut(string(text), ":")
	return nil
}

// RepeatTime is how often an alertmanager is told of everything that stands,
// whether it is acknowledged or not: it forgets what is not repeated.
const RepeatTime = time.Minute

// Route says who is told of which findings.
type Route struct {
	Devices, Kinds, Places, Reasons []string // patterns, see [records.Fits]; empty: all
	Severity                        string   // at least; empty: any
	Hours                           []quantity.Hours
	To                              []Target
	Group                           time.Duration // how long what arrives is gathered
	Remind                          time.Duration // 0: never
	AnyHour                         bool          // quiet and working hours do not count
	Repeat                          bool          // everything that stands is repeated every [RepeatTime]
	EscalateAfter                   time.Duration // 0: never
	EscalateTo                      []Target
}

// Settings say who is told of what, and when.
type Settings struct {
	Zone    *time.Location // nil: UTC
	Calm    time.Duration
	Quiet   []quantity.Hours
	Urgent  string                      // severity from which quiet and working hours do not count; empty: none
	Working map[string][]quantity.Hours // of persons, by initials; none: always
	Routes  []Route
}

// SettingsOf takes the settings from a site. Without a site, which is one whose
// settings cannot be read, everything goes to the log.
func SettingsOf(site *records.Site) Settings {
	if site == nil {
		return Settings{Calm: (&records.SiteWatch{}).CalmTime()}
	}
	out := Settings{
		Zone: site.Zone, Calm: site.Watch.CalmTime(), Quiet: site.Watch.Quiet, Urgent: site.Watch.Urgent, Working: map[string][]quantity.Hours{},
	}
	for i := range site.Persons {
		out.Working[site.Persons[i].Initials] = site.Persons[i].Working
	}
	for i := range site.Routes {
		r := &site.Routes[i]
		route := Route{
			Devices: r.Devices, Kinds: r.Kinds, Places: r.Places, Reasons: r.Reasons, Severity: r.Severity, Hours: r.Hours,
			To: targets(r.Channel, r.Persons), Group: r.Group.Time(), Remind: r.RemindTime(&site.Watch), AnyHour: r.AnyHour,
		}
		if c := site.Channel(r.Channel); c != nil {
			route.Repeat = c.Kind == records.AlertmanagerChannel
			route.AnyHour = route.AnyHour || route.Repeat || c.Kind == records.LogChannel
		}
		if e := &r.Escalate; !e.After.IsZero() {
			channel := e.Channel
			if channel == "" {
				channel = r.Channel
			}
			route.EscalateAfter, route.EscalateTo = e.After.Time(), targets(channel, e.To)
		}
		out.Routes = append(out.Routes, route)
	}
	return out
}

func targets(channel string, persons []string) []Target {
	if len(persons) == 0 {
		return []Target{{Channel: channel}}
	}
	out := make([]Target, len(persons))
	for i, p := range persons {
		out[i] = Target{channel, p}
	}
	return out
}

// aim is one target of a finding, and the route by which it is.
type aim struct {
	target Target
	route  *Route
}

// aims lists whom a finding concerns. What no route takes goes to the log; a
// fault of the watcher that none takes goes to everybody who is told of anything.
// That a channel fails is not told through this channel.
func (s *Settings) aims(f *Finding) []aim {
	var out []aim
	add := func(r *Route) {
		for _, t := range r.To {
			if f.Code != channelFailing || f.About != t.Channel {
				out = append(out, aim{t, r})
			}
		}
	}
	for i := range s.Routes {
		if r := &s.Routes[i]; r.takes(f) {
			add(r)
		}
	}
	if len(out) == 0 && f.Severity == Fault {
		for i := range s.Routes {
			add(&s.Routes[i])
		}
	}
	if len(out) == 0 {
		add(&Route{To: []Target{{Channel: records.LogChannel}}, AnyHour: true})
	}
	return out
}

func (r *Route) takes(f *Finding) bool {
	return fits(r.Devices, f.Subject) && fits(r.Kinds, f.Kind) && fits(r.Places, f.Place) && fits(r.Reasons, f.Code) &&
		(r.Severity == "" || Rank(f.Severity) >= Rank(r.Severity))
}

func fits(patterns []string, name string) bool {
	return len(patterns) == 0 || slices.ContainsFunc(patterns, func(p string) bool {
		return records.Fits(p, name)
	})
}

// known tells whether anything can be told to a target still.
func (s *Settings) known(t Target) bool {
	for i := range s.Routes {
		if slices.Contains(s.Routes[i].To, t) || slices.Contains(s.Routes[i].EscalateTo, t) {
			return true
		}
	}
	return t == Target{Channel: records.LogChannel}
}
