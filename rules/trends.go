package rules

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/rules/drift"
)

// Trend is how the errors of one control chart go with time. Its points are
// those of the chart: the mean error of each check.
//
// A line ends where the device was adjusted or repaired. It does not end where
// the artifact was calibrated anew, as the chart does: the device is the same
// after it. What the new certificate moved is in Recertified, and in the
// points: a value that moved by more than its uncertainty has made a step.
type Trend struct {
	Procedure, Artifact, Feature string
	Quantity                     records.Quantity
	Checks                       []*records.Check // of each point
	MPEUM                        []float64        // the limit of each check
	Adjusted                     []Restart        // each begins a segment
	Recertified                  []Step           // of the artifact, within the present segment
	// Current is false for a series that is history: checks of the same feature
	// with another artifact came later, or nothing was checked since the last
	// adjustment. It has no forecast in the second case.
	Current bool
	Course
}

// LimitUM is the limit that the forecast asks about, that of the last check.
func (t *Trend) LimitUM() float64 { return t.MPEUM[len(t.MPEUM)-1] }

// LimitVaries reports whether the checks had different limits, as they have
// where the limit grows with a path that was not always the same.
func (t *Trend) LimitVaries() bool {
	return slices.ContainsFunc(t.MPEUM, func(v float64) bool { return v != t.LimitUM() })
}

// TrendsOf returns the trends of a device's control charts at an instant, in the
// order of their first check. An error is returned for a level or a horizon out
// of range; a device or site that cannot be read has no trends.
func TrendsOf(set *records.Set, at time.Time, options Options, device string, q TrendQuestion) ([]Trend, error) {
	d := trendContext(set, at, options, device)
	if d == nil {
		return nil, nil
	}
	all := d.series()
	out := make([]Trend, 0, len(all))
	for i := range all {
		t, err := d.trend(&all[i], q)
		if err != nil {
			return nil, err
		}
		t.Current = !d.history(all, &all[i])
		out = append(out, t)
	}
	return out, nil
}

// trendContext prepares a device; it is nil where nothing can be derived.
func trendContext(set *records.Set, at time.Time, options Options, device string) *deviceContext {
	return KnowledgeAt(set, at, options).served(device)
}

func (d *deviceContext) trend(s *Series, q TrendQuestion) (Trend, error) {
	t := Trend{Procedure: s.Procedure, Artifact: s.Artifact, Feature: s.Feature, Quantity: s.Quantity, Checks: s.Checks, MPEUM: s.MPEUM}
	c := course{begin: s.Checks[0].Time, limitUM: s.MPEUM[len(s.MPEUM)-1], oneSided: s.Quantity.OneSided()}
	for i, k := range s.Checks {
		c.add(k.Time, s.ErrorsUM[i])
	}
	for _, r := range s.Restarts {
		if r.What != "adjusted" {
			continue
		}
		t.Adjusted = append(t.Adjusted, r)
		c.restarts = append(c.restarts, r.Index)
	}
	if restarts := d.out.Service.restarts; s.restarts < len(restarts) {
		r := &restarts[s.restarts]
		c.ended = fmt.Sprintf("nothing was checked since the %s of %s", r.kind(), d.day(r.time))
	}
	if why := d.unread(d.id); why != "" {
		c.ended = why
	}
	var err error
	if t.Course, err = d.course(c, q); err != nil {
		return t, err
	}
	first := s.Checks[t.Segments[len(t.Segments)-1].First]
	t.Recertified = d.recertifiedWithin(s.Artifact, s.Feature, first.Time, s.Checks[len(s.Checks)-1].Time)
	return t, nil
}

// recertifiedWithin returns the steps of a feature's certified value that came
// into force between two checks.
func (d *deviceContext) recertifiedWithin(artifact, feature string, from, to time.Time) (out []Step) {
	a := d.artifacts[artifact]
	if a == nil {
		return nil
	}
	for _, s := range d.valueTrend(a, feature).Steps {
		for i := range a.accepted {
			if in := &a.accepted[i]; in.cert == s.To.Certificate && in.from.After(from) && !in.from.After(to) {
				out = append(out, s)
			}
		}
	}
	return out
}

// daysBetween counts days and their parts from one instant to another.
func daysBetween(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 }

// segmentOf returns the points of the present segment as coordinates.
func segmentOf(points []drift.Point, s drift.Segment) (days, errorsUM []float64) {
	for _, p := range points[s.First : s.Last+1] {
		days, errorsUM = append(days, p.Day), append(errorsUM, p.ErrorUM)
	}
	return days, errorsUM
}
