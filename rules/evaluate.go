package rules

import (
	"cmp"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules/chart"
	"plumbrule/rules/due"
)

// Options change what Evaluate takes into account.
type Options struct {
	// Hindsight lets records count that were entered after the instant about
	// the time before it. Without it the assessment is what could be known then.
	Hindsight bool
}

// Assessment is what follows from the records at an instant.
type Assessment struct {
	At      time.Time
	Today   calendar.Date // the site's local date at the instant
	Devices []Device      // sorted by id
	// Artifacts are the artifacts by id: what is due of them, and whether checks
	// made with them now would be evidence.
	Artifacts []Artifact
	Later     int // records about times, or entered, after the instant
}

// Device is the assessment of one device.
type Device struct {
	ID      string
	Record  *records.Device // nil when its own file cannot be read
	Fitness Fitness
	Reasons []Reason // worst first
	// May and MayNot name what a limited device may and may not measure.
	May, MayNot []Scope

	Service     Service
	Calibration Due
	Checks      []Due
	Evidence    []Evidence
	Charts      []Chart
	Cases       []Case // about it, open and closed, by id
}

// context is what is shared by the evaluation of all devices at one instant.
type context struct {
	set       *records.Set
	at        time.Time
	today     calendar.Date
	zone      *time.Location
	until     due.Policy
	options   Options
	policy    func() policy // looked up where there is a reason to weigh, which is seldom
	artifacts map[string]*artifact
	jobs      map[string][]*records.Job           // by device, corrected ones left out
	cases     map[string][][]*records.CaseStep    // known steps of each case, by what it is about
	later     int                                 // records of no device that came later
	broken    map[string][]records.Unreadable     // by kind and subject
	look      func(chart.Settings) chart.Settings // changes the settings of charts; nil: they are as the records say
	turn      *turn                               // when what is being found out can change
}

// Evaluate draws the conclusions from the records at an instant. A set without
// a readable site gives an assessment in which every device is unknown.
//
// What happened (checks, certificates, events, jobs) counts when it had happened
// and had been entered. Definitions (the site, devices, artifacts, procedures)
// count as the set has them: what they said before is a matter of the
// repository's history.
func Evaluate(set *records.Set, at time.Time, options Options) *Assessment {
	ids := set.DeviceIDs()
	out := &Assessment{At: at, Devices: make([]Device, len(ids))}
	if !hasSite(set) {
		for i, id := range ids {
			out.Devices[i] = Device{ID: id, Record: set.Devices[id], Fitness: Unknown, Reasons: []Reason{{
				Code: "record-unreadable", Effect: Unknown, Sentence: "the site's settings cannot be read", Sources: []Source{{File: records.SiteFile}},
			}}}
		}
		return out
	}
	c := newContext(set, at, options)
	out.Artifacts = c.artifactsAssessed()
	out.Today = c.today
	later := make([]int, len(ids))
	inParallel(len(ids), func(i int) { out.Devices[i], later[i] = c.device(ids[i]) })
	out.Later = c.later
	for _, n := range later {
		out.Later += n
	}
	return out
}

// hasSite reports whether the site's settings could be read.
func hasSite(set *records.Set) bool { return set.Site != nil && set.Site.Zone != nil }

// inParallel does the work for every index below n.
func inParallel(n int, work func(int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wait.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				work(i)
			}
		})
	}
	wait.Wait()
}

func newContext(set *records.Set, at time.Time, options Options) *context {
	c := &context{
		set: set, at: at, zone: set.Site.Zone, options: options, policy: sync.OnceValue(func() policy { return newPolicy(set.Site) }),
		artifacts: map[string]*artifact{}, jobs: map[string][]*records.Job{}, cases: map[string][][]*records.CaseStep{}, broken: map[string][]records.Unreadable{}, until: due.Day, turn: &turn{},
	}
	if set.Site.Due.Until != "" {
		c.until = due.Policy(set.Site.Due.Until)
	}
	c.today = c.day(at)
	for _, u := range set.Unreadable {
		key := u.Kind + " " + u.Subject
		c.broken[key] = append(c.broken[key], u)
	}
	for id := range set.Artifacts {
		own := c.apart()
		a, later := own.artifactOf(id)
		a.turn = *own.turn
		c.artifacts[id] = a
		c.later += later
	}
	planned := 0
	jobs, _ := inView(set.Jobs, &planned,
		func(j *records.Job) bool { return c.knownOn(j.Begin, j.Entered) },
		func(j *records.Job) (string, string) { return j.File, j.Amends })
	for _, j := range set.Jobs {
		// A job that was entered before it begins is planned, and no news from later.
		if !c.come(j.Entered) && !c.knownOn(j.Begin, j.Entered) {
			c.later++
		}
	}
	for _, j := range jobs {
		for _, id := range j.Devices {
			c.jobs[id] = append(c.jobs[id], j)
		}
	}
	c.prepareCases()
	return c
}

// sortedKeys returns the keys of a map in order.
func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	out := make([]K, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
