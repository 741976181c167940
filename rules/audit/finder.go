package audit

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// finder looks through the records for what an auditor would find.
type finder struct {
	Input

	known     *records.Set // what was known at the instant, corrected records left out
	knowledge *rules.Knowledge
	zone      *time.Location
	rank      map[string]int // of codes
	codes     []Code
	out       []Finding
	said      map[[3]string]int             // where a finding stands in out
	sets      map[string]*records.Set       // see alone
	reviews   map[string][]rules.Acceptance // of each subject

	devices   []string // looked at, sorted
	artifacts []string // looked at, sorted
}

func newFinder(in Input) *finder {
	f := &finder{Input: in, zone: time.UTC, rank: map[string]int{}, said: map[[3]string]int{}, sets: map[string]*records.Set{}, reviews: map[string][]rules.Acceptance{}, codes: Codes()}
	if s := in.Set.Site; s != nil && s.Zone != nil {
		f.zone = s.Zone
	}
	if f.Assessment == nil {
		f.Assessment = rules.Evaluate(in.Set, in.At, in.Options)
	}
	for i, c := range f.codes {
		f.rank[c.ID] = i
	}
	f.known, f.knowledge = knownBy(in), rules.KnowledgeAt(in.Set, in.At, in.Options)
	f.choose()
	return f
}

// choose finds the devices to look at, and the artifacts behind them.
func (f *finder) choose() {
	f.devices = slices.Compact(slices.Sorted(slices.Values(f.Devices)))
	if len(f.Devices) == 0 {
		f.devices = f.Set.DeviceIDs()
		f.artifacts = sortedKeys(f.Set.Artifacts)
		return
	}
	used := map[string]bool{}
	for _, id := range f.devices {
		for _, k := range f.known.Checks[id] {
			used[k.Artifact] = true
		}
	}
	f.artifacts = sortedKeys(used)
}

// all reports whether everything is looked at.
func (f *finder) all() bool { return len(f.Devices) == 0 }

// subjects are the devices and artifacts looked at.
func (f *finder) subjects() []string { return slices.Concat(f.devices, f.artifacts) }

// looksAt reports whether a device or artifact is looked at.
func (f *finder) looksAt(subject string) bool {
	return f.all() || slices.Contains(f.devices, subject) || slices.Contains(f.artifacts, subject)
}

// within reports whether an instant lies in the period.
func (f *finder) within(t time.Time) bool { return !t.Before(f.From) && !t.After(f.At) }

func (f *finder) day(t time.Time) calendar.Date { return calendar.Of(t, f.zone) }

// dayWithin reports whether a day lies in the period.
func (f *finder) dayWithin(d calendar.Date) bool {
	return !d.Before(f.day(f.From)) && !d.After(f.day(f.At))
}

// add adds a finding, once.
func (f *finder) add(code, subject, sentence string, sources ...rules.Source) {
	key := [3]string{code, subject, sentence}
	if i, found := f.said[key]; found {
		o := &f.out[i]
		for _, s := range sources {
			if !slices.Contains(o.Sources, s) {
				o.Sources = append(o.Sources, s)
			}
		}
		return
	}
	f.said[key] = len(f.out)
	c := f.codes[f.rank[code]]
	f.out = append(f.out, Finding{code, subject, sentence, c.Mend, c.Clauses, sources})
}

// sorted puts the findings in the order of the catalogue, then of their subjects.
func (f *finder) sorted() []Finding {
	slices.SortStableFunc(f.out, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(f.rank[a.Code], f.rank[b.Code]), strings.Compare(a.Subject, b.Subject))
	})
	return f.out
}

// counted writes a number with its noun.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
