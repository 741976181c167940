package rules

import (
	"slices"

	"plumbrule/records"
	"plumbrule/rules/chart"
)

// seriesKey tells charts apart.
type seriesKey struct{ procedure, artifact, feature string }

// series charts the mean error of each check. Values of one check are repeats
// within minutes and share its conditions; only their mean is a point in time.
// Checks that are no evidence have no error and are no points.
func (d *deviceContext) series() []Series {
	var list []Series
	index := map[seriesKey]int{}
	var scratch []float64
	for _, k := range d.view.checks {
		b := d.basis(k)
		if b.why.code != "" {
			continue
		}
		for i := range k.Readings {
			j, why := d.prepare(&b, &k.Readings[i])
			if why.code != "" {
				continue
			}
			mpe, _, err := j.limitUM()
			if err != nil {
				continue
			}
			if scratch, err = j.errorsOf(scratch[:0]); err != nil || len(scratch) == 0 {
				continue
			}
			sum := 0.0
			for _, e := range scratch {
				sum += e
			}
			key := seriesKey{k.Procedure, k.Artifact, j.feature.Name}
			n, found := index[key]
			if !found {
				n = len(list)
				index[key] = n
				list = append(list, Series{
					Chart: Chart{Procedure: k.Procedure, Artifact: k.Artifact, Feature: j.feature.Name, Quantity: j.quantity}, Limit: j.limit,
					Settings: d.settings(k.Procedure),
				})
			}
			list[n].recertified(d, b.in.cert, k)
			list[n].point(d, k, sum/float64(len(scratch)), mpe)
			list[n].sample(scratch)
		}
	}
	for i := range list {
		d.compute(&list[i])
	}
	return list
}

// point adds a point; a second reading of the same feature in the same check
// (another position) is averaged into it.
func (s *Series) point(d *deviceContext, k *records.Check, errorUM, mpeUM float64) {
	n := len(s.Checks)
	if n > 0 && s.Checks[n-1] == k {
		s.readings++
		s.ErrorsUM[n-1] += (errorUM - s.ErrorsUM[n-1]) / float64(s.readings)
		s.MPEUM[n-1] = min(s.MPEUM[n-1], mpeUM)
		return
	}
	restarts := d.out.Service.restarts
	for ; s.restarts < len(restarts) && d.after(k, &restarts[s.restarts]); s.restarts++ {
		if n == 0 {
			continue
		}
		s.restart(Restart{Index: n, Time: restarts[s.restarts].time, What: "adjusted", Source: restarts[s.restarts].source})
	}
	s.readings = 1
	s.Checks = append(s.Checks, k)
	s.ErrorsUM = append(s.ErrorsUM, errorUM)
	s.MPEUM = append(s.MPEUM, mpeUM)
}

// restart begins the chart anew; of several causes between two checks the last
// is kept.
func (s *Series) restart(r Restart) {
	if m := len(s.Restarts); m > 0 && s.Restarts[m-1].Index == r.Index {
		s.Restarts = s.Restarts[:m-1]
	}
	s.Restarts = append(s.Restarts, r)
}

// recertified begins the chart anew when a check rests on another certificate
// than the one before.
func (s *Series) recertified(d *deviceContext, in *records.Certificate, k *records.Check) {
	n := len(s.Checks)
	if n > 0 && s.in != in && s.Checks[n-1] != k {
		s.restart(Restart{Index: n, Time: in.Date.StartIn(d.zone), What: "recertified", Source: Source{File: in.File}})
	}
	s.in = in
}

// sample keeps the errors of the last point's readings where the chart is one of
// samples.
func (s *Series) sample(errorsUM []float64) {
	if !chart.Sampled(s.Settings.Kind) {
		return
	}
	n := len(s.Checks)
	if len(s.Samples) < n {
		s.Samples = append(s.Samples, nil)
	}
	s.Samples[n-1] = append(s.Samples[n-1], errorsUM...)
}

// chartOf computes a chart of the kind the settings name.
func (s *Series) chartOf() (chart.Chart, error) {
	switch s.Settings.Kind {
	case chart.KindMeanRange:
		return chart.MeanRange(s.Samples, s.Settings)
	case chart.KindMeanDeviation:
		return chart.MeanDeviation(s.Samples, s.Settings)
	case chart.KindEWMA:
		return chart.EWMA(s.ErrorsUM, s.Settings)
	case chart.KindCUSUM:
		return chart.CUSUM(s.ErrorsUM, s.Settings)
	default:
		return chart.Individuals(s.ErrorsUM, s.Settings)
	}
}

// compute applies the chart's settings.
func (d *deviceContext) compute(s *Series) {
	s.Points = len(s.ErrorsUM)
	s.Latest = Source{File: s.Checks[len(s.Checks)-1].File}
	s.Kind = s.Settings.Kind
	for _, r := range s.Restarts {
		s.Settings.Restart = append(s.Settings.Restart, r.Index)
	}
	var err error
	if s.Result, err = s.chartOf(); err != nil {
		// Samples of one reading in a chart of samples, or another contradiction between settings and readings: the chart of
		// single values still tells something, and the kind shown says that it is one.
		s.Instead = err.Error()
		s.Kind, s.Settings.Kind = chart.KindIndividuals, chart.KindIndividuals
		if s.Result, err = s.chartOf(); err != nil {
			s.Provisional = true // no limits to be inside of
			return
		}
	}
	last := s.Result.Points[len(s.Result.Points)-1]
	segment := s.Result.Current()
	// The site says from how many checks on signals are acted on; the limits may
	// still move after that, until the baseline is complete.
	s.Provisional = segment.Limits == nil || segment.Baseline < s.Settings.Minimum
	if s.Provisional {
		return
	}
	s.Signals = last.Signals
	// The range to a point that was itself beyond its limits tells nothing new.
	if n := len(s.Result.Range); n > 0 && s.Result.Range[n-1].N == last.N && !beyond(s.Result.Points[len(s.Result.Points)-2]) {
		for _, x := range s.Result.Range[n-1].Signals {
			s.Signals = append(s.Signals, chart.Signal{Test: "range " + x.Test, Points: x.Points})
		}
	}
}

func beyond(p chart.Point) bool {
	return slices.ContainsFunc(p.Signals, func(x chart.Signal) bool { return x.Test == chart.PointBeyond })
}

// The baseline and its least size when neither procedure nor site says.
const (
	defaultBaseline = 20
	defaultMinimum  = 10
)

// settings returns the chart settings of a procedure: its own, then the
// site's, then the defaults.
func (c *context) settings(procedure string) chart.Settings {
	out := chart.Settings{Kind: chart.KindIndividuals, Baseline: defaultBaseline, Minimum: defaultMinimum, Tests: chart.Nelson()}
	apply := func(s records.ChartSettings) {
		if kind, err := chart.ParseKind(s.Kind); err == nil {
			out.Kind = kind
		}
		out.Widened = out.Widened || s.Widened
		for _, pair := range []struct {
			from float64
			to   *float64
		}{
			{s.Weight, &out.Weight}, {s.Width, &out.Width}, {s.Reference, &out.Reference}, {s.Decision, &out.Decision}, {s.HeadStart, &out.HeadStart},
		} {
			if pair.from != 0 {
				*pair.to = pair.from
			}
		}
		if s.Baseline != 0 {
			out.Baseline = s.Baseline
		}
		if s.Minimum != 0 {
			out.Minimum = s.Minimum
		}
		if len(s.Tests) > 0 {
			if tests, err := chart.ParseTests(s.Tests); err == nil {
				out.Tests = tests
			}
		}
	}
	apply(c.set.Site.Chart)
	if p := c.set.Procedures[procedure]; p != nil {
		apply(p.Chart)
	}
	out.Minimum = min(out.Minimum, out.Baseline)
	if out.Kind == chart.KindEWMA || out.Kind == chart.KindCUSUM {
		out.Widened = false // no factor is known for these kinds
	}
	if c.look != nil {
		out = c.look(out)
	}
	return out
}
