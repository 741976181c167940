package main

import "plumbrule/rules/chart"

// kindDoc documents a kind of chart.
type kindDoc struct {
	kind   chart.Kind
	title  string
	choose string // when
	how    string // what is drawn and what signals
	source string
}

// kindDocs lists the kinds of charts, when to choose which.
func kindDocs() []kindDoc {
	return []kindDoc{
		{
			chart.KindIndividuals, "single values with their moving ranges",
			"Choose it where a check gives one figure, or several taken within minutes of which only the mean is a point in time. It needs " +
				"least explanation, and shows shifts of three standard deviations and more at once; the run tests find smaller ones at the cost of more false alarms.",
			"Limits lie three sigma either side of the centre; sigma comes from the mean moving range of neighbours over d2(2) = 2/√π. A point beyond " +
				"a limit, a run test, or a moving range beyond its own limit signals.",
			"NIST/SEMATECH e-Handbook 6.3.2.2; run tests of Nelson 1984, J. Quality Technology 16, 237-239",
		},
		{
			chart.KindMeanRange, "means of samples with their ranges",
			"Choose it where each check repeats the measurement two to about ten times and the scatter within a check is all that chance does: it " +
				"watches level and repeatability apart. Where checks differ from each other by more than their repeats do, for example with the setup or the " +
				"temperature, its limits are too narrow and nearly every mean signals: chart the means as individuals then.",
			"Limits of a mean of n lie 3σ/√n either side of the centre, those of a range at D3 and D4 times its mean; sigma comes from the ranges. " +
				"Each sample has the limits of its own size.",
			"Shewhart; ISO 7870-2",
		},
		{
			chart.KindMeanDeviation, "means of samples with their standard deviations",
			"Choose it instead of mean-range for samples of more than about ten, or of differing sizes: the standard deviation uses every " +
				"reading, the range only the outermost two.",
			"As mean-range, with sigma from the standard deviations within the samples and the limits B3 and B4.",
			"Shewhart; ISO 7870-2",
		},
		{
			chart.KindEWMA, "the exponentially weighted moving average of single values",
			"Choose it to see a lasting shift of half to two standard deviations, or a slow drift, sooner than individuals do, and to read " +
				"the present level off the chart. It is slow to forget, so a single wild value is better seen on individuals.",
			"Each point is λ times the new value and 1-λ times the point before; a small weight λ (0.05 to 0.3) sees smaller shifts. Limits lie L " +
				"standard deviations of the average about the target and widen over the first points. Only they signal; run tests do not apply.",
			"Roberts 1959, Technometrics 1, 239-250; NIST/SEMATECH e-Handbook 6.3.2.4",
		},
		{
			chart.KindCUSUM, "the cumulative sums of single values, upper and lower",
			"Choose it where one size of shift matters and it should be found as early as possible: with reference k it is most sensitive to " +
				"a shift of 2k standard deviations. A signal also tells when the process probably moved. Give --target and --sd where they are known, " +
				"since the sums also gather an error of an estimated centre.",
			"Each sum gathers what values lie above (or below) the target by more than k sigma, never below 0; a sum above h sigma signals. A head " +
				"start of h/2 finds a process that starts off its target sooner. Run tests do not apply.",
			"Page 1954, Biometrika 41, 100-115; Lucas and Crosier 1982, Technometrics 24, 199-205; NIST/SEMATECH e-Handbook 6.3.2.3",
		},
	}
}
