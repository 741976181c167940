package records

import (
	"slices"
	"strings"
)

// merge takes the files that came and went into the list of all.
func (x *Index) merge(r *round) {
	gone := sortedKeys(r.gone)
	out := make([]int, 0, len(gone))
	for _, file := range gone {
		i, found := slices.BinarySearch(x.load.files, file)
		if !found {
			continue
		}
		out = append(out, i)
		r.moves = append(r.moves, move{file: file, old: x.load.records[i], had: true})
		x.note(file, nil)
		x.tell(r, atRead, file, nil)
		x.tell(r, atRecords, file, nil)
	}
	x.load.files = without(x.load.files, out)
	x.load.records = without(x.load.records, out)
	r.came = sortedOnce(r.came)
	r.fresh = union(sortedOnce(r.fresh), r.came)
	at := make([]int, len(r.came))
	for i, file := range r.came {
		at[i], _ = slices.BinarySearch(x.load.files, file)
	}
	x.load.files = with(x.load.files, at, r.came)
	x.load.records = with(x.load.records, at, make([]any, len(r.came)))
}

// sortedOnce sorts a list and leaves out what is in it already.
func sortedOnce(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}

// union joins two sorted lists.
func union(a, b []string) []string {
	out := make([]string, 0, max(len(a), len(b)))
	for len(a) > 0 && len(b) > 0 {
		order := 0
		if a[0] != b[0] {
			order = strings.Compare(a[0], b[0])
		}
		if order <= 0 {
			out, a = append(out, a[0]), a[1:]
		}
		if order > 0 {
			out = append(out, b[0])
		}
		if order >= 0 {
			b = b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// seek returns the place of a name in a sorted list and whether it is there,
// where that place is not before one known, and probably at it.
func seek(list []string, from int, name string) (int, bool) {
	if from < len(list) && list[from] == name {
		return from, true
	}
	i, found := slices.BinarySearch(list[from:], name)
	return from + i, found
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
