package calendar

import (
	"archive/zip"
	"path"
	"strings"
)

// nearestName gives the zone probably meant by an unknown name: the same but
// for case and blanks, the same city, or at most a third of the letters
// wrong; "" if there is none.
func nearestName(archive *zip.Reader, name string) string {
	wanted := plainName(name)
	city := path.Base(wanted)
	best, least := "", min(len(wanted)/3, 4)+1
	for _, file := range archive.File {
		known := plainName(file.Name)
		distance := editDistance(wanted, known)
		switch {
		case wanted == known:
			return file.Name
		case city == path.Base(known):
			distance = 0
		}
		if distance < least {
			best, least = file.Name, distance
		}
	}
	return best
}

// plainName takes away what people get wrong first. Longer names than any
// zone has are cut.
func plainName(name string) string {
	name = name[:min(len(name), 64)]
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), " ", "_")
}

// editDistance counts the bytes to insert, delete or replace (Levenshtein
// 1966).
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost = 1 + min(diagonal, row[j], row[j+1])
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(b)]
}
