package records

import (
	"fmt"
	"hash/maphash"
	"io/fs"
	"slices"
	"time"
)

// Index keeps a repository's records between changes, so that one changed file
// costs the reading of one file. After every call of [OpenIndex], [Index.Update]
// and [Index.Rescan] its [Index.Set] is what [Load] would return for the files
// as they are: the same set and the same diagnostics in the same order.
//
// # How
//
// The index remembers each folder's list with size, times and inode of all that
// lies there, each file's record, and what stands against it, apart by the step
// of loading that found it. A change is followed step by step: folders whose
// lists changed are sorted anew, files whose identity changed are read, and a
// check between records is made again where something it looked at has changed.
// What records look at is known from the record itself (its device, artifact
// and procedure) or was noted when it was checked (everything else: corrected
// records, attachments, the lists of names behind "did you mean"). Checks of
// several records at once are made again for the group that one of them belongs
// to, as the records with one serial number.
//
// # What it costs
//
// Reading and checking costs as much as for the changed files alone, and for
// what refers to them: all checks by a procedure when it is changed, everything
// when the site is. Besides, each change costs a copy of the lists that it
// changes in the set (pointers, see below), and a walk over the devices,
// artifacts or certificates where one of those was changed. What a file is
// beside the records (attachments apart) is looked at with every change.
// [Index.Rescan] lists every folder and looks at, but does not read, every file.
// An index takes about 200 bytes a record more than the set alone.
//
// # Snapshots
//
// A set handed out is never changed. The next one shares with it all records
// and lists that are the same, so that comparing pointers tells what changed,
// see [Difference].
//
// An Index is for one goroutine at a time; sets it has handed out are for any.
type Index struct {
	options Options
	now     func() time.Time
	tree    *tree
	load    *loader // files and records as they are now; the rest of it as far as it is settled
	reader  *reader // kept for the strings that records repeat
	seed    maphash.Seed
	found   bool // there is a repository at all

	outside  []fs.DirEntry // as in loader
	loose    map[string]bool
	attached map[string]int  // how many records name a file
	odd      map[string]bool // folders with oddities
	blank    map[string]bool // files of which nothing was understood
	amending map[string]bool // files that correct others
	spelled  map[uint64]int  // how many paths there are of one spelling
	peeked   map[string]glance
	beside   map[string][]Diagnostic // about folders beside those of records

	known     *known            // objects, as the checks of other records see them
	corrected map[string]string // as corrections returns it
	lookups   lookupTable

	told [stages]map[string][]Diagnostic // by file
	bad  [4]map[string]bool              // files with errors told until the stages in untilStage

	abouts     map[string][]place
	reported   []string                // files with diagnostics, sorted
	byFile     map[string][]Diagnostic // sorted
	set        *Set
	list       []Diagnostic
	shown      *Set // set and list, or what is told when there is no repository
	shownTold  []Diagnostic
	unreadable bool // Unreadable of the set is to be made anew
}

// OpenIndex reads the repository at the root of fsys as [Load] does and keeps
// what it needs to follow changes. now is asked when files are read: one that
// was written within 2 s of being read is read again by the next [Index.Rescan],
// since a further change in that time may not show in its times. It must be the
// clock that the file system goes by; without one (nil) every rescan reads every
// file.
func OpenIndex(fsys fs.FS, options Options, now func() time.Time) *Index {
	t := newTree(fsys)
	x := &Index{
		options: options, now: now, tree: t, load: newLoader(fsys, options), seed: maphash.MakeSeed(),
		loose: map[string]bool{}, attached: map[string]int{}, odd: map[string]bool{}, blank: map[string]bool{}, amending: map[string]bool{},
		spelled: map[uint64]int{}, peeked: map[string]glance{}, beside: map[string][]Diagnostic{}, corrected: map[string]string{},
		lookups: newLookupTable(), abouts: map[string][]place{}, byFile: map[string][]Diagnostic{}, set: newSet(), shown: newSet(),
	}
	x.load.tallies, x.load.peeks, x.load.attached = tallies{}, x.peek, map[string]bool{}
	for s := range x.told {
		x.told[s] = map[string][]Diagnostic{}
	}
	for i := range x.bad {
		x.bad[i] = map[string]bool{}
	}
	r := newRound()
	r.first = true
	x.relist(r, ".")
	x.settle(r)
	return x
}

// Set returns the set and the diagnostics, as [Load] does. Neither may be
// changed.
func (x *Index) Set() (*Set, []Diagnostic) { return x.shown, x.shownTold }

// Rescan lists every folder again and reads the files whose size, times or
// inode have changed, and those that were read within 2 s of being written. It
// finds what no event told, and says what it found.
func (x *Index) Rescan() Change {
	r := newRound()
	r.everywhere = true
	x.relist(r, ".")
	if x.tree.folders["."].err == nil {
		x.relistBelow(r, ".")
	}
	for name := range x.peeked {
		if x.tree.entry(name) == nil {
			delete(x.peeked, name)
		}
	}
	return x.settle(r)
}

// Update reads the files named again, lists the folders named and all below
// them, and takes away what is no longer there; a path may be that of anything,
// also of what is gone. What is new above a path is found as well. Anything else
// is taken to be as it was. Paths are those of package fs, from the repository's
// root; another one is an error, and then nothing is done.
func (x *Index) Update(paths ...string) (Change, error) {
	for _, name := range paths {
		if !fs.ValidPath(name) {
			return Change{}, fmt.Errorf("%q is no path from the repository's root; write it with forward slashes and without a leading one", name)
		}
	}
	if slices.Contains(paths, ".") || !x.found {
		return x.Rescan(), nil
	}
	r := newRound()
	for _, name := range paths {
		x.named(r, name)
	}
	return x.settle(r), nil
}

// settle carries a change through the steps of loading, in their order.
func (x *Index) settle(r *round) Change {
	x.sortFolders(r)
	x.merge(r)
	x.readSite(r)
	x.read(r)
	x.count(r)
	x.outOfPlace(r)
	x.checkObjects(r)
	x.checkRecords(r)
	x.checkTogether(r)
	return x.publish(r)
}
