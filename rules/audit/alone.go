package audit

import (
	"slices"

	"plumbrule/records"
	"plumbrule/rules"
)

// alone is the set of records that bear on one device or one artifact: every
// question asked of it walks through these and not through those of the whole
// shop. Artifacts stay with a device, since its checks rest on them.
func (f *finder) alone(id string) *records.Set {
	if s := f.sets[id]; s != nil {
		return s
	}
	out := *f.Set
	out.Devices, out.Checks, out.Jobs = map[string]*records.Device{}, nil, nil
	keep := []string{id}
	if d, found := f.Set.Devices[id]; found || f.Set.Artifacts[id] == nil {
		if found {
			out.Devices[id] = d
		}
		out.Checks = map[string][]*records.Check{id: f.Set.Checks[id]}
		for _, j := range f.Set.Jobs {
			if slices.Contains(j.Devices, id) {
				out.Jobs = append(out.Jobs, j)
			}
		}
		keep = append(keep, sortedKeys(f.Set.Artifacts)...)
	} else {
		out.Artifacts = map[string]*records.Artifact{id: f.Set.Artifacts[id]}
	}
	out.Certificates, out.Events = map[string][]*records.Certificate{}, map[string][]*records.Event{}
	for _, k := range keep {
		out.Certificates[k], out.Events[k] = f.Set.Certificates[k], f.Set.Events[k]
	}
	f.sets[id] = &out
	return &out
}

// acceptances are the certificates of a device or an artifact with what came of
// their reviews.
func (f *finder) acceptances(id string) []rules.Acceptance {
	list, known := f.reviews[id]
	if !known {
		list = f.knowledge.Acceptances(id)
		f.reviews[id] = list
	}
	return list
}
