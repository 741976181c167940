package records

import (
	"iter"
	"slices"
	"strings"
)

// round is one change on its way through the steps of loading. The first one is
// about everything: what may be as long as all files is a list, not a map.
type round struct {
	first      bool
	everywhere bool            // all that was looked at on the disk is to be looked at again
	looked     []string        // or what lies in these
	sort       map[string]bool // folders whose lists changed
	gone       map[string]bool // record files
	came       []string        // record files; from merge on sorted, each once
	fresh      []string        // what is to be read, if it is a record; from merge on sorted, each once, with those that came

	site   bool // another one
	lost   bool // other folders cannot be read
	known  bool // other ids are known
	moves  []move
	flips  [4]map[string]bool // files whose being bad has changed
	retold map[string]bool
	disk   map[string]bool // what was looked at on the disk and is not as it was
}

// move is what became of the record of a file.
type move struct {
	file     string
	old, new any // nil: nothing was understood
	had, has bool
	spelling uint64 // the same for paths that differ only in upper and lower case
}

// more is by how many records there are more.
func (m *move) more() int {
	switch {
	case m.had == m.has:
		return 0
	case m.has:
		return 1
	}
	return -1
}

func newRound() *round {
	r := &round{sort: map[string]bool{}, gone: map[string]bool{}, retold: map[string]bool{}, disk: map[string]bool{}}
	for i := range r.flips {
		r.flips[i] = map[string]bool{}
	}
	return r
}

// move finds what became of the record of a file; nil: it is the same one.
func (r *round) move(file string) *move {
	i, found := slices.BinarySearchFunc(r.moves, file, func(m move, file string) int { return strings.Compare(m.file, file) })
	if !found {
		return nil
	}
	return &r.moves[i]
}

// touched yields the files whose records are others than before, each with what
// became of it, and those that differ in whether they may be used at a stage,
// with nil.
func (r *round) touched(level int) iter.Seq2[string, *move] {
	return func(yield func(string, *move) bool) {
		for i := range r.moves {
			if !yield(r.moves[i].file, &r.moves[i]) {
				return
			}
		}
		for file := range r.flips[level] {
			if r.move(file) == nil && !yield(file, nil) {
				return
			}
		}
	}
}
