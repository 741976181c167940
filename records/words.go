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

// nearest returns the candidate nearest to the word by edit distance, or
// nothing when none is near enough to be what was meant: one slip in three
// letters. Shorter words, such as units, are never guessed.
func nearest(word string, candidates []string) string {
	best, found := len([]rune(word))/3+1, ""
	for _, c := range candidates {
		if n := distance(strings.ToLower(word), strings.ToLower(c)); n < best {
			best, found = n, c
		}
	}
	return found
}

// distance counts the insertions, deletions, replacements and swaps of
// neighbours that lead from a to b (optimal string alignment).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before := make([]int, len(y)+1)
	last := make([]int, len(y)+1)
	next := make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		next[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			next[j] = min(last[j]+1, next[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, last, next = last, next, before
	}
	return last[len(y)]
}

// sortedKeys returns the keys of a map in order.
func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	return slices.Sorted(maps.Keys(m))
}
