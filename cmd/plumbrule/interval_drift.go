package main

import (
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/interval"
)

// driftLine gives the line along which an error of a device goes from its last calibration, and the limit it goes towards,
// both in one unit; or it says why there is none. It is what the method of the control chart needs.
type driftLine func(d *rules.Device) (line interval.Line, limit float64, why string)

// byChart proposes when the prediction band of the drift first meets the limit.
func (r *intervalReview) byChart(d *rules.Device, current quantity.Interval) (proposed, error) {
	months := rules.Months(current)
	line, limit, why := r.drift(d)
	if why != "" {
		return proposed{of: "device", current: current, Proposal: interval.Proposal{
			Method: interval.MethodControlChart, Subject: d.ID, CurrentMonths: months, Direction: interval.None,
			Confidence: interval.Figure{Reason: "nothing is shown"}, Reasons: []string{why},
		}}, nil
	}
	p, err := r.chart(limit, months).Next(months, line)
	p.Subject = d.ID
	return proposed{Proposal: p, of: "device", current: current}, err
}
