package trace

import (
	"slices"
	"strings"
	"time"

	"plumbrule/records"
)

// knownBy returns the records that had been entered at an instant. Definitions
// stay: what they said before is a matter of the repository's history.
func knownBy(set *records.Set, at time.Time) *records.Set {
	out := *set
	out.Certificates = keep(set.Certificates, func(r *records.Certificate) bool { return !r.Entered.After(at) })
	out.Checks = keep(set.Checks, func(r *records.Check) bool { return !r.Entered.After(at) })
	out.Events = keep(set.Events, func(r *records.Event) bool { return !r.Entered.After(at) })
	out.Jobs = kept(set.Jobs, func(r *records.Job) bool { return !r.Entered.After(at) })
	return &out
}

func keep[R any](lists map[string][]R, known func(R) bool) map[string][]R {
	out := make(map[string][]R, len(lists))
	for id, list := range lists {
		out[id] = kept(list, known)
	}
	return out
}

// kept returns the list itself where nothing is left out.
func kept[R any](list []R, known func(R) bool) []R {
	if !slices.ContainsFunc(list, func(r R) bool { return !known(r) }) {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(r R) bool { return !known(r) })
}

// corrected returns the record of a list that corrects one, or nothing.
func corrected[R any](list []R, file string, name func(R) (file, amends string)) string {
	for _, r := range list {
		if other, amends := name(r); amends != "" && bare(amends) == bare(file) {
			return other
		}
	}
	return ""
}

// bare makes one name of the two in which a record may be referred to.
func bare(file string) string { return strings.TrimSuffix(file, ".toml") }
