package drawing

import "plumbrule/rules/chart"

// names are what a legend calls the parts of a chart of one kind.
type names struct {
	chart, point, signal, faint, centre, limits string
}

func (p Picture) names() names {
	switch p.Chart.Kind {
	case chart.KindMeanRange:
		return names{"means and ranges of samples", "mean or range of a sample", "one that signals", "", "centre", "control limits"}
	case chart.KindMeanDeviation:
		return names{"means and standard deviations of samples", "mean or standard deviation of a sample", "one that signals", "", "centre", "control limits"}
	case chart.KindEWMA:
		return names{"an exponentially weighted moving average", "weighted average", "average that signals", "single value", "target", "limits of the average"}
	case chart.KindCUSUM:
		return names{"cumulative sums", "cumulative sum, below it the value", "sum that signals", "", "zero; target", "decision value"}
	default:
		return names{"individuals", "point", "point that signals", "", "centre", "control limits"}
	}
}
