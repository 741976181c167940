package records

import (
	"io/fs"
	"slices"
	"strings"
)

// view returns a loader of what is there now, into which something can be
// found.
func (x *Index) view() *loader {
	l := *x.load
	l.findings = findings{codes: x.load.codes}
	l.fsys = x.tree
	l.closed, l.disguised = map[string]bool{}, map[string]bool{}
	l.files, l.records = nil, nil
	l.misplaced, l.others, l.hidden, l.outside, l.lost = nil, nil, nil, nil, nil
	return &l
}

// outOfPlace looks at what lies where it is not read, and at what is beside the
// records, as loading does. There is little of it as a rule, and it may be about
// anything: it is looked at with every change.
func (x *Index) outOfPlace(r *round) {
	l := x.view()
	l.files, l.records, l.closed, l.doubtful = x.load.files, x.load.records, x.load.closed, map[string]bool{}
	for file := range x.blank {
		l.doubtful[file[:strings.LastIndexByte(file, '/')]] = true
	}
	for _, name := range sortedKeys(x.odd) {
		odd := x.tree.folders[name].odd
		l.misplaced = append(l.misplaced, odd.misplaced...)
		l.hidden = append(l.hidden, odd.hidden...)
		l.lost = append(l.lost, odd.lost...)
		for file := range odd.disguised {
			l.disguised[file] = true
		}
	}
	for name, loose := range x.loose {
		if loose {
			l.others = append(l.others, name)
		}
	}
	slices.Sort(l.others)
	l.outOfPlace()
	x.foundLost(r, l)
	for _, e := range x.outside {
		l.list = append(l.list, x.tellBeside(l, e)...)
	}
	x.tellAll(r, atPlace, l.list)
	l.list = nil
	l.strays()
	x.tellAll(r, atStrays, l.list)
	x.load.misplaced = l.misplaced
}

// foundLost takes over which folders cannot be read.
func (x *Index) foundLost(r *round, l *loader) {
	slices.Sort(l.lost)
	r.lost = !slices.Equal(l.lost, x.load.lost)
	x.load.lost = l.lost
	if r.lost || r.known {
		clear(x.abouts)
		clear(x.beside)
		x.unreadable = true
	}
}

// tellBeside tells what is to be told of something beside the folders of records,
// where it has changed: a folder there may hold a great many files.
func (x *Index) tellBeside(l *loader, e fs.DirEntry) []Diagnostic {
	told, known := x.beside[e.Name()]
	if !known {
		of := *l
		of.list = nil
		of.outsideFolders(e)
		told = of.list
		x.beside[e.Name()] = told
	}
	return told
}

// forgetBeside lets something beside the folders of records be looked at again.
func (x *Index) forgetBeside(name string) {
	delete(x.beside, topFolder(name))
}
