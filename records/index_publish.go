package records

import (
	"maps"
	"slices"
)

// publish makes the next snapshot of what a change has come to.
func (x *Index) publish(r *round) Change {
	before := x.shown
	told := len(r.retold) > 0
	if told {
		x.gather(r)
	}
	x.set = x.nextSet(r)
	x.shown, x.shownTold = x.set, x.list
	if !x.found {
		l := newLoader(x.tree, x.options)
		l.load()
		told = told || !slices.EqualFunc(l.list, x.shownTold, sameDiagnostic)
		x.shown, x.shownTold = l.set, l.list
	}
	out := Difference(before, x.shown)
	out.Diagnostics = told
	if r.site {
		out.Files = append(out.Files, SiteFile)
	}
	for i := range r.moves {
		out.Files = append(out.Files, r.moves[i].file)
	}
	slices.Sort(out.Files)
	return out
}

// gather puts together all that is told of each file, and of all.
func (x *Index) gather(r *round) {
	var in, out []string
	for _, file := range sortedKeys(r.retold) {
		var list []Diagnostic
		for s := range x.told {
			list = append(list, x.told[s][file]...)
		}
		_, had := x.byFile[file]
		switch {
		case len(list) == 0 && had:
			delete(x.byFile, file)
			out = append(out, file)
		case len(list) > 0:
			SortDiagnostics(list)
			x.byFile[file] = list
			if !had {
				in = append(in, file)
			}
		}
	}
	place := func(file string) int {
		i, _ := slices.BinarySearch(x.reported, file)
		return i
	}
	x.reported = without(x.reported, places(out, place))
	x.reported = with(x.reported, places(in, place), in)
	x.list = nil
	for _, file := range x.reported {
		x.list = append(x.list, x.byFile[file]...)
	}
}

func places(files []string, place func(string) int) []int {
	out := make([]int, len(files))
	for i, file := range files {
		out[i] = place(file)
	}
	return out
}

// delta is what becomes of one list.
type delta[R comparable] struct {
	out, in []R
}

type deltas[R comparable] map[string]*delta[R]

// add takes one record out of a list and puts one into another; the ids are
// empty where there is none.
func (d deltas[R]) add(from string, old R, to string, now R) {
	of := func(id string) *delta[R] {
		if d[id] == nil {
			d[id] = &delta[R]{}
		}
		return d[id]
	}
	var none R
	if old != none {
		c := of(from)
		c.out = append(c.out, old)
	}
	if now != none {
		c := of(to)
		c.in = append(c.in, now)
	}
}

// apply makes the changed lists anew and leaves the others as they are.
func (d deltas[R]) apply(lists map[string][]R, order func(a, b R) int) map[string][]R {
	if len(d) == 0 {
		return lists
	}
	lists = maps.Clone(lists)
	for id, c := range d {
		if list := c.apply(lists[id], order); len(list) > 0 {
			lists[id] = list
		} else {
			delete(lists, id)
		}
	}
	return lists
}

// apply makes a sorted list from one.
func (c *delta[R]) apply(list []R, order func(a, b R) int) []R {
	slices.SortFunc(c.in, order)
	slices.SortFunc(c.out, order)
	out := make([]R, 0, max(0, len(list)-len(c.out))+len(c.in))
	in, gone := c.in, c.out
	for _, r := range list {
		if len(gone) > 0 && gone[0] == r {
			gone = gone[1:]
			continue
		}
		for len(in) > 0 && order(in[0], r) < 0 {
			out, in = append(out, in[0]), in[1:]
		}
		out = append(out, r)
	}
	return append(out, in...)
}

// nextSet returns the set of what is there now. All that is as before is shared
// with the set before, which is returned where everything is.
func (x *Index) nextSet(r *round) *Set {
	next := *x.set
	devices, artifacts, procedures := deltas[*Device]{}, deltas[*Artifact]{}, deltas[*Procedure]{}
	certificates, checks, events, jobs := deltas[*Certificate]{}, deltas[*Check]{}, deltas[*Event]{}, deltas[*Job]{}
	cases := deltas[*CaseStep]{}
	for file, m := range r.touched(badForSet) {
		delete(x.abouts, file)
		old, now := x.usable(r, file, m)
		if old == now {
			continue
		}
		p, _ := placeOf(file)
		switch p.kind {
		case "device":
			replace(devices, old, now, func(d *Device) string { return d.ID })
		case "artifact":
			replace(artifacts, old, now, func(a *Artifact) string { return a.ID })
		case "procedure":
			replace(procedures, old, now, func(p *Procedure) string { return p.ID })
		case "certificate":
			replace(certificates, old, now, func(c *Certificate) string { return c.Subject })
		case "check":
			replace(checks, old, now, func(c *Check) string { return c.Device })
		case "event":
			replace(events, old, now, func(e *Event) string { return e.Subject })
		case "job":
			replace(jobs, old, now, func(*Job) string { return "" })
		case "case":
			replace(cases, old, now, func(s *CaseStep) string { return s.Case })
		}
	}
	next.Devices, next.Artifacts, next.Procedures = single(next.Devices, devices), single(next.Artifacts, artifacts), single(next.Procedures, procedures)
	next.Certificates = certificates.apply(next.Certificates, compareCertificates)
	next.Checks = checks.apply(next.Checks, compareChecks)
	next.Events = events.apply(next.Events, compareEvents)
	next.Cases = cases.apply(next.Cases, compareSteps)
	if len(jobs) > 0 {
		next.Jobs = slices.Clip(jobs[""].apply(next.Jobs, compareJobs))
		if len(next.Jobs) == 0 {
			next.Jobs = nil
		}
	}
	if next.Site = x.load.set.Site; x.bad[badForSet][SiteFile] {
		next.Site = nil
	}
	next.Unreadable = x.allUnreadable(r)
	changed := len(devices)+len(artifacts)+len(procedures)+len(certificates)+len(checks)+len(events)+len(jobs)+len(cases) > 0 ||
		next.Site != x.set.Site || !slices.Equal(next.Unreadable, x.set.Unreadable)
	if !changed {
		return x.set
	}
	return &next
}

// usable returns the record of a file that was in the set, and the one that is
// to be, by what became of it; nil: nothing.
func (x *Index) usable(r *round, file string, m *move) (old, now any) {
	if m == nil {
		record, found := x.load.understood(file)
		m = &move{old: record, new: record, had: found, has: found}
	}
	bad := x.bad[badForSet][file]
	if m.has && !bad {
		now = m.new
	}
	if m.had && bad == r.flips[badForSet][file] {
		old = m.old
	}
	return old, now
}

func replace[R comparable](d deltas[R], old, now any, id func(R) string) {
	var none R
	before, had := old.(R)
	after, has := now.(R)
	from, to := "", ""
	if had {
		from = id(before)
	} else {
		before = none
	}
	if has {
		to = id(after)
	} else {
		after = none
	}
	d.add(from, before, to, after)
}

// single makes a changed map of records by id anew.
func single[R comparable](all map[string]R, d deltas[R]) map[string]R {
	if len(d) == 0 {
		return all
	}
	all = maps.Clone(all)
	for id, c := range d {
		if len(c.in) > 0 {
			all[id] = c.in[0]
		} else {
			delete(all, id)
		}
	}
	return all
}

// allUnreadable lists what holds records and cannot be used, as loading does.
func (x *Index) allUnreadable(r *round) []Unreadable {
	changed := x.unreadable
	for file := range r.retold {
		delete(x.abouts, file)
		changed = changed || x.bad[badForSet][file] || r.flips[badForSet][file]
	}
	for i := range r.moves {
		changed = changed || x.bad[badForSet][r.moves[i].file]
	}
	if !changed {
		return x.set.Unreadable
	}
	s := &Set{}
	first := func(file string) *Diagnostic {
		list := x.byFile[file]
		return &list[slices.IndexFunc(list, func(d Diagnostic) bool { return d.Severity == Error })]
	}
	for file := range x.bad[badForSet] {
		if _, found := x.load.understood(file); found {
			s.unreadable(first(file), x.aboutOf(file))
		}
	}
	for _, file := range x.load.misplaced {
		s.unreadable(first(file), x.aboutOf(file))
	}
	for _, folder := range x.load.lost {
		s.unreadable(first(folder), x.load.lostIn(folder))
	}
	if x.bad[badForSet][SiteFile] {
		s.unreadable(first(SiteFile), []place{{kind: "site"}})
	}
	s.sort()
	x.unreadable = false
	return s.Unreadable
}

// aboutOf is about of loader, remembered.
func (x *Index) aboutOf(file string) []place {
	about, found := x.abouts[file]
	if !found {
		about = x.load.about(file)
		x.abouts[file] = about
	}
	return about
}
