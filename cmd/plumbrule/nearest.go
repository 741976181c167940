package main

// nearest returns the name that text is most likely a slip for, the first of equal ones; empty if none is near: at most
// a third of the letters may differ, and at least one may.
func nearest(text string, names []string) string {
	best, found := max(1, len(text)/3), ""
	for _, name := range names {
		if d := distance(text, name); d < best || d == best && found == "" {
			best, found = d, name
		}
	}
	return found
}

// distance counts the letters to insert, delete, replace or swap with their neighbour to get from a to b (Damerau 1964,
// in the restricted form that edits no place twice).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	rows := make([][]int, len(s)+1)
	for i := range rows {
		rows[i] = make([]int, len(t)+1)
		for j := range rows[i] {
			switch {
			case i == 0:
				rows[i][j] = j
				continue
			case j == 0:
				rows[i][j] = i
				continue
			}
			change := 1
			if s[i-1] == t[j-1] {
				change = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(s)][len(t)]
}
