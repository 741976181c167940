package records

import "hash/maphash"

// counts are what some changes do to the numbers of records that tell of an id,
// or name a file.
type counts struct {
	tallies  tallies
	attached map[string]int
	lower    []byte // a path in lower case
}

// add counts what became of one record.
func (c *counts) add(m *move, seed maphash.Seed) {
	if m.had {
		c.one(m.file, m.old, -1)
	}
	if m.has {
		c.one(m.file, m.new, 1)
	}
	m.spelling, c.lower = spellingOf(m.file, seed, c.lower)
}

func (c *counts) one(file string, record any, n int) {
	c.tallies.count(file, record, n)
	for name := range attachedTo(record) {
		c.attached[name] += n
	}
}

// spellingOf is the same for paths that differ only in upper and lower case. It
// takes a buffer and returns it.
func spellingOf(file string, seed maphash.Seed, buffer []byte) (uint64, []byte) {
	buffer = appendLower(buffer[:0], file)
	return maphash.Bytes(seed, buffer), buffer
}

// count follows what depends on which records there are.
func (x *Index) count(r *round) {
	newCounts := func() *counts { return &counts{tallies: tallies{}, attached: map[string]int{}} }
	parts := inParallel(len(r.moves), chunk, newCounts, func(c *counts, i int) { c.add(&r.moves[i], x.seed) })
	r.known = r.first
	for _, c := range parts {
		r.known = x.load.tallies.add(c.tallies) || r.known
		for name, n := range c.attached {
			x.countAttached(name, n)
		}
	}
	if r.first {
		x.spelled = make(map[uint64]int, len(r.moves))
	}
	for i := range r.moves {
		m := &r.moves[i]
		addTo(x.spelled, m.spelling, m.more())
		keep(x.blank, m.file, m.has && m.new == nil)
		keep(x.amending, m.file, m.has && amendedBy(m.new) != "")
	}
	if r.known {
		clear(x.load.known)
	}
}

// countAttached follows how many records name a file.
func (x *Index) countAttached(name string, n int) {
	addTo(x.attached, name, n)
	if _, found := x.loose[name]; found {
		x.loose[name] = x.attached[name] == 0
	}
}

// addTo adds to a number, of which zero is left out. It reports whether it was
// zero before or is now.
func addTo[K comparable](numbers map[K]int, key K, n int) bool {
	if n == 0 {
		return false
	}
	before := numbers[key]
	if before+n == 0 {
		delete(numbers, key)
		return true
	}
	numbers[key] = before + n
	return before == 0
}

func keep(set map[string]bool, name string, in bool) {
	if in {
		set[name] = true
	} else {
		delete(set, name)
	}
}
