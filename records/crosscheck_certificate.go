package records

import (
	"fmt"
	"math"
	"slices"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

func (c *checker) checkCertificate(r *Certificate) {
	file := r.File
	c.name(file, CertificatePath(r))
	c.dated(file, "date", r.Date, r.Entered)
	c.order(file, "date", r.Date, "issued", r.Issued, top("issued"))
	c.order(file, "date", r.Date, "received", r.Received, top("received"))
	c.order(file, "issued", r.Issued, "received", r.Received, top("received"))
	c.evidenceAttached(r.Attachment, file, "attachment")
	c.ranges(r)
	c.amends(file, r.Amends, r.Reason, r.Entered, func(o any) bool {
		other, ok := o.(*Certificate)
		return ok && other.Subject == r.Subject
	})
	if v := r.Review; v != nil {
		c.order(file, "date", r.Date, "review.date", v.Date, in("review", "date"))
		c.outcome(file, in("review", "outcome"), v.Outcome, v.Quantities, v.Reason)
		c.byEntry(file, in("review", "date"), "reviewed on", v.Date, r.Date, r.Entered, "record a later review as an event of kind review")
	}
	c.byEntry(file, top("received"), "received on", r.Received, r.Date, r.Entered, "mend the one that is mistaken")
	switch kind, device, artifact := c.subject(r.Subject, file); kind {
	case "device":
		c.deviceErrors(r, device)
	case "artifact":
		c.artifactValues(r, artifact)
	}
}

// outcome checks that a review which limits or refuses says what and why.
func (c *checker) outcome(file string, at spot, o Outcome, allowed []Quantity, reason string) {
	if o != "" && o != Accepted && reason == "" {
		c.fault("reason-missing", file, at, fmt.Sprintf("%q without a reason", o), "")
	}
	if o == AcceptedWithLimits && len(allowed) == 0 {
		c.fault("missing-key", file, at, `"accepted with limits" does not say for what it is accepted`, `add quantities = ["…"]`)
	}
}

// farFromNominal is the relative difference between a certified and a nominal
// value above which one of the two is taken for a slip of the pen.
const farFromNominal = 0.01

// artifactValues checks the certificate of an artifact, which is nil when its
// own file has errors.
func (c *checker) artifactValues(r *Certificate, a *Artifact) {
	for _, table := range []struct {
		key  string
		list []CertifiedError
	}{{"as-found", r.AsFound}, {"as-left", r.AsLeft}} {
		if len(table.list) > 0 {
			c.fault("unknown-key", r.File, row(table.key, 0), fmt.Sprintf("%s is the artifact of this certificate, and %s is for devices", r.Subject, table.key),
				"write [[value]] for each certified feature")
			return
		}
	}
	if len(r.Values) == 0 {
		c.fault("missing-key", r.File, top("value"), fmt.Sprintf("the certificate of artifact %s has no values", r.Subject), "add [[value]] for each certified feature")
	}
	if a == nil {
		return
	}
	for i := range r.Values {
		c.certifiedValue(r, a, i)
	}
}

func (c *checker) certifiedValue(r *Certificate, a *Artifact, i int) {
	v, table := &r.Values[i], row("value", i)
	for j := range i {
		if r.Values[j].Feature == v.Feature {
			c.fault("duplicate-feature", r.File, table.at("feature"), fmt.Sprintf("feature %q is certified twice", v.Feature), "",
				c.place(r.File, row("value", j).at("feature"), "the first time"))
			return
		}
	}
	f := c.feature(a, v.Feature, r.File, table.at("feature"))
	if f == nil {
		return
	}
	off := math.Abs(v.Value.Millimetres() - f.Nominal.Millimetres())
	if !f.Quantity.OneSided() && off > farFromNominal*f.Nominal.Millimetres() {
		c.fault("out-of-range", r.File, table.at("value"), fmt.Sprintf("%s is far from %s, the nominal value of feature %q", v.Value, f.Nominal, f.Name), "",
			c.place(a.File, row("feature", slices.IndexFunc(a.Features, func(o Feature) bool { return o.Name == f.Name })).at("nominal"), "the nominal value"))
	}
	c.scope(r, table, f.Quantity, f.Nominal)
}

// scope compares a quantity and its length with the accreditation's scope,
// where one is stated.
func (c *checker) scope(r *Certificate, at spot, q Quantity, length quantity.Length) {
	covered, stated := r.InScope(q, length.Millimetres())
	if covered || !stated {
		return
	}
	if i := slices.IndexFunc(r.Ranges, func(o ScopeRange) bool { return o.Quantity == q }); i >= 0 {
		c.fault("scope-exceeded", r.File, at, fmt.Sprintf("%s at %s is outside the ranges of the accreditation", q, length), "",
			c.place(r.File, row("scope-range", i), "a stated range"))
		return
	}
	from := top("scope")
	if len(r.Scope) == 0 {
		from = row("scope-range", 0)
	}
	c.fault("scope-exceeded", r.File, at, fmt.Sprintf("%s is not in the stated scope of the accreditation", q), "", c.place(r.File, from, "the stated scope"))
}

// ranges checks the ranges of the scope.
func (c *checker) ranges(r *Certificate) {
	for i := range r.Ranges {
		x, key := &r.Ranges[i], row("scope-range", i)
		if !x.Over.IsZero() && !x.UpTo.IsZero() && x.UpTo.Micrometres() <= x.Over.Micrometres() {
			c.fault("out-of-range", r.File, key.at("up-to"), fmt.Sprintf("the range is over %s and up to %s: for nothing", x.Over, x.UpTo), "")
		}
	}
}

// deviceErrors checks the certificate of a device, which is nil when its own
// file has errors.
func (c *checker) deviceErrors(r *Certificate, d *Device) {
	switch {
	case len(r.Values) > 0:
		c.fault("unknown-key", r.File, row("value", 0), fmt.Sprintf("%s is the device of this certificate, and value is for artifacts", r.Subject),
			"write [[as-found]] for each error the laboratory found")
		return
	case len(r.AsFound)+len(r.AsLeft) == 0:
		c.fault("missing-key", r.File, top("as-found"), fmt.Sprintf("the certificate of device %s has no errors of indication", r.Subject), "add [[as-found]] for each error the laboratory found")
	case r.Adjusted && len(r.AsLeft) == 0:
		c.fault("missing-key", r.File, top("adjusted"), "the device was adjusted, and the certificate does not say how it was left", "add [[as-left]]")
	case !r.Adjusted && len(r.AsLeft) > 0:
		c.fault("missing-key", r.File, row("as-left", 0), "there are as-left errors, but the device is not said to have been adjusted",
			"add adjusted = true, or write [[as-found]] alone: without adjustment it serves as both")
	}
	for i := range r.AsFound {
		c.certifiedError(r, d, row("as-found", i), &r.AsFound[i])
	}
	for i := range r.AsLeft {
		c.certifiedError(r, d, row("as-left", i), &r.AsLeft[i])
	}
}

func (c *checker) certifiedError(r *Certificate, d *Device, table spot, e *CertifiedError) {
	c.scope(r, table, e.Quantity, e.Length)
	if math.Abs(e.Error.Micrometres()) > doubtful*e.Length.Micrometres() {
		c.fault("out-of-range", r.File, table.at("error"), fmt.Sprintf("an error of %s at %s is no error of a measuring device", e.Error, e.Length), "")
		return
	}
	if d == nil {
		return
	}
	limit := d.LimitFor(e.Quantity, e.Length.Millimetres())
	switch {
	case limit == nil:
		c.fault("limit-missing", r.File, table, fmt.Sprintf("device %s has no limit for %s at %s", d.ID, e.Quantity, e.Length), "add a [[limit]] to the device, or leave the error out",
			c.place(d.File, row("limit", 0), "the limits it has"))
	case limit.CountsPath() && e.Path.IsZero():
		c.fault("path-missing", r.File, table, fmt.Sprintf("the limit of %s for %s is %s with L the path travelled, and this error has no path", d.ID, e.Quantity, limit.MPE),
			`add path = "… m"`, limit.place(d))
	}
}

// place is where the limit stands in the device's file.
func (l *Limit) place(d *Device) Place {
	return Place{File: d.File, Position: Position{Line: uint32(l.Line), Column: 1}, Text: "the limit"}
}

// byEntry reports a day that came only after the record was entered: nothing
// recorded is rewritten, so it cannot have been known.
func (c *checker) byEntry(file string, at spot, what string, day, happened calendar.Date, entered time.Time, mend string) {
	zone := c.zone()
	if zone == nil || day.IsZero() || !day.After(calendar.Of(entered, zone)) || calendar.Of(entered, zone).Before(happened) {
		return // or entered before the calibration itself, which is reported
	}
	c.fault("entered-too-early", file, at, fmt.Sprintf("%s %s, after the record was entered %s", what, day, stamp(entered)), mend)
}
