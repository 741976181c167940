package records

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// walk lists the files of the records folders; it returns false where there is
// no repository.
func (l *loader) walk() bool {
	entries, err := fs.ReadDir(l.fsys, ".")
	if err != nil {
		l.whole("file-unreadable", ".", "the folder cannot be read: "+plainReason(err), "")
		return false
	}
	folders, found := l.inRoot(entries)
	for _, name := range folders {
		l.walkFolder(name)
	}
	slices.Sort(l.files)
	return found
}

// inRoot sorts what lies in the repository's root and returns the folders of
// records; found is false where there is no repository.
func (l *loader) inRoot(entries []fs.DirEntry) (folders []string, found bool) {
	if !slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == SiteFile }) {
		l.whole("site-missing", SiteFile, "there is no "+SiteFile+" here", "")
		return nil, false
	}
	for _, e := range entries {
		name := e.Name()
		kind, _ := kindIn(name)
		switch {
		case name == SiteFile:
			if !e.Type().IsRegular() {
				l.closed[name] = true
				l.irregular(name, e.Type())
			}
		case kind == "":
			l.beside(e)
		case e.IsDir():
			folders = append(folders, name)
		default:
			l.lost = append(l.lost, name)
			l.irregular(name, e.Type())
		}
	}
	return folders, true
}

func (l *loader) walkFolder(folder string) {
	entries, err := fs.ReadDir(l.fsys, folder)
	for _, name := range l.inFolder(folder, entries, err) {
		l.walkFolder(name)
	}
}

// inFolder sorts what lies in a folder of records, or reports the error that
// kept its entries from being listed, and returns the folders below.
func (l *loader) inFolder(folder string, entries []fs.DirEntry, err error) (below []string) {
	if err != nil {
		l.whole("file-unreadable", folder, "the folder cannot be read: "+plainReason(err), "")
		l.lost = append(l.lost, folder)
		return nil
	}
	for _, e := range entries {
		name := pathIn(folder, e)
		switch {
		case hidden(e.Name()):
			l.concealed(name, e, entries)
		case e.IsDir():
			if _, ok := placeOf(name); ok {
				l.sort(name, e.Type(), entries)
			}
			below = append(below, name)
		default:
			l.sort(name, e.Type(), entries)
		}
	}
	return below
}

// pathIn returns the path of what lies in a folder. An index has it already, and
// keeps one text for it.
func pathIn(folder string, e fs.DirEntry) string {
	if known, ok := e.(dirEntry); ok {
		return known.path
	}
	return folder + "/" + e.Name()
}

// sort decides what a file in a records folder is; beside are the entries of
// its folder.
func (l *loader) sort(name string, mode fs.FileMode, beside []fs.DirEntry) {
	_, ok := placeOf(name)
	_, depth := kindIn(name[:strings.IndexByte(name, '/')])
	if !mode.IsRegular() {
		l.closed[name] = true
	}
	switch {
	case ok:
		l.files = append(l.files, name)
		if !mode.IsRegular() {
			l.irregular(name, mode)
		}
	case mode&fs.ModeSymlink != 0 && strings.Count(name, "/")+1 < depth:
		l.lost = append(l.lost, name)
		l.irregular(name, mode)
	case strings.EqualFold(path.Ext(name), suffix):
		l.misplaced = append(l.misplaced, name)
	default:
		l.others = append(l.others, name)
		if stem, ok := disguised(path.Base(name)); ok && !hasTwin(stem, beside) {
			l.disguised[name] = true
		}
	}
}

// irregular reports a link, or something else that is no file, where records
// are expected.
func (l *loader) irregular(name string, mode fs.FileMode) {
	if mode&fs.ModeSymlink == 0 {
		l.whole("file-unreadable", name, irregularKind(mode), "put the file or folder itself there")
		return
	}
	code, message := "symbolic-link", "a symbolic link"
	if target, err := fs.ReadLink(l.fsys, name); err == nil {
		message += " to " + target + ", expected the thing itself"
		if path.IsAbs(target) || !fs.ValidPath(path.Join(path.Dir(name), target)) {
			code, message = "link-outside", "a symbolic link out of the repository, to "+target
		}
	}
	l.whole(code, name, message, "")
}

func irregularKind(mode fs.FileMode) string {
	switch {
	case mode.IsDir():
		return "a folder, expected a file"
	case mode.IsRegular():
		return "a file, expected a folder of records"
	case mode&fs.ModeNamedPipe != 0:
		return "a named pipe, expected a file"
	case mode&fs.ModeSocket != 0:
		return "a socket, expected a file"
	}
	return "neither file nor folder, expected a file"
}

// plainReason leaves out of an error what the diagnostic says already.
func plainReason(err error) string {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}
