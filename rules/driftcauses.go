package rules

import (
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"plumbrule/records"
	"plumbrule/rules/drift"
)

// DriftCauses is what the drifts of a device on several artifacts point to.
type DriftCauses struct {
	drift.Comparison
	Witnesses []Witness // in the order of the comparison's series
}

// Witness is the series that stands for a quantity of an artifact.
type Witness struct {
	Procedure, Artifact, Feature string
	Quantity                     records.Quantity
	Points                       int // since the last restart of the chart
}

// DriftCausesOf compares the drifts of a device, see [drift.Compare], since its
// last adjustment or repair. Each artifact and quantity is judged by one feature
// and procedure: the series with the most checks since its chart was last begun
// anew, also by a new certificate, and of two alike the longer length, on which
// an error of scale shows most. What an artifact's certificates show is the
// change from the one that the checks rest on to the next, which spans them, or
// if there is no next one, the change to it.
//
// An error is returned for a level outside 0.5 … 0.9999.
func DriftCausesOf(set *records.Set, at time.Time, options Options, device string, level float64) (DriftCauses, error) {
	d := trendContext(set, at, options, device)
	if d == nil || d.unread(device) != "" {
		return DriftCauses{}, nil
	}
	all := d.series()
	var best []*Series
	for i := range all {
		s := &all[i]
		if s.restarts < len(d.out.Service.restarts) {
			continue // nothing was measured since the last adjustment
		}
		n := slices.IndexFunc(best, func(b *Series) bool {
			return b.Artifact == s.Artifact && driftQuantity(b.Quantity) == driftQuantity(s.Quantity)
		})
		switch {
		case n < 0:
			best = append(best, s)
		case d.speaksLouder(s, best[n]):
			best[n] = s
		}
	}
	out := DriftCauses{}
	var series []drift.Series
	var changes []drift.Change
	for _, s := range best {
		from := s.begunAt()
		one := drift.Series{Artifact: s.Artifact, Quantity: driftQuantity(s.Quantity)}
		for i := from; i < len(s.Checks); i++ {
			// Days count from one instant for all series, since Compare looks at how long they run together.
			one.Points = append(one.Points, drift.Point{Day: daysBetween(time.Unix(0, 0), s.Checks[i].Time), ErrorUM: s.ErrorsUM[i]})
		}
		series = append(series, one)
		out.Witnesses = append(out.Witnesses, Witness{s.Procedure, s.Artifact, s.Feature, s.Quantity, len(s.Checks) - from})
		if change, found := d.certifiedChange(s, level); found {
			changes = append(changes, change)
		}
	}
	var err error
	out.Comparison, err = drift.Compare(series, changes, level)
	return out, err
}

// begunAt is the index of the first point since the chart was last begun anew.
func (s *Series) begunAt() int {
	if n := len(s.Restarts); n > 0 {
		return s.Restarts[n-1].Index
	}
	return 0
}

// speaksLouder reports whether s is to stand for its artifact and quantity in
// place of another series.
func (d *deviceContext) speaksLouder(s, other *Series) bool {
	here, there := len(s.Checks)-s.begunAt(), len(other.Checks)-other.begunAt()
	if here != there {
		return here > there
	}
	return d.nominalMM(s) > d.nominalMM(other)
}

func (d *deviceContext) nominalMM(s *Series) float64 {
	if a := d.set.Artifacts[s.Artifact]; a != nil {
		if f := a.Feature(s.Feature); f != nil {
			return f.Nominal.Millimetres()
		}
	}
	return 0
}

// certifiedChange is the change of a feature's certified value, with its
// uncertainty expanded to the level.
func (d *deviceContext) certifiedChange(s *Series, level float64) (drift.Change, bool) {
	a := d.artifacts[s.Artifact]
	if a == nil || d.unread(s.Artifact) != "" {
		return drift.Change{}, false
	}
	var change *Step
	for _, step := range d.valueTrend(a, s.Feature).Steps {
		if step.ExpandedUM.Value != nil && (step.To.Certificate == s.in || step.From.Certificate == s.in) {
			change = &step // of the two, the later one
		}
	}
	if change == nil {
		return drift.Change{}, false
	}
	const k = 2 // of the step
	return drift.Change{
		Artifact: s.Artifact, Quantity: driftQuantity(s.Quantity), Days: float64(change.Days), ChangeUM: change.ChangeUM,
		ExpandedUM: *change.ExpandedUM.Value / k * distuv.UnitNormal.Quantile((1+level)/2),
	}, true
}

// driftQuantity is the name under which the comparison knows a quantity.
func driftQuantity(q records.Quantity) drift.Quantity {
	switch q {
	case records.Diameter:
		return drift.Size
	case records.Distance:
		return drift.Distance
	default:
		return drift.Quantity(q)
	}
}
