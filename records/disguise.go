package records

import (
	"io/fs"
	"path"
	"slices"
	"strings"
)

// hidden reports whether a file name is one that editors and systems leave
// beside records.
func hidden(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasSuffix(name, "~") || strings.HasPrefix(name, "#")
}

// disguised tells whether the name of a file is that of a record with something
// around it, as .x.toml, #x.toml#, x.toml~, x.toml.bak or "x.toml " are, and
// returns the stem of that record: x.
func disguised(name string) (stem string, ok bool) {
	name = strings.TrimLeft(name, ".# ")
	i := indexFold(name, suffix)
	if i <= 0 {
		return "", false
	}
	if rest := name[i+len(suffix):]; rest != "" && (rest[0] >= 'a' && rest[0] <= 'z' || rest[0] >= 'A' && rest[0] <= 'Z' || rest[0] >= '0' && rest[0] <= '9') {
		return "", false
	}
	return name[:i], true
}

// indexFold returns the place of the first part of a name that differs from one
// in plain letters at most in upper and lower case; -1 if there is none. The name
// in lower case would not do: where it is no UTF-8 it is longer.
func indexFold(name, part string) int {
	for i := 0; i+len(part) <= len(name); i++ {
		if strings.EqualFold(name[i:i+len(part)], part) {
			return i
		}
	}
	return -1
}

// hasTwin reports whether the record lies in the folder under its plain name.
func hasTwin(stem string, entries []fs.DirEntry) bool {
	return slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == stem+suffix })
}

// meantPlace is the place of a file by its path, for one under a disguised name
// that of the record it may be.
func meantPlace(file string) place {
	p, _ := placeOf(file)
	if stem, ok := disguised(path.Base(file)); ok {
		p.stem = stem
		if !ofSubject(p.kind) {
			p.subject = stem
		}
	}
	return p
}
