package records

import "slices"

// some returns a loader of some of the files alone, with all else that is known:
// checks of records together are made with those they are about.
func (x *Index) some(l *loader, files []string, records []any) *loader {
	out := *l
	out.findings = findings{codes: l.codes}
	out.files, out.records = files, records
	return &out
}

// in returns a loader of the files in some of the records folders, which are to
// be named in order.
func (x *Index) in(folders ...string) *loader {
	var files []string
	var records []any
	for _, folder := range folders {
		from, to := x.load.within(folder)
		files = append(files, x.load.files[from:to]...)
		records = append(records, x.load.records[from:to]...)
	}
	return x.some(x.load, files, records)
}

// these returns a loader of the files named, as far as they are there.
func (x *Index) these(names []string) *loader {
	var files []string
	var records []any
	for _, name := range names {
		if r, found := x.load.understood(name); found {
			files, records = append(files, name), append(records, r)
		}
	}
	return x.some(x.load, files, records)
}

// checkObjects checks devices, artifacts and procedures anew when one of them
// has changed.
func (x *Index) checkObjects(r *round) {
	changed := r.first || r.site || r.lost
	if !changed {
		for file := range r.touched(badForObjects) {
			changed = changed || isObject(file)
		}
	}
	if !changed {
		return
	}
	l := x.in("artifacts", "devices", "procedures")
	c := l.newChecker(l.knownBut(x.bad[badForObjects]))
	c.definitions()
	x.tellAll(r, atObjects, c.list)
	x.known = l.knownBut(x.bad[badForRecords])
}

// checkRecords checks each of the other records anew that has changed, or that
// looked at something that has.
func (x *Index) checkRecords(r *round) {
	x.lookAgain(r)
	files, all := x.load.files, r.first || r.site
	if !all {
		files = x.affected(r)
	}
	type finding struct {
		told []Diagnostic
		seen *lookups
	}
	out := make([]finding, len(files))
	look := func(c *checker) {
		c.seen = &lookups{}
		c.fsys = notingFS{inner: x.tree.below, seen: c.seen, glimpse: x.glimpse}
	}
	newChecker := func() *checker {
		c := x.load.newChecker(x.known)
		look(c)
		return c
	}
	inParallel(len(files), chunk, newChecker, func(c *checker, i int) {
		file := files[i]
		if isObject(file) || x.known.bad[file] {
			return
		}
		var record any
		if all {
			record = x.load.records[i]
		} else {
			record, _ = x.load.understood(file)
		}
		c.one(record)
		if len(c.seen.paths)+len(c.seen.folders) > 0 {
			out[i].seen = c.seen
			look(c)
		}
		out[i].told, c.list = c.list, nil
	})
	for i, file := range files {
		if !isObject(file) {
			x.note(file, out[i].seen)
			x.tell(r, atRecords, file, out[i].told)
		}
	}
}

// affected lists the files whose records have changed, are gone, or refer to
// what has changed, sorted.
func (x *Index) affected(r *round) []string {
	out := map[string]bool{}
	objects := map[string]bool{}
	for file, m := range r.touched(badForRecords) {
		out[file] = true
		x.dependents(file, out)
		if isObject(file) {
			p, _ := placeOf(file)
			objects[p.subject] = true
		}
		if m != nil && m.had != m.has {
			x.among(file, out)
		}
	}
	for file := range r.disk {
		x.dependents(file, out)
	}
	if r.lost {
		for file := range x.lookups.of {
			out[file] = true
		}
	}
	if len(objects) > 0 {
		for i, record := range x.load.records {
			if refers(record, objects) {
				out[x.load.files[i]] = true
			}
		}
	}
	return sortedKeys(out)
}

// refers reports whether a record names one of the objects.
func refers(record any, ids map[string]bool) bool {
	switch r := record.(type) {
	case *Check:
		return ids[r.Device] || ids[r.Artifact] || ids[r.Procedure]
	case *Certificate:
		return ids[r.Subject]
	case *Event:
		return ids[r.Subject]
	case *CaseStep:
		return ids[r.Subject]
	case *Job:
		return slices.ContainsFunc(r.Devices, func(id string) bool { return ids[id] })
	}
	return false
}
