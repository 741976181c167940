package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/interval"

	"plumbrule/records/spelling"
)

// intervalReview is the review of the calibration intervals of devices from the records.
type intervalReview struct {
	*judged
	o         *intervalOptions
	devices   []*rules.Device
	detail    bool // devices were chosen
	histories map[string]rules.CalibrationHistory
	drift     driftLine         // nil: no drift lines are at hand
	lineOf    map[string]string // by device: which series of checks the line is of

	proposals []proposed
	notes     []string // devices without proposals, and why
}

func (o *intervalOptions) printReview(e *env, cmd *cobra.Command, names []string) error {
	if len(names) > 0 && *o.kind != "" {
		return misused("both devices and --kind, expected one of the two", "leave out --kind, or the devices")
	}
	j, err := e.judge(cmd.Context(), o.instant)
	if err != nil {
		return err
	}
	r := &intervalReview{judged: j, o: o, detail: len(names) > 0 || *o.kind != "", histories: map[string]rules.CalibrationHistory{}}
	r.drift = r.recordedDrift
	if r.devices, err = j.choose(names); err != nil {
		return err
	}
	if *o.kind != "" {
		if err := r.ofKind(*o.kind); err != nil {
			return err
		}
	}
	for _, h := range rules.Outcomes(j.set, j.at, j.options, j.deviceIDs()...) {
		r.histories[h.Device] = h
	}
	if err := r.review(); err != nil {
		return err
	}
	if err := e.print(formatOf(cmd), r.answer()); err != nil {
		return err
	}
	return j.invalid()
}

// ofKind keeps the devices of a kind.
func (r *intervalReview) ofKind(kind string) error {
	var kinds []string
	r.devices = slices.DeleteFunc(r.devices, func(d *rules.Device) bool {
		if d.Record != nil && !slices.Contains(kinds, d.Record.Kind) {
			kinds = append(kinds, d.Record.Kind)
		}
		return d.Record == nil || d.Record.Kind != kind
	})
	if len(r.devices) > 0 {
		return nil
	}
	mend := `"plumbrule status --format csv" lists the kinds`
	if near := spelling.Nearest(kind, kinds); near != "" {
		mend = fmt.Sprintf("did you mean %q?", near)
	}
	return misused(fmt.Sprintf("there is no device of the kind %q", kind), mend)
}

// review makes the proposals, those of the devices first.
func (r *intervalReview) review() error {
	type common struct {
		kind    string
		current quantity.Interval
	}
	var kinds []common
	for _, d := range r.devices {
		current, why := currentInterval(d)
		if why != "" {
			r.notes = append(r.notes, d.ID+": "+why)
			continue
		}
		if err := r.device(d, current); err != nil {
			return err
		}
		if k := (common{d.Record.Kind, current}); !slices.Contains(kinds, k) {
			kinds = append(kinds, k)
		}
	}
	slices.SortStableFunc(kinds, func(a, b common) int { return strings.Compare(a.kind, b.kind) })
	for _, k := range kinds {
		if err := r.kind(k.kind, k.current); err != nil {
			return err
		}
	}
	return nil
}

// currentInterval returns the calibration interval of a device, or why there is nothing to review.
func currentInterval(d *rules.Device) (quantity.Interval, string) {
	switch {
	case d.Record == nil:
		return quantity.Interval{}, "its record cannot be read"
	case d.Service.State == rules.Retired:
		return quantity.Interval{}, "it is retired"
	case d.Calibration.State == rules.NotRequired:
		return quantity.Interval{}, "no calibration is required of it"
	case d.Calibration.Interval.IsZero():
		return quantity.Interval{}, "its calibration interval is not known"
	}
	return d.Calibration.Interval, ""
}

func (r *intervalReview) device(d *rules.Device, current quantity.Interval) error {
	months := rules.Months(current)
	add := func(p interval.Proposal, err error) error {
		r.proposals = append(r.proposals, proposed{Proposal: p, of: "device", current: current})
		return err
	}
	own := r.outcomes(d.ID)
	if len(own) > 0 {
		if err := add(r.stair(d.ID, months)); err != nil {
			return err
		}
	}
	if err := add(r.o.plan().Device(d.ID, months, own)); err != nil {
		return err
	}
	if r.drift == nil {
		return nil
	}
	p, err := r.byChart(d, current)
	if series := r.lineOf[d.ID]; series != "" {
		p.Reasons = append(p.Reasons, "The line is that of the checks "+series+".")
	}
	if p.Direction != interval.None || r.detail {
		r.proposals = append(r.proposals, p)
	}
	return err
}

// stair takes the step that follows from the calibrations in force: the worst of what they found.
func (r *intervalReview) stair(id string, months float64) (interval.Proposal, error) {
	h := r.histories[id]
	var worst *rules.CalibrationOutcome
	for i := range h.Outcomes {
		o := &h.Outcomes[i]
		if !slices.Contains(h.InForce, o.Certificate) {
			continue
		}
		if worst == nil || worst.InTolerance && !o.InTolerance || worst.InTolerance == o.InTolerance && o.Ratio > worst.Ratio {
			worst = o
		}
	}
	if worst == nil {
		return interval.Proposal{
			Method: interval.MethodStaircase, Subject: id, CurrentMonths: months, Direction: interval.None,
			Confidence: interval.Figure{Reason: "nothing is shown"}, Reasons: []string{"The calibration in force gives no outcome, and the staircase looks at nothing else."},
		}, nil
	}
	return r.o.staircase().Next(months, interval.Outcome{Subject: id, Months: worst.Months, InTolerance: worst.InTolerance, Ratio: &worst.Ratio})
}

// kind reviews the common interval of a kind, unless it is that of one device, by the outcomes of all devices of the kind,
// retired ones too.
func (r *intervalReview) kind(kind string, current quantity.Interval) error {
	var all []interval.Outcome
	devices := 0
	for i := range r.assessment.Devices {
		if d := &r.assessment.Devices[i]; d.Record != nil && d.Record.Kind == kind {
			devices++
			all = append(all, r.outcomes(d.ID)...)
		}
	}
	if devices < 2 && *r.o.kind == "" {
		return nil
	}
	p, err := r.o.plan().Kind(kind, rules.Months(current), all)
	r.proposals = append(r.proposals, proposed{Proposal: p, of: "kind", current: current})
	return err
}

// outcomes are those of a device as the methods take them.
func (r *intervalReview) outcomes(id string) (out []interval.Outcome) {
	for _, o := range r.histories[id].Outcomes {
		out = append(out, interval.Outcome{Subject: id, Months: o.Months, InTolerance: o.InTolerance, Ratio: &o.Ratio})
	}
	return out
}

// certificateName says which certificate it is.
func certificateName(c *records.Certificate) string { return fmt.Sprintf("%s of %s", c.Number, c.Date) }
