package audit

import (
	"slices"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// jobs reports the jobs of the period measured with devices that are not listed
// or were not fit at the time.
func (f *finder) jobs() {
	all := trace.Open(f.Set, f.At, f.Options, nil)
	for _, j := range f.jobsLookedAt() {
		for _, g := range all.UsedFor(j) {
			if !f.looksAt(g.Device) && f.Set.Devices[g.Device] != nil {
				continue
			}
			if slices.ContainsFunc(g.Gap.Sources, f.unusable) {
				continue // said once, as a record that cannot be used
			}
			sources := slices.Concat([]rules.Source{{File: j.File}}, g.Gap.Sources)
			switch g.Gap.Code {
			case "device-not-fit":
				f.add("job-device-not-fit", j.ID, g.Gap.Sentence, sources...)
			case "device-unlisted":
				f.add("job-device-unlisted", j.ID, g.Gap.Sentence, sources...)
			}
		}
	}
}

// jobsLookedAt are the jobs that ended in the period and were measured with a
// device looked at.
func (f *finder) jobsLookedAt() []*records.Job {
	var out []*records.Job
	for _, j := range f.known.Jobs {
		if f.dayWithin(j.End) && (f.all() || slices.ContainsFunc(j.Devices, f.looksAt)) {
			out = append(out, j)
		}
	}
	return out
}

// unusable reports whether a source is a record that cannot be used.
func (f *finder) unusable(s rules.Source) bool {
	return slices.ContainsFunc(f.Set.Unreadable, func(u records.Unreadable) bool { return u.File == s.File })
}
