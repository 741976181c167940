package audit

import (
	"fmt"
	"strings"

	"plumbrule/rules"
)

// unreadable reports records that cannot be used, each file once, some by what
// an auditor calls it.
func (f *finder) unreadable() {
	subjects := map[string][]string{}
	for i := range f.Set.Unreadable {
		u := &f.Set.Unreadable[i]
		subjects[u.File] = append(subjects[u.File], u.Subject)
	}
	said := map[string]bool{}
	for i := range f.Set.Unreadable {
		u := &f.Set.Unreadable[i]
		if said[u.File] || !f.concerns(subjects[u.File]) {
			continue
		}
		said[u.File] = true
		code := "unusable-record"
		switch u.Code {
		case "path-missing":
			code = "check-without-path"
		case "temperature-missing":
			code = "check-without-temperature"
		case "duplicate-serial":
			code = "serial-twice"
		case "attachment-differs":
			code = "file-altered"
		case "unknown-device":
			if u.Kind == "job" {
				code = "job-device-unlisted"
			}
		case "missing-key":
			if strings.HasPrefix(u.Message, "key by is missing") {
				code = "initials-missing"
			}
		}
		subject := u.File
		if list := subjects[u.File]; len(list) == 1 && list[0] != "" {
			subject = list[0]
		}
		f.add(code, subject, fmt.Sprintf("%s cannot be used: %s", u.File, u.Message), rules.Source{File: u.File, Line: int(u.Position.Line)})
	}
}

// concerns reports whether a file that may be about some subjects bears on what
// is looked at. One of which nobody knows what it is about bears on everything,
// as does a job: it may be of any device.
func (f *finder) concerns(subjects []string) bool {
	for _, s := range subjects {
		_, device := f.Set.Devices[s]
		_, artifact := f.Set.Artifacts[s]
		if s == "" || !device && !artifact || f.looksAt(s) {
			return true
		}
	}
	return false
}
