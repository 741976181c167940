package choose

import (
	"fmt"
	"math"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/budget"
	"plumbrule/rules/conformity"
	"plumbrule/rules/figure"
)

// Job is what devices are looked for.
type Job struct {
	ID       string        // of the record; empty: the job is not recorded
	Begin    calendar.Date // first day; zero: today
	End      calendar.Date // last day; zero: the first
	Recorded []string      // devices that the record names
	Needs    []Need
	Climate  *Climate // nil: the part is at 20 °C, or lengths are corrected to it
}

// Need is one thing a job must hold.
type Need struct {
	Quantity  records.Quantity
	Tolerance quantity.Length // full width of the zone
	Length    quantity.Length // longest straight length
	Path      quantity.Length // longest path travelled; zero: not stated
}

// HalfUM is half the width of the tolerance zone: how far a true value may lie from its middle.
func (n *Need) HalfUM() float64 { return n.Tolerance.Micrometres() / 2 }

// Climate is how warm the part may be while it is measured without a correction to 20 °C, the reference temperature of
// ISO 1:2022.
type Climate struct {
	LowCelsius, HighCelsius float64
	Expansion               quantity.Expansion // of the part
}

// farthestKelvin is the largest distance from the reference temperature.
func (c *Climate) farthestKelvin() float64 {
	return math.Max(math.Abs(c.LowCelsius-budget.ReferenceCelsius), math.Abs(c.HighCelsius-budget.ReferenceCelsius))
}

// OfRecord makes the question from a recorded job.
func OfRecord(j *records.Job) Job {
	out := Job{ID: j.ID, Begin: j.Begin, End: j.End, Recorded: j.Devices}
	for i := range j.Measured {
		m := &j.Measured[i]
		out.Needs = append(out.Needs, Need{m.Quantity, m.Tolerance, m.Length, m.Path})
	}
	return out
}

// check refuses what no device could be asked.
func (j *Job) check() error {
	if len(j.Needs) == 0 {
		return &figure.InputError{Field: "needs", Found: "empty", Expected: "at least one tolerance"}
	}
	for i := range j.Needs {
		n := &j.Needs[i]
		for _, l := range []struct {
			field  string
			length quantity.Length
		}{{"tolerance", n.Tolerance}, {"length", n.Length}} {
			if l.length.IsZero() || l.length.Micrometres() <= 0 {
				return &figure.InputError{Field: l.field, Found: found(l.length), Expected: "a length above 0"}
			}
		}
		if !n.Path.IsZero() && n.Path.Compare(n.Length) < 0 {
			return &figure.InputError{
				Field: "path", Found: n.Path.String(), Expected: fmt.Sprintf("at least the straight length %s", n.Length),
				Mend: "state the way travelled while measuring; no way is shorter than the straight one",
			}
		}
	}
	if !j.End.IsZero() && j.End.Before(j.Begin) {
		return &figure.InputError{Field: "end", Found: j.End.String(), Expected: fmt.Sprintf("a day not before the first, %s", j.Begin)}
	}
	if c := j.Climate; c != nil && !(c.LowCelsius <= c.HighCelsius) {
		return &figure.InputError{
			Field: "temperature", Found: fmt.Sprintf("from %g °C to %g °C", c.LowCelsius, c.HighCelsius), Expected: "the lower temperature first",
			Mend: "swap them",
		}
	}
	return nil
}

func found(l quantity.Length) string {
	if l.IsZero() {
		return "not stated"
	}
	return l.String()
}

// edge says what a device whose errors are only known to lie within a bound can prove near the edge of a tolerance zone: the
// conformance probability of a value measured on the edge itself, and how far from the middle a measured value may lie for
// conformity to be proved at 95 %.
//
// The bound counts as the half width of a rectangular law, u = bound/√3 (JCGM 100:2008, 4.3.7), and as the only contribution;
// the probability is that of JCGM 106:2012, clause 7, the limit that of ISO 14253-1:2017.
func edge(halfUM, boundUM float64) (probability, acceptUM figure.Figure) {
	d, err := conformity.Decide(conformity.Case{
		ErrorUM: halfUM, MPEUM: halfUM, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(boundUM / math.Sqrt(3)),
	})
	if err != nil {
		return figure.Absent(err.Error()), figure.Absent(err.Error())
	}
	if d.AcceptanceLimitUM.Value == nil {
		d.AcceptanceLimitUM.Reason = "the tolerance zone is too narrow for this bound: no measured value proves conformity at 95 %"
	}
	return d.ConformanceProbability, d.AcceptanceLimitUM
}
