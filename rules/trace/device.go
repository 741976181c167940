package trace

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// deviceAsked follows what shows, at the instant asked about, that a device
// keeps its limits.
func (b *builder) deviceAsked(d *records.Device) error {
	var needs []need
	var known []string
	for i := range d.Limits {
		l := &d.Limits[i]
		known = append(known, string(l.Quantity))
		if b.feature != "" && string(l.Quantity) != b.feature {
			continue
		}
		over, upTo := l.Range()
		n := need{quantity: l.Quantity, lengthMM: upTo, words: string(l.Quantity)}
		if l.UpTo.IsZero() {
			n.lengthMM = over + 1
		}
		if !l.Over.IsZero() {
			n.words += " over " + l.Over.String()
		}
		if !l.UpTo.IsZero() {
			n.words += " up to " + l.UpTo.String()
		}
		needs = append(needs, n)
	}
	if b.feature != "" && len(needs) == 0 {
		return &Error{What: fmt.Sprintf("device %s has no limit for a quantity %q", d.ID, b.feature), Mend: "name one of: " + listed(known...), Known: known}
	}
	b.device(nil, d, needs, b.at, b.at)
	return nil
}

// device puts a device below a step, or at the top, with what showed at the
// end of a time that it kept its limits for what is needed of it.
func (b *builder) device(above *Step, d *records.Device, needs []need, from, to time.Time) {
	s, last := b.through(above, d, needs, from, to)
	if last == nil {
		return
	}
	s.say("%s", listed(prefixed("firmware", last.Service.Firmware), prefixed("at", last.Service.Location)))
	var limits []*records.Limit
	for _, n := range needs {
		limit := d.LimitFor(n.quantity, n.lengthMM)
		if !slices.Contains(limits, limit) {
			limits = append(limits, limit)
		}
		b.limit(s, d, limit, n)
	}
	for _, k := range b.checksOf(last, limits) {
		b.check(s, k, func(l *records.Limit, q records.Quantity) bool {
			return slices.Contains(limits, l) || l == nil && slices.ContainsFunc(needs, func(n need) bool { return q == "" || n.quantity == q })
		})
	}
	b.calibrations(s, last, limits, to)
	for _, n := range needs {
		b.shown(s, last, d.LimitFor(n.quantity, n.lengthMM), n)
	}
}

// through puts a device below a step, or at the top, with a gap for each way in
// which it was not allowed to measure what is needed of it from one instant to
// another, and returns how it stood at the end; nil: nothing can be judged.
func (b *builder) through(above *Step, d *records.Device, needs []need, from, to time.Time) (*Step, *rules.Device) {
	s := b.identity(above, d)
	states := b.states(d.ID, from, to)
	if len(states) == 0 || !b.judging() {
		s.gap("step-unreadable", "the site's settings cannot be read, and nothing can be judged", rules.Source{File: records.SiteFile})
		return s, nil
	}
	b.notFit(s, states, needs)
	return s, states[len(states)-1].device
}

func (b *builder) judging() bool { return b.set.Site != nil && b.set.Site.Zone != nil }

// identity puts a device into the chain with what it is.
func (b *builder) identity(above *Step, d *records.Device) *Step {
	s := b.step(Device, d.ID, d.ID)
	if above != nil {
		b.rests(above, s)
	}
	s.from(rules.Source{File: d.File})
	s.say("%s", listed(d.Kind, strings.TrimSpace(d.Maker+" "+d.Model), prefixed("serial", d.Serial)))
	b.unread(s, d.ID, "device", "certificate", "check", "event")
	return s
}

// limit adds the bound that a device promises for what is needed of it.
func (b *builder) limit(s *Step, d *records.Device, limit *records.Limit, n need) {
	f := Figure{
		Of: n.words, Quantity: n.quantity, What: "limit", ExpandedUM: figure.Absent("a limit has none"), Factor: figure.Absent("a limit has none"),
		Source: rules.Source{File: d.File, Line: limit.Line},
	}
	length := n.length
	if limit.CountsPath() {
		length = n.path
	}
	switch mpe, err := limit.MPE.At(length); {
	case !n.ofJob && limit.MPE.GrowsWithLength():
		f.ValueUM = figure.Absentf("grows with the length: %s", limit.MPE)
	case n.ofJob && limit.CountsPath() && n.path.IsZero():
		f.ValueUM = figure.Absent("not known: the path is not stated")
		s.gap("path-unstated", fmt.Sprintf("the limit of %s for %s is %s with L the path travelled, and the job states none", d.ID, n.quantity, limit.MPE), f.Source)
	case err != nil:
		f.ValueUM = figure.Absent("not known: " + err.Error())
	default:
		f.ValueUM = figure.Known(mpe)
	}
	s.figure(f)
}

// checksOf lists the checks that a device's standing rests on for some limits,
// in the order of time: those whose verdicts are in force, and the last ones
// that could not be judged. What was found before an adjustment bears on what
// was measured until then, and nothing rests on it since.
func (b *builder) checksOf(d *rules.Device, limits []*records.Limit) []*records.Check {
	var files []string
	for i := range d.Evidence {
		if e := &d.Evidence[i]; e.Judgement != nil && slices.Contains(limits, e.Limit) {
			files = append(files, e.Judgement.Check.File)
		}
	}
	for _, r := range d.Reasons {
		if r.Code == "as-found-failed" || r.Code == "jobs-in-doubt" || r.Code == "case-missing" {
			continue // of a time that may be over; a failure in force is evidence
		}
		if len(r.Sources) > 0 && (len(r.Quantities) == 0 || slices.ContainsFunc(limits, func(l *records.Limit) bool { return slices.Contains(r.Quantities, l.Quantity) })) {
			files = append(files, r.Sources[0].File)
		}
	}
	var out []*records.Check
	for _, k := range b.set.Checks[d.ID] {
		if slices.Contains(files, k.File) {
			out = append(out, k)
		}
	}
	return out
}

// shown adds gaps where nothing shows a limit to be kept, or nothing over a
// length as long as is needed.
func (b *builder) shown(s *Step, d *rules.Device, limit *records.Limit, n need) {
	var longest quantity.Length
	found := false
	for i := range d.Evidence {
		e := &d.Evidence[i]
		if e.Limit != limit {
			continue
		}
		found = true
		var length quantity.Length
		switch {
		case e.Judgement != nil:
			length = e.Judgement.Length
		case limit.CountsPath():
			length = e.Certified.Path
		default:
			length = e.Certified.Length
		}
		if !length.IsZero() && (longest.IsZero() || length.Micrometres() > longest.Micrometres()) {
			longest = length
		}
	}
	source := rules.Source{File: d.Record.File, Line: limit.Line}
	if !found {
		s.gap("evidence-missing", fmt.Sprintf("nothing in force shows that %s kept its limit for %s", d.ID, n.words), source)
		return
	}
	counted, what := n.length, "length"
	if limit.CountsPath() {
		counted, what = n.path, "path"
	}
	if limit.MPE.GrowsWithLength() && n.ofJob && !counted.IsZero() && !longest.IsZero() && counted.Micrometres() > longest.Micrometres() {
		s.gap("range-uncovered", fmt.Sprintf("the job has %s over a %s of %s, and the longest that shows %s to keep its limit is %s", n.quantity, what, counted, d.ID, longest), source)
	}
}
