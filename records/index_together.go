package records

import (
	"slices"
	"strings"
)

// checkTogether checks anew what concerns several records at once, for those of
// which one has changed.
func (x *Index) checkTogether(r *round) {
	objects, dated, names, corrections := r.first, r.first, r.first, r.first
	spelled := map[uint64]bool{}
	if r.first {
		for key, n := range x.spelled {
			if n > 1 {
				spelled[key] = true
			}
		}
	} else {
		for file, m := range r.touched(badForRecords) {
			p, _ := placeOf(file)
			objects = objects || isObject(file)
			dated = dated || p.kind == "certificate" || p.kind == "event"
			corrections = corrections || x.amending[file] || m != nil && amendedBy(m.old) != ""
			if m == nil || m.had == m.has {
				continue
			}
			names = names || isObject(file) || p.kind == "job"
			if x.spelled[m.spelling] > 1 || x.told[atSpellings][file] != nil {
				spelled[m.spelling] = true
			}
		}
	}
	if objects {
		x.tellAll(r, atSerials, x.together(x.in("artifacts", "devices"), (*checker).serials))
	}
	if names {
		x.tellAll(r, atIDs, x.together(x.in("artifacts", "devices", "jobs"), (*checker).ids))
	}
	x.checkSpellings(r, spelled)
	if dated {
		x.tellAll(r, atReviews, x.together(x.in("certificates", "events"), (*checker).reviews))
	}
	before := x.corrected
	if corrections {
		x.tellAll(r, atCorrections, x.together(x.these(sortedKeys(x.amending)), func(c *checker) { x.corrected = c.corrections() }))
	}
	x.checkPairs(r, before)
}

// together makes one check of several records.
func (x *Index) together(l *loader, check func(*checker)) []Diagnostic {
	c := l.newChecker(x.known)
	check(c)
	return c.list
}

// checkSpellings looks at the paths of some spellings again.
func (x *Index) checkSpellings(r *round, spelled map[uint64]bool) {
	if len(spelled) == 0 {
		return
	}
	var buffer []byte
	among := func(file string) bool {
		var key uint64
		key, buffer = spellingOf(file, x.seed, buffer)
		return spelled[key]
	}
	var files []string
	for _, file := range x.load.files {
		if among(file) {
			files = append(files, file)
		}
	}
	list := x.together(x.some(x.load, files, make([]any, len(files))), (*checker).spellings)
	x.tellSome(r, atSpellings, list, among)
}

// checkPairs looks anew for records that cannot be told apart. before is what
// was corrected until now.
func (x *Index) checkPairs(r *round, before map[string]string) {
	k := *x.known
	k.bad = x.bad[badForPairs]
	certificates := r.first
	names := map[string]bool{} // of checks, without suffix
	touched := func(file string) {
		switch p, _ := placeOf(file); p.kind {
		case "certificate":
			certificates = true
		case "check":
			names[strings.TrimSuffix(file, suffix)] = true
		}
	}
	if !r.first {
		for file := range r.touched(badForPairs) {
			touched(file)
		}
		for _, both := range []map[string]string{before, x.corrected} {
			for name := range both {
				if before[name] != x.corrected[name] {
					touched(name + suffix)
				}
			}
		}
	}
	if certificates {
		c := x.in("certificates").newChecker(&k)
		c.numbers(x.corrected)
		x.tellAll(r, atNumbers, c.list)
	}
	switch {
	case r.first:
		c := x.load.newChecker(&k)
		c.instants(x.corrected)
		x.tellAll(r, atInstants, c.list)
	case len(names) > 0:
		files := x.numberedWith(names)
		c := x.these(sortedKeys(files)).newChecker(&k)
		c.instants(x.corrected)
		for name := range names {
			files[name+suffix] = true // also where it is gone
		}
		x.tellSome(r, atInstants, c.list, func(file string) bool { return files[file] })
	}
}

// numberedWith returns the files of some names, given without suffix, and all
// that share a name with them but for the number at its end. A name that ends in
// a number is one of its own as well.
func (x *Index) numberedWith(names map[string]bool) map[string]bool {
	files, seen := map[string]bool{}, map[string]bool{}
	queue := sortedKeys(names)
	for len(queue) > 0 {
		name := queue[0]
		queue = queue[1:]
		if seen[name] {
			continue
		}
		seen[name] = true
		if first, n := numbered(name + suffix); n > 1 {
			queue = append(queue, first)
		}
		i, found := slices.BinarySearch(x.load.files, name+suffix)
		if found {
			files[x.load.files[i]] = true
		}
		i, _ = slices.BinarySearch(x.load.files, name+"-")
		for ; i < len(x.load.files) && strings.HasPrefix(x.load.files[i], name+"-"); i++ {
			if first, n := numbered(x.load.files[i]); first == name && n > 1 {
				queue = append(queue, strings.TrimSuffix(x.load.files[i], suffix))
			}
		}
	}
	return files
}
