package records

import "strings"

// place is what the path of a record says about it.
type place struct {
	kind    string // as in [Kinds]
	subject string // device, artifact, procedure, job, case or subject of the record
	stem    string // file name without .toml
}

const suffix = ".toml"

// recordFolders lists the folders that hold records, sorted.
func recordFolders() []string {
	return []string{"artifacts", "cases", "certificates", "checks", "devices", "events", "jobs", "procedures"}
}

// kindIn returns the kind of record that a top folder holds and how deep below
// the repository's root its files lie; no kind for any other folder.
func kindIn(folder string) (kind string, depth int) {
	switch folder {
	case "devices":
		return "device", 2
	case "artifacts":
		return "artifact", 2
	case "procedures":
		return "procedure", 2
	case "certificates":
		return "certificate", 3
	case "events":
		return "event", 3
	case "cases":
		return "case", 3
	case "jobs":
		return "job", 3
	case "checks":
		return "check", 4
	}
	return "", 0
}

// KindOf tells from the path of a file in a repository which kind of record, as in
// [Kinds], lies there, and what it is about: the device or artifact of a
// certificate, check or event, else the record itself. The kind is empty where no
// record can lie.
func KindOf(file string) (kind, subject string) {
	if file == SiteFile {
		return "site", ""
	}
	p, ok := placeOf(file)
	if !ok {
		return "", ""
	}
	return p.kind, p.subject
}

// placeOf tells kind and subject of a record from its path. ok is false when no
// record can lie there; kind and subject then say as far as possible what the
// record would be about, if it is one.
func placeOf(file string) (p place, ok bool) {
	folder, rest, _ := strings.Cut(file, "/")
	kind, depth := kindIn(folder)
	if kind == "" {
		return place{}, false
	}
	p = place{kind: kind, stem: file[strings.LastIndexByte(file, '/')+1:]}
	if n := len(p.stem) - len(suffix); n >= 0 && strings.EqualFold(p.stem[n:], suffix) {
		p.stem = p.stem[:n]
	}
	switch kind {
	case "certificate", "event", "case", "check":
		p.subject, rest, _ = strings.Cut(rest, "/")
		if rest == "" { // a file beside the subjects' folders
			p.subject = ""
		}
	default:
		p.subject = p.stem
	}
	return p, strings.HasSuffix(file, suffix) && strings.Count(file, "/")+1 == depth
}
