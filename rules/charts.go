package rules

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/rules/chart"
)

// Chart is the state of one control chart at the instant: the errors of one
// feature of one artifact, found by one procedure.
type Chart struct {
	Procedure, Artifact, Feature string
	Quantity                     records.Quantity
	Kind                         chart.Kind
	Points                       int
	Provisional                  bool           // limits rest on fewer points than asked
	Signals                      []chart.Signal // of the latest point
	Latest                       Source
}

// Series is a control chart with its points.
type Series struct {
	Chart
	Limit    *records.Limit
	Checks   []*records.Check // of each point
	ErrorsUM []float64        // mean error of each check
	Samples  [][]float64      // errors of the readings of each check, for charts of samples; nil otherwise
	MPEUM    []float64        // the limit of each check
	Restarts []Restart
	Result   chart.Chart
	Settings chart.Settings
	Instead  string // why single values are charted although the settings name another kind; empty: they do not

	readings int                  // averaged into the last point
	in       *records.Certificate // that the last point rests on
	restarts int                  // of the device that lie before the last point
}

// Restart is a point at which a chart begins anew: the device was adjusted or
// repaired, or the artifact was calibrated anew, so that a step between its
// certificates is not taken for one of the device.
type Restart struct {
	Index  int // of the first point after it
	Time   time.Time
	What   string // "adjusted" or "recertified"
	Source Source
}

// ChartsOf returns the control charts of a device with their points, in the
// order of their first check.
func ChartsOf(set *records.Set, at time.Time, options Options, device string) []Series {
	return KnowledgeAt(set, at, options).Charts(device)
}

// Charts is [ChartsOf] by what was known.
func (k *Knowledge) Charts(device string) []Series {
	d := k.served(device)
	if d == nil {
		return nil
	}
	return d.series()
}

// ChartsThrough returns what ChartsOf does, with the settings of each chart
// changed by look (nil for none): the same records seen through another chart.
func ChartsThrough(set *records.Set, at time.Time, options Options, device string, look func(chart.Settings) chart.Settings) []Series {
	k := KnowledgeAt(set, at, options)
	if k.context != nil {
		k.context.look = look
	}
	return k.Charts(device)
}

// charts reports control charts whose latest point signals. A chart that later
// checks of the same feature have left behind, with another artifact, is
// history; so is one that an adjustment ended and no check has begun anew.
func (d *deviceContext) charts() {
	young, current := 0, 0
	all := d.series()
	for i := range all {
		s := &all[i]
		s.Signals = copied(s.Signals)
		d.out.Charts = append(d.out.Charts, s.Chart)
		if d.history(all, s) {
			continue
		}
		current++
		if s.Provisional {
			young++
			continue
		}
		if len(s.Signals) == 0 || d.failedQuantity(s.Quantity) {
			continue
		}
		var names []string
		for _, x := range s.Signals {
			names = append(names, string(x.Test))
		}
		n := len(s.Checks) - 1
		d.add("chart-signal", fmt.Sprintf("chart %s %s %s: %s, %s (check of %s)", s.Procedure, s.Artifact, s.Feature, strings.Join(names, ", "),
			s.signalling(), d.day(s.Checks[n].Time)), []records.Quantity{s.Quantity}, s.Latest)
		d.askExtra(d.day(s.Checks[n].Time), s.Latest, s.Procedure)
	}
	if young > 0 {
		d.add("chart-provisional", fmt.Sprintf("%d of %d control charts rest on a short baseline", young, current), nil, Source{File: d.record.File})
	}
}

// signalling writes the figure of the latest point that its chart judges: the
// error itself, a weighted average, or a cumulative sum.
func (s *Series) signalling() string {
	p := s.Result.Points[len(s.Result.Points)-1]
	switch s.Kind {
	case chart.KindEWMA:
		return fmt.Sprintf("average %s after an error of %s", um(p.Statistic), um(p.Value))
	case chart.KindCUSUM:
		sum := p.High
		if p.Low > p.High {
			sum = p.Low
		}
		return fmt.Sprintf("sum %s after an error of %s", um(sum), um(p.Value))
	case chart.KindMeanRange, chart.KindMeanDeviation:
		return "mean error " + um(p.Value)
	case chart.KindIndividuals:
	}
	return "error " + um(p.Value)
}

// history reports whether a chart is no longer kept up.
func (d *deviceContext) history(all []Series, s *Series) bool {
	last := s.Checks[len(s.Checks)-1]
	if s.restarts < len(d.out.Service.restarts) {
		return true
	}
	return slices.ContainsFunc(all, func(o Series) bool {
		return o.Procedure == s.Procedure && o.Feature == s.Feature && o.Limit == s.Limit && o.Checks[len(o.Checks)-1].Time.After(last.Time)
	})
}

// copied frees signals from the series they came from.
func copied(signals []chart.Signal) []chart.Signal {
	out := slices.Clone(signals)
	for i := range out {
		out[i].Points = slices.Clone(out[i].Points)
	}
	return out
}

// failedQuantity reports whether a failure of the quantity is listed already.
func (d *deviceContext) failedQuantity(q records.Quantity) bool {
	return slices.ContainsFunc(d.out.Reasons, func(r Reason) bool {
		return (r.Code == "quantity-failed" || r.Code == "all-failed") && slices.Contains(r.Quantities, q)
	})
}
