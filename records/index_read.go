package records

import (
	"hash/maphash"
	"reflect"
	"slices"
	"time"
)

// instant is when something is read.
func (x *Index) instant() time.Time {
	if x.now == nil {
		return time.Time{} // nothing is settled
	}
	return x.now()
}

// readSite reads plumbrule.toml where it may have changed.
func (x *Index) readSite(r *round) {
	if !r.fresh[SiteFile] {
		return
	}
	delete(r.fresh, SiteFile)
	var site *Site
	var told []Diagnostic
	e := x.tree.entry(SiteFile)
	if e != nil && !x.load.closed[SiteFile] {
		at, before := x.instant(), e.sum
		site, told, e.sum = readIn(x, x.ownReader(), (*reader).site)
		if e.safe = e.sum != 0 && e.id.settled(at); before != 0 && e.sum == before {
			return
		}
	}
	r.site = true
	x.load.set.Site = site
	x.tell(r, atRead, SiteFile, told)
}

// reading is what came of reading a file.
type reading struct {
	record any
	told   []Diagnostic
	sum    uint64 // of the content; 0: it could not be read
}

// read reads the files that may have changed.
func (x *Index) read(r *round) {
	files := sortedKeys(r.fresh)
	files = slices.DeleteFunc(files, func(file string) bool {
		_, found := slices.BinarySearch(x.load.files, file)
		if !found {
			x.forgetBeside(file)
		}
		return !found
	})
	at := x.instant()
	out := make([]reading, len(files))
	readers := inParallel(len(files), x.newReader(len(files)), func(rd *reader, i int) {
		if file := files[i]; !x.load.closed[file] {
			out[i].record, out[i].told, out[i].sum = readIn(x, rd, func(rd *reader) any { return rd.read(file) })
		}
	})
	if x.reader == nil {
		x.reader = readers[0]
	}
	for i, file := range files {
		x.take(r, file, out[i], at)
	}
}

// take takes over what a file was found to hold.
func (x *Index) take(r *round, file string, got reading, at time.Time) {
	e := x.tree.entry(file)
	before := e.sum
	e.sum, e.safe = got.sum, got.sum != 0 && e.id.settled(at)
	m, moved := r.moves[file]
	if !moved && before != 0 && before == got.sum {
		return
	}
	i, _ := slices.BinarySearch(x.load.files, file)
	if !moved {
		m = move{old: x.load.records[i], had: true, has: true}
	}
	m.new = got.record
	x.load.records[i] = got.record
	r.moves[file] = m
	x.tell(r, atRead, file, got.told)
}

// readIn reads a file, with what is told of it and a sum of its content.
func readIn[T any](x *Index, rd *reader, read func(*reader) T) (record T, told []Diagnostic, sum uint64) {
	rd.findings = findings{codes: rd.codes}
	record = read(rd)
	told = rd.list
	for i := range told {
		if told[i].Code == "file-unreadable" {
			return record, told, 0
		}
	}
	return record, told, maphash.Bytes(x.seed, rd.buffer) | 1
}

// mostWords is the number of repeated strings above which the index starts to
// collect them anew: those of files that are gone would pile up.
const mostWords = 1 << 16

// ownReader returns the reader that is kept between changes.
func (x *Index) ownReader() *reader {
	if x.reader == nil || len(x.reader.words) > mostWords {
		x.reader = x.load.newReader()
	}
	return x.reader
}

// newReader makes readers for so many files: the one kept, where one is enough.
func (x *Index) newReader(files int) func() *reader {
	if files < chunk {
		return x.ownReader
	}
	return x.load.newReader
}

// count follows what depends on which records there are.
func (x *Index) count(r *round) {
	r.known = r.first
	for file, m := range r.moves {
		if m.had {
			r.known = x.load.tallies.count(file, m.old, -1) || r.known
			if key := x.spelling(file); x.spelled[key] > 1 {
				x.spelled[key]--
			} else {
				delete(x.spelled, key)
			}
			x.countAttached(m.old, -1)
		}
		if m.has {
			r.known = x.load.tallies.count(file, m.new, 1) || r.known
			x.spelled[x.spelling(file)]++
			x.countAttached(m.new, 1)
		}
		keep(x.blank, file, m.has && m.new == nil)
		keep(x.amending, file, m.has && amendedBy(m.new) != "")
	}
	if r.known {
		clear(x.load.known)
	}
}

func keep(set map[string]bool, name string, in bool) {
	if in {
		set[name] = true
	} else {
		delete(set, name)
	}
}

func (x *Index) countAttached(record any, n int) {
	for name := range attachedTo(record) {
		if x.attached[name] += n; x.attached[name] == 0 {
			delete(x.attached, name)
		}
		if _, found := x.loose[name]; found {
			x.loose[name] = x.attached[name] == 0
		}
	}
}

// spelling is the same for paths that differ only in upper and lower case.
func (x *Index) spelling(file string) uint64 {
	x.lower = appendLower(x.lower[:0], file)
	return maphash.Bytes(x.seed, x.lower)
}

// glance is what a file that is no record in use was seen to be about.
type glance struct {
	id   identity
	safe bool
	peeked
}

// peek is loader's, which reads a file again only where it may have changed.
func (x *Index) peek(file string) peeked {
	e := x.tree.entry(file)
	if e == nil {
		return x.load.look(file)
	}
	before, found := x.peeked[file]
	if found && before.safe && before.id == e.id {
		return before.peeked
	}
	now := glance{id: e.id, safe: e.id.settled(x.instant()), peeked: x.load.look(file)}
	now.safe = now.safe && now.read
	x.peeked[file] = now
	if !found || !reflect.DeepEqual(before.peeked, now.peeked) {
		delete(x.abouts, file)
		x.unreadable = true
	}
	return now.peeked
}
