// Package spelling guesses what a mistyped word was meant to be.
package spelling

import "strings"

// Nearest returns the candidate that a word is most likely a slip for, the
// first of equal ones, upper and lower case being the same; nothing when none
// is near: at most a third of the letters may differ, so that words of one or
// two letters, such as units, are never guessed.
func Nearest(word string, candidates []string) string {
	best, found := len([]rune(word))/3+1, ""
	for _, c := range candidates {
		if n := Distance(strings.ToLower(word), strings.ToLower(c)); n < best {
			best, found = n, c
		}
	}
	return found
}

// Distance counts the letters to insert, delete, replace or swap with their
// neighbour to get from a to b (Damerau 1964, in the restricted form that edits
// no place twice).
func Distance(a, b string) int {
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
