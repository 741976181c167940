package audit

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// knownBy returns the records of what had happened, and unless hindsight is
// asked for had been entered, by the end of the period. Corrected ones are left
// out. Definitions stay as the set has them.
func knownBy(in Input) *records.Set {
	out := *in.Set
	zone := time.UTC
	if s := in.Set.Site; s != nil && s.Zone != nil {
		zone = s.Zone
	}
	today := calendar.Of(in.At, zone)
	known := func(entered time.Time) bool { return in.Options.Hindsight || !entered.After(in.At) }
	out.Certificates = each(in.Set.Certificates, func(r *records.Certificate) (string, string, bool) {
		return r.File, r.Amends, !r.Date.After(today) && known(r.Entered)
	})
	out.Checks = each(in.Set.Checks, func(r *records.Check) (string, string, bool) {
		return r.File, r.Amends, !r.Time.After(in.At) && known(r.Entered)
	})
	out.Events = each(in.Set.Events, func(r *records.Event) (string, string, bool) {
		return r.File, r.Amends, !r.Time.After(in.At) && known(r.Entered)
	})
	out.Cases = each(in.Set.Cases, func(r *records.CaseStep) (string, string, bool) {
		return r.File, r.Amends, !r.Time.After(in.At) && known(r.Entered)
	})
	out.Jobs = standing(in.Set.Jobs, func(r *records.Job) (string, string, bool) {
		return r.File, r.Amends, !r.Begin.After(today) && known(r.Entered)
	})
	return &out
}

func each[R any](lists map[string][]R, tell func(R) (file, amends string, known bool)) map[string][]R {
	out := make(map[string][]R, len(lists))
	for id, list := range lists {
		out[id] = standing(list, tell)
	}
	return out
}

// standing keeps the known records that no other known one corrects.
func standing[R any](list []R, tell func(R) (file, amends string, known bool)) []R {
	gone := map[string]bool{}
	for _, r := range list {
		if _, amends, known := tell(r); known && amends != "" {
			gone[bare(amends)] = true
		}
	}
	var out []R
	for _, r := range list {
		if file, _, known := tell(r); known && !gone[bare(file)] {
			out = append(out, r)
		}
	}
	return out
}

// bare makes one name of the two in which a record may be referred to.
func bare(file string) string { return strings.TrimSuffix(file, ".toml") }

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
