package trace

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// Query says what to trace.
type Query struct {
	Set     *records.Set
	At      time.Time // by what was known when
	Options rules.Options

	// Subject is the id of a job, device or artifact, or the path of the record
	// of one or of a check; "checks/" and ".toml" may be left out.
	Subject string
	// Feature narrows the chain: for a check and an artifact a feature of the
	// artifact, for a job and a device a quantity. Empty: all.
	Feature string

	// Looked is what was found of the files that records name, by [FileKey]. A
	// file that is not there was not looked at, which is a gap.
	Looked map[string]Look
}

// Error says why nothing can be traced.
type Error struct {
	What, Mend string
	// Known lists what could have been meant, for a suggestion; may be empty.
	Known []string
}

// Error is one line: what is there and what was expected.
func (e *Error) Error() string { return e.What }

// For follows the chain of what the query asks about. An [*Error] says that
// there is nothing of that name, or several things, or no such feature.
func For(q Query) (*Chain, error) {
	return Open(q.Set, q.At, q.Options, q.Looked).For(q.Subject, q.Feature)
}

// For is [For] about a subject, and of it a feature, see [Query].
func (r *Records) For(name, feature string) (*Chain, error) {
	b := r.builder(feature)
	subject, err := b.find(name)
	if err != nil {
		return nil, err
	}
	if err := b.follow(subject); err != nil {
		return nil, err
	}
	b.sortGaps()
	return b.chain, nil
}

// builder is a chain in progress.
type builder struct {
	*Records

	feature string
	chain   *Chain
	index   map[string]int // of steps by what they are about
}

func (r *Records) builder(feature string) *builder {
	return &builder{Records: r, feature: feature, chain: &Chain{}, index: map[string]int{}}
}

// subject is what a name means: one of these.
type subject struct {
	job        *records.Job
	check      *records.Check
	device     *records.Device
	artifact   *records.Artifact
	unreadable *records.Unreadable
}

func (b *builder) follow(s subject) error {
	switch {
	case s.job != nil:
		return b.job(s.job)
	case s.check != nil:
		return b.checkAsked(s.check)
	case s.device != nil:
		return b.deviceAsked(s.device)
	case s.artifact != nil:
		return b.artifactAsked(s.artifact)
	}
	b.unreadableAsked(s.unreadable)
	return nil
}

// find tells what a name means.
func (b *builder) find(name string) (subject, error) {
	plain := bare(name)
	var found []subject
	var paths []string
	is := func(id, file string) bool {
		file = bare(file)
		_, below, _ := strings.Cut(file, "/")
		return id != "" && id == name || plain == file || strings.Contains(below, "/") && plain == below
	}
	add := func(s subject, file string) {
		found = append(found, s)
		paths = append(paths, file)
	}
	for _, j := range b.set.Jobs {
		if is(j.ID, j.File) {
			add(subject{job: j}, j.File)
		}
	}
	for _, id := range b.set.DeviceIDs() {
		if d := b.set.Devices[id]; d != nil && is(id, d.File) {
			add(subject{device: d}, d.File)
		}
	}
	if strings.Contains(plain, "/") { // only a path names a check, and there are many checks
		for _, id := range sortedKeys(b.set.Checks) {
			for _, k := range b.set.Checks[id] {
				if is("", k.File) {
					add(subject{check: k}, k.File)
				}
			}
		}
	}
	for _, a := range b.set.Artifacts {
		if is(a.ID, a.File) {
			add(subject{artifact: a}, a.File)
		}
	}
	if len(found) == 0 {
		for i := range b.set.Unreadable {
			u := &b.set.Unreadable[i]
			named := u.Kind == "job" || u.Kind == "device" || u.Kind == "artifact"
			if is("", u.File) || named && u.Subject == name {
				return subject{unreadable: u}, nil
			}
		}
	}
	switch len(found) {
	case 0:
		return subject{}, &Error{
			What:  fmt.Sprintf("there is no job, check, device or artifact %q", name),
			Mend:  "name a job, a device or an artifact by its id, a check by the path of its record",
			Known: b.names(),
		}
	case 1:
		return found[0], nil
	}
	return subject{}, &Error{What: fmt.Sprintf("%q is several things: %s", name, strings.Join(paths, ", ")), Mend: "name it by its path"}
}

// names lists what can be traced, checks left out.
func (b *builder) names() []string {
	out := b.set.DeviceIDs()
	for _, j := range b.set.Jobs {
		out = append(out, j.ID)
	}
	return append(out, sortedKeys(b.set.Artifacts)...)
}

// day is the local date of an instant.
func (r *Records) day(t time.Time) calendar.Date { return calendar.Of(t, r.zone) }

// endOf is the last second of a day, or the instant asked about where that day
// has not ended.
func (b *builder) endOf(day calendar.Date) time.Time {
	end := day.EndIn(b.zone).Add(-time.Second)
	if end.After(b.at) {
		return b.at
	}
	return end
}

// unreadableAsked begins and ends a chain with a record that cannot be used.
func (b *builder) unreadableAsked(u *records.Unreadable) {
	name := u.Subject
	if name == "" || u.Kind == "check" {
		name = strings.TrimPrefix(bare(u.File), "checks/")
	}
	s := b.step(Kind(u.Kind), u.File, name)
	source := rules.Source{File: u.File, Line: int(u.Position.Line)}
	s.Sources = append(s.Sources, source)
	if u.Kind == "job" && u.Code == "unknown-device" {
		s.gap("device-unlisted", u.Message, source)
		return
	}
	s.gap("step-unreadable", fmt.Sprintf("%s cannot be used: %s", u.File, u.Message), source)
}
