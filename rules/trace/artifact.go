package trace

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// artifactAsked follows what a check made with an artifact at the instant asked
// about would take its reference values from.
func (b *builder) artifactAsked(a *records.Artifact) error {
	var features, known []string
	for i := range a.Features {
		known = append(known, a.Features[i].Name)
		if b.feature == "" || a.Features[i].Name == b.feature {
			features = append(features, a.Features[i].Name)
		}
	}
	if len(features) == 0 {
		return &Error{What: fmt.Sprintf("artifact %s has no feature %q", a.ID, b.feature), Mend: "name one of: " + listed(known...), Known: known}
	}
	k := &records.Check{Artifact: a.ID, Time: b.at, Entered: b.at}
	r := b.knowledge.ReliedOn(a.ID, b.at)
	if r.Artifact == nil {
		r.Artifact = a // the site cannot be read
	}
	b.artifact(nil, k, r, features)
	return nil
}

// artifact puts the artifact of a check below it, and its certificate with the
// values of the features measured.
func (b *builder) artifact(above *Step, k *records.Check, r rules.Reliance, features []string) {
	s := b.step(Artifact, k.Artifact, k.Artifact)
	if above != nil {
		b.rests(above, s)
	}
	b.unread(s, k.Artifact, "artifact", "certificate", "event")
	a := r.Artifact
	if a == nil {
		if len(s.Gaps) == 0 {
			s.gap("step-unreadable", fmt.Sprintf("artifact %s has no record that can be used", k.Artifact), rules.Source{File: k.File})
		}
		return
	}
	s.from(rules.Source{File: a.File})
	s.say("%s", listed(a.Kind, a.Maker, prefixed("serial", a.Serial), a.Material))
	if !b.judging() {
		s.gap("step-unreadable", "the site's settings cannot be read, and nothing can be judged", rules.Source{File: records.SiteFile})
		return
	}
	b.artifactGaps(s, k, r)
	if r.Certificate == nil || r.Expired {
		var since calendar.Date
		if r.Certificate != nil {
			since = r.Certificate.Date
		}
		b.notInForce(s, k.Artifact, since, k.Time)
	}
	if r.Certificate == nil {
		return
	}
	c := b.certificate(s, r.Certificate)
	if r.LastDay.IsZero() {
		c.say("no recalibration is required: %s", a.Calibration.NotRequired)
	} else {
		c.say("calibration interval until %s", r.LastDay)
	}
	if r.Expired {
		c.gap("certificate-expired", fmt.Sprintf("its interval ended on %s, before %s", r.LastDay, b.day(k.Time)), rules.Source{File: r.Certificate.File}, rules.Source{File: a.File, Line: a.Calibration.Line})
	}
	for _, name := range features {
		b.value(c, r.Certificate, a, name)
		if why := b.uncovered(r, k, name); why != "" {
			c.gap("feature-not-covered", why, rules.Source{File: r.Certificate.File})
		}
	}
}

// artifactGaps adds what speaks against relying on an artifact as a whole.
func (b *builder) artifactGaps(s *Step, k *records.Check, r rules.Reliance) {
	if e := r.Unsound; e != nil {
		since := b.day(e.Time)
		if e.Kind == records.Doubt {
			since = e.Since
		}
		s.gap("artifact-unsound", fmt.Sprintf("on %s it was not to be relied on: %s of %s", b.day(k.Time), e.Kind, listed(since.String(), e.Reason)), rules.Source{File: e.File})
	}
	if r.Certificate == nil {
		s.gap("certificate-missing", fmt.Sprintf("no accepted certificate was in force on %s", b.day(k.Time)), rules.Source{File: r.Artifact.File})
	}
}

// uncovered says why the certificate in force does not cover a feature,
// or nothing.
func (b *builder) uncovered(r rules.Reliance, k *records.Check, feature string) string {
	cert := r.Certificate
	if cert == nil || r.Artifact == nil {
		return ""
	}
	if cert.Value(feature) == nil {
		return fmt.Sprintf("it has no value for feature %q of %s", feature, k.Artifact)
	}
	f := r.Artifact.Feature(feature)
	if f == nil {
		return fmt.Sprintf("%s has no feature %q", k.Artifact, feature)
	}
	for _, a := range b.knowledge.Acceptances(k.Artifact) {
		if a.Certificate == cert && !a.Covers(f.Quantity) {
			return fmt.Sprintf("it was not accepted for %s", f.Quantity)
		}
	}
	return ""
}

// notInForce puts below a step the certificates of its subject, of calibrations
// after a day, that are there and were not in force at an instant.
func (b *builder) notInForce(s *Step, subject string, since calendar.Date, t time.Time) {
	for _, a := range b.knowledge.Acceptances(subject) {
		code, why := "", ""
		switch {
		case !since.IsZero() && !a.Certificate.Date.After(since):
		case a.Outcome == "":
			code, why = "never-reviewed", "entered and never reviewed"
		case a.From.IsZero():
			code, why = "sent-back", "sent back at its review"
		case a.From.After(t):
			code, why = "certificate-not-yet", fmt.Sprintf("in force only from %s on, after %s", b.day(a.From), b.day(t))
		}
		if code == "" {
			continue
		}
		c := b.certificate(s, a.Certificate)
		sources := []rules.Source{{File: a.Certificate.File}}
		if a.Review.File != "" && !slices.Contains(sources, a.Review) {
			sources = append(sources, a.Review)
		}
		c.gap(code, why, sources...)
	}
}
