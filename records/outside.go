package records

import (
	"fmt"
	"io/fs"
	"path"
	"strings"

	"plumbrule/records/spelling"
)

// beside keeps what lies beside the records folders, and may be records that
// are not read. Folders for drafts, and hidden ones, are nobody's business.
func (l *loader) beside(e fs.DirEntry) {
	name := e.Name()
	if !hidden(name) && name != "templates" && name != "inbox" && (e.IsDir() || e.Type().IsRegular()) {
		l.outside = append(l.outside, e)
	}
}

// outsideFolders reports a folder whose name is nearly that of a records
// folder, a folder that holds records, and a record in the repository's root.
func (l *loader) outsideFolders(e fs.DirEntry) {
	name := e.Name()
	if !e.IsDir() {
		if strings.EqualFold(path.Ext(name), suffix) {
			if seen := l.peek(name); seen.record() {
				l.whole("stray-file", name, "this record"+l.maybeAbout(seen)+" is not read: it lies beside the records folders", whereTo(seen.told[0].kind))
			}
		}
		return
	}
	if near := spelling.Nearest(name, recordFolders()); near != "" && spelling.Distance(strings.ToLower(name), near) <= 2 {
		l.whole("stray-folder", name, fmt.Sprintf("the folder %s is not read", name), fmt.Sprintf("rename it if %s is meant", near))
		return
	}
	l.tomlFiles(name, func(file string) bool {
		seen := l.peek(file)
		if seen.record() {
			l.whole("stray-folder", name, fmt.Sprintf("the folder %s is not read, and holds records, such as one%s in %s", name, l.maybeAbout(seen), file),
				"move its records to where records of their kind lie, or the folder out of the repository")
		}
		return !seen.record()
	})
}

// maybeAbout names what is known of what a record outside the records folders
// is about.
func (l *loader) maybeAbout(seen peeked) string {
	if subjects := l.named(l.meant(place{}, seen.told, true)); subjects != "" {
		return " about " + subjects
	}
	return ""
}

// tomlFiles calls f for the ordinary .toml files in and below a folder, until
// it returns false. Links are not followed.
func (l *loader) tomlFiles(folder string, f func(string) bool) bool {
	entries, err := fs.ReadDir(l.fsys, folder)
	if err != nil {
		return true
	}
	for _, e := range entries {
		name := folder + "/" + e.Name()
		switch {
		case e.IsDir():
			if !l.tomlFiles(name, f) {
				return false
			}
		case e.Type().IsRegular() && strings.EqualFold(path.Ext(name), suffix):
			if !f(name) {
				return false
			}
		}
	}
	return true
}
