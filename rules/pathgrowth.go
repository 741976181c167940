package rules

import (
	"fmt"
	"time"

	"plumbrule/records"
	"plumbrule/rules/growth"
)

// PathGrowth is how the errors that count for one growing limit of a device go
// with the length that the limit counts, beside what it claims.
type PathGrowth struct {
	Limit  *records.Limit
	Since  Source // of the last adjustment or repair; empty: all checks count
	Checks []PathCheck
	// Averaged is how many of the errors are means of several values, whose scatter
	// is less than that of one.
	Averaged int
	Why      string // why there is no estimate; empty: there is
	growth.Growth
}

// PathCheck is one point of the funnel: the mean error of one reading.
type PathCheck struct {
	Check   *records.Check
	Feature string
}

// PathGrowthsOf estimates, for each limit of a device that grows with a length,
// constant and growth of the errors found since the last adjustment or repair,
// by every procedure and with every artifact. Checks that are no evidence do not
// count. An error is returned for settings out of range.
func PathGrowthsOf(set *records.Set, at time.Time, options Options, device string, settings growth.Settings) ([]PathGrowth, error) {
	d := trendContext(set, at, options, device)
	if d == nil {
		return nil, nil
	}
	var out []PathGrowth
	for i := range d.record.Limits {
		limit := &d.record.Limits[i]
		if !limit.MPE.GrowsWithLength() {
			continue
		}
		g, err := d.pathGrowth(limit, settings)
		if err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, nil
}

func (d *deviceContext) pathGrowth(limit *records.Limit, settings growth.Settings) (PathGrowth, error) {
	g := PathGrowth{Limit: limit}
	if last := d.lastRestart(); last != nil {
		g.Since = last.source
	}
	var checks []growth.Check
	for _, o := range d.observed(limit) {
		if o.Values > 1 {
			g.Averaged++
		}
		g.Checks = append(g.Checks, PathCheck{o.Check, o.Feature})
		checks = append(checks, growth.Check{PathM: o.Length.Metres(), ErrorUM: o.ErrorUM})
	}
	switch {
	case limit.Quantity.OneSided():
		g.Why = fmt.Sprintf("errors of %s have no sign, and a line of signed errors says nothing about them", limit.Quantity)
	case d.unread(d.id) != "":
		g.Why = d.unread(d.id)
	}
	if bound, capped := limit.MPE.Bound(); capped {
		g.Why = fmt.Sprintf("the limit %s is capped at %s, and a claim of a constant and a growth has no cap", limit.MPE, bound)
	}
	if g.Why != "" {
		return g, nil
	}
	claim := growth.Claim{ConstantUM: limit.MPE.Constant().Micrometres(), PerMetreUM: limit.MPE.SlopePerMetre()}
	var err error
	g.Growth, err = growth.Estimate(checks, claim, settings)
	return g, err
}
