package records

import (
	"io/fs"
	"slices"
	"strings"
)

// LookFS is a file system in which looking at all that lies in a folder costs
// less than a call of [fs.ReadDir] and one of Info for each entry. An [Index]
// looks in this way through the folders that it knows; where the file system is
// none it lists them.
type LookFS interface {
	fs.FS
	// Look calls see for each thing in a folder, in any order, until it returns
	// false. An entry and what its Info returns hold during that call alone. An
	// error says that the folder could not be looked through to its end.
	Look(folder string, see func(fs.DirEntry) bool) error
}

// stands reports whether everything in a remembered folder is as it was when it
// was listed and read, so that listing it again would tell nothing. Where that
// is not sure it says no.
func (x *Index) stands(name string, f *folder) bool {
	below, can := x.tree.below.(LookFS)
	if _, ofRecords := sortedWith(name); !can || !ofRecords || name == "." || f == nil || f.err != nil {
		return false // what lies beside the records is looked at anew every time
	}
	left := make([]bool, len(f.entries)) // not met yet: a folder that changes meanwhile may show one thing twice
	for i := range left {
		left[i] = true
	}
	met, same := 0, true
	err := below.Look(name, func(now fs.DirEntry) bool {
		i, found := f.nth(met, now.Name())
		if same = found && left[i] && x.unchanged(&f.entries[i], now); same {
			left[i] = false
			met++
		}
		return same
	})
	return err == nil && same && met == len(f.entries)
}

// nth returns the place of the nth entry that a look meets. They mostly come in
// the same order, which is remembered: finding each anew would cost a seventh of
// the look.
func (f *folder) nth(n int, name string) (int, bool) {
	if n < len(f.order) {
		if i := int(f.order[n]); i < len(f.entries) && base(f.entries[i].path) == name {
			return i, true
		}
	}
	i, found := f.find(name)
	if found {
		f.order = append(f.order[:min(n, len(f.order))], int32(i))
	}
	return i, found
}

// unchanged reports whether a remembered entry is as it was, and what was read of
// it cannot have changed since.
func (x *Index) unchanged(e *entry, now fs.DirEntry) bool {
	if e.id.mode.IsDir() {
		return now.IsDir() // what lies in it is looked at itself
	}
	info, err := now.Info()
	if err != nil || identityOf(info) != e.id {
		return false
	}
	if e.safe {
		return true
	}
	_, isRecord := slices.BinarySearchFunc(x.load.files, e.path, strings.Compare)
	return !isRecord && !e.isLink() // or nothing of it was read
}
