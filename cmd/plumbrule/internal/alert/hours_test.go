package alert

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

func zone(tb testing.TB, name string) *time.Location {
	tb.Helper()
	z, err := calendar.Zone(name)
	if err != nil {
		tb.Fatal(err)
	}
	return z
}

func hours(tb interface {
	Helper()
	Fatal(...any)
}, texts ...string,
) []quantity.Hours {
	tb.Helper()
	var out []quantity.Hours
	for _, text := range texts {
		h, err := quantity.ParseHours(text)
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, h)
	}
	return out
}

// The clock in Berlin is put forward on 2026-03-29 at 02:00 and back on
// 2026-10-25 at 03:00 (IANA database, EU rules).
func TestWindowThroughClockChanges(t *testing.T) {
	berlin := zone(t, "Europe/Berlin")
	for _, c := range []struct {
		name, at, want string
		in, out        []string
	}{
		{name: "open now", at: "2026-10-05T08:00:00+02:00", in: []string{"monday-friday 07:00-16:00"}, want: "2026-10-05T08:00:00+02:00"},
		{name: "the end is not in it", at: "2026-10-05T16:00:00+02:00", in: []string{"monday-friday 07:00-16:00"}, want: "2026-10-06T07:00:00+02:00"},
		{name: "over the weekend", at: "2026-10-09T16:00:00+02:00", in: []string{"monday-friday 07:00-16:00"}, want: "2026-10-12T07:00:00+02:00"},
		{name: "quiet night", at: "2026-10-05T23:30:00+02:00", out: []string{"22:00-06:00"}, want: "2026-10-06T06:00:00+02:00"},
		{name: "quiet after midnight", at: "2026-10-06T05:59:59+02:00", out: []string{"22:00-06:00"}, want: "2026-10-06T06:00:00+02:00"},
		{name: "a night that belongs to Friday", at: "2026-10-10T02:00:00+02:00", out: []string{"friday 22:00-06:00"}, want: "2026-10-10T06:00:00+02:00"},
		{name: "the next night does not", at: "2026-10-11T02:00:00+02:00", out: []string{"friday 22:00-06:00"}, want: "2026-10-11T02:00:00+02:00"},
		{name: "put forward: six hours later is seven by the wall", at: "2026-03-28T23:00:00+01:00", out: []string{"22:00-06:00"}, want: "2026-03-29T06:00:00+02:00"},
		{name: "put forward over the beginning", at: "2026-03-29T01:30:00+01:00", in: []string{"02:30-04:00"}, want: "2026-03-29T03:00:00+02:00"},
		{name: "put forward over all of it", at: "2026-03-29T01:30:00+01:00", in: []string{"02:15-02:45"}, want: "2026-03-30T02:15:00+02:00"},
		{name: "put back: eight hours of night", at: "2026-10-24T23:00:00+02:00", out: []string{"22:00-06:00"}, want: "2026-10-25T06:00:00+01:00"},
		{name: "an hour that comes twice, first", at: "2026-10-25T01:00:00+02:00", in: []string{"02:30-02:45"}, want: "2026-10-25T02:30:00+02:00"},
		{name: "an hour that comes twice, again", at: "2026-10-25T02:50:00+02:00", in: []string{"02:30-02:45"}, want: "2026-10-25T02:30:00+01:00"},
		{name: "put back into it", at: "2026-10-25T02:59:00+02:00", in: []string{"02:00-02:10"}, want: "2026-10-25T02:00:00+01:00"},
		{name: "never open holds nothing back", at: "2026-10-05T08:00:00+02:00", in: []string{"07:00-16:00"}, out: []string{"monday-sunday"}, want: "2026-10-05T08:00:00+02:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := window{zone: berlin, out: hours(t, c.out...)}
			if c.in != nil {
				w.in = append(w.in, hours(t, c.in...))
			}
			at, _ := time.Parse(time.RFC3339, c.at)
			want, _ := time.Parse(time.RFC3339, c.want)
			if got := w.next(at); !got.Equal(want) {
				t.Errorf("%s, want %s", got.In(berlin).Format(time.RFC3339), c.want)
			}
		})
	}
}

// The answer is that of looking at every minute: the window is open there, and at
// no minute before. Lord Howe Island puts its clock back by half an hour, Samoa
// left out a day in 2011.
func TestWindowAgainstEveryMinute(t *testing.T) {
	type place struct {
		zone *time.Location
		near time.Time
	}
	var places []place
	for _, p := range []struct{ name, near string }{
		{"Europe/Berlin", "2026-10-25T00:00:00Z"},
		{"Europe/Berlin", "2026-03-29T00:00:00Z"},
		{"Australia/Lord_Howe", "2026-04-04T15:00:00Z"},
		{"Pacific/Apia", "2011-12-30T10:00:00Z"},
		{"Asia/Kolkata", "2026-01-01T00:00:00Z"},
	} {
		near, _ := time.Parse(time.RFC3339, p.near)
		places = append(places, place{zone(t, p.name), near})
	}
	texts := []string{"22:00-06:00", "monday-friday 07:00-16:00", "saturday-sunday", "02:00-02:31", "friday 23:45-00:10", "01:59-03:01", "sunday 02:30-24:00"}
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(places).Draw(t, "place")
		w := window{zone: p.zone}
		some := func(label string, most int) []quantity.Hours {
			return hours(t, rapid.SliceOfN(rapid.SampledFrom(texts), 1, most).Draw(t, label)...)
		}
		if rapid.Bool().Draw(t, "in") {
			w.in = append(w.in, some("in", 3))
		}
		if rapid.Bool().Draw(t, "out") {
			w.out = some("out", 2)
		}
		at := p.near.Add(time.Duration(rapid.IntRange(-5000, 3000).Draw(t, "minutes")) * time.Minute)
		want := at
		for limit := at.Add(8 * 24 * time.Hour); !w.open(want); want = want.Add(time.Minute) {
			if want.After(limit) {
				want = at
				break
			}
		}
		if got := w.next(at); !got.Equal(want) {
			t.Fatalf("from %s: %s, want %s", at.In(p.zone), got.In(p.zone), want.In(p.zone))
		}
	})
}

// What is urgent, and routes and channels for any hour, know no hours; a route's
// own hours always hold.
func TestWindowOf(t *testing.T) {
	s := Settings{
		Zone: time.UTC, Quiet: hours(t, "22:00-06:00"), Urgent: Unfit,
		Working: map[string][]quantity.Hours{"mk": hours(t, "monday-friday 07:00-16:00")},
	}
	night, _ := time.Parse(time.RFC3339, "2026-10-05T23:00:00Z")
	evening, _ := time.Parse(time.RFC3339, "2026-10-05T18:00:00Z")
	day := &Route{Hours: hours(t, "06:00-14:00")}
	for _, c := range []struct {
		name     string
		target   Target
		route    *Route
		severity string
		at       time.Time
		want     bool
	}{
		{"quiet", Target{Channel: "mail"}, &Route{}, Limited, night, false},
		{"urgent", Target{Channel: "mail"}, &Route{}, Unfit, night, true},
		{"graver than urgent", Target{Channel: "mail"}, &Route{}, Fault, night, true},
		{"at any hour", Target{Channel: "mail"}, &Route{AnyHour: true}, Fit, night, true},
		{"not at work", Target{"mail", "mk"}, &Route{}, Limited, evening, false},
		{"urgent, not at work", Target{"mail", "mk"}, &Route{}, Unfit, evening, true},
		{"no working hours", Target{"mail", "ab"}, &Route{}, Limited, evening, true},
		{"urgent, the route sleeps", Target{"mail", "ab"}, day, Unfit, evening, false},
		{"without route", Target{"mail", "mk"}, nil, Limited, evening, false},
	} {
		w := s.window(c.target, c.route, c.severity)
		if got := w.open(c.at); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
