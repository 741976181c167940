package records

import (
	"cmp"
	"slices"
	"strings"
)

// Set is everything a repository records, ready to be evaluated. Lists are
// sorted by time, then by when they were entered, then by file, where a-2 comes
// after a and before a-10; maps are keyed by id. A set is not changed
// after [Load] returns it, and may be read by several goroutines at once.
type Set struct {
	Site         *Site // nil when plumbrule.toml could not be read
	Devices      map[string]*Device
	Artifacts    map[string]*Artifact
	Procedures   map[string]*Procedure
	Certificates map[string][]*Certificate // by subject
	Checks       map[string][]*Check       // by device
	Events       map[string][]*Event       // by subject
	Jobs         []*Job
	Cases        map[string][]*CaseStep // by case

	// Unreadable lists the files that hold records but could not be read or
	// contradict others, sorted by name. What they are about cannot be judged.
	// A file is listed once for each thing it may be about.
	Unreadable []Unreadable
}

// Unreadable is a record that is there but cannot be used.
type Unreadable struct {
	File     string // or the folder, where a whole folder cannot be read
	Kind     string // "device", "check" … as in [Kinds]
	Subject  string // a device, artifact, procedure, job or case it may be about, by its path or its text
	Position Position
	Code     string // of its first error
	Message  string
}

// DeviceIDs returns the ids of all devices, sorted; those of which nothing but
// unreadable files is there are among them.
func (s *Set) DeviceIDs() []string {
	seen := make(map[string]bool, len(s.Devices))
	for id := range s.Devices {
		seen[id] = true
	}
	for _, u := range s.Unreadable {
		if (u.Kind == "device" || u.Kind == "check") && u.Subject != "" {
			seen[u.Subject] = true
		}
	}
	return sortedKeys(seen)
}

// Count returns the number of records of each kind, the site's not counted.
func (s *Set) Count() int {
	n := len(s.Devices) + len(s.Artifacts) + len(s.Procedures) + len(s.Jobs)
	for _, list := range s.Certificates {
		n += len(list)
	}
	for _, list := range s.Checks {
		n += len(list)
	}
	for _, list := range s.Events {
		n += len(list)
	}
	for _, list := range s.Cases {
		n += len(list)
	}
	return n
}

func newSet() *Set {
	return &Set{
		Devices: map[string]*Device{}, Artifacts: map[string]*Artifact{}, Procedures: map[string]*Procedure{},
		Certificates: map[string][]*Certificate{}, Checks: map[string][]*Check{}, Events: map[string][]*Event{},
		Cases: map[string][]*CaseStep{},
	}
}

// add puts one record into its list.
func (s *Set) add(record any) {
	switch r := record.(type) {
	case *Device:
		s.Devices[r.ID] = r
	case *Artifact:
		s.Artifacts[r.ID] = r
	case *Procedure:
		s.Procedures[r.ID] = r
	case *Certificate:
		s.Certificates[r.Subject] = append(s.Certificates[r.Subject], r)
	case *Check:
		s.Checks[r.Device] = append(s.Checks[r.Device], r)
	case *Event:
		s.Events[r.Subject] = append(s.Events[r.Subject], r)
	case *Job:
		s.Jobs = append(s.Jobs, r)
	case *CaseStep:
		s.Cases[r.Case] = append(s.Cases[r.Case], r)
	}
}

// unreadable lists a record that cannot be used, with its first error, for
// everything it may be about.
func (s *Set) unreadable(d *Diagnostic, about []place) {
	for _, p := range about {
		s.Unreadable = append(s.Unreadable, Unreadable{
			File: d.File, Kind: p.kind, Subject: p.subject, Position: d.Position, Code: d.Code, Message: d.Message,
		})
	}
}

// sort puts every list in its order.
func (s *Set) sort() {
	for _, list := range s.Certificates {
		slices.SortFunc(list, compareCertificates)
	}
	for _, list := range s.Checks {
		slices.SortFunc(list, compareChecks)
	}
	for _, list := range s.Events {
		slices.SortFunc(list, compareEvents)
	}
	slices.SortFunc(s.Jobs, compareJobs)
	for _, list := range s.Cases {
		slices.SortFunc(list, compareSteps)
	}
	slices.SortFunc(s.Unreadable, func(a, b Unreadable) int {
		return cmp.Or(strings.Compare(a.File, b.File), strings.Compare(a.Subject, b.Subject), strings.Compare(a.Kind, b.Kind))
	})
}

func compareCertificates(a, b *Certificate) int {
	return cmp.Or(a.Date.Compare(b.Date), a.Entered.Compare(b.Entered), compareFiles(a.File, b.File))
}

func compareChecks(a, b *Check) int {
	return cmp.Or(a.Time.Compare(b.Time), a.Entered.Compare(b.Entered), compareFiles(a.File, b.File))
}

func compareEvents(a, b *Event) int {
	return cmp.Or(a.Time.Compare(b.Time), a.Entered.Compare(b.Entered), compareFiles(a.File, b.File))
}

func compareJobs(a, b *Job) int { return cmp.Or(a.End.Compare(b.End), compareFiles(a.File, b.File)) }

func compareSteps(a, b *CaseStep) int {
	return cmp.Or(a.Time.Compare(b.Time), a.Entered.Compare(b.Entered), compareFiles(a.File, b.File))
}
