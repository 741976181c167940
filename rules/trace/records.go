package trace

import (
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/rules"
)

// Records are a set of records by what was known at an instant. What every chain
// needs is found out once, so many chains are best followed through one of them.
// They are for one goroutine at a time.
type Records struct {
	// Everything is judged with hindsight over the records that were known: what was
	// entered later about the time of a figure bears on it.
	set       *records.Set
	options   rules.Options
	at        time.Time
	zone      *time.Location
	looked    map[string]Look
	knowledge *rules.Knowledge

	sets     map[string]*records.Set // see alone
	standing map[string][]state      // see now
}

// Open returns the records of a set by what was known at an instant. Looked is
// that of [Query].
func Open(set *records.Set, at time.Time, options rules.Options, looked map[string]Look) *Records {
	r := &Records{
		set: set, options: rules.Options{Hindsight: true}, at: at, zone: time.UTC, looked: looked,
		sets: map[string]*records.Set{}, standing: map[string][]state{},
	}
	if !options.Hindsight {
		r.set = knownBy(set, at)
	}
	if s := set.Site; s != nil && s.Zone != nil {
		r.zone = s.Zone
	}
	r.knowledge = rules.KnowledgeAt(r.set, at, r.options)
	return r
}

// knownAt is what bears on a device by what was known at an instant.
func (r *Records) knownAt(device string, at time.Time) *rules.Knowledge {
	if at.Equal(r.at) {
		return r.knowledge
	}
	return rules.KnowledgeAt(r.alone(device), at, r.options)
}

// alone is the set with one device and its jobs in it: nothing else need be
// judged.
func (r *Records) alone(device string) *records.Set {
	if s := r.sets[device]; s != nil {
		return s
	}
	out := *r.set
	out.Devices = map[string]*records.Device{device: r.set.Devices[device]}
	out.Checks = map[string][]*records.Check{device: r.set.Checks[device]}
	out.Unreadable, out.Jobs = nil, nil
	for _, u := range r.set.Unreadable {
		if u.Subject == device || u.Kind != "device" && u.Kind != "check" {
			out.Unreadable = append(out.Unreadable, u)
		}
	}
	for _, j := range r.set.Jobs {
		if slices.Contains(j.Devices, device) {
			out.Jobs = append(out.Jobs, j)
		}
	}
	r.sets[device] = &out
	return &out
}
