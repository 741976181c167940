// Package chart computes control charts: numbers in, a centre line, limits,
// signals and warnings out. It knows nothing of devices, dates or units; every
// figure of a Chart is in the unit of the values it was given, and points count
// as evenly spaced: gaps in time are the caller's to judge.
//
// The kinds are Individuals with moving ranges, MeanRange and MeanDeviation of
// samples (Shewhart), EWMA and CUSUM. All share Settings and the result type
// Chart; a State charts point by point. RunLength says how long a scheme runs
// on average until it signals.
//
// Conclusions that rest on thin ground carry warnings beside the figures; a
// figure that cannot be backed is absent, and the warning says why.
package chart
