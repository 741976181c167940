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
	var out []string
	add := func(ids ...string) { out = append(out, ids...) }
	for i, file := range l.files {
		p, _ := placeOf(file)
		switch {
		case p.kind == "device" && kind != "artifact" && kind != "procedure" && kind != "job":
			add(p.subject)
		case p.kind == "artifact" && (kind == "certificate" || kind == "event"):
			add(p.subject)
		case p.kind == "check" && (kind == "check" || kind == "device"):
			add(p.subject)
		}
		switch r := l.records[i].(type) {
		case *Device:
			for j := range r.Checks {
				if kind == "procedure" {
					add(r.Checks[j].Procedure)
				}
			}
		case *Check:
			switch kind {
			case "artifact":
				add(r.Artifact)
			case "procedure":
				add(r.Procedure)
			}
		}
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(id string) bool { return id == "" })
}

// mayBeLost reports whether a record at this path may be there all the same, in
// a folder that cannot be read.
func (l *loader) mayBeLost(file string) bool {
	return slices.ContainsFunc(l.lost, func(folder string) bool {
		return file == folder || strings.HasPrefix(file, folder+"/")
	})
}
