package records

import (
	"io/fs"
	"path"
	"slices"
	"time"

	"plumbrule/records/calendar"
)

// Try returns what [Load] would tell of the repository if one record were as it
// is in with, a file system in which nothing else is different, and all were
// loaded for the instant at. The index is afterwards as before, and the change
// says what of that which lies about the record it has found to be otherwise:
// nothing as a rule, and then its [Index.Set] is the same in memory. It costs as
// much as two changes of the file.
//
// It says no where it cannot tell: there is no repository, the path is none of
// package fs, or a record is dated after the instant, which may change what is
// told of any other.
func (x *Index) Try(with fs.FS, name string, at time.Time) (told []Diagnostic, found Change, ok bool) {
	if !x.found || !fs.ValidPath(name) || name == "." || x.datedAfter(at) {
		return nil, found, false
	}
	first := name // of the path, what is no folder yet
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if e := x.tree.entry(dir); e == nil || !e.id.mode.IsDir() {
			first = dir
		}
	}
	set, list := x.Set()
	below, options := x.tree.below, x.load.options
	x.readFrom(with)
	x.load.options.At = at
	_, err := x.Update(name)
	_, told = x.Set()
	x.readFrom(below)
	x.load.options = options
	if _, again := x.Update(first); err != nil || again != nil {
		return nil, found, false
	}
	found = Difference(set, x.shown)
	found.Diagnostics = !slices.EqualFunc(list, x.shownTold, sameDiagnostic)
	if !found.Diagnostics && sameRecords(set, x.shown, &found) {
		x.set, x.shown, x.list, x.shownTold, found = set, set, list, list, Change{}
	}
	return told, found, true
}

// readFrom lets files be read from another file system.
func (x *Index) readFrom(files fs.FS) {
	x.tree.below, x.load.fsys = files, files
	if x.reader != nil {
		x.reader.fsys = files
	}
}

// datedAfter reports whether a record happened or was entered after an instant.
func (x *Index) datedAfter(at time.Time) bool {
	day := calendar.Date{}
	if site := x.load.set.Site; site != nil && site.Zone != nil {
		day = calendar.Of(at, site.Zone)
	}
	return slices.ContainsFunc(x.load.records, func(r any) bool {
		c, dated := r.(*Certificate)
		return enteredAfter(r, at) || dated && c.Date.After(day)
	})
}

func enteredAfter(record any, at time.Time) bool {
	switch r := record.(type) {
	case *Device:
		return r.Entered.After(at)
	case *Artifact:
		return r.Entered.After(at)
	case *Procedure:
		return r.Entered.After(at)
	case *Job:
		return r.Entered.After(at)
	case *Certificate:
		return r.Entered.After(at)
	case *Check:
		return r.Time.After(at) || r.Entered.After(at)
	case *Event:
		return r.Time.After(at) || r.Entered.After(at)
	case *CaseStep:
		return r.Time.After(at) || r.Entered.After(at)
	}
	return false
}

// sameRecords reports whether two sets hold the same records in the same order,
// in lists of their own perhaps; apart says where those are others.
func sameRecords(a, b *Set, apart *Change) bool {
	for _, id := range apart.Subjects {
		if a.Devices[id] != b.Devices[id] || a.Artifacts[id] != b.Artifacts[id] ||
			!slices.Equal(a.Certificates[id], b.Certificates[id]) || !slices.Equal(a.Checks[id], b.Checks[id]) || !slices.Equal(a.Events[id], b.Events[id]) {
			return false
		}
	}
	for _, id := range apart.Procedures {
		if a.Procedures[id] != b.Procedures[id] {
			return false
		}
	}
	for _, id := range apart.Cases {
		if !slices.Equal(a.Cases[id], b.Cases[id]) {
			return false
		}
	}
	return a.Site == b.Site && slices.Equal(a.Jobs, b.Jobs) && slices.Equal(a.Unreadable, b.Unreadable)
}
