// Package sample describes a set of readings by numbers: location, spread, dependence of neighbours, and values that do
// not belong to the rest. Numbers go in and numbers come out, in whichever one unit they share; the order is the order
// in which they were taken.
//
// The figures follow the NIST/SEMATECH e-Handbook of Statistical Methods: the lag-1 autocorrelation 1.3.5.12, the test
// for one outlier 1.3.5.17.1 (Grubbs 1969), the test for several 1.3.5.17.3 (Rosner 1983). Values that share a large
// offset keep their digits: nothing is squared before the mean is taken off.
//
// A figure that cannot be backed is absent and says why. An outlier test names a value to look into; it is no leave to
// drop it.
package sample
