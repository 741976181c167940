package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/due"
	"plumbrule/rules/figure"
)

// Bounds of the number of weeks.
const (
	LeastWeeks = 1
	MostWeeks  = 104
)

// defaultLead is the lead time of a laboratory where neither the object nor the site states one, as in the due list.
func defaultLead() quantity.Interval { return quantity.Interval{Days: 30} }

// planning is a plan in progress.
type planning struct {
	set   *records.Set
	a     *rules.Assessment
	until due.Policy
	out   Plan
}

// For plans the weeks from the day of an assessment on; the last day is that many weeks after it. The assessment must be that of
// the set. A [*figure.InputError] refuses a number of weeks out of bounds.
func For(set *records.Set, a *rules.Assessment, weeks int) (Plan, error) {
	if weeks < LeastWeeks || weeks > MostWeeks {
		return Plan{}, &figure.InputError{Field: "weeks", Found: fmt.Sprint(weeks), Expected: fmt.Sprintf("a whole number from %d to %d", LeastWeeks, MostWeeks)}
	}
	p := planning{set: set, a: a, until: due.Day, out: Plan{From: a.Today, Until: a.Today.AddDays(7 * weeks)}}
	if set.Site == nil || set.Site.Zone == nil {
		return p.out, nil // nothing is judged without the site
	}
	if set.Site.Due.Until != "" {
		p.until = due.Policy(set.Site.Due.Until)
	}
	for i := range a.Devices {
		if d := &a.Devices[i]; d.Record != nil && d.Service.State == rules.InService {
			p.calibration(d.ID, d.Service.Location, d.Record.Calibration.Lead, &d.Calibration)
			p.checks(d)
		}
	}
	for i := range a.Artifacts {
		if x := &a.Artifacts[i]; x.Record != nil && x.Service == rules.InService {
			p.calibration(x.ID, "", x.Record.Calibration.Lead, &x.Calibration)
		}
	}
	p.jobs()
	slices.SortStableFunc(p.out.Tasks, func(a, b Task) int {
		return cmp.Or(a.Day.Compare(b.Day), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Subject, b.Subject), cmp.Compare(a.What, b.What))
	})
	p.batch()
	return p.out, nil
}

// calibration plans sending something away.
func (p *planning) calibration(id, place string, lead quantity.Interval, x *rules.Due) {
	if x.State == rules.NotRequired || x.State == rules.Stopped || x.State == "" || x.Date.IsZero() {
		return
	}
	if lead.IsZero() {
		lead = p.set.Site.Due.Lead
	}
	if lead.IsZero() {
		lead = defaultLead()
	}
	send := x.Date.AddTimes(lead, -1)
	if send.After(p.out.Until) {
		return
	}
	t := Task{Kind: Calibration, Subject: id, What: x.What, Day: send, Due: x.Date, Lead: lead, With: p.laboratory(id), Place: place, Sources: x.Sources}
	p.add(t)
}

// laboratory is that of the last certificate known.
func (p *planning) laboratory(id string) (name string) {
	for _, c := range p.set.Certificates[id] {
		if !c.Date.After(p.a.Today) && !c.Entered.After(p.a.At) {
			name = c.Laboratory
		}
	}
	return name
}

// checks plans the required checks of a device, as often as each falls due, and the extra ones asked. An extra one does for
// the planned one of the same procedure, and the interval begins anew with it.
func (p *planning) checks(d *rules.Device) {
	var done []string
	for i := range d.Checks {
		if procedure := d.Checks[i].What; !slices.Contains(done, procedure) {
			done = append(done, procedure)
			p.recurring(d, procedure)
		}
	}
}

func (p *planning) recurring(d *rules.Device, procedure string) {
	t := Task{Kind: Check, Subject: d.ID, What: procedure, Place: d.Service.Location}
	var interval quantity.Interval
	for i := range d.Checks {
		x := &d.Checks[i]
		if x.What != procedure || x.State == rules.NotRequired || x.State == rules.Stopped || x.Date.IsZero() {
			continue
		}
		if t.Due.IsZero() || x.Date.Before(t.Due) {
			t.Due = x.Date
		}
		if !x.Extra {
			interval = x.Interval
		}
		t.Sources = append(t.Sources, x.Sources...)
	}
	if t.Due.IsZero() || t.Due.After(p.out.Until) {
		return
	}
	with, artifact := p.artifact(d, procedure)
	t.With = with
	t.Day = t.Due
	t.Objection = p.objection(artifact, later(t.Day, p.out.From))
	p.add(t)
	first := later(t.Day, p.out.From)
	for k := 1; ; k++ {
		next := due.Next(first, interval, k, p.until)
		if next.IsZero() || next.After(p.out.Until) {
			return
		}
		t.Day, t.Due, t.Expected, t.Objection = next, next, true, p.objection(artifact, next)
		p.add(t)
	}
}

// artifact names what the last check known by a procedure was made with; else the kind the procedure asks, of which nothing
// more is known.
func (p *planning) artifact(d *rules.Device, procedure string) (with, id string) {
	for _, k := range p.set.Checks[d.ID] {
		if k.Procedure == procedure && !k.Time.After(p.a.At) && !k.Entered.After(p.a.At) {
			id = k.Artifact
		}
	}
	if id != "" {
		return id, id
	}
	if r := p.set.Procedures[procedure]; r != nil {
		return r.ArtifactKind, ""
	}
	return "", ""
}

// objection says why no check with an artifact would be evidence on a day, as far as is known today.
func (p *planning) objection(id string, day calendar.Date) string {
	i := slices.IndexFunc(p.a.Artifacts, func(a rules.Artifact) bool { return a.ID == id })
	switch {
	case i < 0:
		return ""
	case p.a.Artifacts[i].Code != "":
		return fmt.Sprintf("%s: %s", id, p.a.Artifacts[i].Objection)
	}
	if x := &p.a.Artifacts[i].Calibration; x.State != rules.NotRequired && !x.Date.IsZero() && x.Date.Before(day) {
		return fmt.Sprintf("%s: its calibration runs out on %s", id, x.Date)
	}
	return ""
}

// add puts work that is late on today.
func (p *planning) add(t Task) {
	if t.Day.Before(p.out.From) {
		t.Day, t.Late = p.out.From, true
	}
	p.out.Tasks = append(p.out.Tasks, t)
}

func later(a, b calendar.Date) calendar.Date {
	if a.Before(b) {
		return b
	}
	return a
}

// batch gathers the work, which is in order.
func (p *planning) batch() {
	for _, t := range p.out.Tasks {
		week, place := Week(t.Day), t.Place
		if t.Kind == Calibration {
			place = "" // what goes to one laboratory goes together, wherever it stands
		}
		i := slices.IndexFunc(p.out.Batches, func(b Batch) bool {
			return b.Kind == t.Kind && b.With == t.With && b.Place == place && b.Week == week
		})
		if i < 0 {
			i = len(p.out.Batches)
			p.out.Batches = append(p.out.Batches, Batch{Kind: t.Kind, With: t.With, Place: place, Week: week, Day: t.Day})
		}
		p.out.Batches[i].Tasks = append(p.out.Batches[i].Tasks, t)
	}
}

// known reports whether a job was entered by the instant.
func (p *planning) known(j *records.Job) bool { return !j.Entered.After(p.a.At) }

// jobs looks at the jobs that are under way or begin in the period, corrected ones left out.
func (p *planning) jobs() {
	corrected := map[string]bool{}
	for _, j := range p.set.Jobs {
		if j.Amends != "" && p.known(j) {
			corrected[trimmed(j.Amends)] = true
		}
	}
	for _, j := range p.set.Jobs {
		if !p.known(j) || corrected[trimmed(j.File)] || j.End.Before(p.out.From) || j.Begin.After(p.out.Until) {
			continue
		}
		p.out.Jobs = append(p.out.Jobs, p.cover(j))
	}
	slices.SortStableFunc(p.out.Jobs, func(a, b JobCover) int {
		return cmp.Or(a.Job.Begin.Compare(b.Job.Begin), cmp.Compare(a.Job.ID, b.Job.ID))
	})
}

func (p *planning) cover(j *records.Job) JobCover {
	out := JobCover{Job: j}
	gap := func(device, sentence string, sources []rules.Source) {
		out.Gaps = append(out.Gaps, Gap{device, sentence, sources})
	}
	for _, id := range j.Devices {
		i := slices.IndexFunc(p.a.Devices, func(d rules.Device) bool { return d.ID == id })
		if i < 0 {
			gap(id, "there is no such device", nil)
			continue
		}
		d := &p.a.Devices[i]
		switch d.Fitness {
		case rules.Unfit, rules.Unknown:
			gap(id, fmt.Sprintf("it is %s: %s", d.Fitness, worst(d)), sources(d))
		case rules.Fit, rules.Limited:
			for n := range j.Measured {
				m := &j.Measured[n]
				if d.Record.LimitFor(m.Quantity, m.Length.Millimetres()) != nil && !d.Allows(m.Quantity, m.Length.Millimetres()) {
					gap(id, fmt.Sprintf("it may not measure %s at %s: %s", m.Quantity, m.Length, worst(d)), sources(d))
				}
			}
		}
		if x := &d.Calibration; x.State != rules.Overdue && x.State != rules.NotRequired && x.State != rules.Missing && !x.Date.IsZero() && x.Date.Before(j.End) {
			gap(id, fmt.Sprintf("its calibration runs out on %s, and the job ends on %s", x.Date, j.End), x.Sources)
		}
		for n := range p.out.Tasks {
			if t := &p.out.Tasks[n]; t.Subject == id && !t.Day.After(j.End) && !slices.Contains(t.Jobs, j.ID) {
				t.Jobs = append(t.Jobs, j.ID)
			}
		}
	}
	return out
}

func worst(d *rules.Device) string {
	if len(d.Reasons) == 0 {
		return "no reason is known"
	}
	return d.Reasons[0].Sentence
}

func sources(d *rules.Device) []rules.Source {
	if len(d.Reasons) == 0 {
		return nil
	}
	return d.Reasons[0].Sources
}

func trimmed(file string) string { return strings.TrimSuffix(file, ".toml") }
