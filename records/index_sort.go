package records

import (
	"path"
	"slices"
	"strings"
)

// sortFolders decides anew what everything is in the folders whose lists have
// changed, and lists those that are new.
func (x *Index) sortFolders(r *round) {
	for len(r.sort) > 0 {
		queue := sortedKeys(r.sort)
		var below []string
		for _, name := range queue {
			if topFolder(name) != topFolder(queue[0]) {
				break // so that files come sorted, or nearly
			}
			delete(r.sort, name)
			below = append(below, x.sortFolder(r, name)...)
		}
		slices.Sort(below)
		x.relistAll(r, slices.Compact(below))
	}
}

// topFolder returns the first part of a path.
func topFolder(name string) string {
	first, _, _ := strings.Cut(name, "/")
	return first
}

// sortFolder decides what everything in one folder is, and returns the folders
// in it that were not listed yet.
func (x *Index) sortFolder(r *round, name string) (below []string) {
	name, ofRecords := sortedWith(name)
	f := x.tree.folders[name]
	if f == nil {
		return nil
	}
	if !ofRecords {
		x.forgetBeside(name)
		return nil
	}
	if name == "." && f.err != nil {
		x.found = false
		return nil
	}
	x.unsort(r, name, f)
	l := x.view()
	if name == "." {
		below, x.found = l.inRoot(f.list())
		x.outside = l.outside
		r.fresh = append(r.fresh, SiteFile)
	} else {
		below = l.inFolder(name, f.list(), f.err)
	}
	x.resort(r, name, f, l)
	return slices.DeleteFunc(below, func(name string) bool { return x.tree.folders[name] != nil })
}

// sortedWith returns the folder together with which one is sorted: hidden
// folders are with the one that they lie in. ofRecords is false for those
// beside the folders of records.
func sortedWith(name string) (folder string, ofRecords bool) {
	if name == "." {
		return name, true
	}
	parts := strings.Split(name, "/")
	if kind, _ := kindIn(parts[0]); kind == "" {
		return name, false
	}
	for i, part := range parts {
		if hidden(part) {
			return path.Join(parts[:i]...), true
		}
	}
	return name, true
}

// resort takes over what a folder was sorted into.
func (x *Index) resort(r *round, name string, f *folder, l *loader) {
	var about []string
	byFile := map[string][]Diagnostic{}
	for _, d := range l.list {
		byFile[d.File] = append(byFile[d.File], d)
	}
	for file, list := range byFile {
		if file == name {
			x.tell(r, atList, name, list)
			continue
		}
		about = append(about, file)
		x.tell(r, atSort, file, list)
	}
	f.told = about
	odd := &oddities{misplaced: l.misplaced, others: l.others, hidden: l.hidden, lost: l.lost, disguised: l.disguised, closed: sortedKeys(l.closed)}
	for _, file := range odd.closed {
		x.load.closed[file] = true
	}
	for _, file := range odd.others {
		x.loose[file] = x.attached[file] == 0
	}
	if len(odd.misplaced)+len(odd.others)+len(odd.hidden)+len(odd.lost)+len(odd.closed) > 0 {
		f.odd = odd
		x.odd[name] = true
	}
	slices.Sort(l.files)
	before := x.directly(name)
	for _, file := range l.files {
		delete(r.gone, file)
		if _, found := slices.BinarySearch(before, file); !found {
			r.came = append(r.came, file)
		}
	}
	for _, file := range before {
		if _, found := slices.BinarySearch(l.files, file); !found {
			r.gone[file] = true
		}
	}
}

// directly returns the files of a folder itself.
func (x *Index) directly(folder string) []string {
	if folder == "." {
		return nil
	}
	from, to := x.load.within(folder)
	var out []string
	for _, file := range x.load.files[from:to] {
		if strings.IndexByte(file[len(folder)+1:], '/') < 0 {
			out = append(out, file)
		}
	}
	return out
}

// unsort takes back what a folder was sorted into, but for its files.
func (x *Index) unsort(r *round, name string, f *folder) {
	x.tell(r, atList, name, nil)
	for _, file := range f.told {
		x.tell(r, atSort, file, nil)
	}
	f.told = nil
	if f.odd == nil {
		return
	}
	for _, file := range f.odd.closed {
		delete(x.load.closed, file)
	}
	for _, file := range f.odd.others {
		delete(x.loose, file)
	}
	f.odd = nil
	delete(x.odd, name)
}
