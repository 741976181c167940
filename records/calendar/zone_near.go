package calendar

import (
	"archive/zip"
	"path"
	"strings"

	"plumbrule/records/spelling"
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
		distance := spelling.Distance(wanted, known)
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
