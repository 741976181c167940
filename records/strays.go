package records

import (
	"iter"
	"path"
)

// attachments lists the files that records name, and the folders with a record
// that could not be understood: a file there may belong to that one.
func (l *loader) attachments() (attached, doubtful map[string]bool) {
	attached, doubtful = map[string]bool{}, map[string]bool{}
	for i, r := range l.records {
		if r == nil {
			doubtful[path.Dir(l.files[i])] = true
		}
		for name := range attachedTo(r) {
			attached[name] = true
		}
	}
	return attached, doubtful
}

// attachedTo yields the files that a record names as belonging to it.
func attachedTo(record any) iter.Seq[string] {
	return func(yield func(string) bool) {
		switch r := record.(type) {
		case *Certificate:
			if r.Attachment != nil {
				yield(r.Attachment.File)
			}
		case *Check:
			for i := range r.Scans {
				if !yield(r.Scans[i].File) {
					return
				}
			}
		}
	}
}

// strays reports files in records folders that are neither records nor
// attachments of one: as an error those that are records under another name,
// and only these in a folder where a record could not be understood.
func (l *loader) strays() {
	for _, name := range l.others {
		if l.attached[name] || path.Base(name) == "README.md" {
			continue
		}
		if l.disguised[name] || l.recordInside(name) {
			l.misplaced = append(l.misplaced, name)
			l.misplacedRecord(name)
			continue
		}
		if l.doubtful[path.Dir(name)] {
			continue
		}
		l.whole("stray-file", name, "this file is not read: it is no .toml file, and no record names it as its attachment", "")
	}
}

// recordInside reports whether a file without a record's suffix holds a record,
// and is not the copy of one that lies beside it.
func (l *loader) recordInside(name string) bool {
	if _, ok := disguised(path.Base(name)); ok {
		return false // with the record itself beside it
	}
	seen := l.peek(name)
	return seen.record()
}
