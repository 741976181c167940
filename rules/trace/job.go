package trace

import (
	"fmt"
	"slices"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// need is a figure that a device must be able to hold.
type need struct {
	quantity     records.Quantity
	lengthMM     float64
	length, path quantity.Length // path zero: not stated
	words        string
	ofJob        bool // of a job, which has a length and may have a path
}

// job follows what a job rests on: for each of its devices what showed, on the
// job's last day, that the limit of each quantity was kept.
func (b *builder) job(j *records.Job) error {
	if b.day(b.at).Before(j.Begin) {
		return &Error{What: fmt.Sprintf("job %s begins on %s: by %s nothing of it was measured", j.ID, j.Begin, b.day(b.at)), Mend: "ask for an instant after it"}
	}
	needs, measured, err := needsOf(j, b.feature)
	if err != nil {
		return err
	}
	s := b.step(Job, j.File, j.ID)
	s.from(rules.Source{File: j.File})
	s.say("%s", listed(j.Title, prefixed("for", j.Customer)))
	s.say("%s to %s, recorded by %s", j.Begin, j.End, j.By)
	for i, m := range measured {
		s.figure(Figure{
			Of: needs[i].words, Quantity: m.Quantity, What: "tolerance", ValueUM: figure.Known(m.Tolerance.Micrometres()),
			ExpandedUM: figure.Absent("a job states a tolerance"), Factor: figure.Absent("a job states a tolerance"), Source: rules.Source{File: j.File, Line: m.Line},
		})
	}
	if by := corrected(b.set.Jobs, j.File, func(r *records.Job) (string, string) { return r.File, r.Amends }); by != "" {
		s.gap("record-corrected", fmt.Sprintf("the job was corrected by %s", by), rules.Source{File: by})
	}
	b.doubted(s, j, needs)
	unlisted := false
	for _, id := range j.Devices {
		d := b.set.Devices[id]
		if d == nil {
			unlisted = true
			b.unlisted(s, j, id)
			continue
		}
		b.device(s, d, within(d, needs), b.endOf(j.Begin), b.endOf(j.End))
	}
	for i, n := range needs {
		has := func(id string) bool {
			d := b.set.Devices[id]
			return d != nil && d.LimitFor(n.quantity, n.lengthMM) != nil
		}
		if !unlisted && !slices.ContainsFunc(j.Devices, has) {
			s.gap("limit-unstated", fmt.Sprintf("no device of the job has a limit for %s", n.words), rules.Source{File: j.File, Line: measured[i].Line})
		}
	}
	return nil
}

// needsOf lists what a job measured, or of it one quantity.
func needsOf(j *records.Job, asked string) (needs []need, measured []*records.JobFeature, err error) {
	var known []string
	for i := range j.Measured {
		m := &j.Measured[i]
		known = append(known, string(m.Quantity))
		if asked != "" && string(m.Quantity) != asked {
			continue
		}
		words := fmt.Sprintf("%s up to %s", m.Quantity, m.Length)
		if !m.Path.IsZero() {
			words += fmt.Sprintf(" over a path of %s", m.Path)
		}
		needs = append(needs, need{quantity: m.Quantity, lengthMM: m.Length.Millimetres(), length: m.Length, path: m.Path, words: words, ofJob: true})
		measured = append(measured, m)
	}
	if len(needs) == 0 {
		return nil, nil, &Error{What: fmt.Sprintf("job %s measured no quantity %q", j.ID, asked), Mend: "name one of: " + listed(known...), Known: known}
	}
	return needs, measured, nil
}

// unlisted puts a device into the chain of which nothing is known but that a
// record names it.
func (b *builder) unlisted(above *Step, j *records.Job, id string) {
	s := b.step(Device, id, id)
	b.rests(above, s)
	b.unread(s, id, "device")
	if len(s.Gaps) == 0 {
		s.gap("device-unlisted", fmt.Sprintf("job %s names device %s, which has no record", j.ID, id), rules.Source{File: j.File})
	}
}

// doubted adds a gap for each failure that throws doubt on the job by what was
// known at the instant asked about.
func (b *builder) doubted(s *Step, j *records.Job, needs []need) {
	asked := func(q records.Quantity) bool {
		return slices.ContainsFunc(needs, func(n need) bool { return n.quantity == q })
	}
	for _, id := range j.Devices {
		if b.set.Devices[id] == nil {
			continue
		}
		b.doubtedSince(s, j, id)
		states := b.now(id)
		if len(states) == 0 {
			continue
		}
		for _, r := range states[0].device.Reasons {
			names := slices.ContainsFunc(r.Sources, func(o rules.Source) bool { return o.File == j.File })
			if r.Code == "jobs-in-doubt" && names && (len(r.Quantities) == 0 || slices.ContainsFunc(r.Quantities, asked)) {
				s.gap("job-in-doubt", fmt.Sprintf("%s: %s", id, r.Sentence), r.Sources...)
			}
		}
	}
}

// doubtedSince adds a gap for each incident recorded after the job that puts the
// device in doubt from a day of the job or before it. One recorded earlier bears
// on the device's fitness, which checks may have restored.
func (b *builder) doubtedSince(s *Step, j *records.Job, id string) {
	events := b.set.Events[id]
	for _, e := range events {
		if e.Kind != records.Doubt || e.Time.After(b.at) || !b.day(e.Time).After(j.End) || e.Since.After(j.End) {
			continue
		}
		if corrected(events, e.File, func(r *records.Event) (string, string) { return r.File, r.Amends }) == "" {
			s.gap("job-in-doubt", fmt.Sprintf("%s is in doubt since %s: %s", id, e.Since, e.Reason), rules.Source{File: e.File})
		}
	}
}
