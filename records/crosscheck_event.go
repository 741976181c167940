package records

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records/calendar"
)

// eventRule says which keys a kind of event needs and which it may have beside
// the common ones.
type eventRule struct{ needs, may []string }

// eventRules lists the keys of each kind of event.
func eventRules() map[EventKind]eventRule {
	return map[EventKind]eventRule{
		Adjustment:       {needs: []string{"reason", "as-found"}},
		Repair:           {needs: []string{"reason"}, may: []string{"as-found"}},
		Withdrawal:       {needs: []string{"reason"}},
		ReturnToService:  {needs: []string{"evidence"}, may: []string{"reason"}},
		Retirement:       {needs: []string{"reason"}},
		Limitation:       {needs: []string{"reason", "quantities"}, may: []string{"up-to"}},
		LimitationLifted: {needs: []string{"reason"}, may: []string{"evidence"}},
		Doubt:            {needs: []string{"reason", "since"}},
		FirmwareChange:   {needs: []string{"version"}, may: []string{"reason"}},
		Relocation:       {needs: []string{"location"}, may: []string{"reason"}},
		Handover:         {needs: []string{"owner"}, may: []string{"reason"}},
		IntervalChange:   {needs: []string{"reason", "of", "interval"}},
		Extension:        {needs: []string{"reason", "of", "until"}, may: []string{"quantities", "up-to"}},
		CertificateRead:  {needs: []string{"certificate", "outcome"}, may: []string{"quantities", "reason"}},
	}
}

// stated lists the kind-specific keys an event has.
func (e *Event) stated() []string {
	var out []string
	for _, k := range []struct {
		name string
		has  bool
	}{
		{"reason", e.Reason != ""},
		{"as-found", e.AsFound != ""},
		{"evidence", e.Evidence != ""},
		{"version", e.Firmware != ""},
		{"location", e.Location != ""},
		{"owner", e.Owner != ""},
		{"of", e.Of != ""},
		{"interval", !e.Interval.IsZero()},
		{"until", !e.Until.IsZero()},
		{"quantities", len(e.Quantities) > 0},
		{"up-to", !e.UpTo.IsZero()},
		{"since", !e.Since.IsZero()},
		{"certificate", e.Certificate != ""},
		{"outcome", e.Outcome != ""},
	} {
		if k.has {
			out = append(out, k.name)
		}
	}
	return out
}

func (c *checker) checkEvent(e *Event) {
	file := e.File
	if zone := c.zone(); zone != nil {
		c.name(file, EventPath(e, zone))
		day := calendar.Of(e.Time, zone)
		c.order(file, "time", day, "until", e.Until, top("until"))
		c.order(file, "since", e.Since, "time", day, top("since"))
	}
	c.times(file, e.Time, e.Entered)
	c.eventKeys(e)
	_, device, artifact := c.subject(e.Subject, file)
	c.amends(file, e.Amends, e.Reason, e.Entered, func(r any) bool {
		o, ok := r.(*Event)
		return ok && o.Subject == e.Subject && o.Kind == e.Kind
	})
	if e.AsFound != "" && e.AsFound != NoAsFound {
		c.evidence(e, "as-found", e.AsFound)
	}
	if e.Evidence != "" {
		c.evidence(e, "evidence", e.Evidence)
	}
	c.of(e, device, artifact)
	if e.Kind == CertificateRead && e.Certificate != "" {
		name, r := c.record(e.Certificate, file, top("certificate"))
		if o, ok := r.(*Certificate); r != nil && (!ok || o.Subject != e.Subject) {
			c.fault("amends-other", file, top("certificate"), fmt.Sprintf("%s is no certificate of %s", name, e.Subject), "name the certificate's record")
		}
		c.outcome(file, top("outcome"), e.Outcome, e.Quantities, e.Reason)
	}
}

// of checks that what an event changes the interval of has one.
func (c *checker) of(e *Event, device *Device, artifact *Artifact) {
	if e.Of == "" || e.Of == OfCalibration {
		return
	}
	if artifact != nil {
		c.fault("unknown-procedure", e.File, top("of"), fmt.Sprintf("artifact %s is calibrated, not checked by procedure %q", e.Subject, e.Of), `write "calibration"`)
	}
	if device == nil || slices.ContainsFunc(device.Checks, func(r RequiredCheck) bool { return r.Procedure == e.Of }) {
		return
	}
	c.fault("unknown-procedure", e.File, top("of"), fmt.Sprintf("device %s requires no check by procedure %q", e.Subject, e.Of), `write "calibration" or one of the procedures it requires`)
}

// eventKeys checks that an event has the keys of its kind and no others.
func (c *checker) eventKeys(e *Event) {
	c.ownKeys(e.File, "an event of kind", string(e.Kind), top("kind"), eventRules()[e.Kind], e.stated(), e.Amends != "", c.load.schema.event.example)
}

// ownKeys checks that a record has the keys of its kind and no others. reasoned
// is set where a missing reason is reported elsewhere.
func (c *checker) ownKeys(file, what, kind string, at spot, rule eventRule, stated []string, reasoned bool, example func(string) string) {
	for _, name := range rule.needs {
		if slices.Contains(stated, name) {
			continue
		}
		code, mend := "missing-key", "add "+example(name)
		if name == "reason" {
			if reasoned {
				continue // reported as a correction without a reason
			}
			code, mend = "reason-missing", ""
		}
		c.fault(code, file, at, fmt.Sprintf("%s %s needs key %s", what, kind, name), mend)
	}
	for _, name := range stated {
		if !slices.Contains(rule.needs, name) && !slices.Contains(rule.may, name) {
			c.fault("unknown-key", file, top(name).named(), fmt.Sprintf("key %s does not belong to %s %s", name, what, kind),
				"the keys of this kind are "+strings.Join(slices.Concat(rule.needs, rule.may), ", "))
		}
	}
}

// evidence checks that a check or certificate of the subject is named.
func (c *checker) evidence(e *Event, key, written string) {
	name, r := c.record(written, e.File, top(key))
	if r == nil {
		return
	}
	switch o := r.(type) {
	case *Check:
		if o.Device == e.Subject {
			return
		}
	case *Certificate:
		if o.Subject == e.Subject {
			return
		}
	}
	c.fault("amends-other", e.File, top(key), fmt.Sprintf("%s is no check or certificate of %s", name, e.Subject), "name one of its own")
}

// EventKeys returns the keys that a kind of event needs beside those every
// event has, and those it may have.
func EventKeys(kind EventKind) (needs, may []string) {
	rule := eventRules()[kind]
	return rule.needs, rule.may
}
