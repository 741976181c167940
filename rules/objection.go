package rules

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// objection says why a reading, or a check as a whole, is no evidence; the
// zero value means that nothing speaks against it. It is put into words only
// where somebody will read them: most are found while looking through history.
type objection struct {
	code    string
	check   *records.Check
	reading *records.Reading // nil: the check as a whole
	in      *accepted        // the artifact's certificate
	day     calendar.Date    // on which its interval ended
	event   *records.Event   // that puts the artifact in doubt
	outside records.Quantity // not among those the certificate was accepted for
	judged  records.Quantity // which a certified value of quantity outside says nothing about
	err     error            // why the rule cannot judge
	missing string           // kind of the record that cannot be read
	unmet   string           // what the reading lacks of what its test asks
}

// words writes the objection and names its sources.
func (d *deviceContext) words(o objection) (string, []Source) {
	k := o.check
	sources := []Source{{File: k.File}}
	if o.reading != nil {
		sources[0].Line = o.reading.Line
	}
	switch o.code {
	case "record-unreadable":
		id := k.Artifact
		if o.missing == "procedure" {
			id = k.Procedure
		}
		return fmt.Sprintf("the record of %s %s cannot be read", o.missing, id), append(sources, d.unreadableSources(id)...)
	case "artifact-uncertified":
		return fmt.Sprintf("artifact %s had no accepted certificate in force", k.Artifact), append(sources, Source{File: d.artifacts[k.Artifact].record.File})
	case "artifact-expired":
		plan := d.artifacts[k.Artifact].record
		return fmt.Sprintf("the calibration of artifact %s of %s had run out on %s", k.Artifact, o.in.cert.Date, o.day),
			append(sources, Source{File: o.in.cert.File}, Source{plan.File, plan.Calibration.Line})
	case "artifact-in-doubt":
		if o.event.Kind == records.Doubt {
			return fmt.Sprintf("artifact %s is in doubt since %s: %s", k.Artifact, o.event.Since, o.event.Reason), append(sources, Source{File: o.event.File})
		}
		return fmt.Sprintf("artifact %s was not to be relied on: %s of %s: %s", k.Artifact, o.event.Kind, d.day(o.event.Time), o.event.Reason),
			append(sources, Source{File: o.event.File})
	case "test-unmet":
		return fmt.Sprintf("feature %q: %s", o.reading.Feature, o.unmet), append(sources, d.demanded(k, o.reading.Feature))
	case "feature-uncovered":
		if o.judged != "" {
			return fmt.Sprintf("certificate %s certifies feature %q of %s for %s, which says nothing about %s", o.in.cert.Number, o.reading.Feature, k.Artifact, o.outside, o.judged),
				append(sources, Source{File: o.in.cert.File})
		}
		if o.outside != "" {
			return fmt.Sprintf("certificate %s of %s was not accepted for %s", o.in.cert.Number, k.Artifact, o.outside), append(sources, o.in.source)
		}
		return fmt.Sprintf("certificate %s has no value for feature %q of %s", o.in.cert.Number, o.reading.Feature, k.Artifact), append(sources, Source{File: o.in.cert.File})
	}
	return fmt.Sprintf("feature %q: %s", o.reading.Feature, o.err), sources
}

// unreadableSources lists the unreadable files about a subject.
func (c *context) unreadableSources(subject string) []Source {
	var out []Source
	for _, u := range c.set.Unreadable {
		if u.Subject == subject {
			out = append(out, Source{u.File, int(u.Position.Line)})
		}
	}
	return out
}
