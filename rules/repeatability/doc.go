// Package repeatability computes repeatability and reproducibility from a crossed study: every operator measures every part
// the same number of times.
//
// In go readings as plain numbers in any one unit; out come analyses of variance, variance components with confidence
// intervals, and what is commonly derived from them. Parts and operators count as random draws from larger populations
// (random-effects model); normal distributions are assumed for the intervals and the tests, not for the estimates.
//
// Two models are shown wherever both exist: with the interaction of parts and operators, and with the interaction pooled
// into the repeatability. [Result.Chosen] says which one the study speaks for.
//
// Sources: Montgomery and Runger (1993), Quality Engineering 6, 289–305, for the analysis; Graybill and Wang (1980), JASA 75,
// 869–873, and Ting, Burdick, Graybill, Jeyaratnam and Lu (1990), J. Statist. Comput. Simul. 35, 135–143, for the modified
// large-sample intervals (formulas from memory, checked by their exact special cases and by simulation); Burdick, Borror and
// Montgomery (2005), Design and Analysis of Gauge R&R Studies, SIAM/ASA, collects both.
package repeatability
