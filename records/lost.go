package records

import (
	"slices"
	"strings"
)

// lostIn returns stand-ins for the records of a folder that cannot be read: one
// for each thing they may be about, so that it is shown as unjudgeable. Where
// the folder is that of one subject it is this one; otherwise all that is named
// in the records that were read.
func (l *loader) lostIn(folder string) []place {
	first, rest, deeper := strings.Cut(folder, "/")
	kind, depth := kindIn(first)
	if deeper && depth > 2 && kind != "job" {
		subject, _, _ := strings.Cut(rest, "/")
		return l.meant(place{kind: kind, subject: subject}, nil, false)
	}
	subjects := l.ids(kind).list
	if len(subjects) == 0 {
		return []place{{kind: kind}}
	}
	places := make([]place, len(subjects))
	for i, s := range subjects {
		places[i] = place{kind: kind, subject: s}
	}
	return places
}

// subjects lists the ids that records of a kind may be about, as far as other
// records tell, sorted.
func (l *loader) subjects(kind string) []string {
	if l.tallies == nil {
		l.tallies = tallies{}
		for i, file := range l.files {
			l.tallies.count(file, l.records[i], 1)
		}
	}
	return sortedKeys(l.tallies[kind])
}

// tallies count, for each kind of record, what its records may be about, as far
// as other records tell.
type tallies map[string]map[string]int

// count adds what one record tells, n times; -1 takes it away again.
func (t tallies) count(file string, record any, n int) {
	add := func(id string, kinds ...string) {
		for _, kind := range kinds {
			if id == "" {
				return
			}
			addTo(t.of(kind), id, n)
		}
	}
	switch p, _ := placeOf(file); p.kind {
	case "device":
		add(p.subject, "certificate", "check", "device", "event")
	case "artifact":
		add(p.subject, "certificate", "event")
	case "check":
		add(p.subject, "check", "device")
	case "case":
		add(p.subject, "case")
	}
	switch r := record.(type) {
	case *Device:
		for i := range r.Checks {
			add(r.Checks[i].Procedure, "procedure")
		}
	case *Check:
		add(r.Artifact, "artifact")
		add(r.Procedure, "procedure")
	}
}

// of returns what is counted for a kind of record.
func (t tallies) of(kind string) map[string]int {
	if t[kind] == nil {
		t[kind] = map[string]int{}
	}
	return t[kind]
}

// add adds what others count. It reports whether an id was not told of before,
// or no longer is.
func (t tallies) add(others tallies) bool {
	changed := false
	for kind, ids := range others {
		for id, n := range ids {
			changed = addTo(t.of(kind), id, n) || changed
		}
	}
	return changed
}

// mayBeLost reports whether a record at this path may be there all the same, in
// a folder that cannot be read.
func (l *loader) mayBeLost(file string) bool {
	return slices.ContainsFunc(l.lost, func(folder string) bool {
		return file == folder || strings.HasPrefix(file, folder+"/")
	})
}
