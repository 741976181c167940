package records

import (
	"fmt"
	"io/fs"
	"path"
	"strings"
)

// outOfPlace reports what lies where it is not read, after the records were
// read: what it may be about is told by theirs.
func (l *loader) outOfPlace() {
	if l.attached == nil {
		l.attached, l.doubtful = l.attachments()
	}
	for _, name := range l.misplaced {
		l.misplacedRecord(name)
	}
	l.insteadOfFolders()
	for _, name := range l.hidden {
		message := "this hidden file is not read, and may be a record"
		if subjects := l.named(l.about(name)); subjects != "" {
			message += " about " + subjects
		}
		l.whole("hidden-record", name, message, "")
	}
	for _, e := range l.outside {
		l.outsideFolders(e)
	}
}

// misplacedRecord reports a record where none of its kind can lie.
func (l *loader) misplacedRecord(name string) {
	p := meantPlace(name)
	seen := l.peek(name)
	kind, where, mend := p.kind, "here", ""
	if len(seen.told) > 0 {
		kind = seen.told[0].kind
	}
	if !strings.EqualFold(path.Ext(name), suffix) {
		where, mend = "under this name", "; move it away if it is no record"
	}
	message := fmt.Sprintf("%s record cannot lie %s", article(kind), where)
	subjects := l.named(l.meant(p, seen.told, seen.parsed))
	switch {
	case !seen.parsed && ofSubject(p.kind) && len(seen.told) == 0 && subjects != p.subject:
		message += fmt.Sprintf("; what it is about cannot be read, so that all of these are taken to be meant: %s", subjects)
	case len(seen.told) > 0 && subjects != "" && subjects != p.subject:
		message += "; it may be about " + subjects
	}
	l.whole("misplaced-record", name, message, whereTo(kind)+mend)
}

// article writes a word with its indefinite article.
func article(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// whereTo says where the records of a kind lie.
func whereTo(kind string) string {
	for _, k := range Kinds() {
		if k.Name == kind {
			return "move it to " + k.Files
		}
	}
	return ""
}

// insteadOfFolders reports files where the folder of a subject or of a year
// belongs: a link to a folder becomes such a file where links are not
// supported.
func (l *loader) insteadOfFolders() {
	kept := l.others[:0]
	for _, name := range l.others {
		if l.attached[name] || !l.insteadOfFolder(name) {
			kept = append(kept, name)
			continue
		}
		l.lost = append(l.lost, name)
		var mode fs.FileMode
		if info, err := fs.Lstat(l.fsys, name); err == nil {
			mode = info.Mode().Type()
		}
		l.irregular(name, mode)
	}
	l.others = kept
}

func (l *loader) insteadOfFolder(name string) bool {
	parts := strings.Split(name, "/")
	kind, depth := kindIn(parts[0])
	base := parts[len(parts)-1]
	switch {
	case len(parts) >= depth:
		return false
	case len(parts) == 2 && ofSubject(kind):
		known := l.ids(kind)
		return known.has(base) || len(known.twins(base)) > 0 || goodID(base) && !strings.Contains(base, ".") && !strings.EqualFold(base, "readme")
	default:
		return isYear(base)
	}
}

// isYear reports whether a name is that of a year's folder.
func isYear(name string) bool {
	return len(name) == 4 && strings.Trim(name, "0123456789") == ""
}

// concealed keeps a hidden file that may be a record, unless the record itself
// lies beside it, and such files in a hidden folder.
func (l *loader) concealed(name string, e fs.DirEntry, beside []fs.DirEntry) {
	if e.IsDir() {
		l.tomlFiles(name, func(file string) bool {
			l.hidden = append(l.hidden, file)
			return true
		})
		return
	}
	if stem, ok := disguised(e.Name()); ok && e.Type().IsRegular() && !hasTwin(stem, beside) {
		l.hidden = append(l.hidden, name)
	}
}
