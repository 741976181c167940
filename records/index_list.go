package records

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// relist lists one folder again and notes what is not as it was.
func (x *Index) relist(r *round, name string) {
	at := x.instant()
	x.relisted(r, name, x.tree.list(name, x.tree.folders[name]), at)
}

// relistAll is relist for several folders, none in another. One in which
// everything stands is left as it is.
func (x *Index) relistAll(r *round, names []string) {
	at := x.instant()
	before, now := make([]*folder, len(names)), make([]*folder, len(names))
	for i, name := range names {
		before[i] = x.tree.folders[name]
	}
	inParallel(len(names), 1, none, func(_ struct{}, i int) {
		if now[i] = before[i]; !x.stands(names[i], before[i]) {
			now[i] = x.tree.list(names[i], before[i])
		}
	})
	for i, name := range names {
		if before[i] == nil || now[i] != before[i] {
			x.relisted(r, name, now[i], at)
		}
	}
}

// relisted takes over the list of a folder that was made after an instant.
func (x *Index) relisted(r *round, name string, now *folder, at time.Time) {
	before := x.tree.folders[name]
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
			r.fresh = append(r.fresh, now[0].path)
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
	r.fresh = append(r.fresh, now.path)
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

// relistBelow lists all remembered folders below one again: those above before
// those in them, which may be gone with them, or be something else now.
func (x *Index) relistBelow(r *round, above string) {
	var levels [][]string
	for name := range x.tree.folders {
		if name == above || !inside(name, above) {
			continue
		}
		depth := strings.Count(name, "/")
		for len(levels) <= depth {
			levels = append(levels, nil)
		}
		levels[depth] = append(levels[depth], name)
	}
	for _, names := range levels {
		x.relistAll(r, slices.DeleteFunc(names, func(name string) bool { return x.tree.folders[name] == nil }))
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
		r.fresh = append(r.fresh, name)
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
