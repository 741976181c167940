// Package growth looks at errors whose limit grows with the length of the path they were measured over: is what the
// device does of the form that its limit claims, a constant and a part per metre?
//
// In go checks, each a path in metres and a signed error in micrometres, and the claim; out come
//
//   - the scale error: a straight line of the signed errors over the path, which a correction would take off;
//   - the spread about it, a standard deviation a + b·L that may grow with the path and that no correction takes off;
//   - a bound of the claimed form that a stated share of further errors stays within, beside the claim;
//   - whether the paths are different enough to say anything about the claimed growth.
//
// Line and spread are fitted together by restricted maximum likelihood under the normal law (Patterson and Thompson
// 1971, Biometrika 58, 545–554): the likelihood of what is left of the errors when any straight line is taken off. Plain
// maximum likelihood would find the spread too small, as a standard deviation with n in place of n−2 is.
//
// A figure that cannot be backed is absent and says why.
package growth
