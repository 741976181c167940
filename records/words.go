package records

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// plain turns words into strings.
func plain[S ~string](list []S) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = string(s)
	}
	return out
}

// listWords writes words for people: "a", "b", "c".
func listWords[S ~string](list []S) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = strconv.Quote(string(s))
	}
	return strings.Join(out, ", ")
}

// sortedKeys returns the keys of a map in order.
func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	return slices.Sorted(maps.Keys(m))
}
