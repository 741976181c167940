package records

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// relist lists one folder again and notes what is not as it was.
func (x *Index) relist(r *round, name string) {
	at := x.instant()
	before, now := x.tree.folders[name], x.tree.list(name)
	for i := range now.entries {
		e := &now.entries[i]
		e.safe = e.isLink() && e.id.settled(at)
	}
	if before == nil {
		before = &folder{}
		r.sort[name] = true
	}
	now.odd, now.told = before.odd, before.told
	x.tree.folders[name] = now
	if reasonOf(before.err) != reasonOf(now.err) {
		r.sort[name] = true
	}
	if name == "." && now.err != nil {
		now.entries = before.entries
		return // the repository is away, and may come back as it was
	}
	x.compare(r, name, before.entries, now.entries)
}

func reasonOf(err error) string {
	if err == nil {
		return ""
	}
	return plainReason(err)
}

// compare goes through two lists of a folder.
func (x *Index) compare(r *round, folder string, before, now []entry) {
	for len(before)+len(now) > 0 {
		var order int
		switch {
		case len(before) == 0:
			order = 1
		case len(now) == 0:
			order = -1
		default:
			order = strings.Compare(before[0].path, now[0].path)
		}
		switch {
		case order < 0:
			r.sort[folder] = true
			x.drop(r, &before[0])
		case order > 0:
			r.sort[folder] = true
			r.fresh[now[0].path] = true
		default:
			x.compareEntry(r, folder, &before[0], &now[0])
		}
		if order <= 0 {
			before = before[1:]
		}
		if order >= 0 {
			now = now[1:]
		}
	}
}

// compareEntry notes how one thing in a folder has changed, and takes over what
// is known of it.
func (x *Index) compareEntry(r *round, folder string, before, now *entry) {
	now.path = before.path // the string that its record has
	if before.id == now.id && before.safe {
		now.sum, now.safe = before.sum, true
		return
	}
	now.sum = before.sum
	if before.id.mode != now.id.mode || now.isLink() {
		r.sort[folder] = true
		x.drop(r, before)
		now.sum = 0
	}
	r.fresh[now.path] = true
}

// drop forgets what lies below something that is gone.
func (x *Index) drop(r *round, e *entry) {
	if !e.id.mode.IsDir() {
		return
	}
	for name, f := range x.tree.folders {
		if inside(name, e.path) {
			x.unsort(r, name, f)
			delete(x.tree.folders, name)
			delete(r.sort, name)
		}
	}
	from, to := x.load.within(e.path)
	for _, file := range x.load.files[from:to] {
		r.gone[file] = true
	}
}

// within returns the range of files below a folder.
func (l *loader) within(folder string) (from, to int) {
	from, _ = slices.BinarySearch(l.files, folder+"/")
	to, _ = slices.BinarySearch(l.files, folder+"0") // the character after the slash
	return from, to
}

// relistBelow lists all remembered folders below one again.
func (x *Index) relistBelow(r *round, above string) {
	var names []string
	for name := range x.tree.folders {
		if name != above && inside(name, above) {
			names = append(names, name)
		}
	}
	slices.Sort(names) // folders before those inside them
	for _, name := range names {
		if x.tree.folders[name] != nil { // or its folder is gone
			x.relist(r, name)
		}
	}
}

// named looks at one path again that something may have happened to.
func (x *Index) named(r *round, name string) {
	for i := 0; ; i++ {
		if i < len(name) && name[i] != '/' {
			continue
		}
		part := name[:i]
		above := x.tree.folders[path.Dir(part)]
		if above == nil {
			break // nobody looks there
		}
		if i < len(name) {
			if e := x.tree.entry(part); e != nil && e.id.mode.IsDir() {
				continue
			}
		}
		x.relook(r, part)
		name = part // when it was not there before, all below it is new
		break
	}
	r.looked = append(r.looked, name)
	delete(x.peeked, name)
}

// relook looks at one thing in a remembered folder again.
func (x *Index) relook(r *round, name string) {
	folderName := path.Dir(name)
	f := x.tree.folders[folderName]
	at := x.instant()
	info, err := fs.Lstat(x.tree.below, name)
	if f.err != nil || err != nil && !errors.Is(err, fs.ErrNotExist) {
		x.relist(r, folderName)
		return
	}
	i, found := f.find(path.Base(name))
	if err != nil {
		if found {
			r.sort[folderName] = true
			x.drop(r, &f.entries[i])
			f.entries = slices.Delete(f.entries, i, i+1)
		}
		return
	}
	now := entry{path: name, id: identityOf(info)}
	now.safe = now.isLink() && now.id.settled(at)
	if !found {
		f.entries = slices.Insert(f.entries, i, now)
		r.sort[folderName] = true
		r.fresh[name] = true
		return
	}
	f.entries[i].safe = false
	before := f.entries[i]
	f.entries[i] = now
	x.compareEntry(r, folderName, &before, &f.entries[i])
	if now.id.mode.IsDir() && x.tree.folders[name] != nil {
		x.relist(r, name)
		x.relistBelow(r, name)
	}
}

// sortFolders decides anew what everything is in the folders whose lists have
// changed, and lists those that are new.
func (x *Index) sortFolders(r *round) {
	for len(r.sort) > 0 {
		queue := sortedKeys(r.sort)
		clear(r.sort)
		for _, name := range queue {
			x.sortFolder(r, name)
		}
	}
}

// sortFolder decides what everything in one folder is.
func (x *Index) sortFolder(r *round, name string) {
	name, ofRecords := sortedWith(name)
	f := x.tree.folders[name]
	if f == nil {
		return
	}
	if !ofRecords {
		x.forgetBeside(name)
		return
	}
	if name == "." && f.err != nil {
		x.found = false
		return
	}
	x.unsort(r, name, f)
	l := x.view()
	var below []string
	if name == "." {
		below, x.found = l.inRoot(f.list())
		x.outside = l.outside
		r.fresh[SiteFile] = true
	} else {
		below = l.inFolder(name, f.list(), f.err)
	}
	x.resort(r, name, f, l)
	for _, name := range below {
		if x.tree.folders[name] == nil {
			x.relist(r, name)
		}
	}
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
			e := x.tree.entry(file)
			r.came[e.path] = true
			r.fresh[e.path] = true
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

// merge takes the files that came and went into the list of all.
func (x *Index) merge(r *round) {
	gone, came := sortedKeys(r.gone), sortedKeys(r.came)
	out := make([]int, 0, len(gone))
	for _, file := range gone {
		i, found := slices.BinarySearch(x.load.files, file)
		if !found {
			continue
		}
		out = append(out, i)
		r.moves[file] = move{old: x.load.records[i], had: true}
		x.note(file, nil)
		x.tell(r, atRead, file, nil)
		x.tell(r, atRecords, file, nil)
	}
	x.load.files = without(x.load.files, out)
	x.load.records = without(x.load.records, out)
	at := make([]int, len(came))
	for i, file := range came {
		at[i], _ = slices.BinarySearch(x.load.files, file)
		r.moves[file] = move{has: true}
	}
	x.load.files = with(x.load.files, at, came)
	x.load.records = with(x.load.records, at, make([]any, len(came)))
}

// without takes elements out of a list; out are their indices, in order.
func without[T any](list []T, out []int) []T {
	if len(out) == 0 {
		return list
	}
	to := out[0]
	for n, i := range out {
		end := len(list)
		if n+1 < len(out) {
			end = out[n+1]
		}
		to += copy(list[to:], list[i+1:end])
	}
	clear(list[to:])
	return list[:to]
}

// with puts elements into a list; at are their indices in the list as it is, in
// order.
func with[T any](list []T, at []int, in []T) []T {
	end := len(list)
	list = slices.Grow(list, len(in))[:end+len(in)]
	for n, i := range slices.Backward(at) {
		copy(list[i+n+1:], list[i:end])
		list[i+n] = in[n]
		end = i
	}
	return list
}
