package records

import (
	"path"
)

// strays reports files in records folders that are neither records nor
// attachments of one. In a folder where a record could not be understood
// nothing is reported: the file may belong to that one.
func (l *loader) strays() {
	attached, doubtful := map[string]bool{}, map[string]bool{}
	for i, r := range l.records {
		switch r := r.(type) {
		case nil:
			doubtful[path.Dir(l.files[i])] = true
		case *Certificate:
			if r.Attachment != nil {
				attached[r.Attachment.File] = true
			}
		case *Check:
			if r.Scan != nil {
				attached[r.Scan.File] = true
			}
		}
	}
	for _, name := range l.others {
		if attached[name] || doubtful[path.Dir(name)] || path.Base(name) == "README.md" {
			continue
		}
		l.whole("stray-file", name, "this file is not read: it is no .toml file, and no record names it as its attachment", "")
	}
}
