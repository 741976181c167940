package choose

import (
	"fmt"
	"slices"

	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// excluded says that a device that may be used may not be used for this.
func (c *choosing) excluded(d *rules.Device, need int) Obstacle {
	n := &c.out.Job.Needs[need]
	o := Obstacle{Kind: Fitness, Need: need, Sentence: fmt.Sprintf("it is limited, and not to %s at %s", n.Quantity, n.Length)}
	for _, r := range d.Reasons {
		if r.Effect != rules.Limited {
			continue
		}
		o.Sentence += ": " + r.Sentence
		o.Step, o.Sources = mend(r.Code), r.Sources
		break
	}
	return o
}

// mend is what the catalogue of reasons says would mend one.
func mend(code string) string {
	for _, r := range rules.ReasonCodes() {
		if r.ID == code {
			return r.Mend
		}
	}
	return ""
}

// standing lists what speaks against a device apart from its bound: that it may not be used at present, and what falls due
// before the job's end.
func (c *choosing) standing(d *rules.Device) []Obstacle {
	var out []Obstacle
	for _, due := range dues(d) {
		if !due.Extra && slices.ContainsFunc(d.Checks, func(x rules.Due) bool { return x.Extra && x.What == due.What }) {
			continue // the extra one does for it
		}
		if o, ok := c.due(d, &due); ok {
			out = append(out, o)
		}
	}
	if d.Fitness != rules.Unfit && d.Fitness != rules.Unknown {
		return out
	}
	for _, r := range d.Reasons {
		// What a missing check or calibration causes is listed as such, with its step.
		if r.Effect != d.Fitness || slices.Contains([]string{"check-overdue", "never-checked", "calibration-overdue", "never-calibrated"}, r.Code) {
			continue
		}
		out = append(out, Obstacle{Kind: Fitness, Need: -1, Sentence: fmt.Sprintf("it is %s: %s", d.Fitness, r.Sentence), Step: mend(r.Code), Sources: r.Sources})
	}
	return out
}

// due says how something that falls due stands to the job.
func (c *choosing) due(d *rules.Device, due *rules.Due) (Obstacle, bool) {
	o := Obstacle{Kind: Check, Need: -1, Mends: true, Sources: due.Sources}
	what, step := "check "+due.What, fmt.Sprintf("make check %s", due.What)
	if due.What == d.Calibration.What {
		o.Kind = Calibration
		what, step = "its calibration", "have it calibrated"
	}
	switch {
	case due.State == rules.NotRequired || due.State == rules.Stopped || due.State == "":
		return o, false
	case due.State == rules.Missing:
		o.Sentence, o.Step = what+" was never done", step+" first"
	case due.State == rules.DueNow:
		o.Sentence, o.Step = fmt.Sprintf("an extra %s is asked since %s", what, due.Date), step+" first"
	case due.State == rules.Overdue:
		o.Sentence, o.Step = fmt.Sprintf("%s was due by %s", what, due.Date), step+" first"
	case due.Date.Before(c.out.Job.End):
		o.Sentence = fmt.Sprintf("%s falls due on %s, before the job ends on %s", what, due.Date, c.out.Job.End)
		o.Step = fmt.Sprintf("%s by %s", step, due.Date)
		if due.Date.Before(c.out.Job.Begin) {
			o.Step = step + " first"
		}
	default:
		return o, false
	}
	return o, true
}

func dues(d *rules.Device) []rules.Due { return append([]rules.Due{d.Calibration}, d.Checks...) }

// lastDay is the earliest day on which something falls due, the last on which it is not overdue.
func lastDay(d *rules.Device) (last calendar.Date) {
	for _, due := range dues(d) {
		if due.State == rules.NotRequired || due.State == rules.Stopped || due.Date.IsZero() {
			continue
		}
		if last.IsZero() || due.Date.Before(last) {
			last = due.Date
		}
	}
	return last
}
