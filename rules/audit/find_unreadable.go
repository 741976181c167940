package audit

import (
	"fmt"
	"slices"
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
	for i := range f.Set.Unreadable {
		u := &f.Set.Unreadable[i]
		if !f.concerns(u.Kind, subjects[u.File]) {
			continue
		}
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
// is looked at. One of which nobody knows what it is about does, and so do those
// of a kind that may bear on any device: jobs, cases and procedures.
func (f *finder) concerns(kind string, subjects []string) bool {
	switch kind {
	case "device", "artifact", "check", "certificate", "event":
		return slices.ContainsFunc(subjects, func(s string) bool { return s == "" || f.looksAt(s) })
	default:
		return true
	}
}
