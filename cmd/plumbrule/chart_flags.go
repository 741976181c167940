package main

import "plumbrule/rules/chart"

// chartFlags are the flags that say how a chart is computed, from a file as from the records.
type chartFlags struct {
	schemeFlags
	target, sd        *parsed[float64]
	baseline, minimum *parsed[int]
	widened           *bool
}

func (f *flagSet) chart() *chartFlags {
	f.head("The chart")
	c := &chartFlags{schemeFlags: f.scheme(chart.Kinds()...)}
	c.baseline = f.whole("baseline", "the `NUMBER` of first points that the limits rest on; all if not given", 0, 2, 1_000_000)
	c.minimum = f.whole("minimum", "the `NUMBER` of baseline points below which limits are called provisional; 8 if not given", chart.DefaultMinimum, 2, 1_000_000)
	c.widened = f.yes("widened", "widen the limits as far as the baseline is short, so that false alarms stay as rare as intended")
	c.target = f.number("target", "the known centre, a `NUMBER` in the unit of the values; with --sd, and nothing is estimated", anyNumber)
	c.sd = f.number("sd", "the known standard deviation of a single value, a `NUMBER` in the same unit", above0)
	c.numbers(f)
	return c
}

// refuse refuses what does not go together in a chart of that kind.
func (c *chartFlags) refuse(kind chart.Kind) error {
	switch {
	case c.target.given() != c.sd.given():
		return misused("one of --target and --sd, expected both or neither", "give the known centre as --target and the known standard deviation as --sd")
	case c.target.given() && (c.baseline.given() || c.minimum.given() || *c.widened):
		return misused("--target and --sd with --baseline, --minimum or --widened: what is known is not estimated", "leave one or the other out")
	case *c.widened && !shewhart(kind):
		return misused("--widened with a chart of kind "+string(kind)+"; no exact factor is known for it", "take a longer --baseline, or give --target and --sd")
	}
	return c.schemeFlags.refuse(kind)
}

// settings applies the flags given to settings.
func (c *chartFlags) settings(to chart.Settings) chart.Settings {
	to = c.schemeFlags.settings(to)
	if c.baseline.given() {
		to.Baseline = c.baseline.value
	}
	if c.minimum.given() {
		to.Minimum = c.minimum.value
	}
	to.Widened = (to.Widened || *c.widened) && shewhart(to.Kind)
	if c.target.given() {
		to.Given = &chart.Given{Centre: c.target.value, Sigma: c.sd.value}
	}
	return to
}

// look changes the settings that the records name by those that the flags name.
func (c *chartFlags) look(s chart.Settings) chart.Settings {
	s = c.settings(s)
	if s.Given != nil {
		s.Baseline, s.Minimum = 0, 0 // nothing is estimated
	} else if !c.minimum.given() {
		s.Minimum = min(s.Minimum, s.Baseline)
	}
	return s
}
