package rules

import (
	"fmt"
	"time"

	"plumbrule/records"
	"plumbrule/rules/drift"
)

// ValueTrend is how the certified value of one feature of an artifact went over
// its accepted certificates.
type ValueTrend struct {
	Feature *records.Feature
	Values  []Certified
	Steps   []Step
	Breaks  []Break
	Since   int // the first of Values in the present state of the artifact

	// Line goes through the values of the present state, over days from the
	// first of them and in µm above it, each counting alike: their stated
	// uncertainties do not enter. Nil: NoLine says why.
	Line   *drift.Line
	NoLine string
	Slope  *drift.Band // in µm a day; nil without a line
}

// ValueTrendsOf returns the trends of an artifact's features, in their order. The
// level of the intervals is two-sided, 0.5 … 0.9999; an error is returned for
// another one. An artifact or site that cannot be read has no trends.
func ValueTrendsOf(set *records.Set, at time.Time, options Options, id string, level float64) ([]ValueTrend, error) {
	if set.Site == nil || set.Site.Zone == nil || set.Artifacts[id] == nil {
		return nil, nil
	}
	c := newContext(set, at, options)
	a := c.artifacts[id]
	var out []ValueTrend
	for i := range a.record.Features {
		t := c.valueTrend(a, a.record.Features[i].Name)
		t.Feature = &a.record.Features[i]
		if err := t.fit(level); err != nil {
			return nil, err
		}
		if why := c.unread(id); why != "" {
			t.Line, t.Slope, t.NoLine = nil, nil, why
		}
		out = append(out, t)
	}
	return out, nil
}

// valueTrend follows the certified value of a feature; it fits no line.
func (c *context) valueTrend(a *artifact, feature string) (t ValueTrend) {
	for i := range a.accepted {
		in := &a.accepted[i]
		v := in.cert.Value(feature)
		if f := a.record.Feature(feature); v == nil || f == nil || !in.covers(f.Quantity) {
			continue
		}
		now := Certified{Certificate: in.cert, Figure: v.Value, StandardUM: v.Uncertainty.Standard(), Source: Source{in.cert.File, v.Line}}
		if n := len(t.Values); n > 0 {
			before := t.Values[n-1]
			if why := c.changedBetween(a, before.Certificate, in.cert); why != "" {
				t.Breaks, t.Since = append(t.Breaks, Break{in.cert, why}), n
			} else if s := stepOf(before, now); s.Days > 0 {
				t.Steps = append(t.Steps, s)
			}
		}
		t.Values = append(t.Values, now)
	}
	return t
}

// changedBetween says what was done to an artifact between two calibrations, or
// on the day of one of them, where nothing tells which came first; empty:
// nothing.
func (c *context) changedBetween(a *artifact, from, to *records.Certificate) string {
	for _, e := range a.events {
		day := c.day(e.Time)
		if (e.Kind == records.Repair || e.Kind == records.Adjustment) && !day.Before(from.Date) && !day.After(to.Date) {
			return fmt.Sprintf("the %s of %s lies before it", e.Kind, day)
		}
	}
	if to.Adjusted {
		return "the artifact was adjusted at this calibration"
	}
	return ""
}

func (t *ValueTrend) fit(level float64) error {
	var days, um []float64
	for _, v := range t.Values[t.Since:] {
		first := t.Values[t.Since]
		days = append(days, float64(first.Certificate.Date.DaysUntil(v.Certificate.Date)))
		um = append(um, v.Figure.Micrometres()-first.Figure.Micrometres())
	}
	line, err := drift.Fit(days, um)
	if err != nil {
		t.NoLine = err.Error()
		return nil //nolint:nilerr // too few certificates are no error
	}
	band, err := line.SlopeBand(level)
	t.Line, t.Slope = &line, &band
	return err
}

// unread says which certificate or event of a subject cannot be read: something
// may have been done to it that nobody sees. Empty: all can be.
func (c *context) unread(subject string) string {
	for _, kind := range []string{"certificate", "event"} {
		for _, u := range c.broken[kind+" "+subject] {
			return fmt.Sprintf("%s cannot be read, and it may tell of an adjustment", u.File)
		}
	}
	return ""
}
