package records

import (
	"hash/maphash"
	"reflect"
	"slices"
	"strings"
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
	if _, found := slices.BinarySearch(r.fresh, SiteFile); !found {
		return
	}
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
	places := make([]int, 0, len(r.fresh))
	files := slices.DeleteFunc(r.fresh, func(file string) bool {
		i, found := seek(x.load.files, after(places), file)
		if found {
			places = append(places, i)
		} else if file != SiteFile {
			x.forgetBeside(file)
		}
		return !found
	})
	entries := x.tree.entries(files)
	at := x.instant()
	out := make([]reading, len(files))
	readers := inParallel(len(files), chunk, x.newReader(len(files)), func(rd *reader, i int) {
		if file := files[i]; !x.load.closed[file] {
			if rd.unseen = entries[i]; !rd.unseen.unseen {
				rd.unseen = nil
			}
			out[i].record, out[i].told, out[i].sum = readIn(x, rd, func(rd *reader) any { return rd.read(file) })
		}
	})
	if x.reader == nil {
		x.reader = readers[0]
	}
	x.reader.unseen = nil
	gone := len(r.moves)
	r.moves = slices.Grow(r.moves, len(files))
	came := 0
	for i, file := range files {
		var arrived bool
		if came, arrived = seek(r.came, came, file); arrived {
			came++
		}
		x.take(r, places[i], entries[i], arrived, out[i], at)
	}
	if gone > 0 {
		slices.SortFunc(r.moves, func(a, b move) int { return strings.Compare(a.file, b.file) })
	}
}

// after returns the place after the last of some.
func after(places []int) int {
	if len(places) == 0 {
		return 0
	}
	return places[len(places)-1] + 1
}

// take takes over what a file was found to hold, by its place in the list of
// files.
func (x *Index) take(r *round, place int, e *entry, came bool, got reading, at time.Time) {
	before := e.sum
	e.sum, e.safe = got.sum, got.sum != 0 && !e.unseen && e.id.settled(at)
	if !came && before != 0 && before == got.sum {
		return
	}
	file := x.load.files[place]
	r.moves = append(r.moves, move{file: file, old: x.load.records[place], new: got.record, had: !came, has: true})
	x.load.records[place] = got.record
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
	now := glance{id: e.id, safe: !e.unseen && e.id.settled(x.instant()), peeked: x.load.look(file)}
	now.safe = now.safe && now.read
	x.peeked[file] = now
	if !found || !reflect.DeepEqual(before.peeked, now.peeked) {
		delete(x.abouts, file)
		x.unreadable = true
	}
	return now.peeked
}
