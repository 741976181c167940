package trace

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// noEvidence is what stands in place of a verdict.
const noEvidence = "no evidence"

// checkAsked follows what one check rests on: its artifact, and how the device
// was calibrated when it was made.
func (b *builder) checkAsked(k *records.Check) error {
	var known []string
	for i := range k.Readings {
		known = append(known, k.Readings[i].Feature)
	}
	if b.feature != "" && !slices.Contains(known, b.feature) {
		return &Error{What: fmt.Sprintf("the check has no reading of feature %q", b.feature), Mend: "name one of: " + listed(known...), Known: known}
	}
	var limits []*records.Limit
	if !b.judging() || b.set.Devices[k.Device] == nil {
		s := b.checkStep(nil, k)
		if !b.judging() {
			s.gap("step-unreadable", "the site's settings cannot be read, and nothing can be judged", rules.Source{File: records.SiteFile})
			return nil
		}
		d := b.step(Device, k.Device, k.Device)
		b.rests(s, d)
		if b.unread(d, k.Device, "device"); len(d.Gaps) == 0 {
			d.gap("device-unlisted", fmt.Sprintf("the check names device %s, which has no record", k.Device), rules.Source{File: k.File})
		}
		return nil
	}
	d := b.set.Devices[k.Device]
	s := b.check(nil, k, func(l *records.Limit, q records.Quantity) bool {
		for i := range d.Limits {
			if own := &d.Limits[i]; (own == l || l == nil && own.Quantity == q) && !slices.Contains(limits, own) {
				limits = append(limits, own)
			}
		}
		return true
	})
	step := b.identity(s, d)
	if states := b.states(d.ID, k.Time, k.Time); len(states) > 0 {
		step.say("%s", listed(prefixed("firmware", states[0].device.Service.Firmware), prefixed("at", states[0].device.Service.Location)))
		b.calibrations(step, states[0].device, limits, k.Time)
	}
	return nil
}

// checkStep puts a check into the chain with what it is.
func (b *builder) checkStep(above *Step, k *records.Check) *Step {
	s := b.step(Check, k.File, strings.TrimPrefix(bare(k.File), "checks/"))
	if above != nil {
		b.rests(above, s)
	}
	s.from(rules.Source{File: k.File})
	s.say("%s by %s, %s", listed(k.Procedure, prefixed("revision", k.Revision)), k.By, k.Time.In(b.zone).Format("2006-01-02 15:04"))
	if by := corrected(b.set.Checks[k.Device], k.File, func(r *records.Check) (string, string) { return r.File, r.Amends }); by != "" {
		s.gap("record-corrected", fmt.Sprintf("the check was corrected by %s", by), rules.Source{File: by})
	}
	b.unread(s, k.Procedure, "procedure")
	b.scans(s, k)
	return s
}

// scans puts the scans of a check below it. An archive outside the repository
// is not looked into.
func (b *builder) scans(s *Step, k *records.Check) {
	for i := range k.Scans {
		scan := &k.Scans[i]
		if b.set.Site != nil {
			if place, inside := b.set.Site.Scans.Place(scan.File); !inside {
				s.say("scan kept outside the repository, not looked at: %s, SHA-256 %s", place, scan.SHA256)
				continue
			}
		}
		b.file(s, &records.Attachment{File: scan.File, SHA256: scan.SHA256, Size: scan.Size}, rules.Source{File: k.File})
	}
}

// check puts a check below a step, with its readings that matter and what
// their reference values come from.
func (b *builder) check(above *Step, k *records.Check, matters func(*records.Limit, records.Quantity) bool) *Step {
	s := b.checkStep(above, k)
	r := b.knowledge.ReliedOn(k.Artifact, k.Time)
	var features []string
	for _, f := range b.knowledge.JudgeCheck(k.Device, k.File) {
		name := f.Reading.Feature
		if b.feature != "" && above == nil && name != b.feature {
			continue
		}
		var limit *records.Limit
		q := b.quantityOf(k, r.Artifact, name)
		if f.Judgement != nil {
			limit, q = f.Judgement.Limit, f.Judgement.Quantity
		}
		if !matters(limit, q) {
			continue
		}
		features = append(features, name)
		source := rules.Source{File: k.File, Line: f.Reading.Line}
		if f.Judgement != nil {
			s.figure(judgedFigure(f.Judgement, source))
			continue
		}
		s.figure(Figure{
			Of: name, Quantity: q, What: "error", ValueUM: figure.Absent(noEvidence), ExpandedUM: figure.Absent(noEvidence), Factor: figure.Absent(noEvidence),
			Verdict: noEvidence, Source: source,
		})
		s.gap("check-no-evidence", f.Objection, source)
	}
	b.artifact(s, k, r, features)
	return s
}

// quantityOf is the quantity a check judges a feature for; empty when it
// cannot be told.
func (b *builder) quantityOf(k *records.Check, a *records.Artifact, feature string) records.Quantity {
	p := b.set.Procedures[k.Procedure]
	if p == nil || a == nil || a.Feature(feature) == nil {
		return ""
	}
	return records.JudgedQuantity(p, a.Feature(feature))
}

func judgedFigure(j *rules.Judgement, source rules.Source) Figure {
	f := Figure{
		Of: j.Feature.Name, Quantity: j.Quantity, What: "error", ValueUM: figure.Known(j.Decision.ErrorUM),
		ExpandedUM: figure.Known(j.Uncertainty.ExpandedUM), Factor: figure.Known(j.Uncertainty.CoverageFactor),
		Verdict: strings.ReplaceAll(string(j.Decision.Verdict), "-", " "), Source: source,
	}
	if j.LengthIsPath {
		f.Of += fmt.Sprintf(" over a path of %s", j.Length)
	}
	return f
}
