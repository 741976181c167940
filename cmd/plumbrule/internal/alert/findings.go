package alert

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"plumbrule/records"
	"plumbrule/rules"
)

const (
	recordUnreadable = "record-unreadable" // reason code
	recordUnusable   = "record-unusable"   // finding against the [Site]; about: the file
)

// mostFiles is how many files that cannot be read are a finding each. Where more
// are, something has happened to all of them.
const mostFiles = 100

// Findings lists what stands by an assessment of the set and by what was found
// amiss in its files: the reasons against devices that ask somebody to do
// something, what keeps artifacts from being relied on, calibrations of artifacts
// that are due, and every file with an error of which no device or artifact says
// so already. That the settings cannot be read is not among it: whoever has others
// to go by instead has to say which.
//
// A set without settings says nothing of any device: then only its files are
// listed, and [Book.Also] is to be told of them, not [Book.Observe], which would
// take everything else to be gone.
func Findings(set *records.Set, assessed *rules.Assessment, found []records.Diagnostic) []Finding {
	s := gathering{catalogue: map[string]rules.ReasonCode{}, said: map[string]bool{}}
	for _, c := range rules.ReasonCodes() {
		s.catalogue[c.ID] = c
	}
	if assessed != nil && set.Site != nil {
		for i := range assessed.Devices {
			s.device(&assessed.Devices[i])
		}
		for i := range assessed.Artifacts {
			s.artifact(&assessed.Artifacts[i], set.Unreadable)
		}
	}
	s.files(set, found)
	return s.list
}

// gathering makes findings.
type gathering struct {
	catalogue map[string]rules.ReasonCode
	said      map[string]bool // files of which something says that they cannot be read
	list      []Finding
}

// asks tells whether a reason asks anybody to do something. Others are decisions
// that people have made and remarks on what is in order; a site whose policy
// gives a remark an effect wants to be told.
func asks(r *rules.Reason) bool {
	switch r.Code {
	case "retired", "not-in-service":
		return false
	case "calibration-not-required", "chart-provisional", "conditional", "extension":
		return r.Effect != rules.Fit
	}
	return true
}

func (s *gathering) device(d *rules.Device) {
	kind := ""
	if d.Record != nil {
		kind = d.Record.Kind
	}
	for i := range d.Reasons {
		r := &d.Reasons[i]
		if !asks(r) {
			continue
		}
		sources := make([]string, len(r.Sources))
		for j, at := range r.Sources {
			sources[j] = place(at.File, at.Line)
			s.said[at.File] = s.said[at.File] || r.Code == recordUnreadable
		}
		s.list = append(s.list, Finding{
			Key: Key{Subject: d.ID, Code: r.Code, About: About(r)}, Severity: string(r.Effect), Sentence: r.Sentence, Mend: s.catalogue[r.Code].Mend,
			Kind: kind, Place: d.Service.Location, Sources: sources,
		})
	}
}

// artifact says what stands against an artifact: no check made with it now would
// be evidence, or its calibration is due soon.
func (s *gathering) artifact(a *rules.Artifact, broken []records.Unreadable) {
	if a.Service == rules.Retired {
		return
	}
	f := Finding{Key: Key{Subject: a.ID}}
	if a.Record != nil {
		f.Kind = a.Record.Kind
	}
	for _, at := range a.Calibration.Sources {
		f.Sources = append(f.Sources, place(at.File, at.Line))
	}
	switch {
	case a.Code == recordUnreadable:
		f.Sources = nil
		for _, u := range broken {
			if u.Subject == a.ID && (u.Kind == "artifact" || u.Kind == "certificate" || u.Kind == "event") {
				f.Sources = append(f.Sources, place(u.File, int(u.Position.Line)))
				s.said[u.File] = true
			}
		}
		f.Code, f.Severity, f.Sentence = a.Code, Unknown, a.Objection
	case a.Code != "":
		f.Code, f.Severity, f.Sentence = a.Code, Unknown, a.Objection
	case a.Calibration.State == rules.Overdue:
		f.Code, f.Severity, f.Sentence = "calibration-overdue", Unknown, "calibration was due by "+a.Calibration.Date.String()
	case a.Calibration.State == rules.Soon:
		f.Code, f.Severity, f.Sentence = "calibration-due", Fit, "calibration is due by "+a.Calibration.Date.String()
	default:
		return
	}
	f.Mend = artifactMend(f.Code)
	s.list = append(s.list, f)
}

// artifactMend says what helps an artifact; the catalogue speaks of the device
// that was checked with it.
func artifactMend(code string) string {
	switch code {
	case recordUnreadable:
		return "run plumbrule validate and mend the file"
	case "artifact-uncertified":
		return "enter and review its certificate"
	case "calibration-due":
		return "book the calibration"
	}
	return "have it calibrated"
}

// files says which files cannot be read, of those that nothing said so before.
func (s *gathering) files(set *records.Set, found []records.Diagnostic) {
	first := map[string]Finding{}
	count := map[string]int{}
	add := func(file string, line int, message, mend string) {
		if count[file]++; count[file] > 1 {
			return
		}
		first[file] = Finding{
			Key: Key{Subject: Site, Code: recordUnusable, About: file}, Severity: Unknown, Sentence: message, Mend: mend, Sources: []string{place(file, line)},
		}
	}
	for i := range found {
		if d := &found[i]; d.Severity == records.Error {
			add(d.File, int(d.Position.Line), d.Message, d.Mend)
		}
	}
	for _, u := range set.Unreadable {
		if u.File == records.SiteFile {
			s.said[u.File] = true
		}
		if count[u.File] == 0 {
			add(u.File, int(u.Position.Line), u.Message, "run plumbrule validate and mend the file")
		}
	}
	var files []string
	for _, file := range slices.Sorted(maps.Keys(first)) {
		f := first[file]
		if n := count[file] - 1; n > 0 {
			f.Sentence += fmt.Sprintf("; and %d more", n)
		}
		first[file] = f
		if !s.said[file] {
			files = append(files, file)
		}
	}
	for i, file := range files {
		if i == mostFiles {
			s.list = append(s.list, Finding{
				Key: Key{Subject: Site, Code: recordUnusable}, Severity: Unknown, Mend: "run plumbrule validate, which lists them",
				Sentence: fmt.Sprintf("%d more files cannot be used, from %s on", len(files)-i, file), Sources: files[i:min(len(files), i+mostSources)],
			})
			break
		}
		s.list = append(s.list, first[file])
	}
}

// place writes file:line.
func place(file string, line int) string {
	if line == 0 {
		return file
	}
	return file + ":" + strconv.Itoa(line)
}
