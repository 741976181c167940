// Package chart computes control charts: numbers in, a centre line, limits,
// signals and warnings out. It knows nothing of devices, dates or units; every
// figure of a Chart is in the unit of the values it was given.
//
// One kind is built so far, individuals with a moving range (Shewhart; as in
// the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). All kinds
// share Settings and the result type Chart.
//
// Conclusions that rest on thin ground carry warnings beside the figures; a
// figure that cannot be backed is absent, and the warning says why.
package chart
