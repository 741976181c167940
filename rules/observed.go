package rules

import (
	"time"

	"plumbrule/records"
	"plumbrule/records/quantity"
)

// Observed is the mean error of one reading of a check, with the limit it was
// judged by.
type Observed struct {
	Check   *records.Check
	Feature string
	Length  quantity.Length // that the limit counts; not stated where it counts none
	Values  int             // behind the mean
	ErrorUM float64
	MPEUM   float64
}

// ObservedErrors returns the errors found beside each limit of a device since
// its last adjustment or repair, by every procedure and with every artifact, in
// the order of the limits and then of time. Checks that are no evidence do not
// count. A device or site that cannot be read has none.
func ObservedErrors(set *records.Set, at time.Time, options Options, device string) [][]Observed {
	d := trendContext(set, at, options, device)
	if d == nil || d.unread(d.id) != "" {
		return nil
	}
	out := make([][]Observed, len(d.record.Limits))
	for i := range d.record.Limits {
		out[i] = d.observed(&d.record.Limits[i])
	}
	return out
}

// observed collects the errors that count for a limit.
func (d *deviceContext) observed(limit *records.Limit) []Observed {
	var out []Observed
	last := d.lastRestart()
	for _, k := range d.view.checks {
		if last != nil && !d.after(k, last) {
			continue
		}
		b := d.basis(k)
		for i := range k.Readings {
			j, why := d.prepare(&b, &k.Readings[i])
			if why.code != "" || j.limit != limit {
				continue
			}
			mpe, length, err := j.limitUM()
			if err != nil {
				continue
			}
			errorsUM, err := j.errorsOf(nil)
			if err != nil || len(errorsUM) == 0 {
				continue
			}
			sum := 0.0
			for _, e := range errorsUM {
				sum += e
			}
			out = append(out, Observed{k, j.feature.Name, length, len(errorsUM), sum / float64(len(errorsUM)), mpe})
		}
	}
	return out
}
