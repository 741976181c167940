package chart

// Kind names a kind of control chart.
type Kind string

// The kinds of charts.
const (
	// KindIndividuals is the chart of single values with their moving ranges.
	KindIndividuals Kind = "individuals"
	// KindMeanRange is the chart of sample means with the samples' ranges.
	KindMeanRange Kind = "mean-range"
	// KindMeanDeviation is the chart of sample means with the samples' standard deviations.
	KindMeanDeviation Kind = "mean-sd"
	// KindEWMA is the chart of the exponentially weighted moving average of single values.
	KindEWMA Kind = "ewma"
	// KindCUSUM is the chart of the cumulative sums of single values, upper and lower.
	KindCUSUM Kind = "cusum"
)

// Kinds lists the kinds of charts.
func Kinds() []Kind {
	return []Kind{KindIndividuals, KindMeanRange, KindMeanDeviation, KindEWMA, KindCUSUM}
}

// sampled reports that a point of the chart is a sample, not a single value.
func (k Kind) sampled() bool { return k == KindMeanRange || k == KindMeanDeviation }

// shewhart reports that a point is judged by itself and by the run tests.
func (k Kind) shewhart() bool { return k == KindIndividuals || k.sampled() }

// Spread names how the standard deviation of single values is estimated.
type Spread string

const (
	// SpreadMovingRange is the mean moving range of neighbours over d2(2) =
	// 2/√π, which a drift or a step inside the baseline hardly enlarges.
	SpreadMovingRange Spread = "moving-range"
	// SpreadDeviation is the sample standard deviation (divisor m-1), the
	// sharper estimate if nothing but chance moves the baseline.
	SpreadDeviation Spread = "standard-deviation"
)
