package audit

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// files reports files that records name and that are not there or are others,
// where they were looked at.
func (f *finder) files() {
	if f.Looks == nil {
		return
	}
	for _, id := range f.subjects() {
		for _, c := range f.known.Certificates[id] {
			if c.Attachment != nil {
				f.file(id, *c.Attachment, rules.Source{File: c.File})
			}
		}
	}
	for _, id := range f.devices {
		for _, k := range f.known.Checks[id] {
			for _, s := range k.Scans {
				if f.within(k.Time) {
					f.file(id, records.Attachment{File: s.File, SHA256: s.SHA256, Size: s.Size}, rules.Source{File: k.File, Line: s.Line})
				}
			}
		}
	}
}

// file reports one that was looked at. Of scans kept in an archive elsewhere
// the caller gives no look, and nothing is said.
func (f *finder) file(id string, a records.Attachment, source rules.Source) {
	l, looked := f.Looks[trace.FileKey(a)]
	if !looked {
		return
	}
	code, why := "file-lost", "is not in the repository"
	switch l.State {
	case trace.Same:
		return
	case trace.Differs:
		code, why = "file-altered", "is another file than the one recorded"
		if l.SHA256 != "" {
			why += ": its SHA-256 is " + l.SHA256
		}
	case trace.Outside:
		why = "leads out of the repository"
	case trace.Unseen:
		why = "was not compared with its SHA-256"
	case trace.Missing:
	}
	if l.Why != "" {
		why = l.Why
	}
	f.add(code, id, fmt.Sprintf("%s %s", a.File, why), source)
}
