// Package published holds figures that others have published or computed, with their sources: what the program is checked
// against. It computes nothing. The tests of the packages that compute, and rules/selftest, read the same figures from here.
//
// data holds data sets and worked examples as they were published (see data/NOTICE), values the figures that must come out.
package published
