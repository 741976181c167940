package rules

import (
	"slices"
	"time"

	"plumbrule/records"
)

// Evaluator follows a fleet through changes of its records and through time. It
// comes to the same as [Evaluate] would, and assesses only the devices whose
// answer can be another one.
//
// A device is assessed anew when something is recorded anew about it, about an
// artifact or by a procedure of its checks, or about a job or a case it is named in, and
// when a day or an instant has come that its answer was compared with: a due
// date or the beginning of its lead time, the end of an extension, the last day
// of a job, or when a record of a later time begins to count. Changes of the
// site and of any artifact's own record are looked at for every device.
//
// What has changed is told by comparing the set with the one before, see
// [records.Difference]: the sets of one [records.Index] share what is the same.
// With sets loaded apart everything is assessed anew. It costs a look at each
// device, artifact and job, besides the devices assessed.
//
// Assessments share what is the same, and are not to be changed. An Evaluator
// is for one goroutine at a time. The zero value evaluates without hindsight.
type Evaluator struct {
	// Options are those of [Evaluate]; they are not to be changed later.
	Options Options

	set       *records.Set
	last      *Assessment
	devices   map[string]kept
	artifacts map[string]time.Time // when what is known of each artifact turns
	jobs      map[string][]*records.Job
	cases     map[string][][]*records.CaseStep
	setBack   time.Time
	next      time.Time
}

// kept is what is known of a device beside its assessment.
type kept struct {
	later int       // records left out as later
	turns time.Time // when its answer can change by itself; zero: never
	at    int       // its place in the last assessment
	rests []string  // ids of what it rests on besides, see restsOn
}

// At returns the assessment of a set at an instant. An instant before the last
// one is answered too, from nothing.
func (e *Evaluator) At(set *records.Set, at time.Time) *Assessment {
	if !hasSite(set) {
		*e = Evaluator{Options: e.Options, last: Evaluate(set, at, e.Options)}
		return e.last
	}
	c := newContext(set, at, e.Options)
	fresh := e.set == nil || at.Before(e.last.At) || e.set.Site != set.Site || !e.setBack.IsZero() && !at.Before(e.setBack)
	if fresh {
		e.devices, e.artifacts, e.jobs, e.cases = nil, nil, nil, nil
	}
	ids := set.DeviceIDs()
	out := &Assessment{At: at, Today: c.today, Devices: make([]Device, len(ids)), Later: c.later}
	var stale []int
	changed := e.changed(c, fresh)
	devices := make(map[string]kept, len(ids))
	for i, id := range ids {
		k, found := e.devices[id]
		if !found || changed(id, k.rests) || turned(k.turns, at) || !slices.Equal(e.jobs[id], c.jobs[id]) ||
			!slices.EqualFunc(e.cases[id], c.cases[id], slices.Equal[[]*records.CaseStep]) {
			stale = append(stale, i)
			continue
		}
		out.Devices[i] = e.last.Devices[k.at]
		k.at = i
		devices[id] = k
	}
	anew := make([]kept, len(stale))
	inParallel(len(stale), func(n int) {
		i := stale[n]
		d := c.newDevice(ids[i])
		d.assess()
		out.Devices[i], anew[n] = d.out, kept{later: d.view.later, turns: c.next(*d.turn), at: i, rests: restsOn(set, ids[i])}
	})
	for n, i := range stale {
		devices[ids[i]] = anew[n]
	}
	e.setBack = c.setBack()
	e.next = earlier(c.next(*c.turn), e.setBack)
	for _, k := range devices {
		out.Later += k.later
		e.next = earlier(e.next, k.turns)
	}
	e.keepArtifacts(c, out)
	e.set, e.last, e.devices, e.jobs, e.cases = set, out, devices, c.jobs, c.cases
	return out
}

// Next returns the next instant at which the last assessment can change although
// no record does: nothing changes before it, though nothing need change then.
// Zero: nothing ever does, or nothing was assessed.
func (e *Evaluator) Next() time.Time { return e.next }

// changed returns what tells whether a record that a device's answer rests on is
// another one than it was.
func (e *Evaluator) changed(c *context, fresh bool) func(device string, rests []string) bool {
	every := func(string, []string) bool { return true }
	if fresh {
		return every
	}
	d := records.Difference(e.set, c.set)
	if d.Site {
		return every
	}
	ids := map[string]bool{} // of whatever kind: where one is that of two things, more is looked at than need be
	for _, id := range slices.Concat(d.Subjects, d.Procedures, d.Jobs) {
		ids[id] = true
		if e.set.Artifacts[id] != c.set.Artifacts[id] {
			return every
		}
	}
	for _, id := range d.Cases { // an unreadable step changes a case whose other steps are the same
		for subject, list := range c.cases {
			if slices.ContainsFunc(list, func(steps []*records.CaseStep) bool { return steps[0].Case == id }) {
				ids[subject] = true
			}
		}
	}
	for id, turns := range e.artifacts {
		if turned(turns, c.at) {
			ids[id] = true
		}
	}
	return func(device string, rests []string) bool {
		return ids[device] || slices.ContainsFunc(rests, func(id string) bool { return ids[id] })
	}
}

// restsOn lists the procedures by which a device requires checks, or has them
// made, and the artifacts with which it has. It is the same as long as nothing
// is recorded about the device.
func restsOn(set *records.Set, device string) []string {
	var out []string
	add := func(id string) {
		if id != "" && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	if r := set.Devices[device]; r != nil {
		for i := range r.Checks {
			add(r.Checks[i].Procedure)
		}
	}
	for _, k := range set.Checks[device] {
		add(k.Procedure)
		add(k.Artifact)
	}
	return slices.Clip(out)
}

// keepArtifacts assesses the artifacts, which is little work, and keeps when
// each of them turns.
func (e *Evaluator) keepArtifacts(c *context, out *Assessment) {
	e.artifacts = make(map[string]time.Time, len(c.artifacts))
	for id, a := range c.artifacts {
		e.artifacts[id] = c.next(a.turn)
		e.next = earlier(e.next, e.artifacts[id])
	}
	own := c.apart()
	out.Artifacts = own.artifactsAssessed()
	e.next = earlier(e.next, own.next(*own.turn))
}

// turned reports whether an instant has come; zero never does.
func turned(turns, at time.Time) bool { return !turns.IsZero() && !at.Before(turns) }

// earlier returns the earlier of two instants, of which zero is none.
func earlier(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}
