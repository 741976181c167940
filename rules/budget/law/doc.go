// Package law describes what is known of an input of a measurement by a probability distribution: its standard deviation for
// the law of propagation of uncertainty, and draws for Monte Carlo trials.
//
// A [Law] has the value at its centre and a width in the input's own unit. The distributions are those of JCGM 101:2008
// clause 6.4, with the trapezoid of EA-4/02 beside them.
package law
