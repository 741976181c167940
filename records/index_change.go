package records

import (
	"maps"
	"slices"
)

// Change says what is not as it was between two sets.
type Change struct {
	// Files are those whose content was taken over anew, that came or that went,
	// sorted; see [Index]. Empty where two sets were only compared.
	Files []string
	// Diagnostics reports whether other things are told about the files.
	Diagnostics bool

	Site bool // the site's settings are others
	// Subjects are the ids of the devices and artifacts, which share their ids,
	// about which something else is recorded: by their own record, or by
	// certificates, checks, events and unreadable files about them; sorted.
	Subjects   []string
	Procedures []string // ids, sorted
	Jobs       []string // ids, sorted
	Cases      []string // ids, sorted
}

// IsZero reports whether nothing has changed.
func (c *Change) IsZero() bool {
	return !c.Diagnostics && !c.Site && len(c.Files)+len(c.Subjects)+len(c.Procedures)+len(c.Jobs)+len(c.Cases) == 0
}

// Difference compares two sets. Records and lists count as the same where they
// are the same in memory, as they are in two sets of one [Index] when nothing
// about them has changed: two sets loaded apart differ in everything. It costs
// a look at each subject, not at each record.
func Difference(before, after *Set) Change {
	subjects, procedures, jobs, cases := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
	out := Change{Site: before.Site != after.Site}
	differ(subjects, before.Devices, after.Devices, same)
	differ(subjects, before.Artifacts, after.Artifacts, same)
	differ(procedures, before.Procedures, after.Procedures, same)
	differ(subjects, before.Certificates, after.Certificates, sameList)
	differ(subjects, before.Checks, after.Checks, sameList)
	differ(subjects, before.Events, after.Events, sameList)
	differ(cases, before.Cases, after.Cases, sameList)
	if !sameList(before.Jobs, after.Jobs) {
		for j := range uncommon(before.Jobs, after.Jobs) {
			jobs[j.ID] = true
		}
	}
	if !sameList(before.Unreadable, after.Unreadable) {
		for u := range uncommon(before.Unreadable, after.Unreadable) {
			switch u.Kind {
			case "procedure":
				procedures[u.Subject] = true
			case "job":
				jobs[u.Subject] = true
			case "case":
				cases[u.Subject] = true
			case "site":
				out.Site = true
			default:
				subjects[u.Subject] = true
			}
		}
	}
	out.Subjects, out.Procedures, out.Jobs, out.Cases = sortedIDs(subjects), sortedIDs(procedures), sortedIDs(jobs), sortedIDs(cases)
	return out
}

// differ adds the keys under which two maps have different things.
func differ[V any](into map[string]bool, before, after map[string]V, same func(a, b V) bool) {
	for id, a := range before {
		if b, found := after[id]; !found || !same(a, b) {
			into[id] = true
		}
	}
	for id := range after {
		if _, found := before[id]; !found {
			into[id] = true
		}
	}
}

func same[R comparable](a, b R) bool { return a == b }

// sameList reports whether two lists are the same in memory.
func sameList[R any](a, b []R) bool { return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0]) }

// uncommon returns what is not as often in one list as in the other.
func uncommon[R comparable](a, b []R) map[R]int {
	out := map[R]int{}
	for _, r := range a {
		out[r]++
	}
	for _, r := range b {
		out[r]--
	}
	maps.DeleteFunc(out, func(_ R, n int) bool { return n == 0 })
	return out
}

func sortedIDs(ids map[string]bool) []string {
	if len(ids) == 0 {
		return nil
	}
	return slices.Sorted(maps.Keys(ids))
}
