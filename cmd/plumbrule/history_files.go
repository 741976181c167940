package main

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/records/history"
	"plumbrule/records/spelling"
)

// historyFile is a file with its past and what the records say about it.
type historyFile struct {
	*history.File
	kind    string       // of record; "attached" for a file that records name or that lies among them
	subject string       // device, artifact, or the record itself
	devices []string     // of a job; of a step of a case: what that was opened about
	amended []string     // files of the records that correct it
	since   map[int]bool // commits whose changes count; nil: all
}

// afterwards lists what happened to the file after it was added, as far as it counts.
func (f *historyFile) afterwards() []history.Change {
	return slices.DeleteFunc(f.Afterwards(), func(c history.Change) bool { return f.since != nil && !f.since[c.Commit] })
}

// touched tells whether the file was added or anything happened to it, as far as it counts.
func (f *historyFile) touched() bool {
	return f.since == nil || slices.ContainsFunc(f.Changes, func(c history.Change) bool { return f.since[c.Commit] })
}

// cutOff tells whether a file comes from before the shallow clone begins, and what was done to it there counts: whether it was
// rewritten is then not known.
func (p *pastOf) cutOff(f *historyFile) bool {
	first := f.First()
	return first != nil && p.log.Commit(first).CutOff && (f.since == nil || f.since[first.Commit])
}

// rewritten tells whether the file no longer says what it said.
func (f *historyFile) rewritten() bool {
	return slices.ContainsFunc(f.afterwards(), func(c history.Change) bool { return c.Rewrites() })
}

// evidence tells what must not be rewritten from what may change.
func (f *historyFile) evidence() bool {
	switch f.kind {
	case "check", "certificate", "event", "job", "case", "attached":
		return true
	}
	return false
}

// chosen lists the files that have to do with the records, and of them those named: a record by its path, or all that is
// about a device or an artifact.
func (p *pastOf) chosen(args []string) ([]historyFile, error) {
	all := p.recordFiles()
	if len(args) == 0 {
		return all, nil
	}
	name := args[0]
	file := strings.TrimPrefix(path.Clean(strings.ReplaceAll(name, "\\", "/")), "./")
	var out []historyFile
	var names []string
	for _, f := range all {
		if f.Path == file || f.Path == file+".toml" || slices.ContainsFunc(f.Changes, func(c history.Change) bool {
			return c.Path == file || c.From == file || c.Path == file+".toml" || c.From == file+".toml"
		}) {
			out = append(out, f)
		}
		names = append(names, f.Path)
	}
	if len(out) > 0 {
		return out, nil
	}
	for _, f := range all {
		if f.kind != "procedure" && f.subject == name || slices.Contains(f.devices, name) {
			out = append(out, f)
		}
		if f.kind == "device" || f.kind == "artifact" {
			names = append(names, f.subject)
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	mend := "name a record by its path in the repository, or a device or artifact by its id"
	if near := spelling.Nearest(name, names); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return nil, misused(fmt.Sprintf("%q is no record, device or artifact that git knows of", name), mend)
}

// recordFiles lists the files of the log that are records or belong to them.
func (p *pastOf) recordFiles() []historyFile {
	attached, amended, devices := map[string]bool{}, map[string][]string{}, map[string][]string{}
	amends := func(file, old string) {
		if old != "" {
			old = strings.TrimSuffix(old, ".toml") + ".toml"
			amended[old] = append(amended[old], file)
		}
	}
	for _, list := range p.set.Certificates {
		for _, c := range list {
			amends(c.File, c.Amends)
			if c.Attachment != nil {
				attached[c.Attachment.File] = true
			}
		}
	}
	for _, list := range p.set.Checks {
		for _, c := range list {
			amends(c.File, c.Amends)
			for _, s := range c.Scans {
				attached[s.File] = true
			}
		}
	}
	for _, list := range p.set.Events {
		for _, v := range list {
			amends(v.File, v.Amends)
		}
	}
	for _, j := range p.set.Jobs {
		amends(j.File, j.Amends)
		devices[j.File] = j.Devices
	}
	for _, steps := range p.set.Cases {
		var about []string // what the case was opened about
		for _, k := range steps {
			if k.Subject != "" {
				about = append(about, k.Subject)
			}
		}
		for _, k := range steps {
			amends(k.File, k.Amends)
			devices[k.File] = about
		}
	}
	var out []historyFile
	for _, f := range p.log.Files {
		_, subject := records.KindOf(f.Path)
		kind := kindOfFile(f.Path)
		if kind == "" && attached[f.Path] {
			kind = "attached"
		}
		if kind != "" {
			out = append(out, historyFile{f, kind, subject, devices[f.Path], amended[f.Path], nil})
		}
	}
	return out
}
