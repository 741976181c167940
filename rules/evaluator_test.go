package rules_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// earlierBy puts the dates of all records so many years back: some clocks were
// changed a minute after midnight then, so that a day began twice.
func earlierBy(files fstest.MapFS, years int) fstest.MapFS {
	year := regexp.MustCompile(`\b20[234]\d-`)
	out := fstest.MapFS{}
	for name, f := range files {
		back := func(s string) string {
			n, _ := strconv.Atoi(s[:4])
			return strconv.Itoa(n-years) + "-"
		}
		folder := regexp.MustCompile(`/(20\d\d)/`).ReplaceAllStringFunc(name, func(s string) string { return "/" + strings.TrimSuffix(back(s[1:]), "-") + "/" })
		out[year.ReplaceAllStringFunc(folder, back)] = &fstest.MapFile{Data: []byte(year.ReplaceAllStringFunc(string(f.Data), back))}
	}
	return out
}

// course draws what becomes of a set of records and of the time.
type course struct {
	*rapid.T
	set  *records.Set
	pool []*records.Set // where other records come from
	at   time.Time
	next time.Time // as the evaluator last foretold
}

func zones(tb testing.TB) []*time.Location {
	tb.Helper()
	var out []*time.Location
	for _, name := range []string{"Europe/Berlin", "America/St_Johns", "America/Sao_Paulo", "Asia/Beirut", "Pacific/Apia", "Pacific/Kiritimati", "UTC"} {
		zone, err := calendar.Zone(name)
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, zone)
	}
	return out
}

// pass lets time pass: to where something may happen, or just before it.
func (c *course) pass() {
	zone := c.set.Site.Zone
	today := calendar.Of(c.at, zone)
	nudge := rapid.SampledFrom([]time.Duration{0, 0, -1, 1, time.Minute, -time.Hour}).Draw(c.T, "nudge")
	switch rapid.SampledFrom([]string{"next", "next", "next", "next", "midnight", "clock change", "while", "while", "back"}).Draw(c.T, "time") {
	case "next":
		if !c.next.IsZero() {
			c.at = c.next.Add(nudge)
		}
	case "midnight":
		c.at = today.AddDays(rapid.IntRange(1, 40).Draw(c.T, "days")).StartIn(zone).Add(nudge)
	case "clock change":
		if _, end := c.at.In(zone).ZoneBounds(); !end.IsZero() {
			c.at = end.Add(rapid.SampledFrom([]time.Duration{-time.Minute, -30 * time.Second, -1, 0, time.Minute, 30 * time.Minute, time.Hour}).Draw(c.T, "off"))
		}
	case "while":
		c.at = c.at.Add(time.Duration(math.Exp(rapid.Float64Range(0, math.Log(5e16)).Draw(c.T, "ln ns"))))
	case "back":
		c.at = c.at.Add(-time.Duration(math.Exp(rapid.Float64Range(0, math.Log(3e15)).Draw(c.T, "ln ns"))))
	}
}

// change makes another set, which shares with the one before what it leaves as
// it was, as those of an index do.
func (c *course) change() {
	next := *c.set
	from := rapid.SampledFrom(c.pool).Draw(c.T, "other")
	switch rapid.SampledFrom([]string{"checks", "checks", "certificates", "events", "events", "jobs", "cases", "cases", "unreadable", "device", "artifact", "procedure", "site"}).Draw(c.T, "change") {
	case "checks":
		next.Checks = changed(c.T, next.Checks, from.Checks, func(k *records.Check) time.Time { return k.Time })
	case "certificates":
		next.Certificates = changed(c.T, next.Certificates, from.Certificates, func(r *records.Certificate) time.Time { return r.Entered })
	case "events":
		next.Events = changed(c.T, next.Events, from.Events, func(e *records.Event) time.Time { return e.Time })
	case "jobs":
		lists := changed(c.T, map[string][]*records.Job{"": next.Jobs}, map[string][]*records.Job{"": from.Jobs}, func(j *records.Job) time.Time { return j.Entered })
		next.Jobs = lists[""]
	case "cases":
		// Few of the pool have any, and they are about the one device: a case taken over whole tells something.
		with := slices.DeleteFunc(slices.Clone(c.pool), func(s *records.Set) bool { return len(s.Cases) == 0 })
		from = rapid.SampledFrom(with).Draw(c.T, "with cases")
		if rapid.Bool().Draw(c.T, "whole") {
			next.Cases = from.Cases
			break
		}
		next.Cases = changed(c.T, next.Cases, from.Cases, func(s *records.CaseStep) time.Time { return s.Time })
	case "unreadable":
		if len(next.Unreadable) > 0 && rapid.Bool().Draw(c.T, "mended") {
			next.Unreadable = next.Unreadable[:0:0]
			break
		}
		next.Unreadable = append(slices.Clone(next.Unreadable), records.Unreadable{
			File:    "x.toml",
			Kind:    rapid.SampledFrom([]string{"device", "check", "certificate", "event", "artifact", "procedure", "job", "case"}).Draw(c.T, "kind"),
			Subject: rapid.SampledFrom([]string{"scan-02", "scan-10", "bar-3s", "bar-weekly", "scan-99", "2026-10-scan-02", ""}).Draw(c.T, "subject"), Message: "m",
		})
	case "device":
		next.Devices = another(c.T, next.Devices, from.Devices, "scan-11")
	case "artifact":
		next.Artifacts = another(c.T, next.Artifacts, from.Artifacts, "bar-4")
	case "procedure":
		next.Procedures = another(c.T, next.Procedures, from.Procedures, "bar-monthly")
	case "site":
		site := *rapid.SampledFrom([]*records.Site{from.Site, next.Site}).Draw(c.T, "site")
		site.Zone = next.Site.Zone
		next.Site = &site
		if rapid.IntRange(0, 3).Draw(c.T, "no site") == 0 {
			next.Site = nil
		}
	}
	c.set = &next
}

// changed takes one record out of a list, or puts one of another set in.
func changed[R any](t *rapid.T, lists, from map[string][]R, when func(R) time.Time) map[string][]R {
	lists = maps.Clone(lists)
	if lists == nil {
		lists = map[string][]R{}
	}
	ids := slices.Sorted(maps.Keys(lists))
	if len(ids) > 0 && rapid.Bool().Draw(t, "without one") {
		id := rapid.SampledFrom(ids).Draw(t, "of")
		if n := len(lists[id]); n > 0 {
			i := rapid.IntRange(0, n-1).Draw(t, "which")
			lists[id] = slices.Delete(slices.Clone(lists[id]), i, i+1)
		}
		return lists
	}
	var all []R
	for _, id := range slices.Sorted(maps.Keys(from)) {
		all = append(all, from[id]...)
	}
	if len(all) > 0 {
		r := rapid.SampledFrom(all).Draw(t, "one more")
		id := rapid.SampledFrom([]string{"scan-02", "scan-10", "bar-3s"}).Draw(t, "for")
		if _, ok := any(r).(*records.Job); ok {
			id = ""
		}
		if s, ok := any(r).(*records.CaseStep); ok {
			id = s.Case
		}
		i, _ := slices.BinarySearchFunc(lists[id], r, func(a, b R) int { return when(a).Compare(when(b)) })
		lists[id] = slices.Insert(slices.Clone(lists[id]), i, r)
	}
	return lists
}

// another takes one definition out, or puts one of another set in.
func another[R any](t *rapid.T, all, from map[string]R, more string) map[string]R {
	all = maps.Clone(all)
	ids := append(slices.Sorted(maps.Keys(all)), more)
	id := rapid.SampledFrom(ids).Draw(t, "id")
	if _, found := all[id]; found && rapid.Bool().Draw(t, "away") {
		delete(all, id)
	} else if len(from) > 0 {
		all[id] = from[rapid.SampledFrom(slices.Sorted(maps.Keys(from))).Draw(t, "like")]
	}
	return all
}

// figures are the parts of an assessment that JSON can hold.
func figures(tb rapid.TB, a *rules.Assessment) string {
	tb.Helper()
	type device struct {
		ID          string
		Fitness     rules.Fitness
		Reasons     []rules.Reason
		May, MayNot []rules.Scope
		Service     rules.Service
		Calibration rules.Due
		Checks      []rules.Due
		Charts      []rules.Chart
		Cases       []rules.Case
	}
	var list []device
	for _, d := range a.Devices {
		list = append(list, device{d.ID, d.Fitness, d.Reasons, d.May, d.MayNot, d.Service, d.Calibration, d.Checks, d.Charts, d.Cases})
	}
	out, err := json.MarshalIndent(map[string]any{"at": a.At, "today": a.Today, "later": a.Later, "devices": list, "artifacts": a.Artifacts}, "", " ")
	if err != nil {
		tb.Fatal(err)
	}
	return string(out)
}

func sameAssessment(t *rapid.T, want, got *rules.Assessment, what string) {
	t.Helper()
	if !reflect.DeepEqual(want, got) {
		t.Fatalf("%s (-evaluate +evaluator)\n%s%s\n", what, cmp.Diff(all(want), all(got)), cmp.Diff(figures(t, want), figures(t, got)))
	}
	if all(want) != all(got) || figures(t, want) != figures(t, got) {
		t.Fatalf("%s: other bytes", what)
	}
}

// TestEvaluatorIsEvaluate changes records and time at random and compares the
// evaluator with an evaluation of everything. Until the instant that it
// foretells nothing changes.
func TestEvaluatorIsEvaluate(t *testing.T) {
	scenarios, places := loaded(t), zones(t)
	names := slices.Sorted(maps.Keys(scenarios))
	var pools [2][]*records.Set
	for i, years := range []int{0, 16} {
		for _, name := range names {
			set, _ := records.Load(earlierBy(scenarios[name].files, years), records.Options{})
			if set.Site != nil {
				pools[i] = append(pools[i], set)
			}
		}
		if len(pools[i]) < 100 {
			t.Fatal(len(pools[i]))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		era := rapid.IntRange(0, 1).Draw(t, "era")
		start := rapid.SampledFrom(pools[era]).Draw(t, "scenario")
		set := *start
		site := *set.Site
		site.Zone = rapid.SampledFrom(places).Draw(t, "zone")
		set.Site = &site
		c := &course{T: t, set: &set, pool: pools[era], at: time.Date(2026-16*era, 11, 1, 9, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(-500, 100).Draw(t, "day"))}
		if d := set.Devices["scan-02"]; d != nil && rapid.Bool().Draw(t, "two devices") {
			e := *d
			e.ID = "scan-10"
			set.Devices, set.Checks = maps.Clone(set.Devices), maps.Clone(set.Checks)
			set.Devices["scan-10"], set.Checks["scan-10"] = &e, set.Checks["scan-02"]
		}
		options := rules.Options{Hindsight: rapid.IntRange(0, 3).Draw(t, "hindsight") == 0}
		e := rules.Evaluator{Options: options}
		for range rapid.IntRange(1, 10).Draw(t, "steps") {
			sameAssessment(t, rules.Evaluate(c.set, c.at, options), e.At(c.set, c.at), fmt.Sprintf("at %s", c.at))
			if c.next = e.Next(); c.set.Site != nil {
				unchangedUntil(t, c.set, c.at, c.next, options)
			}
			if c.set.Site == nil {
				c.set = &set
			} else if rapid.IntRange(0, 2).Draw(t, "what") == 0 {
				c.change()
			} else {
				c.pass()
			}
		}
	})
}

// unchangedUntil looks at an instant before the one foretold.
func unchangedUntil(t *rapid.T, set *records.Set, at, next time.Time, options rules.Options) {
	t.Helper()
	end := next
	if next.IsZero() {
		end = at.AddDate(20, 0, 0)
	} else if !next.After(at) {
		t.Fatalf("at %s it foretells %s", at, next)
	}
	span := int64(end.Sub(at)) - 1
	then := at.Add(time.Duration(rapid.OneOf(rapid.Just(span), rapid.Int64Range(0, span)).Draw(t, "meanwhile")))
	now, later := rules.Evaluate(set, at, options), rules.Evaluate(set, then, options)
	later.At, later.Today = now.At, now.Today
	sameAssessment(t, now, later, fmt.Sprintf("at %s nothing was foretold before %s; at %s", at, next, then))
}

// A step that cannot be read changes what a case lacks, though nothing else about the device is another.
func TestEvaluatorSeesAnUnreadableStep(t *testing.T) {
	set, s := drawn(t, "at 2026-10-14T12:00\nstep c 2026-10-12T10:00 opened subject=\"scan-02\" owner=\"rs\" reason=\"x\"\n")
	var e rules.Evaluator
	e.At(set, s.at)
	next := *set
	next.Unreadable = []records.Unreadable{{File: "cases/c/x.toml", Kind: "case", Subject: "c", Message: "m"}}
	if diff := cmp.Diff(all(rules.Evaluate(&next, s.at, rules.Options{})), all(e.At(&next, s.at))); diff != "" {
		t.Error(diff)
	}
}
