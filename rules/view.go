package rules

import (
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// view is what was known of one device or artifact at the instant evaluated:
// records that had happened and had been entered by then, corrected ones
// replaced by their corrections.
type view struct {
	certificates []*records.Certificate
	checks       []*records.Check
	events       []*records.Event
	corrected    map[string]string // the file that corrects each check corrected, without suffixes
	later        int               // records left out because they came later
}

// known tells whether a fact is in view: it had happened at the instant, and
// it had been entered, unless hindsight is asked for.
func (c *context) known(happened, entered time.Time) bool {
	if !c.options.Hindsight {
		happened = later(happened, entered)
	}
	return c.come(happened)
}

// knownOn is known for a fact dated to the day.
func (c *context) knownOn(day calendar.Date, entered time.Time) bool {
	return c.reached(day) && (c.options.Hindsight || c.come(entered))
}

// viewOf collects what was known of a subject.
func (c *context) viewOf(subject string) view {
	var v view
	v.certificates, _ = inView(c.set.Certificates[subject], &v.later,
		func(r *records.Certificate) bool { return c.knownOn(r.Date, r.Entered) },
		func(r *records.Certificate) (string, string) { return r.File, r.Amends })
	v.checks, v.corrected = inView(c.set.Checks[subject], &v.later,
		func(r *records.Check) bool { return c.known(r.Time, r.Entered) },
		func(r *records.Check) (string, string) { return r.File, r.Amends })
	v.events, _ = inView(c.set.Events[subject], &v.later,
		func(r *records.Event) bool { return c.known(r.Time, r.Entered) },
		func(r *records.Event) (string, string) { return r.File, r.Amends })
	return v
}

// inView returns the known records of a list without those that other known
// ones correct, says which ones those are, and counts the unknown ones. The list
// itself is returned where nothing is left out, and is not to be changed.
func inView[R any](list []R, later *int, known func(R) bool, name func(R) (file, amends string)) ([]R, map[string]string) {
	var corrected map[string]string
	left := 0
	for _, r := range list {
		if !known(r) {
			left++
			continue
		}
		if file, amends := name(r); amends != "" {
			if corrected == nil {
				corrected = map[string]string{}
			}
			corrected[withoutSuffix(amends)] = withoutSuffix(file)
		}
	}
	*later += left
	if left == 0 && corrected == nil {
		return list, nil
	}
	out := make([]R, 0, len(list)-left)
	for _, r := range list {
		file, _ := name(r)
		if _, gone := corrected[withoutSuffix(file)]; known(r) && !gone {
			out = append(out, r)
		}
	}
	return slices.Clip(out), corrected
}

// withoutSuffix makes one name of the two in which a record may be referred to.
func withoutSuffix(file string) string { return strings.TrimSuffix(file, ".toml") }

// day returns the local date of an instant.
func (c *context) day(t time.Time) calendar.Date { return calendar.Of(t, c.zone) }

// follow goes from a name along corrections to the record that nothing corrects.
// It ends also where they form a circle, which loading refuses.
func follow(corrected map[string]string, name string) string {
	for range len(corrected) {
		by, found := corrected[name]
		if !found {
			break
		}
		name = by
	}
	return name
}

// check finds a check of the device by the name another record gives it, or
// the one that corrects it; nil when none is known.
func (d *deviceContext) check(name string) *records.Check {
	name = follow(d.view.corrected, withoutSuffix(name))
	for _, k := range d.view.checks {
		if withoutSuffix(k.File) == name {
			return k
		}
	}
	return nil
}
